//! The handle, as a file holds it.

use super::fields::{Faults, Fields};
use super::handle_shape as shape;
use super::values::word;
use crate::{Bolster, Fixing, FrontCurve, Handle, HoleId, Liners, ScaleFront, limits};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

const CURVES: &[&str] = &["straight", "round", "hollow"];
const FIXINGS: &[&str] = &["tube", "screw"];
const KNOWN: [&str; 16] = [
    "scales",
    "right_scale",
    "pins",
    "glue_mm",
    "front",
    "liners",
    "front_bolster",
    "rear_bolster",
    "overhang_mm",
    "allowance_mm",
    "grain_deg",
    "proud_mm",
    "fixings",
    "jimping",
    "shaping",
    "scallops",
];
/// At most one fixing a hole.
const FIXINGS_COUNT: RangeInclusive<usize> = 0..=*limits::HOLES.end();

pub(super) fn read(file: &Fields<'_>, faults: &mut Faults) -> Handle {
    let open = |value, faults: &mut Faults| Fields::open(value, "handle", &KNOWN, faults);
    let Some(fields) = file.get("handle").and_then(|value| open(value, faults)) else {
        return Handle::default();
    };
    let f = &fields;
    Handle {
        scales: f.optional_text("scales", limits::NAME_CHARS, faults),
        right_scale: f.optional_text("right_scale", limits::NAME_CHARS, faults),
        pins: f.optional_text("pins", limits::NAME_CHARS, faults),
        glue_mm: f.optional_number("glue_mm", &limits::GLUE_MM, faults),
        front: f.get("front").map_or_else(ScaleFront::default, |v| read_front(v, faults)),
        liners: f.get("liners").and_then(|value| read_liners(value, faults)),
        front_bolster: read_bolster(f, "front_bolster", faults),
        rear_bolster: read_bolster(f, "rear_bolster", faults),
        overhang_mm: f.optional_number("overhang_mm", &limits::LEFT_OVER_MM, faults),
        allowance_mm: f.optional_number("allowance_mm", &limits::LEFT_OVER_MM, faults),
        grain_deg: f.optional_number("grain_deg", &limits::GRAIN_DEG, faults),
        proud_mm: f.optional_number("proud_mm", &limits::LEFT_OVER_MM, faults),
        fixings: read_fixings(f, faults),
        jimping: f.get("jimping").and_then(|value| shape::read_jimping(value, faults)),
        shaping: f.get("shaping").map(|v| shape::read_shaping(v, faults)).unwrap_or_default(),
        scallops: f.get("scallops").and_then(|value| shape::read_scallops(value, faults)),
    }
}

fn read_front(value: &Value, faults: &mut Faults) -> ScaleFront {
    let known = ["curve", "radius_mm", "lean_deg", "bevel_deg"];
    let Some(fields) = Fields::open(value, "handle.front", &known, faults) else {
        return ScaleFront::default();
    };
    let kind = fields.optional_keyword("curve", CURVES, &[0, 1, 2], faults).unwrap_or(0);
    let radius =
        (kind > 0).then(|| fields.number("radius_mm", &limits::FRONT_RADIUS_MM, faults)).flatten();
    let curve = match (kind, radius) {
        (1, Some(mm)) => FrontCurve::Round(mm),
        (2, Some(mm)) => FrontCurve::Hollow(mm),
        _ => FrontCurve::Straight,
    };
    let lean_deg = fields.optional_number("lean_deg", &limits::LEAN_DEG, faults).unwrap_or(0.0);
    let bevel_deg = fields.optional_number("bevel_deg", &limits::FRONT_BEVEL_DEG, faults);
    ScaleFront { curve, lean_deg, bevel_deg }
}

fn read_liners(value: &Value, faults: &mut Faults) -> Option<Liners> {
    let known = ["thickness_mm", "material"];
    let fields = Fields::open(value, "handle.liners", &known, faults)?;
    let thickness = fields.number("thickness_mm", &limits::LINER_MM, faults);
    let material = fields.optional_text("material", limits::NAME_CHARS, faults);
    Some(Liners { thickness_mm: thickness?, material })
}

fn read_bolster(handle: &Fields<'_>, key: &str, faults: &mut Faults) -> Option<Bolster> {
    let known = ["length_mm", "material"];
    let fields = Fields::open(handle.get(key)?, &handle.at(key), &known, faults)?;
    let length = fields.number("length_mm", &limits::BOLSTER_MM, faults);
    let material = fields.optional_text("material", limits::NAME_CHARS, faults);
    Some(Bolster { length_mm: length?, material })
}

fn read_fixings(handle: &Fields<'_>, faults: &mut Faults) -> Vec<(HoleId, Fixing)> {
    let list = handle.list("fixings", &FIXINGS_COUNT, faults).iter().enumerate();
    let read = list.filter_map(|(i, value)| {
        read_fixing(value, &format!("{}[{i}]", handle.at("fixings")), faults)
    });
    // Sorted, and one a hole.
    read.collect::<BTreeMap<_, _>>().into_iter().collect()
}

fn read_fixing(value: &Value, place: &str, faults: &mut Faults) -> Option<(HoleId, Fixing)> {
    let known = ["hole", "kind", "bore_mm", "head_mm", "head_deep_mm"];
    let fields = Fields::open(value, place, &known, faults)?;
    let hole = fields.id("hole", faults);
    let is_screw = fields.keyword("kind", FIXINGS, &[false, true], faults)?;
    let fixing = if is_screw {
        let head = fields.number("head_mm", &limits::DIAMETER_MM, faults);
        let deep = fields.number("head_deep_mm", &limits::SCALE_THICKNESS_MM, faults);
        Fixing::Screw { head_mm: head?, head_deep_mm: deep? }
    } else {
        Fixing::Tube { bore_mm: fields.number("bore_mm", &limits::DIAMETER_MM, faults)? }
    };
    Some((HoleId(hole?), fixing))
}

/// The handle; `None` when nothing of it is chosen.
pub(super) fn write(handle: &Handle) -> Option<Value> {
    let mut map = Map::new();
    let mut put = |key: &str, value: Option<Value>| {
        if let Some(value) = value {
            map.insert(key.into(), value);
        }
    };
    let text = |name: &Option<String>| name.as_deref().map(Value::from);
    put("scales", text(&handle.scales));
    put("right_scale", text(&handle.right_scale));
    put("pins", text(&handle.pins));
    put("glue_mm", handle.glue_mm.map(Value::from));
    put("front", (handle.front != ScaleFront::default()).then(|| write_front(&handle.front)));
    put(
        "liners",
        handle.liners.as_ref().map(|liners| {
            with_material(json!({ "thickness_mm": liners.thickness_mm }), &liners.material)
        }),
    );
    for (key, bolster) in
        [("front_bolster", &handle.front_bolster), ("rear_bolster", &handle.rear_bolster)]
    {
        put(
            key,
            bolster.as_ref().map(|bolster| {
                with_material(json!({ "length_mm": bolster.length_mm }), &bolster.material)
            }),
        );
    }
    put("overhang_mm", handle.overhang_mm.map(Value::from));
    put("allowance_mm", handle.allowance_mm.map(Value::from));
    put("grain_deg", handle.grain_deg.map(Value::from));
    put("proud_mm", handle.proud_mm.map(Value::from));
    let fixings: Vec<Value> = handle.fixings.iter().map(write_fixing).collect();
    put("fixings", (!fixings.is_empty()).then_some(Value::Array(fixings)));
    put("jimping", handle.jimping.as_ref().map(shape::write_jimping));
    put("shaping", shape::write_shaping(&handle.shaping));
    put("scallops", handle.scallops.as_ref().map(shape::write_scallops));
    (!map.is_empty()).then_some(Value::Object(map))
}

fn with_material(mut value: Value, material: &Option<String>) -> Value {
    if let (Some(map), Some(name)) = (value.as_object_mut(), material) {
        map.insert("material".into(), name.as_str().into());
    }
    value
}

fn write_front(front: &ScaleFront) -> Value {
    let mut map = Map::new();
    let (kind, radius_mm) = match front.curve {
        FrontCurve::Straight => (0, None),
        FrontCurve::Round(mm) => (1, Some(mm)),
        FrontCurve::Hollow(mm) => (2, Some(mm)),
    };
    map.insert("curve".into(), word(CURVES, &[0, 1, 2], kind).into());
    if let Some(mm) = radius_mm {
        map.insert("radius_mm".into(), mm.into());
    }
    map.insert("lean_deg".into(), front.lean_deg.into());
    if let Some(deg) = front.bevel_deg {
        map.insert("bevel_deg".into(), deg.into());
    }
    Value::Object(map)
}

fn write_fixing((hole, fixing): &(HoleId, Fixing)) -> Value {
    match fixing {
        Fixing::Tube { bore_mm } => json!({ "hole": hole.0, "kind": "tube", "bore_mm": bore_mm }),
        Fixing::Screw { head_mm, head_deep_mm } => json!({
            "hole": hole.0, "kind": "screw", "head_mm": head_mm, "head_deep_mm": head_deep_mm,
        }),
    }
}
