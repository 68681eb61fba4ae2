//! Findings set aside, as a file holds them.

use super::fault::Problem;
use super::fields::{Faults, Fields, shortened};
use crate::aside::ordered;
use crate::{HoleId, NodeId, PartId, SetAside, limits};
use serde_json::{Map, Value};

/// Parts without a number of their own, by their words.
const PLAIN: [(&str, PartId); 5] = [
    ("profile", PartId::Profile),
    ("plunge", PartId::Plunge),
    ("grind line", PartId::GrindLine),
    ("scales", PartId::Scales),
    ("bar", PartId::Bar),
];
const KNOWN: &[&str] =
    &["profile", "plunge", "grind line", "scales", "bar", "hole 1", "node 1", "stretch 1"];

pub(super) fn read(file: &Fields<'_>, faults: &mut Faults) -> Vec<SetAside> {
    let mut asides: Vec<SetAside> = Vec::new();
    for (i, value) in file.list("set_aside", &limits::SET_ASIDE, faults).iter().enumerate() {
        if let Some(aside) = read_one(value, &format!("set_aside[{i}]"), faults) {
            asides.push(aside);
        }
    }
    asides
}

fn read_one(value: &Value, place: &str, faults: &mut Faults) -> Option<SetAside> {
    let fields = Fields::open(value, place, &["rule", "parts", "measured_mm", "reason"], faults)?;
    let rule = fields.text("rule", limits::NAME_CHARS, faults);
    let measured_mm = fields.optional_number("measured_mm", &limits::COORDINATE_MM, faults);
    let reason = fields.text("reason", limits::REASON_CHARS, faults);
    for (key, text) in [("rule", &rule), ("reason", &reason)] {
        if text.trim().is_empty() {
            faults.note(fields.at(key), Problem::Missing { wanted: "a text in quotes" });
        }
    }
    let mut parts = Vec::new();
    for (i, value) in fields.list("parts", &limits::PARTS, faults).iter().enumerate() {
        let part = value.as_str().and_then(part);
        if part.is_none() {
            let found = shortened(value.as_str().unwrap_or(&value.to_string()));
            let problem = Problem::UnknownWord { found, known: KNOWN };
            faults.note(format!("{place}.parts[{i}]"), problem);
        }
        parts.push(part?);
    }
    let is_whole = !rule.trim().is_empty() && !reason.trim().is_empty();
    is_whole.then(|| SetAside { rule, parts: ordered(&parts), measured_mm, reason })
}

pub(super) fn write(asides: &[SetAside]) -> Value {
    asides.iter().map(write_one).collect()
}

fn write_one(aside: &SetAside) -> Value {
    let mut map = Map::new();
    map.insert("rule".into(), aside.rule.as_str().into());
    map.insert("parts".into(), aside.parts.iter().map(|part| words(*part)).collect());
    if let Some(measured_mm) = aside.measured_mm {
        map.insert("measured_mm".into(), measured_mm.into());
    }
    map.insert("reason".into(), aside.reason.as_str().into());
    Value::Object(map)
}

/// A part by its words: `hole 3`, `plunge`.
fn part(text: &str) -> Option<PartId> {
    if let Some((_, part)) = PLAIN.iter().find(|(words, _)| *words == text) {
        return Some(*part);
    }
    let (kind, id) = text.split_once(' ')?;
    let id = id.parse().ok()?;
    match kind {
        "hole" => Some(PartId::Hole(HoleId(id))),
        "node" => Some(PartId::Node(NodeId(id))),
        "stretch" => Some(PartId::Stretch(NodeId(id))),
        _ => None,
    }
}

fn words(part: PartId) -> String {
    match part {
        PartId::Hole(id) => format!("hole {}", id.0),
        PartId::Node(id) => format!("node {}", id.0),
        PartId::Stretch(id) => format!("stretch {}", id.0),
        plain => {
            PLAIN.iter().find(|(_, part)| *part == plain).map_or("", |(words, _)| words).into()
        }
    }
}
