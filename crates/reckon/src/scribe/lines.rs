//! Which holes lie on one line: along the bar, askew to it, or square across it.

use super::{SAME_LINE_MM, along};
use crate::HoleFigures;
use knife::{Bar, ReferenceEdge};
use kurbo::Point;

/// How a line lies on the bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LineDirection {
    /// Parallel to the bar's edges.
    Along {
        /// From the lower edge, mm.
        lower_mm: f64,
    },
    /// Askew to them, through these two holes' centres in the bar's plane: the first and the
    /// last on the line as seen from the reference end.
    Askew {
        /// The first hole's centre.
        from: Point,
        /// The last hole's centre.
        to: Point,
    },
}

/// A line to scribe, and the holes on it.
#[derive(Clone, Debug, PartialEq)]
pub struct ScribeLine {
    /// A letter, `A` nearest to the reference edge.
    pub name: String,
    /// How it lies.
    pub direction: LineDirection,
    /// The numbers of the holes on it, from the reference end.
    pub holes: Vec<usize>,
    /// How far the worst of their centres lies off it, mm.
    pub off_mm: f64,
}

impl ScribeLine {
    /// Its distance from the lower edge at its first hole, mm.
    pub fn lower_mm(&self) -> f64 {
        match self.direction {
            LineDirection::Along { lower_mm } => lower_mm,
            LineDirection::Askew { from, .. } => from.y,
        }
    }
}

/// A line square to the bar, and the holes on it.
#[derive(Clone, Debug, PartialEq)]
pub struct CrossLine {
    /// From the left end, mm.
    pub left_mm: f64,
    /// The numbers of the holes on it, from the lower edge.
    pub holes: Vec<usize>,
    /// How far the worst of their centres lies off it, mm.
    pub off_mm: f64,
}

/// With more holes than this each on a line of its own, lines askew aren't looked for: nobody
/// drills that many.
const MAX_LONE: usize = 120;
/// Fewer holes than this don't make a line askew: any two would.
const MIN_ASKEW: usize = 3;

/// The lines along or askew to the bar, from the reference edge. Every hole is on exactly one.
pub(super) fn lines(holes: &[HoleFigures], row: &[usize], bar: &Bar) -> Vec<ScribeLine> {
    let in_row: Vec<&HoleFigures> = row.iter().filter_map(|n| holes.get(n - 1)).collect();
    let mut lines = Vec::new();
    let mut lone: Vec<&HoleFigures> = Vec::new();
    for group in groups(&in_row, |hole| hole.on_bar.y) {
        if group.members.len() == 1 {
            lone.extend(&group.members);
        } else {
            lines.push(group.line(&in_row));
        }
    }
    lone.sort_by_key(|hole| in_row.iter().position(|other| other.number == hole.number));
    while let Some(line) = askew(&lone) {
        lone.retain(|hole| !line.holes.contains(&hole.number));
        lines.push(line);
    }
    for group in groups(&lone, |hole| hole.on_bar.y) {
        lines.push(group.line(&in_row));
    }
    let from_edge = |line: &ScribeLine| match bar.reference.edge {
        ReferenceEdge::Lower => line.lower_mm(),
        ReferenceEdge::Upper => -line.lower_mm(),
    };
    lines.sort_by(|a, b| from_edge(a).total_cmp(&from_edge(b)).then(a.holes.cmp(&b.holes)));
    for (i, line) in lines.iter_mut().enumerate() {
        line.name = letters(i);
    }
    lines
}

/// The lines square to the bar, from the reference end. Every hole is on exactly one.
pub(super) fn cross_lines(holes: &[HoleFigures], row: &[usize], bar: &Bar) -> Vec<CrossLine> {
    let in_row: Vec<&HoleFigures> = row.iter().filter_map(|n| holes.get(n - 1)).collect();
    let direction = along(bar.reference).x;
    let mut found: Vec<CrossLine> = groups(&in_row, |hole| hole.on_bar.x)
        .into_iter()
        .map(|mut group| {
            group.members.sort_by(|a, b| a.on_bar.y.total_cmp(&b.on_bar.y));
            CrossLine {
                left_mm: group.middle_mm,
                holes: group.members.iter().map(|hole| hole.number).collect(),
                off_mm: group.off_mm,
            }
        })
        .collect();
    found.sort_by(|a, b| (direction * a.left_mm).total_cmp(&(direction * b.left_mm)));
    found
}

/// Holes at one distance.
struct Group<'a> {
    members: Vec<&'a HoleFigures>,
    middle_mm: f64,
    off_mm: f64,
}

impl Group<'_> {
    fn line(&self, in_row: &[&HoleFigures]) -> ScribeLine {
        let on = |hole: &&&HoleFigures| self.members.iter().any(|m| m.number == hole.number);
        ScribeLine {
            name: String::new(),
            direction: LineDirection::Along { lower_mm: self.middle_mm },
            holes: in_row.iter().filter(on).map(|hole| hole.number).collect(),
            off_mm: self.off_mm,
        }
    }
}

/// Holes whose distances lie within [`SAME_LINE_MM`] of each other, with the middle of each
/// group's spread.
fn groups<'a>(holes: &[&'a HoleFigures], at: impl Fn(&HoleFigures) -> f64) -> Vec<Group<'a>> {
    let mut sorted: Vec<&HoleFigures> = holes.to_vec();
    sorted.sort_by(|a, b| at(a).total_cmp(&at(b)));
    let mut groups: Vec<Group<'_>> = Vec::new();
    for hole in sorted {
        let from = groups.last().map(|group| at(group.members[0]));
        match (groups.last_mut(), from) {
            (Some(group), Some(from)) if at(hole) - from <= SAME_LINE_MM + 1e-9 => {
                group.members.push(hole);
                group.middle_mm = f64::midpoint(from, at(hole));
                group.off_mm = (at(hole) - from) / 2.0;
            }
            _ => groups.push(Group { members: vec![hole], middle_mm: at(hole), off_mm: 0.0 }),
        }
    }
    groups
}

/// The line askew to the bar with the most of these holes on it, the straightest of equals;
/// the holes come in the order of the row.
fn askew(lone: &[&HoleFigures]) -> Option<ScribeLine> {
    if lone.len() > MAX_LONE {
        return None;
    }
    let mut best: Option<ScribeLine> = None;
    for (i, first) in lone.iter().enumerate() {
        for last in &lone[i + 1..] {
            let (from, to) = (first.on_bar, last.on_bar);
            let direction = to - from;
            // Steeper than 45° to the bar it is no line along the tang.
            if direction.hypot() < 1.0 || direction.y.abs() > direction.x.abs() {
                continue;
            }
            let direction = direction.normalize();
            let off = |hole: &HoleFigures| direction.cross(hole.on_bar - from).abs();
            let on: Vec<&&HoleFigures> = lone
                .iter()
                .filter(|hole| off(hole) <= SAME_LINE_MM + 1e-9 && within(hole.on_bar.x, from, to))
                .collect();
            let off_mm = on.iter().map(|hole| off(hole)).fold(0.0, f64::max);
            let better = best.as_ref().is_none_or(|best| {
                on.len() > best.holes.len()
                    || on.len() == best.holes.len() && off_mm < best.off_mm - 1e-12
            });
            if on.len() >= MIN_ASKEW && better {
                best = Some(ScribeLine {
                    name: String::new(),
                    direction: LineDirection::Askew { from, to },
                    holes: on.iter().map(|hole| hole.number).collect(),
                    off_mm,
                });
            }
        }
    }
    best
}

fn within(x: f64, from: Point, to: Point) -> bool {
    (from.x.min(to.x) - 1e-9..=from.x.max(to.x) + 1e-9).contains(&x)
}

/// `A` to `Z`, then `AA`, `AB` and so on.
fn letters(i: usize) -> String {
    let letter = char::from(b'A' + u8::try_from(i % 26).unwrap_or(0));
    let before = if i < 26 { String::new() } else { letters(i / 26 - 1) };
    format!("{before}{letter}")
}

#[cfg(test)]
mod tests {
    use super::letters;

    #[test]
    fn lines_are_lettered_on_and_on() {
        let names: Vec<String> = [0, 25, 26, 51, 52, 701, 702].map(letters).to_vec();
        assert_eq!(names, ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }
}
