//! The integer grid an offset is worked out on: centred on its source, as fine as it can be.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::IntOverlayOptions;
use i_overlay::core::simplify::Simplify;
use i_overlay::i_float::adapter::FloatPointAdapter;
use i_overlay::i_float::float::rect::FloatRect;
use i_overlay::i_float::int::angle::Angle;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::i_shape::int::shape::IntShapes;
use i_overlay::mesh::int::arc::ArcOptions;
use kurbo::{PathSeg, Point, Vec2};

use super::OFFSET_TOLERANCE_MM;
use super::convolution::{CirclePolygon, convolution, vector};
use crate::segment::control_box;
use crate::simplify::thinned_ring_to;
use crate::{Outline, simplify_polyline};

/// The finest tolerance that is honoured, in millimetres: time grows with the number of sides,
/// and so as fast as the root of the tolerance shrinks.
const FINEST_TOLERANCE_MM: f64 = 5e-4;
/// Grid steps below which a tolerance means nothing, as crossings are rounded to the grid.
const COARSEST_STEPS: f64 = 8.0;
/// Room around the source, in distances: arcs and their rounding reach a little further than one.
const ROOM: f64 = 1.1;
/// An outline of more nodes than this is thinned first, within the tolerance: the engine's work grows
/// with the square of sides that are shorter than the distance.
const FEW_NODES: usize = 400;
/// Coordinates beyond this are no drawing's, in millimetres; the engine's own limit is 2^500.
const FURTHEST_MM: f64 = 1e100;

/// Between millimetres and grid steps, at a tolerance.
pub(super) struct Grid {
    adapter: FloatPointAdapter<[f64; 2], i32>,
    /// What of the tolerance goes into flattening, and as much into arcs.
    half_mm: f64,
    /// What is left of it, for taking out the stubs that rounding turns this way and that.
    stub_mm: f64,
}

impl Grid {
    /// A grid for these segments and whatever lies within a distance of them. `None` when they
    /// span nothing or are not finite, when the distance is inward by more than they could hold,
    /// and when it is no number.
    pub(super) fn around(segs: &[PathSeg], distance_mm: f64, tolerance_mm: f64) -> Option<Self> {
        let hull = segs.iter().map(control_box).reduce(|a, b| a.union(b))?;
        let holds = -2.0 * distance_mm < hull.width().min(hull.height());
        // Whole millimetres at the corners: whole millimetres come back as they were.
        let room = hull.inflate(ROOM * distance_mm.abs(), ROOM * distance_mm.abs()).expand();
        let far = [room.x0, room.x1, room.y0, room.y1];
        let near = far.iter().all(|u| u.abs() < FURTHEST_MM);
        let spans = hull.width().max(hull.height()) > 0.0;
        if !(holds && near && spans && segs.iter().all(PathSeg::is_finite)) {
            return None;
        }
        let rect = FloatRect::new(room.x0, room.x1, room.y0, room.y1).ok()?;
        let adapter = FloatPointAdapter::new_conservative(rect);
        let asked = if tolerance_mm.is_nan() { OFFSET_TOLERANCE_MM } else { tolerance_mm };
        let coarsest = COARSEST_STEPS * adapter.inv_scale();
        let whole_mm = asked.max(FINEST_TOLERANCE_MM).max(coarsest);
        Some(Self { adapter, half_mm: 0.45 * whole_mm, stub_mm: 0.1 * whole_mm })
    }

    /// How far sides may lie from a curve that they stand for, mm.
    pub(super) fn flatness_mm(&self) -> f64 {
        self.half_mm
    }

    /// A length in grid steps.
    pub(super) fn length(&self, mm: f64) -> i32 {
        self.adapter.round_len_to_int(mm)
    }

    pub(super) fn point(&self, p: Point) -> IntPoint<i32> {
        self.adapter.float_to_int(&[p.x, p.y])
    }

    /// An outline as a polygon on the grid; `None` when it has more nodes than [`FEW_NODES`], and
    /// more corners than asked for even when thinned.
    pub(super) fn ring(&self, outline: &Outline, max_corners: usize) -> Option<Vec<IntPoint<i32>>> {
        let flat = |off_mm: f64| {
            let mut corners = Vec::new();
            kurbo::flatten(outline.to_path(), off_mm, |el| corners.extend(el.end_point()));
            corners
        };
        let mut corners = flat(self.half_mm);
        if outline.segs().len() > FEW_NODES {
            let fine_mm = 0.5 * self.half_mm;
            corners = thinned_ring_to(&flat(fine_mm), fine_mm, max_corners)?;
        }
        let mut ring: Vec<_> = corners.into_iter().map(|p| self.point(p)).collect();
        ring.dedup();
        while ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
        Some(ring)
    }

    /// Everything within a distance of what a ring bounds that doesn't cross itself, or of a path
    /// there and back; inward, if negative, what of it lies further inside. Sides along `ways` move
    /// by the whole distance, others within the tolerance.
    pub(super) fn around_ring(
        &self,
        ring: &[IntPoint<i32>],
        distance_mm: f64,
        ways: &[Vec2],
    ) -> IntShapes<i32> {
        let step_rad = self.arc_step_rad(distance_mm);
        let circle = CirclePolygon::new(self.length(distance_mm), step_rad, ways);
        let line = convolution(ring, &circle);
        self.without_slivers(line.simplify(FillRule::Positive, IntOverlayOptions::default()))
    }

    /// Shapes without what is thinner than the tolerance: it is there by the rounding to the grid.
    pub(super) fn without_slivers(&self, mut shapes: IntShapes<i32>) -> IntShapes<i32> {
        let tolerance = f64::from(self.length(2.0 * self.half_mm));
        let has_breadth = |ring: &Vec<IntPoint<i32>>| {
            let next = ring.iter().cycle().skip(1);
            let sides = ring.iter().zip(next).map(|(p, q)| vector(p, q));
            let corners = ring.iter().map(|p| vector(&ring[0], p));
            let twice_area: f64 = corners.zip(sides.clone()).map(|(p, side)| p.cross(side)).sum();
            twice_area.abs() > tolerance * sides.map(Vec2::hypot).sum::<f64>()
        };
        shapes.retain(|shape| shape.first().is_some_and(has_breadth));
        shapes.iter_mut().for_each(|shape| shape.retain(has_breadth));
        shapes
    }

    /// A ring on the grid in millimetres, without corners that are the rounding's alone.
    pub(super) fn smooth_ring(&self, ring: &[IntPoint<i32>]) -> Vec<Point> {
        let mut points = self.points(ring);
        points.extend(points.first().copied());
        points = self.smooth(&points);
        points.pop();
        points
    }

    /// A polyline without corners that are the rounding's alone.
    pub(super) fn smooth(&self, points: &[Point]) -> Vec<Point> {
        simplify_polyline(points, self.stub_mm)
    }

    /// A ring on the grid in millimetres.
    pub(super) fn points(&self, ring: &[IntPoint<i32>]) -> Vec<Point> {
        ring.iter()
            .map(|p| {
                let [x, y] = self.adapter.int_to_float(p);
                Point::new(x, y)
            })
            .collect()
    }

    /// The largest step of an arc so far from a corner, radians.
    pub(super) fn arc_step_rad(&self, distance_mm: f64) -> f64 {
        let radius = distance_mm.abs().max(self.half_mm);
        // sagitta = r·(1 - cos(step/2)); the half-angle form keeps its digits for large radii.
        4.0 * (self.half_mm / (2.0 * radius)).sqrt().asin()
    }

    /// The steps of an arc so far from a corner.
    pub(super) fn arc(&self, distance_mm: f64) -> ArcOptions {
        let max_step = Angle::from_radians(self.arc_step_rad(distance_mm));
        let max_step = max_step.unwrap_or(ArcOptions::MAX_STEP);
        ArcOptions { max_step, ..ArcOptions::default() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::TAU;

    fn ring(nodes: u32, spikes: f64) -> Outline {
        let corner = |i: u32| {
            let (sin, cos) = (TAU * f64::from(i) / f64::from(nodes)).sin_cos();
            let out = if i.is_multiple_of(2) { 1.0 } else { 1.0 - spikes };
            Point::new(120.0 * out * cos, 20.0 * out * sin)
        };
        Outline::polygon(&(0..nodes).map(corner).collect::<Vec<_>>()).unwrap()
    }

    /// The engine's work is counted in sides: as many as the shape needs, not as it has.
    #[test]
    fn a_smooth_ring_of_thousands_of_nodes_is_worked_out_by_few() {
        let outline = ring(5_000, 0.0);
        let grid = Grid::around(outline.segs(), 4.0, OFFSET_TOLERANCE_MM).unwrap();
        let sides = grid.ring(&outline, usize::MAX).unwrap();
        assert!(sides.len() < 1_000, "{}", sides.len());
        for p in grid.points(&sides) {
            assert!(outline.nearest(p).distance_mm < 1e-5, "its corners are the ring's own");
        }
        let off = outline.offset(4.0);
        assert_eq!(off.len(), 1);
        for p in off[0].nodes() {
            let off_by = (outline.nearest(p).distance_mm - 4.0).abs();
            assert!(off_by < OFFSET_TOLERANCE_MM, "{off_by}");
        }
        let spiky = ring(5_000, 0.01);
        let grid = Grid::around(spiky.segs(), 4.0, OFFSET_TOLERANCE_MM).unwrap();
        let all = grid.ring(&spiky, usize::MAX).unwrap();
        assert!(all.len() > 4_990, "nothing is lost of what is there");
        assert!(spiky.has_too_many_sides() && !outline.has_too_many_sides());
        assert!(spiky.offset(4.0).is_empty(), "no tool follows so many corners");
    }
}
