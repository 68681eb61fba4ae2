//! Jimping, shaping and scallops of the handle, as a file holds them.

use super::fault::Problem;
use super::fields::{Faults, Fields};
use super::values::word;
use crate::{
    Corner, Groove, Jimping, OutlineSide, Pitch, ScallopSpacing, Scallops, Shaping, ThicknessAt,
    limits,
};
use serde_json::{Map, Value, json};

const SIDES: &[&str] = &["spine", "edge"];
const SIDE_MEANINGS: [OutlineSide; 2] = [OutlineSide::Spine, OutlineSide::Edge];

/// The one of two numbers that is given; a fault when both or none are.
fn one_of(
    fields: &Fields<'_>,
    first: (&str, &std::ops::RangeInclusive<f64>),
    second: (&str, &std::ops::RangeInclusive<f64>),
    expected: &'static str,
    faults: &mut Faults,
) -> Option<(bool, f64)> {
    match (fields.get(first.0), fields.get(second.0)) {
        (Some(_), None) => fields.number(first.0, first.1, faults).map(|mm| (true, mm)),
        (None, Some(_)) => fields.number(second.0, second.1, faults).map(|mm| (false, mm)),
        (None, None) => {
            faults.note(fields.at(first.0), Problem::Missing { expected });
            None
        }
        (Some(_), Some(_)) => {
            faults.note(fields.at(second.0), Problem::UnknownField);
            fields.number(first.0, first.1, faults).map(|mm| (true, mm))
        }
    }
}

pub(super) fn read_jimping(value: &Value, faults: &mut Faults) -> Option<Jimping> {
    let known = [
        "side",
        "from_x_mm",
        "to_x_mm",
        "pitch_mm",
        "lines_per_inch",
        "depth_mm",
        "vee_deg",
        "round_mm",
    ];
    let fields = Fields::open(value, "handle.jimping", &known, faults)?;
    let side = fields.optional_keyword("side", SIDES, &SIDE_MEANINGS, faults);
    let from = fields.number("from_x_mm", &limits::COORDINATE_MM, faults);
    let to = fields.number("to_x_mm", &limits::COORDINATE_MM, faults);
    let depth = fields.number("depth_mm", &limits::NOTCH_DEPTH_MM, faults);
    let pitch = one_of(
        &fields,
        ("pitch_mm", &limits::PITCH_MM),
        ("lines_per_inch", &limits::LINES_PER_INCH),
        "a number, or lines_per_inch in its place",
        faults,
    );
    let groove = one_of(
        &fields,
        ("vee_deg", &limits::VEE_DEG),
        ("round_mm", &limits::DRUM_MM),
        "a number, or round_mm in its place",
        faults,
    );
    let (is_mm, pitch) = pitch?;
    let (is_vee, groove) = groove?;
    Some(Jimping {
        side: side.unwrap_or(OutlineSide::Spine),
        from_x_mm: from?,
        to_x_mm: to?,
        pitch: if is_mm { Pitch::Mm(pitch) } else { Pitch::PerInch(pitch) },
        depth_mm: depth?,
        groove: if is_vee { Groove::Vee(groove) } else { Groove::Round(groove) },
    })
}

pub(super) fn write_jimping(jimping: &Jimping) -> Value {
    let mut map = Map::new();
    map.insert("side".into(), word(SIDES, &SIDE_MEANINGS, jimping.side).into());
    map.insert("from_x_mm".into(), jimping.from_x_mm.into());
    map.insert("to_x_mm".into(), jimping.to_x_mm.into());
    let (key, value) = match jimping.pitch {
        Pitch::Mm(mm) => ("pitch_mm", mm),
        Pitch::PerInch(lines) => ("lines_per_inch", lines),
    };
    map.insert(key.into(), value.into());
    map.insert("depth_mm".into(), jimping.depth_mm.into());
    let (key, value) = match jimping.groove {
        Groove::Vee(deg) => ("vee_deg", deg),
        Groove::Round(mm) => ("round_mm", mm),
    };
    map.insert(key.into(), value.into());
    Value::Object(map)
}

pub(super) fn read_shaping(value: &Value, faults: &mut Faults) -> Shaping {
    let known = ["chamfer", "round_mm", "thickness", "hand_mm"];
    let Some(fields) = Fields::open(value, "handle.shaping", &known, faults) else {
        return Shaping::default();
    };
    let chamfer = fields.get("chamfer").and_then(|value| read_chamfer(value, faults));
    let round = fields.optional_number("round_mm", &limits::CORNER_MM, faults);
    if chamfer.is_some() && round.is_some() {
        faults.note(fields.at("round_mm"), Problem::UnknownField);
    }
    let list = fields.list("thickness", &limits::THICK_PLACES, faults).iter().enumerate();
    let mut thickness: Vec<ThicknessAt> = list
        .filter_map(|(i, value)| {
            let place = format!("handle.shaping.thickness[{i}]");
            let fields = Fields::open(value, &place, &["x_mm", "thickness_mm"], faults)?;
            let x = fields.number("x_mm", &limits::COORDINATE_MM, faults);
            let thick = fields.number("thickness_mm", &limits::SCALE_THICKNESS_MM, faults);
            Some(ThicknessAt { x_mm: x?, thickness_mm: thick? })
        })
        .collect();
    thickness.sort_by(|a, b| a.x_mm.total_cmp(&b.x_mm));
    Shaping {
        corner: chamfer.or(round.map(Corner::Round)),
        thickness,
        hand_mm: fields.optional_number("hand_mm", &limits::HAND_MM, faults),
    }
}

fn read_chamfer(value: &Value, faults: &mut Faults) -> Option<Corner> {
    let known = ["width_mm", "angle_deg"];
    let fields = Fields::open(value, "handle.shaping.chamfer", &known, faults)?;
    let width = fields.number("width_mm", &limits::CORNER_MM, faults);
    let angle = fields.number("angle_deg", &limits::CORNER_DEG, faults);
    Some(Corner::Chamfer { width_mm: width?, angle_deg: angle? })
}

pub(super) fn write_shaping(shaping: &Shaping) -> Option<Value> {
    let mut map = Map::new();
    match shaping.corner {
        Some(Corner::Chamfer { width_mm, angle_deg }) => {
            let chamfer = json!({ "width_mm": width_mm, "angle_deg": angle_deg });
            map.insert("chamfer".into(), chamfer);
        }
        Some(Corner::Round(mm)) => {
            map.insert("round_mm".into(), mm.into());
        }
        None => {}
    }
    if !shaping.thickness.is_empty() {
        let place = |at: &ThicknessAt| json!({ "x_mm": at.x_mm, "thickness_mm": at.thickness_mm });
        map.insert("thickness".into(), shaping.thickness.iter().map(place).collect());
    }
    if let Some(mm) = shaping.hand_mm {
        map.insert("hand_mm".into(), mm.into());
    }
    (!map.is_empty()).then_some(Value::Object(map))
}

pub(super) fn read_scallops(value: &Value, faults: &mut Faults) -> Option<Scallops> {
    let known = ["count", "pitch_mm", "front_mm", "butt_mm", "drum_mm", "angle_deg", "depth_mm"];
    let fields = Fields::open(value, "handle.scallops", &known, faults)?;
    let steps = if fields.get("pitch_mm").is_some() && fields.get("count").is_none() {
        fields.number("pitch_mm", &limits::PITCH_MM, faults).map(ScallopSpacing::Pitch)
    } else {
        if fields.get("pitch_mm").is_some() {
            faults.note(fields.at("pitch_mm"), Problem::UnknownField);
        }
        fields.count("count", &limits::SCALLOPS, faults).map(ScallopSpacing::Count)
    };
    let front = fields.number("front_mm", &limits::SCALLOP_END_MM, faults);
    let butt = fields.number("butt_mm", &limits::SCALLOP_END_MM, faults);
    let drum = fields.number("drum_mm", &limits::DRUM_MM, faults);
    let angle = fields.number("angle_deg", &limits::CORNER_DEG, faults);
    let depth = fields.number("depth_mm", &limits::NOTCH_DEPTH_MM, faults);
    Some(Scallops {
        spacing: steps?,
        front_mm: front?,
        butt_mm: butt?,
        drum_mm: drum?,
        angle_deg: angle?,
        depth_mm: depth?,
    })
}

pub(super) fn write_scallops(scallops: &Scallops) -> Value {
    let mut map = Map::new();
    match scallops.spacing {
        ScallopSpacing::Count(count) => map.insert("count".into(), count.into()),
        ScallopSpacing::Pitch(mm) => map.insert("pitch_mm".into(), mm.into()),
    };
    for (key, value) in [
        ("front_mm", scallops.front_mm),
        ("butt_mm", scallops.butt_mm),
        ("drum_mm", scallops.drum_mm),
        ("angle_deg", scallops.angle_deg),
        ("depth_mm", scallops.depth_mm),
    ] {
        map.insert(key.into(), value.into());
    }
    Value::Object(map)
}
