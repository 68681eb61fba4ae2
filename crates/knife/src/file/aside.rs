//! Findings set aside, as a file holds them.

use super::fault::Problem;
use super::fields::{Faults, Fields, shortened};
use crate::aside::ordered;
use crate::edit::KnownParts;
use crate::{HoleId, Knife, NodeId, PartId, SetAside, Severity, limits};
use serde_json::{Map, Value};

/// Parts without a number of their own, by their words.
const PLAIN: [(&str, PartId); 6] = [
    ("profile", PartId::Profile),
    ("plunge", PartId::Plunge),
    ("grind line", PartId::GrindLine),
    ("scales", PartId::Scales),
    ("bar", PartId::Bar),
    ("sheath", PartId::Sheath),
];
const KNOWN: &[&str] = &[
    "profile",
    "plunge",
    "grind line",
    "scales",
    "bar",
    "sheath",
    "hole 1",
    "node 1",
    "stretch 1",
];

const FIELDS: &[&str] = &["rule", "parts", "severity", "measured_mm", "limit_mm", "reason"];

/// Reads what was set aside; `knife` is the rest of the file, whose parts it may name.
pub(super) fn read(file: &Fields<'_>, knife: &Knife, faults: &mut Faults) -> Vec<SetAside> {
    let mut asides: Vec<SetAside> = Vec::new();
    let parts = KnownParts::of(knife);
    for (i, value) in file.list("set_aside", &limits::SET_ASIDE, faults).iter().enumerate() {
        if let Some(aside) = read_one(value, &format!("set_aside[{i}]"), &parts, faults) {
            asides.push(aside);
        }
    }
    asides
}

fn read_one(
    value: &Value,
    place: &str,
    known: &KnownParts<'_>,
    faults: &mut Faults,
) -> Option<SetAside> {
    let fields = Fields::open(value, place, FIELDS, faults)?;
    let rule = fields.text("rule", limits::NAME_CHARS, faults);
    let severity = fields
        .get("severity")
        .and_then(|_| fields.keyword("severity", Severity::LABELS, &Severity::ALL, faults));
    let measured_mm = fields.optional_number("measured_mm", &limits::COORDINATE_MM, faults);
    let limit_mm = fields.optional_number("limit_mm", &limits::COORDINATE_MM, faults);
    let reason = fields.text("reason", limits::REASON_CHARS, faults);
    for (key, text) in [("rule", &rule), ("reason", &reason)] {
        if text.trim().is_empty() {
            faults.note(fields.at(key), Problem::Missing { expected: "a text in quotes" });
        }
    }
    let mut parts = Vec::new();
    for (i, value) in fields.list("parts", &limits::PARTS, faults).iter().enumerate() {
        let part = value.as_str().and_then(part);
        let found = shortened(value.as_str().unwrap_or(&value.to_string()));
        let place = format!("{place}.parts[{i}]");
        match part {
            None => faults.note(place, Problem::UnknownWord { found, known: KNOWN }),
            Some(part) if !known.has(part) => {
                faults.note(place, Problem::NoSuchPart { part: found });
                return None;
            }
            Some(_) => {}
        }
        parts.push(part?);
    }
    let is_whole = !rule.trim().is_empty() && !reason.trim().is_empty();
    is_whole.then(|| SetAside {
        rule,
        parts: ordered(&parts),
        severity,
        measured_mm,
        limit_mm,
        reason,
    })
}

pub(super) fn write(asides: &[SetAside]) -> Value {
    asides.iter().map(write_one).collect()
}

fn write_one(aside: &SetAside) -> Value {
    let mut map = Map::new();
    map.insert("rule".into(), aside.rule.as_str().into());
    map.insert("parts".into(), part_keys(&aside.parts).into());
    if let Some(severity) = aside.severity {
        map.insert("severity".into(), severity.label().into());
    }
    for (key, mm) in [("measured_mm", aside.measured_mm), ("limit_mm", aside.limit_mm)] {
        if let Some(mm) = mm {
            map.insert(key.into(), mm.into());
        }
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

/// Parts in the file's words, such as `hole 2`.
pub fn part_keys(parts: &[PartId]) -> Vec<String> {
    parts.iter().map(|part| words(*part)).collect()
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
