//! Scribe lines in words, the same on the sheet, in `numbers` and at the desk.

use super::{BarDistances, CrossLine, LineDirection, ScribeLine};
use crate::ProfileFigures;
use knife::{Bar, Knife, Reference, ReferenceEdge, ReferenceEnd};
use kurbo::Point;
use units::{LengthUnit, show_length};

/// `lower edge`.
pub fn edge_label(edge: ReferenceEdge) -> &'static str {
    match edge {
        ReferenceEdge::Lower => "lower edge",
        ReferenceEdge::Upper => "upper edge",
    }
}

/// `left end`.
pub fn end_label(end: ReferenceEnd) -> &'static str {
    match end {
        ReferenceEnd::Left => "left end",
        ReferenceEnd::Right => "right end",
    }
}

/// `lower edge and left end`.
pub fn reference_label(reference: Reference) -> String {
    format!("{} and {}", edge_label(reference.edge), end_label(reference.end))
}

/// A line to scribe along the bar: `one line at 0.748 in (3/4 −0.002) from the lower edge,
/// holes 1, 3 and 4 on it`.
pub fn describe_line(line: &ScribeLine, bar: &Bar, unit: LengthUnit) -> String {
    let edge = edge_label(bar.reference.edge);
    let from_edge = |y: f64| {
        show_length(BarDistances::of(Point::new(0.0, y), bar).edge_mm(bar.reference.edge), unit)
    };
    let from_end = |p: Point| show_length(BarDistances::of(p, bar).end_mm(bar.reference.end), unit);
    let on = hole_list(&line.holes);
    let one = if line.holes.len() > 1 { "one line" } else { "a line" };
    match line.direction {
        LineDirection::Along { lower_mm } => {
            format!("{one} at {} from the {edge}, {on} on it", from_edge(lower_mm))
        }
        LineDirection::Askew { from, to } => {
            let end = end_label(bar.reference.end);
            format!(
                "{one} askew to the bar, {} from the {edge} at {} from the {end} and {} at {}, \
                 {on} on it",
                from_edge(from.y),
                from_end(from),
                from_edge(to.y),
                from_end(to),
            )
        }
    }
}

/// A line to scribe across the bar: `one line across at 4.350 in (4 11/32 +0.006) from the left
/// end, holes 1 and 5 on it`.
pub fn describe_cross_line(line: &CrossLine, bar: &Bar, unit: LengthUnit) -> String {
    let from = BarDistances::of(Point::new(line.left_mm, 0.0), bar);
    format!(
        "one line across at {} from the {}, {} on it",
        show_length(from.end_mm(bar.reference.end), unit),
        end_label(bar.reference.end),
        hole_list(&line.holes)
    )
}

/// Which face of the bar is up: `tip to the left, edge down`. Empty without an outline.
pub fn describe_face_up(knife: &Knife, profile: Option<&ProfileFigures>) -> String {
    let Some(profile) = profile else { return String::new() };
    let turn = knife.bar.placement.turn_deg.to_radians();
    let tip = -profile.towards_butt * turn.cos();
    let tip = if tip < 0.0 { "left" } else { "right" };
    let edge = if super::spine_is_up(knife, Some(profile)) { "down" } else { "up" };
    format!("tip to the {tip}, edge {edge}")
}

/// `hole 2`, `holes 1 and 5`, `holes 1, 3 and 4`.
fn hole_list(numbers: &[usize]) -> String {
    let said: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    match said.as_slice() {
        [] => "no hole".to_owned(),
        [one] => format!("hole {one}"),
        [first @ .., last] => format!("holes {} and {last}", first.join(", ")),
    }
}
