//! Version 1 of the file format.

use super::fault::Problem;
use super::fields::{Faults, Fields};
use super::values::{point, word};
use super::{Opened, aside, blade, dimensions, handle, picture, sheath, treatment};
use crate::{
    Bar, ChainDrilling, Hole, HoleId, HoleKind, Knife, Node, NodeId, NodeKind, Origin, Placement,
    Profile, ReferenceEdge, ReferenceEnd, Scales, limits,
};
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;
use units::LengthUnit;

const UNITS: &[&str] = &["mm", "in"];
const UNIT_MEANINGS: [LengthUnit; 2] = [LengthUnit::Millimetre, LengthUnit::Inch];
const EDGES: &[&str] = &["lower", "upper"];
const EDGE_MEANINGS: [ReferenceEdge; 2] = [ReferenceEdge::Lower, ReferenceEdge::Upper];
const ENDS: &[&str] = &["left", "right"];
const END_MEANINGS: [ReferenceEnd; 2] = [ReferenceEnd::Left, ReferenceEnd::Right];
const KINDS: &[&str] = &["pin", "relief", "thong"];
const KIND_MEANINGS: [HoleKind; 3] = [HoleKind::Pin, HoleKind::Relief, HoleKind::Thong];
/// What the handles of a smooth node keep besides their line.
const HANDLES: &[&str] = &["symmetric", "continuous-curvature"];
const HANDLE_MEANINGS: [NodeKind; 2] = [NodeKind::Symmetric, NodeKind::CurvatureContinuous];

const FILE_FIELDS: &[&str] = &[
    "format",
    "version",
    "name",
    "notes",
    "unit",
    "origin",
    "bar",
    "profile",
    "holes",
    "bevel",
    "scales",
    "taper",
    "swedge",
    "filing",
    "sharpening",
    "handle",
    "sheath",
    "cutting",
    "set_aside",
    "treatment",
    "traced_mm",
    "picture",
    "dimensions",
];
const BAR_FIELDS: &[&str] =
    &["grade", "width_mm", "thickness_mm", "length_mm", "placement", "reference"];

/// Reads a version 1 file; a faulty part is left out or stands at its default.
pub(super) fn read(value: &Value, mut faults: Faults) -> Opened {
    let mut knife = Knife::empty();
    if let Some(file) = Fields::open(value, "", FILE_FIELDS, &mut faults) {
        knife.name = file.text("name", limits::NAME_CHARS, &mut faults);
        knife.notes = file.text("notes", limits::NOTES_CHARS, &mut faults);
        if let Some(unit) = file.keyword("unit", UNITS, &UNIT_MEANINGS, &mut faults) {
            knife.unit = unit;
        }
        if let Some(origin) =
            file.optional_keyword("origin", Origin::KEYS, &Origin::ALL, &mut faults)
        {
            knife.origin = origin;
        }
        read_bar(&file, &mut knife.bar, &mut faults);
        knife.profile = read_profile(&file, &mut faults);
        knife.holes = read_holes(&file, &mut faults);
        blade::read(&file, &mut knife, &mut faults);
        knife.scales = file.get("scales").and_then(|v| read_scales(v, &mut faults));
        knife.handle = handle::read(&file, &mut faults);
        knife.sheath = sheath::read(&file, knife.unit, &mut faults);
        knife.set_aside = aside::read(&file, &knife, &mut faults);
        knife.dimensions = dimensions::read(&file, &knife, &mut faults);
        knife.treatment = treatment::read(&file, &mut faults);
        knife.traced_mm = file.optional_number("traced_mm", &limits::TRACED_MM, &mut faults);
        knife.picture = picture::read(&file, &mut faults);
        knife.cutting = file.get("cutting").and_then(|v| read_cutting(v, &mut faults));
    }
    Opened { knife, faults: faults.listed, more_faults: faults.more }
}

fn read_bar(file: &Fields<'_>, bar: &mut Bar, faults: &mut Faults) {
    let Some(value) = file.get("bar") else {
        faults.note("bar", Problem::Missing { expected: "an object { … }" });
        return;
    };
    let Some(fields) = Fields::open(value, "bar", BAR_FIELDS, faults) else { return };
    bar.grade = fields.text("grade", limits::NAME_CHARS, faults);
    if let Some(mm) = fields.number("width_mm", &limits::BAR_WIDTH_MM, faults) {
        bar.width_mm = mm;
    }
    if let Some(mm) = fields.number("thickness_mm", &limits::BAR_THICKNESS_MM, faults) {
        bar.thickness_mm = mm;
    }
    if let Some(mm) = fields.number("length_mm", &limits::BAR_LENGTH_MM, faults) {
        bar.length_mm = mm;
    }
    if let Some(value) = fields.get("placement")
        && let Some(placement) =
            Fields::open(value, "bar.placement", &["at_mm", "turn_deg"], faults)
    {
        let at = placement.point("at_mm", &limits::COORDINATE_MM, faults);
        let turn = placement.number("turn_deg", &limits::TURN_DEG, faults);
        bar.placement = Placement {
            at: at.unwrap_or(bar.placement.at),
            turn_deg: turn.unwrap_or(bar.placement.turn_deg),
        };
    }
    if let Some(value) = fields.get("reference")
        && let Some(reference) = Fields::open(value, "bar.reference", &["edge", "end"], faults)
    {
        if let Some(edge) = reference.keyword("edge", EDGES, &EDGE_MEANINGS, faults) {
            bar.reference.edge = edge;
        }
        if let Some(end) = reference.keyword("end", ENDS, &END_MEANINGS, faults) {
            bar.reference.end = end;
        }
    }
}

fn read_profile(file: &Fields<'_>, faults: &mut Faults) -> Profile {
    let mut profile = Profile { nodes: Vec::new(), tip: None, heel: None };
    let Some(value) = file.get("profile") else {
        faults.note("profile", Problem::Missing { expected: "an object { … }" });
        return profile;
    };
    let Some(fields) = Fields::open(value, "profile", &["nodes", "tip", "heel"], faults) else {
        return profile;
    };
    let mut seen = BTreeSet::new();
    if fields.get("nodes").is_none() {
        faults.note(fields.at("nodes"), Problem::Missing { expected: "a list [ … ]" });
    }
    for (i, value) in fields.list("nodes", &limits::NODES, faults).iter().enumerate() {
        let place = format!("profile.nodes[{i}]");
        if let Some(node) = read_node(value, &place, faults) {
            if seen.insert(node.id) {
                profile.nodes.push(node);
            } else {
                faults.note(format!("{place}.id"), Problem::SameId { id: node.id.0 });
            }
        }
    }
    profile.tip = read_mark(&fields, "tip", &seen, faults);
    profile.heel = read_mark(&fields, "heel", &seen, faults);
    let length_mm = profile.size_mm().map(|size| size.max_side());
    if let Some(length_mm) = length_mm.filter(|mm| *mm < limits::MIN_LENGTH_MM) {
        // It is kept all the same, so that it can be scaled to what was meant.
        let min_mm = limits::MIN_LENGTH_MM;
        faults.note("profile", Problem::TooShort { length_mm, min_mm });
    }
    profile
}

fn read_mark(
    fields: &Fields<'_>,
    key: &str,
    seen: &BTreeSet<NodeId>,
    faults: &mut Faults,
) -> Option<NodeId> {
    let id = fields.optional_id(key, faults)?;
    if seen.contains(&NodeId(id)) {
        return Some(NodeId(id));
    }
    faults.note(fields.at(key), Problem::NoSuchNode { id });
    None
}

fn read_node(value: &Value, place: &str, faults: &mut Faults) -> Option<Node> {
    let known = ["id", "at_mm", "handle_in_mm", "handle_out_mm", "smooth", "handles"];
    let fields = Fields::open(value, place, &known, faults)?;
    let id = fields.id("id", faults);
    let at = fields.point("at_mm", &limits::COORDINATE_MM, faults);
    let handle_in = fields.optional_point("handle_in_mm", &limits::COORDINATE_MM, faults);
    let handle_out = fields.optional_point("handle_out_mm", &limits::COORDINATE_MM, faults);
    let smooth = fields.flag("smooth", faults);
    let kept = fields.optional_keyword("handles", HANDLES, &HANDLE_MEANINGS, faults);
    let plain = if smooth { NodeKind::Smooth } else { NodeKind::Corner };
    if kept.is_some() && !smooth {
        faults.note(fields.at("handles"), Problem::Unused { beside: "smooth is not true" });
    }
    let kind = kept.filter(|_| smooth).unwrap_or(plain);
    Some(Node { id: NodeId(id?), at: at?, handle_in, handle_out, kind })
}

fn read_holes(file: &Fields<'_>, faults: &mut Faults) -> Vec<Hole> {
    let mut holes: Vec<Hole> = Vec::new();
    let mut seen = BTreeSet::new();
    for (i, value) in file.list("holes", &limits::HOLES, faults).iter().enumerate() {
        let place = format!("holes[{i}]");
        if let Some(hole) = read_hole(value, &place, faults) {
            if seen.insert(hole.id) {
                holes.push(hole);
            } else {
                faults.note(format!("{place}.id"), Problem::SameId { id: hole.id.0 });
            }
        }
    }
    holes
}

fn read_hole(value: &Value, place: &str, faults: &mut Faults) -> Option<Hole> {
    let known = ["id", "name", "kind", "at_mm", "diameter_mm", "drill", "pin_mm"];
    let fields = Fields::open(value, place, &known, faults)?;
    let id = fields.id("id", faults);
    let name = fields.text("name", limits::NAME_CHARS, faults);
    let kind = fields.keyword("kind", KINDS, &KIND_MEANINGS, faults);
    let at = fields.point("at_mm", &limits::COORDINATE_MM, faults);
    let diameter = fields.number("diameter_mm", &limits::DIAMETER_MM, faults);
    let drill = fields.optional_text("drill", limits::NAME_CHARS, faults);
    let pin_mm = fields.optional_number("pin_mm", &limits::DIAMETER_MM, faults);
    Some(Hole {
        id: HoleId(id?),
        name,
        kind: kind?,
        at: at?,
        diameter_mm: diameter?,
        drill,
        pin_mm,
    })
}

fn read_scales(value: &Value, faults: &mut Faults) -> Option<Scales> {
    let fields = Fields::open(value, "scales", &["front_x_mm", "thickness_mm"], faults)?;
    let front = fields.number("front_x_mm", &limits::COORDINATE_MM, faults);
    let thickness = fields.number("thickness_mm", &limits::SCALE_THICKNESS_MM, faults);
    Some(Scales { front_x_mm: front?, thickness_mm: thickness? })
}

fn read_cutting(value: &Value, faults: &mut Faults) -> Option<ChainDrilling> {
    let known = ["drill_mm", "drill", "bridge_mm", "leave_mm"];
    let fields = Fields::open(value, "cutting", &known, faults)?;
    let drill_mm = fields.number("drill_mm", &limits::CHAIN_DRILL_MM, faults);
    let drill = fields.optional_text("drill", limits::NAME_CHARS, faults);
    let bridge = fields.number("bridge_mm", &limits::BRIDGE_MM, faults);
    let leave = fields.number("leave_mm", &limits::LEAVE_MM, faults);
    Some(ChainDrilling { drill_mm: drill_mm?, drill, bridge_mm: bridge?, leave_mm: leave? })
}

/// The knife as version 1. A part that came later is written only when there is one.
pub(super) fn write(knife: &Knife) -> Value {
    let mut value = write_parts(knife);
    if let Value::Object(map) = &mut value {
        if !knife.set_aside.is_empty() {
            map.insert("set_aside".into(), aside::write(&knife.set_aside));
        }
        if !knife.dimensions.is_empty() {
            map.insert("dimensions".into(), dimensions::write(&knife.dimensions));
        }
    }
    value
}

fn write_parts(knife: &Knife) -> Value {
    let bar = &knife.bar;
    let mut file = json!({
        "format": super::FORMAT,
        "version": 1,
        "name": knife.name,
        "notes": knife.notes,
        "unit": word(UNITS, &UNIT_MEANINGS, knife.unit),
        "bar": {
            "grade": bar.grade,
            "width_mm": bar.width_mm,
            "thickness_mm": bar.thickness_mm,
            "length_mm": bar.length_mm,
            "placement": { "at_mm": point(bar.placement.at), "turn_deg": bar.placement.turn_deg },
            "reference": {
                "edge": word(EDGES, &EDGE_MEANINGS, bar.reference.edge),
                "end": word(ENDS, &END_MEANINGS, bar.reference.end),
            },
        },
        "profile": {
            "nodes": knife.profile.nodes.iter().map(write_node).collect::<Vec<_>>(),
            "tip": knife.profile.tip.map(|id| id.0),
            "heel": knife.profile.heel.map(|id| id.0),
        },
        "holes": knife.holes.iter().map(write_hole).collect::<Vec<_>>(),
    });
    if let Some(map) = file.as_object_mut() {
        if knife.origin != Origin::default() {
            map.insert("origin".into(), knife.origin.key().into());
        }
        if let Some(mm) = knife.traced_mm {
            map.insert("traced_mm".into(), mm.into());
        }
        if let Some(picture) = &knife.picture {
            map.insert("picture".into(), picture::write(picture));
        }
        blade::write(knife, map);
        map.insert(
            "scales".into(),
            knife.scales.map_or(Value::Null, |scales| write_scales(&scales)),
        );
        if let Some(handle) = handle::write(&knife.handle) {
            map.insert("handle".into(), handle);
        }
        if let Some(sheath) = &knife.sheath {
            map.insert("sheath".into(), sheath::write(sheath));
        }
        if let Some(treatment) = treatment::write(&knife.treatment) {
            map.insert("treatment".into(), treatment);
        }
        if let Some(cutting) = &knife.cutting {
            map.insert("cutting".into(), write_cutting(cutting));
        }
    }
    file
}

fn write_scales(scales: &Scales) -> Value {
    json!({ "front_x_mm": scales.front_x_mm, "thickness_mm": scales.thickness_mm })
}

fn write_cutting(cutting: &ChainDrilling) -> Value {
    let mut map = Map::new();
    map.insert("drill_mm".into(), cutting.drill_mm.into());
    if let Some(drill) = &cutting.drill {
        map.insert("drill".into(), drill.as_str().into());
    }
    map.insert("bridge_mm".into(), cutting.bridge_mm.into());
    map.insert("leave_mm".into(), cutting.leave_mm.into());
    Value::Object(map)
}

fn write_node(node: &Node) -> Value {
    let mut map = Map::new();
    map.insert("id".into(), node.id.0.into());
    map.insert("at_mm".into(), point(node.at));
    if let Some(handle) = node.handle_in {
        map.insert("handle_in_mm".into(), point(handle));
    }
    if let Some(handle) = node.handle_out {
        map.insert("handle_out_mm".into(), point(handle));
    }
    if node.kind.is_smooth() {
        map.insert("smooth".into(), true.into());
    }
    if HANDLE_MEANINGS.contains(&node.kind) {
        map.insert("handles".into(), word(HANDLES, &HANDLE_MEANINGS, node.kind).into());
    }
    Value::Object(map)
}

fn write_hole(hole: &Hole) -> Value {
    let mut map = Map::new();
    map.insert("id".into(), hole.id.0.into());
    map.insert("name".into(), hole.name.as_str().into());
    map.insert("kind".into(), word(KINDS, &KIND_MEANINGS, hole.kind).into());
    map.insert("at_mm".into(), point(hole.at));
    map.insert("diameter_mm".into(), hole.diameter_mm.into());
    if let Some(drill) = &hole.drill {
        map.insert("drill".into(), drill.as_str().into());
    }
    if let Some(pin_mm) = hole.pin_mm {
        map.insert("pin_mm".into(), pin_mm.into());
    }
    Value::Object(map)
}
