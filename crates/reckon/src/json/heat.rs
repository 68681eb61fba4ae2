//! Heat, temper and finish in the stable JSON of `numbers`.

use super::Range;
use crate::heat::SteelHeat;
use crate::heat::{ChamberFit, GritStep, HeatFigures, StoneFigures, StoneStep, Tempering};
use knife::{Finish, Heating, Knife, Temper};
use schemars::JsonSchema;
use serde::Serialize;

/// Heat, temper and finish; temperatures in °C, hardness in HRC.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Heat {
    /// The hardness chosen.
    wanted_hardness_hrc: Option<f64>,
    /// The tempering temperature chosen.
    wanted_temper_c: Option<f64>,
    /// The finish chosen.
    finish: Option<&'static str>,
    /// What it is heated in.
    heating: Option<&'static str>,
    /// What the tables say of the steel; null when none has it.
    steel: Option<Steel>,
    /// The hardening range less 770 °C, at which iron loses its magnetism.
    above_curie_c: Option<Range>,
    /// The cue at the magnet: how far above 770 °C to go, clipped to the hardening range.
    cue_c: Option<Range>,
    /// The temper that does.
    temper: Option<Temperature>,
    /// Why no temper does.
    temper_fault: Option<String>,
    /// From tip to plunge.
    blade_mm: Option<f64>,
    /// That over the thickness.
    slenderness: Option<f64>,
    /// Quenching oil, litres.
    oil_l: Option<f64>,
    /// Whether it goes into forge, oven and tank.
    rooms: Vec<Chamber>,
    /// The ladders of abrasives.
    grits: Grits,
    /// The blade at the stone.
    at_stone: Option<Stone>,
}

impl Heat {
    pub(super) fn of(knife: &Knife, heat: &HeatFigures) -> Self {
        let treatment = &knife.treatment;
        let (hrc, temper_c) = match treatment.temper {
            Some(Temper::Hardness(hrc)) => (Some(hrc), None),
            Some(Temper::Heat(celsius)) => (None, Some(celsius)),
            None => (None, None),
        };
        let temper = heat.temper.as_ref();
        let worked = temper.and_then(|temper| temper.as_ref().ok());
        let ladder = |steps: &[GritStep]| steps.iter().map(Grit::of).collect();
        Self {
            wanted_hardness_hrc: hrc,
            wanted_temper_c: temper_c,
            finish: treatment.finish.map(Finish::label),
            heating: treatment.heating.map(Heating::label),
            steel: heat.steel.as_ref().map(Steel::of),
            above_curie_c: heat.above_curie_c.map(Range::from),
            cue_c: heat.cue_c.map(Range::from),
            temper: worked.map(Temperature::of),
            temper_fault: temper.and_then(|t| t.as_ref().err()).map(ToString::to_string),
            blade_mm: heat.blade_mm,
            slenderness: heat.slenderness,
            oil_l: heat.oil_l,
            rooms: heat.chambers.iter().map(Chamber::of).collect(),
            grits: Grits {
                before: ladder(&heat.ladders.before),
                blade: ladder(&heat.ladders.blade),
                fronts: ladder(&heat.ladders.fronts),
                handle: ladder(&heat.ladders.handle),
            },
            at_stone: heat.stone.as_ref().map(Stone::of),
        }
    }
}

/// What the tables say of the steel.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Steel {
    /// The grade.
    grade: String,
    /// The hardening range.
    harden_c: Option<Range>,
    /// What it is quenched in.
    quench: Option<&'static str>,
    /// Hardness as quenched.
    quenched_hrc: Option<Range>,
    /// What was published of its temper.
    temper_points: Vec<TemperPoint>,
}

impl Steel {
    pub(super) fn of(steel: &SteelHeat) -> Self {
        let points = steel.curve.series.iter().flat_map(|series| {
            series.points.iter().map(|(heat, low, high)| TemperPoint {
                temper_c: *heat,
                hrc: [*low, *high],
                source: series.origin.source.to_string(),
                confidence: series.origin.confidence.to_string(),
            })
        });
        Self {
            grade: steel.grade.clone(),
            harden_c: steel.harden_c().map(Range::from),
            quench: steel.quench().map(crate::tables::Quench::label),
            quenched_hrc: steel.quenched_hrc().map(Range::from),
            temper_points: points.collect(),
        }
    }
}

/// One published point of a temper curve.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct TemperPoint {
    /// The temperature.
    temper_c: f64,
    /// The hardness, from and to.
    hrc: Range,
    /// Where it was published.
    source: String,
    /// How far the source can be trusted.
    confidence: String,
}

/// The temper that does.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Temperature {
    /// The temperatures that do.
    heats_c: Range,
    /// The hardness at the coolest.
    hrc: Range,
    /// The range in which the steel loses toughness, where the temper reaches into it.
    brittle_c: Option<Range>,
}

impl Temperature {
    pub(super) fn of(temper: &Tempering) -> Self {
        Self {
            heats_c: temper.heats_c.into(),
            hrc: temper.hrc.into(),
            brittle_c: temper.brittle_c.map(Range::from),
        }
    }
}

/// A forge, an oven or a tank.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Chamber {
    /// What it is.
    name: &'static str,
    /// What it holds.
    litres: f64,
    /// Whether the blade goes in.
    goes_in: bool,
    /// The room around it; negative: does not fit.
    around_mm: f64,
    /// The length to spare; negative: does not fit.
    spare_mm: f64,
}

impl Chamber {
    pub(super) fn of(room: &ChamberFit) -> Self {
        Self {
            name: room.name,
            litres: room.litres,
            goes_in: room.fits,
            around_mm: room.circle_mm,
            spare_mm: room.spare_mm,
        }
    }
}

/// The ladders of abrasives.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Grits {
    /// Before hardening.
    before: Vec<Grit>,
    /// The blade after hardening.
    blade: Vec<Grit>,
    /// The fronts of the scales.
    fronts: Vec<Grit>,
    /// The handle.
    handle: Vec<Grit>,
}

/// One step of a ladder.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Grit {
    /// Its grade by FEPA (P).
    p: String,
    /// The size of its grain, micrometres.
    um: f64,
    /// The nearest grade of the other system.
    plain: Option<String>,
    /// The grain before it over its own.
    ratio: Option<f64>,
    /// Whether it is used on a hard backing.
    hard_backing: bool,
}

impl Grit {
    pub(super) fn of(step: &GritStep) -> Self {
        Self {
            p: step.name.clone(),
            um: step.um,
            plain: step.plain.as_ref().map(|plain| plain.0.to_string()),
            ratio: step.ratio,
            hard_backing: step.hard,
        }
    }
}

/// The blade at the stone.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Stone {
    /// Where along the knife the spine is held.
    at_x_mm: f64,
    /// Width of the blade there.
    width_mm: f64,
    /// Thickness of the spine there.
    thickness_mm: f64,
    /// The angle stated, or several to choose from.
    angles: Vec<StoneAngle>,
}

impl Stone {
    pub(super) fn of(stone: &StoneFigures) -> Self {
        Self {
            at_x_mm: stone.at_x_mm,
            width_mm: stone.width_mm,
            thickness_mm: stone.thickness_mm,
            angles: stone.steps.iter().map(StoneAngle::of).collect(),
        }
    }
}

/// One angle at the stone.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct StoneAngle {
    /// Angle per side.
    angle_deg: f64,
    /// The block under the spine.
    spine_mm: Option<f64>,
    /// By how much one end of a 200 mm stone is raised instead.
    raise_mm: Option<f64>,
    /// Width of the sharpened facet.
    facet_mm: Option<f64>,
}

impl StoneAngle {
    pub(super) fn of(step: &StoneStep) -> Self {
        Self {
            angle_deg: step.angle_deg,
            spine_mm: step.spine_mm,
            raise_mm: step.raise_mm,
            facet_mm: step.facet_mm,
        }
    }
}
