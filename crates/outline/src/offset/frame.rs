//! The integer grid an offset is worked out on: centred on the outline, as fine as it can be.

use i_overlay::i_float::int::point::IntPoint;
use kurbo::{CubicBez, Line, PathSeg, Point, QuadBez, Rect};

use super::bend::{least, most};
use super::{FINEST_TOLERANCE_MM, OFFSET_TOLERANCE_MM};
use crate::Outline;

/// Coordinates on the grid stay below this; the overlay engine works to 2^30.
const REACH: f64 = 1e9;

/// Grid steps below which a tolerance means nothing, as crossings are rounded to the grid.
const COARSEST_STEPS: f64 = 4.0;

/// Between millimetres and grid steps.
///
/// The centre and the step are powers of two (times small integers), so that coordinates
/// with few binary places, whole millimetres above all, come back exactly as they were.
pub(super) struct Frame {
    centre: Point,
    per_mm: f64,
}

impl Frame {
    /// A grid for these segments and whatever lies within a distance of them; none when
    /// they span nothing, or when the distance is inward by more than they could hold.
    pub(super) fn around(segs: &[PathSeg], distance_mm: f64) -> Option<Self> {
        let hull = hull(segs);
        // Halved first: coordinates may be as large as an f64 goes.
        let half_width = hull.x1 / 2.0 - hull.x0 / 2.0;
        let half_height = hull.y1 / 2.0 - hull.y0 / 2.0;
        if -distance_mm >= half_width.min(half_height) && distance_mm < 0.0 {
            return None;
        }
        let half = half_width.max(half_height) + 1.01 * distance_mm.abs();
        if !(half > 0.0 && half.is_finite()) {
            return None;
        }
        let snap = power_of_two(half) / 64.0;
        let middle = |low: f64, high: f64| {
            let exact = low / 2.0 + high / 2.0;
            let snapped = (exact / snap).round() * snap;
            if snapped.is_finite() { snapped } else { exact }
        };
        let centre = Point::new(middle(hull.x0, hull.x1), middle(hull.y0, hull.y1));
        let per_mm = power_of_two(REACH / (1.02 * half));
        (per_mm > 0.0 && per_mm.is_finite()).then_some(Self { centre, per_mm })
    }

    pub(super) fn per_mm(&self) -> f64 {
        self.per_mm
    }

    /// A tolerance in grid steps.
    pub(super) fn tolerance(&self, tolerance_mm: f64) -> f64 {
        let asked = if tolerance_mm.is_nan() { OFFSET_TOLERANCE_MM } else { tolerance_mm };
        (asked.max(FINEST_TOLERANCE_MM) * self.per_mm).clamp(COARSEST_STEPS, REACH / 16.0)
    }

    pub(super) fn to_grid(&self, segs: &[PathSeg]) -> Vec<PathSeg> {
        segs.iter().map(|seg| self.seg_to_grid(seg)).collect()
    }

    pub(super) fn seg_to_grid(&self, seg: &PathSeg) -> PathSeg {
        let there = |p: Point| ((p - self.centre) * self.per_mm).to_point();
        match seg {
            PathSeg::Line(l) => PathSeg::Line(Line::new(there(l.p0), there(l.p1))),
            PathSeg::Quad(q) => PathSeg::Quad(QuadBez::new(there(q.p0), there(q.p1), there(q.p2))),
            PathSeg::Cubic(c) => {
                PathSeg::Cubic(CubicBez::new(there(c.p0), there(c.p1), there(c.p2), there(c.p3)))
            }
        }
    }

    pub(super) fn to_mm(&self, p: IntPoint<i32>) -> Point {
        // The step is a power of two, whose inverse is exact.
        let step = 1.0 / self.per_mm;
        let back = |steps: i32, centre: f64| f64::from(steps) * step + centre;
        Point::new(back(p.x, self.centre.x), back(p.y, self.centre.y))
    }

    /// Rings on the grid as outlines, largest first.
    pub(super) fn outlines(&self, mut rings: Vec<Vec<IntPoint<i32>>>) -> Vec<Outline> {
        if rings.len() > 1 {
            rings.sort_by_cached_key(|ring| std::cmp::Reverse(double_area(ring).unsigned_abs()));
        }
        rings
            .iter()
            .filter_map(|ring| {
                let first = self.to_mm(*ring.first()?);
                let is_finite = self.is_finite();
                is_finite.then(|| Outline::through(ring.iter().map(|p| self.to_mm(*p)), first))
            })
            .collect()
    }

    /// Whether every place on the grid is a finite one in millimetres.
    fn is_finite(&self) -> bool {
        let far = 2.0 * REACH / self.per_mm;
        (self.centre.x.abs() + far).is_finite() && (self.centre.y.abs() + far).is_finite()
    }
}

/// The greatest power of two that is no more than a positive number; nought for one that is
/// not normal.
fn power_of_two(number: f64) -> f64 {
    const EXPONENT: u64 = 0x7ff << 52;
    f64::from_bits(number.to_bits() & EXPONENT)
}

/// Twice the area of a ring of grid points, positive if it runs counter-clockwise.
fn double_area(ring: &[IntPoint<i32>]) -> i128 {
    let Some(last) = ring.last() else { return 0 };
    let mut before = last;
    let mut sum = 0_i128;
    for p in ring {
        sum += i128::from(before.x) * i128::from(p.y) - i128::from(p.x) * i128::from(before.y);
        before = p;
    }
    sum
}

/// The upright box around all defining points; it holds the curves too.
fn hull(segs: &[PathSeg]) -> Rect {
    let far = f64::INFINITY;
    let mut hull = Rect::new(far, far, -far, -far);
    let mut add = |p: Point| {
        // The point first: what is no number then counts for nothing.
        (hull.x0, hull.x1) = (least(p.x, hull.x0), most(p.x, hull.x1));
        (hull.y0, hull.y1) = (least(p.y, hull.y0), most(p.y, hull.y1));
    };
    for seg in segs {
        match seg {
            PathSeg::Line(l) => [l.p0, l.p1].into_iter().for_each(&mut add),
            PathSeg::Quad(q) => [q.p0, q.p1, q.p2].into_iter().for_each(&mut add),
            PathSeg::Cubic(c) => [c.p0, c.p1, c.p2, c.p3].into_iter().for_each(&mut add),
        }
    }
    if segs.is_empty() { Rect::ZERO } else { hull }
}
