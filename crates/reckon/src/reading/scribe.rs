//! Readings of the scribing: of each hole, and of the lines and marks.

use super::{Group, Reading, Value, reading};
use crate::Reckoning;
use crate::scribe::{describe_cross_line, describe_line, reference_label};
use knife::Knife;

/// The scribing figures of one hole, from either edge and either end.
pub(super) fn of_hole(knife: &Knife, reckoning: &Reckoning, number: usize) -> Vec<Reading> {
    let Some(hole) = reckoning.scribe.holes.iter().find(|hole| hole.number == number) else {
        return Vec::new();
    };
    let (from, reference) = (&hole.from, knife.bar.reference);
    let length = |mm: f64| Value::Length(mm);
    let maybe = |mm: Option<f64>| mm.map_or_else(|| Value::Text("–".to_owned()), Value::Length);
    let edge_mm = from.edge_mm(reference.edge);
    let end_mm = from.end_mm(reference.end);
    let mut readings = vec![
        reading(
            "From the reference edge",
            length(edge_mm),
            "centre to the bar's reference edge, as placed",
        ),
        reading(
            "From the reference end",
            length(end_mm),
            "centre to the bar's reference end, as placed",
        ),
        reading(
            "From the other edge",
            length(from.lower_mm + from.upper_mm - edge_mm),
            "centre to the bar's opposite edge, as placed",
        ),
        reading(
            "From the other end",
            length(from.left_mm + from.right_mm - end_mm),
            "centre to the bar's opposite end, as placed",
        ),
        reading("To the spine", maybe(hole.spine_mm), "centre to the outline, square to the bar"),
        reading("To the belly", maybe(hole.belly_mm), "centre to the outline, square to the bar"),
    ];
    if let Some((_, mm)) = hole.before {
        readings.push(reading(
            "Along the row",
            length(mm),
            "centre to centre, from the hole before it as seen from the reference end",
        ));
    }
    let line = reckoning.scribe.lines.iter().find(|line| line.name == hole.line);
    if let Some(line) = line.filter(|line| line.holes.len() > 1) {
        readings.push(reading(
            "Scribe line",
            Value::Text(format!("{}: {}", line.name, describe_line(line, &knife.bar, knife.unit))),
            "holes whose centres lie within 0.02 mm of one line",
        ));
    }
    readings
}

/// The lines to scribe and the other marks, in the order of the bench.
pub(super) fn readings(knife: &Knife, reckoning: &Reckoning) -> Option<Group> {
    let scribe = &reckoning.scribe;
    if scribe.holes.is_empty() && scribe.marks.is_empty() {
        return None;
    }
    let (bar, unit) = (&knife.bar, knife.unit);
    let text = |name: &str, words: String| Value::Text(format!("{name}{words}"));
    let mut readings = vec![reading(
        "Scribe from",
        text("the bar's ", reference_label(bar.reference)),
        "as chosen",
    )];
    for line in &scribe.lines {
        readings.push(reading(
            "Line",
            text(&format!("{}: ", line.name), describe_line(line, bar, unit)),
            "holes whose centres lie within 0.02 mm of one line",
        ));
    }
    for line in scribe.cross_lines.iter().filter(|line| line.holes.len() > 1) {
        readings.push(reading(
            "Line across",
            text("", describe_cross_line(line, bar, unit)),
            "holes whose centres lie within 0.02 mm of one line square to the bar",
        ));
    }
    for mark in &scribe.marks {
        let how = "from the bar's reference end, as placed";
        let name = mark.kind.reading();
        readings.push(reading(name, Value::Length(mark.from.end_mm(bar.reference.end)), how));
    }
    Some(Group { title: "Scribing".to_owned(), readings })
}
