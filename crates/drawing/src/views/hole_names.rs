//! The holes' names above a bar: number and drill, as much of them as the row has room for.

use super::Callout;
use super::callout::row_mm;
use super::drills::hole_size;
use knife::PartId;
use kurbo::Vec2;
use reckon::{HoleFigures, Reckoning};

/// With more holes than this only their numbers are told, and the drills in the notes.
const HOLES_NAMED: usize = 12;

/// Holes nearer than this along the bar have one leader, mm.
const SAME_MM: f64 = 0.5;

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

/// The same with leaders that stop at a height over the holes, so that none crosses the steel; of
/// holes one over the other, the upper one is named first.
pub(super) fn hole_names_above(
    reckoning: &Reckoning,
    named: NameDetail,
    top_mm: f64,
) -> Vec<Callout> {
    let mut names: Vec<Callout> = hole_names(reckoning, named);
    names.sort_by(|a, b| a.at.x.total_cmp(&b.at.x).then(b.at.y.total_cmp(&a.at.y)));
    let mut above: Vec<Callout> = Vec::new();
    for mut name in names {
        match above.last_mut().filter(|last| (last.at.x - name.at.x).abs() < SAME_MM) {
            Some(last) => {
                last.text.push_str(", ");
                last.text.push_str(&name.text);
            }
            None => {
                name.at.y = top_mm;
                above.push(name);
            }
        }
    }
    above
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
        NameDetail::Whole => format!("{}: {}", hole.number, hole_size(hole)),
        _ => hole.number.to_string(),
    }
}
