//! Scallops along both long corners of both scales: where the drum goes in, and how far.
//!
//! The drum's axis lies in the plane of the section, square to the handle's length, at an angle α
//! to the scale's face. Square to that axis the drum (radius r) goes in by d at the corner. Seen
//! in the section its cut is then a flat off the corner at α from the face and d below it: it
//! reaches d / sin α over the face and d / cos α down the side. Along the handle it is as wide as
//! the drum's chord at that depth, w = 2 √(r² − (r − d)²), at the corner itself and narrower
//! inward. The corner is the scale's as it is before it is chamfered or rounded.

use crate::ScaleFigures;
use crate::context::FigureContext;
use crate::jimping::round_width_mm;
use crate::long_edge::{LongEdge, LongEdges};
use knife::{ScallopSpacing, Scallops, limits};
use kurbo::{Arc, BezPath, Point, Shape, Vec2};
use outline::Outline;

/// More places in a row than this are not laid out, by number or by pitch.
const MAX_PLACES: u32 = *limits::SCALLOPS.end();
/// A place that passes the end by no more than this still lies before it, mm.
const ROUNDING_MM: f64 = 1e-6;
/// Steps along half a scallop's rim on the face when its gap to a hole is measured.
const RIM_STEPS: i32 = 60;
/// Halvings that find where a rim meets the outline: far below a thousandth of a millimetre.
const RIM_HALVINGS: u32 = 24;
/// A drawn rim lies so near its ellipse, mm.
const RIM_MM: f64 = 1e-4;

/// One place where the drum goes in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScallopPlace {
    /// The place on the scale's flush outline; the same on both scales.
    pub at: Point,
    /// True arc length along that edge from the scale's front corner, mm.
    pub along_mm: f64,
}

/// The places along one edge.
#[derive(Clone, Debug, PartialEq)]
pub struct ScallopRow {
    /// The places, from the front on.
    pub places: Vec<ScallopPlace>,
    /// True arc length of the edge from the scale's front corner to its hindmost point, mm.
    pub edge_mm: f64,
    /// +1 when the edge lies on the +y side, −1 when on the other.
    pub up: f64,
    /// Places that find no edge, because the front leans or curves past them.
    pub off: usize,
}

/// The scallops as they are to be cut.
#[derive(Clone, Debug, PartialEq)]
pub struct ScallopFigures {
    /// The row on the spine's side.
    pub upper: ScallopRow,
    /// The row on the edge's side, half a pitch farther back.
    pub lower: ScallopRow,
    /// From one place of a row to the next along the handle, mm; `None` for a single one.
    pub pitch_mm: Option<f64>,
    /// From the last place of either row to the line before which it has to lie, mm.
    pub rest_mm: f64,
    /// Width of a scallop along the corner, mm.
    pub width_mm: f64,
    /// Land left between two scallops, mm; negative where they overlap.
    pub land_mm: Option<f64>,
    /// How far a scallop reaches over the scale's face, from the edge, mm.
    pub face_mm: f64,
    /// How far it reaches down the scale's side, from the face, mm.
    pub side_mm: f64,
    /// What is stated.
    pub stated: Scallops,
}

impl ScallopFigures {
    /// How far a scallop reaches over the face so far beside its middle, mm; negative where the
    /// drum no longer meets the corner.
    fn reach_mm(&self, beside_mm: f64) -> f64 {
        let radius = self.stated.drum_mm / 2.0;
        let risen = radius - (radius * radius - beside_mm * beside_mm).max(0.0).sqrt();
        (self.stated.depth_mm - risen) / self.stated.angle_deg.to_radians().sin()
    }

    /// A scallop's rim on the scale's face, from where it leaves the flush outline to where it
    /// meets it again: part of an ellipse of half-axes r along the handle and r / sin α across.
    /// Empty where the drum does not reach over the outline.
    pub fn rim(&self, row: &ScallopRow, place: &ScallopPlace, flush: &Outline) -> BezPath {
        let radius = self.stated.drum_mm / 2.0;
        let across = radius / self.stated.angle_deg.to_radians().sin();
        let centre = place.at - Vec2::new(0.0, row.up * (self.face_mm - across));
        let radii = Vec2::new(radius, across);
        let bottom = -row.up * std::f64::consts::FRAC_PI_2;
        let at = |turn: f64| {
            let angle = bottom + turn;
            centre + Vec2::new(radii.x * angle.cos(), radii.y * angle.sin())
        };
        if !flush.contains(at(0.0)) {
            return BezPath::new();
        }
        let end = |direction: f64| {
            let step = std::f64::consts::PI / f64::from(RIM_STEPS);
            let turns = (1..=RIM_STEPS).map(|i| direction * step * f64::from(i));
            let beyond = turns.into_iter().find(|turn| !flush.contains(at(*turn)));
            let (mut outside, mut inside) = match beyond {
                Some(turn) => (turn, turn - direction * step),
                None => return direction * std::f64::consts::PI,
            };
            for _ in 0..RIM_HALVINGS {
                let middle = f64::midpoint(inside, outside);
                if flush.contains(at(middle)) { inside = middle } else { outside = middle }
            }
            inside
        };
        let (from, to) = (end(-1.0), end(1.0));
        let arc = Arc::new(centre, radii, bottom + from, to - from, 0.0);
        arc.path_elements(RIM_MM).collect()
    }

    /// Face left between a scallop and a circle, mm; negative where it cuts the circle.
    pub fn face_gap_mm(
        &self,
        row: &ScallopRow,
        place: &ScallopPlace,
        centre: Point,
        radius_mm: f64,
    ) -> f64 {
        let half = self.width_mm / 2.0;
        let beside = centre.x - place.at.x;
        let in_mm = row.up * (place.at.y - centre.y);
        if beside.abs() < half && in_mm < self.reach_mm(beside) {
            return -radius_mm;
        }
        let rim = |step: i32| {
            let beside = half * f64::from(step) / f64::from(RIM_STEPS);
            let y = place.at.y - row.up * self.reach_mm(beside);
            centre.distance(Point::new(place.at.x + beside, y))
        };
        (-RIM_STEPS..=RIM_STEPS).map(rim).fold(f64::INFINITY, f64::min) - radius_mm
    }
}

/// `None` without scales or scallops, or when there is no room for them between their ends.
pub(crate) fn figures(ctx: &FigureContext<'_>, scales: &ScaleFigures) -> Option<ScallopFigures> {
    let FigureContext { knife, outline, profile, .. } = *ctx;
    let stated = knife.handle.scallops?;
    let butt = profile.towards_butt;
    let edges = LongEdges::of_scale(&scales.outline, outline, butt)?;
    let bolster = knife.handle.front_bolster.as_ref().map_or(0.0, |bolster| bolster.length_mm);
    // Along the handle, towards the butt.
    let first = butt * knife.scales?.front_x_mm + bolster + stated.front_mm;
    let span_mm = butt * edges.butt_x_mm - stated.butt_mm - first;
    if span_mm < -ROUNDING_MM {
        return None;
    }
    let (pitch_mm, upper, lower) = match stated.spacing {
        ScallopSpacing::Count(count) if count > 1 => {
            let steps = count.min(MAX_PLACES) - 1;
            (Some(span_mm / f64::from(steps)), steps + 1, steps)
        }
        ScallopSpacing::Count(count) => (None, count, 0),
        ScallopSpacing::Pitch(pitch) => {
            let fit = |from: f64| whole((span_mm - from + ROUNDING_MM) / pitch);
            (Some(pitch), fit(0.0), fit(pitch / 2.0))
        }
    };
    if pitch_mm.is_some_and(|pitch| !(pitch.is_finite() && pitch > ROUNDING_MM)) {
        return None;
    }
    let pitch = pitch_mm.unwrap_or(0.0);
    let [spine, under] = edges.spine_first(profile.edge_is_up);
    let row = |edge: &LongEdge, count: u32, shift_mm: f64| {
        let x = |i: u32| butt * (first + shift_mm + f64::from(i) * pitch);
        let places: Vec<ScallopPlace> = (0..count)
            .filter_map(|i| {
                let along_mm = edge.length_at_x(x(i))?;
                Some(ScallopPlace { at: edge.at(along_mm).at, along_mm })
            })
            .collect();
        let off = usize::try_from(count).unwrap_or(usize::MAX) - places.len();
        ScallopRow { places, edge_mm: edge.length_mm(), up: edge.up(), off }
    };
    let last = |count: u32, shift: f64| f64::from(count.saturating_sub(1)) * pitch + shift;
    let reach = last(upper, 0.0).max(if lower > 0 { last(lower, pitch / 2.0) } else { 0.0 });
    let width_mm = round_width_mm(stated.drum_mm / 2.0, stated.depth_mm);
    let (sin, cos) = stated.angle_deg.to_radians().sin_cos();
    Some(ScallopFigures {
        upper: row(&spine, upper, 0.0),
        lower: row(&under, lower, pitch / 2.0),
        pitch_mm,
        rest_mm: (span_mm - reach).max(0.0),
        width_mm,
        land_mm: pitch_mm.map(|pitch| pitch - width_mm),
        face_mm: stated.depth_mm / sin,
        side_mm: stated.depth_mm / cos,
        stated,
    })
}

/// How many places go on so many pitches, the first one at 0.
fn whole(pitches: f64) -> u32 {
    if pitches < 0.0 {
        return 0;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within bounds")]
    let steps = pitches.floor().min(f64::from(MAX_PLACES - 1)) as u32;
    steps + 1
}

#[cfg(test)]
pub(crate) mod tests;
