//! The JSON of heat, temper and finish.

use crate::heat::{GritStep, HeatFigures, RoomFigures, SteelHeat, StoneStep, Tempering};
use knife::{Finish, Heating, Knife, Temper};
use serde_json::{Value, json};

fn range(range: (f64, f64)) -> Value {
    json!([range.0, range.1])
}

/// Heat, temper and finish.
pub(super) fn heat(knife: &Knife, heat: &HeatFigures) -> Value {
    let treatment = &knife.treatment;
    let (hrc, temper_c) = match treatment.temper {
        Some(Temper::Hardness(hrc)) => (Some(hrc), None),
        Some(Temper::Heat(celsius)) => (None, Some(celsius)),
        None => (None, None),
    };
    let temper = heat.temper.as_ref();
    let worked = temper.and_then(|temper| temper.as_ref().ok());
    let ladder = |steps: &[GritStep]| steps.iter().map(grit).collect::<Vec<_>>();
    json!({
        "wanted_hardness_hrc": hrc,
        "wanted_temper_c": temper_c,
        "finish": treatment.finish.map(Finish::words),
        "heating": treatment.heating.map(Heating::words),
        "steel": heat.steel.as_ref().map(steel),
        "above_curie_c": heat.above_curie_c.map(range),
        "cue_c": heat.cue_c.map(range),
        "temper": worked.map(tempering),
        "temper_fault": temper.and_then(|t| t.as_ref().err()).map(ToString::to_string),
        "blade_mm": heat.blade_mm,
        "slenderness": heat.slenderness,
        "oil_l": heat.oil_l,
        "rooms": heat.rooms.iter().map(room).collect::<Vec<_>>(),
        "grits": {
            "before": ladder(&heat.ladders.before),
            "blade": ladder(&heat.ladders.blade),
            "fronts": ladder(&heat.ladders.fronts),
            "handle": ladder(&heat.ladders.handle),
        },
        "at_stone": heat.stone.as_ref().map(|stone| json!({
            "width_mm": stone.width_mm,
            "angles": stone.steps.iter().map(stone_step).collect::<Vec<_>>(),
        })),
    })
}

fn steel(steel: &SteelHeat) -> Value {
    json!({
        "grade": steel.grade,
        "harden_c": steel.harden_c().map(range),
        "quench": steel.quench().map(crate::tables::Quench::words),
        "quenched_hrc": steel.quenched_hrc().map(range),
        "temper_points": steel.curve.series.iter().flat_map(|series| {
            series.points.iter().map(|(heat, low, high)| json!({
                "temper_c": heat,
                "hrc": [low, high],
                "source": series.origin.source,
                "confidence": series.origin.confidence,
            }))
        }).collect::<Vec<_>>(),
    })
}

fn tempering(temper: &Tempering) -> Value {
    json!({
        "heats_c": range(temper.heats_c),
        "hrc": range(temper.hrc),
        "brittle_c": temper.brittle_c.map(range),
    })
}

fn room(room: &RoomFigures) -> Value {
    json!({
        "name": room.name,
        "litres": room.litres,
        "goes_in": room.goes_in,
        "around_mm": room.around_mm,
        "spare_mm": room.spare_mm,
    })
}

fn grit(step: &GritStep) -> Value {
    json!({
        "p": step.name,
        "um": step.um,
        "plain": step.plain.as_ref().map(|plain| &plain.0),
        "ratio": step.ratio,
        "hard_backing": step.hard,
    })
}

fn stone_step(step: &StoneStep) -> Value {
    json!({
        "angle_deg": step.angle_deg,
        "spine_mm": step.spine_mm,
        "raise_mm": step.raise_mm,
        "facet_mm": step.facet_mm,
    })
}
