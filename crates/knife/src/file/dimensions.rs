//! Dimensions that are kept, as a file holds them.

use super::fault::Problem;
use super::fields::{Faults, Fields};
use super::values::point;
use crate::edit::is_whole;
use crate::{Anchor, Boundary, Dimension, HoleId, Knife, NodeId, limits};
use serde_json::{Map, Value, json};

/// What a dimension can be.
const KINDS: &[&str] = &["distance", "to-edge", "gap", "angle", "radius", "along"];
const NUMBERS: [usize; 6] = [0, 1, 2, 3, 4, 5];

/// Reads what is kept; `knife` is the rest of the file, whose parts it may name.
pub(super) fn read(file: &Fields<'_>, knife: &Knife, faults: &mut Faults) -> Vec<Dimension> {
    let mut kept = Vec::new();
    for (i, value) in file.list("dimensions", &limits::DIMENSIONS, faults).iter().enumerate() {
        let place = format!("dimensions[{i}]");
        let Some(dimension) = read_one(value, &place, faults) else { continue };
        if is_whole(knife, &dimension) {
            kept.push(dimension);
        } else {
            faults.note(place, Problem::NoSuchPart { part: "a part it is taken from".to_owned() });
        }
    }
    kept
}

fn read_one(value: &Value, place: &str, faults: &mut Faults) -> Option<Dimension> {
    let fields = Fields::open(value, place, &["kind", "at", "from", "to"], faults)?;
    let kind = fields.keyword("kind", KINDS, &NUMBERS, faults)?;
    let mut edge = |key: &str| boundary(&fields, key, faults);
    let dimension = match kind {
        1 => {
            let to = edge("to");
            Dimension::ToEdge(anchor(&fields, "from", faults)?, to?)
        }
        2 => Dimension::Gap(edge("from")?, edge("to")?),
        3 => {
            let mut at = |key: &str| anchor(&fields, key, faults);
            Dimension::Angle { at: at("at")?, from: at("from")?, to: at("to")? }
        }
        4 => Dimension::Radius(anchor(&fields, "at", faults)?),
        _ => {
            let mut at = |key: &str| anchor(&fields, key, faults);
            let (from, to) = (at("from")?, at("to")?);
            if kind == 0 { Dimension::Distance(from, to) } else { Dimension::Along(from, to) }
        }
    };
    Some(dimension)
}

/// One of a dimension's ends.
fn end<'a>(
    fields: &Fields<'a>,
    key: &str,
    known: &[&str],
    faults: &mut Faults,
) -> Option<Fields<'a>> {
    let Some(value) = fields.get(key) else {
        faults.note(fields.at(key), Problem::Missing { expected: "an object { … }" });
        return None;
    };
    Fields::open(value, &fields.at(key), known, faults)
}

fn anchor(fields: &Fields<'_>, key: &str, faults: &mut Faults) -> Option<Anchor> {
    let end = end(fields, key, &["at_mm", "node", "hole", "stretch", "t"], faults)?;
    if let Some(id) = end.optional_id("node", faults) {
        return Some(Anchor::Node(NodeId(id)));
    }
    if let Some(id) = end.optional_id("hole", faults) {
        return Some(Anchor::Hole(HoleId(id)));
    }
    if let Some(id) = end.optional_id("stretch", faults) {
        let t = end.number("t", &(0.0..=1.0), faults)?;
        return Some(Anchor::Outline { stretch: NodeId(id), t });
    }
    end.point("at_mm", &limits::COORDINATE_MM, faults).map(Anchor::Place)
}

fn boundary(fields: &Fields<'_>, key: &str, faults: &mut Faults) -> Option<Boundary> {
    let end = end(fields, key, &["hole", "stretch"], faults)?;
    if let Some(id) = end.optional_id("hole", faults) {
        return Some(Boundary::Hole(HoleId(id)));
    }
    end.id("stretch", faults).map(|id| Boundary::Stretch(NodeId(id)))
}

pub(super) fn write(dimensions: &[Dimension]) -> Value {
    dimensions.iter().map(write_one).collect()
}

fn write_one(dimension: &Dimension) -> Value {
    let (kind, ends) = match *dimension {
        Dimension::Distance(a, b) => (0, vec![("from", of_anchor(a)), ("to", of_anchor(b))]),
        Dimension::ToEdge(a, edge) => (1, vec![("from", of_anchor(a)), ("to", of_boundary(edge))]),
        Dimension::Gap(a, b) => (2, vec![("from", of_boundary(a)), ("to", of_boundary(b))]),
        Dimension::Angle { at, from, to } => {
            let ends = [("at", at), ("from", from), ("to", to)];
            (3, ends.map(|(key, anchor)| (key, of_anchor(anchor))).to_vec())
        }
        Dimension::Radius(a) => (4, vec![("at", of_anchor(a))]),
        Dimension::Along(a, b) => (5, vec![("from", of_anchor(a)), ("to", of_anchor(b))]),
    };
    let mut map = Map::new();
    map.insert("kind".into(), KINDS[kind].into());
    for (key, value) in ends {
        map.insert(key.into(), value);
    }
    Value::Object(map)
}

fn of_anchor(anchor: Anchor) -> Value {
    match anchor {
        Anchor::Place(at) => json!({ "at_mm": point(at) }),
        Anchor::Node(id) => json!({ "node": id.0 }),
        Anchor::Hole(id) => json!({ "hole": id.0 }),
        Anchor::Outline { stretch, t } => json!({ "stretch": stretch.0, "t": t }),
    }
}

fn of_boundary(edge: Boundary) -> Value {
    match edge {
        Boundary::Stretch(id) => json!({ "stretch": id.0 }),
        Boundary::Hole(id) => json!({ "hole": id.0 }),
    }
}
