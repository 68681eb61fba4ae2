//! Scribing: every hole and mark of the blank as distances from the bar's own edges and ends,
//! in the order of the bench: lines along the bar first, then stations along each.

mod describe;
mod lines;
mod marks;

use crate::context::FigureContext;
use crate::{HoleFigures, ProfileFigures, ScaleFigures};
use knife::{Bar, Knife, Reference, ReferenceEdge, ReferenceEnd};
use kurbo::{Point, Vec2};

pub use describe::{
    describe_cross_line, describe_face_up, describe_line, edge_label, end_label, reference_label,
};
pub use lines::{CrossLine, LineDirection, ScribeLine};
pub use marks::{MarkKind, ScribeMark};

/// Holes whose centres lie within this of one line are told as one line to scribe, mm: a fifth
/// of a scribed line's own width (this program's own choice).
pub const SAME_LINE_MM: f64 = 0.02;

/// Where something lies on the bar: its distances from all four sides, mm. Whichever edge and
/// end the maker scribes from, the figure is here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BarDistances {
    /// From the lower long edge.
    pub lower_mm: f64,
    /// From the upper long edge.
    pub upper_mm: f64,
    /// From the left end.
    pub left_mm: f64,
    /// From the right end.
    pub right_mm: f64,
}

impl BarDistances {
    /// Distances of a point in the bar's plane.
    pub fn of(at: Point, bar: &Bar) -> Self {
        Self {
            lower_mm: at.y,
            upper_mm: bar.width_mm - at.y,
            left_mm: at.x,
            right_mm: bar.length_mm - at.x,
        }
    }

    /// From this edge, mm.
    pub fn edge_mm(&self, edge: ReferenceEdge) -> f64 {
        match edge {
            ReferenceEdge::Lower => self.lower_mm,
            ReferenceEdge::Upper => self.upper_mm,
        }
    }

    /// From this end, mm.
    pub fn end_mm(&self, end: ReferenceEnd) -> f64 {
        match end {
            ReferenceEnd::Left => self.left_mm,
            ReferenceEnd::Right => self.right_mm,
        }
    }
}

/// One hole's place for scribing.
#[derive(Clone, Debug, PartialEq)]
pub struct ScribedHole {
    /// Its number in the knife's list, from 1.
    pub number: usize,
    /// Its centre from the bar's four sides.
    pub from: BarDistances,
    /// Centre to the spine, square to the bar, mm.
    pub spine_mm: Option<f64>,
    /// Centre to the belly (edge or the handle's lower side), square to the bar, mm.
    pub belly_mm: Option<f64>,
    /// The hole before it along the row, seen from the reference end, and the distance from
    /// centre to centre, mm; `None` for the first.
    pub before: Option<(usize, f64)>,
    /// The name of the line it lies on, one of [`Scribe::lines`].
    pub line: String,
}

/// Everything to be scribed on the bar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scribe {
    /// The holes, in the knife's order.
    pub holes: Vec<ScribedHole>,
    /// The holes' numbers along the row, from the reference end.
    pub row: Vec<usize>,
    /// The lines along the bar that the holes lie on, from the reference edge.
    pub lines: Vec<ScribeLine>,
    /// The lines square to the bar that the holes lie on, from the reference end.
    pub cross_lines: Vec<CrossLine>,
    /// Other places worth scribing, from the reference end.
    pub marks: Vec<ScribeMark>,
}

/// Holes are scribed even without a sound blank; lines and other marks need one.
pub(crate) fn figures(
    knife: &Knife,
    profile: Option<&ProfileFigures>,
    holes: &[HoleFigures],
    blank: Option<&FigureContext<'_>>,
    scales: Option<&ScaleFigures>,
) -> Scribe {
    let bar = &knife.bar;
    let row = row(holes, bar.reference);
    let lines = lines::lines(holes, &row, bar);
    let upright = spine_is_up(knife, profile);
    let scribed = holes.iter().map(|hole| {
        let (spine_mm, belly_mm) = if upright {
            (hole.from_upper_mm, hole.from_lower_mm)
        } else {
            (hole.from_lower_mm, hole.from_upper_mm)
        };
        let line = lines.iter().find(|line| line.holes.contains(&hole.number));
        ScribedHole {
            number: hole.number,
            from: BarDistances::of(hole.on_bar, bar),
            spine_mm,
            belly_mm,
            before: before(hole, holes, &row),
            line: line.map(|line| line.name.clone()).unwrap_or_default(),
        }
    });
    Scribe {
        holes: scribed.collect(),
        cross_lines: lines::cross_lines(holes, &row, bar),
        marks: blank.map_or_else(Vec::new, |ctx| marks::marks(ctx, scales, upright)),
        row,
        lines,
    }
}

/// Whether the spine lies towards the bar's upper edge.
pub(crate) fn spine_is_up(knife: &Knife, profile: Option<&ProfileFigures>) -> bool {
    let edge_is_up = profile.is_some_and(|profile| profile.edge_is_up);
    edge_is_up != keeps_up(knife)
}

/// Whether what is up on the knife is up on the bar.
fn keeps_up(knife: &Knife) -> bool {
    knife.bar.placement.turn_deg.to_radians().cos() >= 0.0
}

/// The holes' numbers by their distance from the reference end.
fn row(holes: &[HoleFigures], reference: Reference) -> Vec<usize> {
    let direction = match reference.end {
        ReferenceEnd::Left => 1.0,
        ReferenceEnd::Right => -1.0,
    };
    let mut row: Vec<&HoleFigures> = holes.iter().collect();
    row.sort_by(|a, b| {
        let along = (direction * a.on_bar.x).total_cmp(&(direction * b.on_bar.x));
        along.then(a.on_bar.y.total_cmp(&b.on_bar.y)).then(a.number.cmp(&b.number))
    });
    row.iter().map(|hole| hole.number).collect()
}

fn before(hole: &HoleFigures, holes: &[HoleFigures], row: &[usize]) -> Option<(usize, f64)> {
    let place = row.iter().position(|number| *number == hole.number)?;
    let number = *row.get(place.checked_sub(1)?)?;
    let other = holes.iter().find(|other| other.number == number)?;
    Some((number, (hole.on_bar - other.on_bar).hypot()))
}

/// The way along the bar from the reference end.
fn along(reference: Reference) -> Vec2 {
    match reference.end {
        ReferenceEnd::Left => Vec2::new(1.0, 0.0),
        ReferenceEnd::Right => Vec2::new(-1.0, 0.0),
    }
}

#[cfg(test)]
mod tests;
