//! The holes' names above a bar: number and drill, as much of them as the row has room for.

use super::Callout;
use super::callout::row_mm;
use super::drills::drill_name;
use knife::PartId;
use kurbo::Vec2;
use reckon::{HoleFigures, Reckoning};

/// With more holes than this only their numbers are told, and the drills in the notes.
const HOLES_NAMED: usize = 12;

/// How much of each hole's name there is room for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum NameDetail {
    /// Number and drill.
    Whole,
    /// The number only.
    Number,
    /// Nothing: the names would run far beyond the bar.
    Not,
}

/// What of the holes' names goes into a row so long, mm.
pub(super) fn named(reckoning: &Reckoning, width_mm: f64) -> NameDetail {
    let fits = |named: NameDetail| {
        let names = reckoning.holes.iter().map(|hole| name(hole, named));
        row_mm(names) <= width_mm
    };
    if reckoning.holes.len() <= HOLES_NAMED && fits(NameDetail::Whole) {
        NameDetail::Whole
    } else if fits(NameDetail::Number) {
        NameDetail::Number
    } else {
        NameDetail::Not
    }
}

/// A callout for each hole, led to the top of its circle in the bar's plane.
pub(super) fn hole_names(reckoning: &Reckoning, named: NameDetail) -> Vec<Callout> {
    if named == NameDetail::Not {
        return Vec::new();
    }
    let callout = |hole: &HoleFigures| Callout {
        at: hole.on_bar + Vec2::new(0.0, hole.diameter_mm / 2.0),
        text: name(hole, named),
        part: Some(PartId::Hole(hole.id)),
    };
    reckoning.holes.iter().map(callout).collect()
}

fn name(hole: &HoleFigures, named: NameDetail) -> String {
    match named {
        NameDetail::Whole => format!("{} · {}", hole.number, drill_name(hole)),
        _ => hole.number.to_string(),
    }
}
