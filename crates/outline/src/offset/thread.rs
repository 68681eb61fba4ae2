//! A growing ring of grid points that leaves out points which hardly matter.

use kurbo::{Point, Vec2};

use super::chain::GridPoint;

/// The share of the tolerance that a chord may stray and still be merged with the next.
pub(super) const LOOSE: f64 = 1.0 / 8.0;
/// The share of the tolerance that points left out may lie beside the chord over them.
const BESIDE: f64 = 7.0 / 8.0;
/// A point this share of the tolerance from the last one, along both axes, is the same.
const NEAR: f64 = 1.0 / 64.0;

/// A ring in the making.
///
/// Chords are *loose* if they stray at most [`LOOSE`] tolerances from the curve. Runs of them
/// are merged while one chord from the run's first point passes within [`BESIDE`] tolerances
/// of all points between: its direction then lies within a cone that every point narrows.
pub(super) struct Thread {
    points: Vec<GridPoint>,
    near: f64,
    beside: f64,
    /// The last point kept.
    anchor: Point,
    /// The end of the loose chord from there, not kept yet.
    pending: Option<Point>,
    /// The directions, right and left, between which that chord may still turn, once points
    /// have been left out.
    cone: Option<(Vec2, Vec2)>,
}

impl Thread {
    pub(super) fn new(tolerance: f64, capacity: usize) -> Self {
        Self {
            points: Vec::with_capacity(capacity),
            near: tolerance * NEAR,
            beside: tolerance * BESIDE,
            anchor: Point::ZERO,
            pending: None,
            cone: None,
        }
    }

    /// Where the thread ends by now.
    pub(super) fn end(&self) -> Point {
        self.pending.unwrap_or(self.anchor)
    }

    /// Adds the end of a chord that may not be merged.
    #[inline]
    pub(super) fn add(&mut self, p: Point) {
        self.settle();
        self.keep(p);
    }

    /// Adds the end of a loose chord.
    #[inline]
    pub(super) fn add_loose(&mut self, p: Point) {
        if let Some(last) = self.pending {
            let (way, so_far) = (p - self.anchor, last - self.anchor);
            if so_far.dot(p - last) >= 0.0 && self.may_pass(way, so_far) {
                return self.pass(way, so_far, p);
            }
            self.settle();
        }
        if self.points.is_empty() {
            return self.keep(p);
        }
        let way = p - self.anchor;
        if way.x.abs().max(way.y.abs()) > self.near {
            self.pending = Some(p);
            self.cone = None;
        }
    }

    /// Whether a chord this way passes near enough to what was left out and the pending point.
    #[inline]
    fn may_pass(&self, way: Vec2, so_far: Vec2) -> bool {
        match self.cone {
            Some((right, left)) => right.cross(way) >= 0.0 && way.cross(left) >= 0.0,
            // Only the pending point, as mostly: no cone is needed to tell.
            None => {
                let across = so_far.cross(way);
                across * across <= self.beside * self.beside * way.hypot2()
            }
        }
    }

    /// Leaves out the pending point for one further on.
    #[inline]
    fn pass(&mut self, way: Vec2, so_far: Vec2, p: Point) {
        let (mut right, mut left) = self.cone.unwrap_or_else(|| self.cone_over(so_far));
        let (narrow_right, narrow_left) = self.cone_over(way);
        if right.cross(narrow_right) > 0.0 {
            right = narrow_right;
        }
        if left.cross(narrow_left) < 0.0 {
            left = narrow_left;
        }
        self.cone = Some((right, left));
        self.pending = Some(p);
    }

    /// The directions from the anchor that pass near enough to a point.
    fn cone_over(&self, way: Vec2) -> (Vec2, Vec2) {
        // Stretched by the way's length, which saves dividing by it.
        let across = Vec2::new(-way.y, way.x) * self.beside;
        let ahead = way * way.hypot2().sqrt().max(1.0);
        (ahead - across, ahead + across)
    }

    /// Puts a point in the place of the last one, which it must be close to.
    pub(super) fn amend(&mut self, p: Point) {
        if self.pending.is_some() {
            self.pending = Some(p);
            return;
        }
        self.points.pop();
        // Kept however near to the point before: that may have gone as well.
        self.points.push(grid_point(p));
        self.anchor = p;
    }

    #[inline]
    fn settle(&mut self) {
        if let Some(last) = self.pending.take() {
            self.keep(last);
        }
    }

    #[inline]
    fn keep(&mut self, p: Point) {
        let way = p - self.anchor;
        if way.x.abs().max(way.y.abs()) > self.near || self.points.is_empty() {
            self.points.push(grid_point(p));
            self.anchor = p;
        }
    }

    /// The ring, without what doubles its first point; none if it has not three points.
    pub(super) fn close(mut self) -> Option<Vec<GridPoint>> {
        self.settle();
        let first = *self.points.first()?;
        let apart = |u: i32, v: i32| (f64::from(u) - f64::from(v)).abs();
        while self.points.len() > 1
            && self
                .points
                .last()
                .is_some_and(|p| apart(p.x, first.x).max(apart(p.y, first.y)) <= self.near)
        {
            self.points.pop();
        }
        (self.points.len() > 2).then_some(self.points)
    }
}

/// The grid point nearest to a place within the frame.
///
/// Added to this number, a coordinate has its whole part in the lowest bits, rounded; frames
/// keep coordinates within 2^30. `round` would be a call for want of an instruction.
#[inline]
pub(super) fn grid_point(p: Point) -> GridPoint {
    const WHOLE: f64 = 1.5 * (1_u64 << 52) as f64;
    let whole = |u: f64| (u + WHOLE).to_bits() as i32;
    GridPoint::new(whole(p.x), whole(p.y))
}

#[cfg(test)]
mod tests {
    use super::*;
    fn corners(thread: Thread) -> Vec<(i32, i32)> {
        thread.close().unwrap_or_default().iter().map(|p| (p.x, p.y)).collect()
    }

    /// A thread at a tolerance of 64 steps: points within one step are the same.
    fn thread(points: &[(f64, f64)], loose: bool) -> Thread {
        let mut thread = Thread::new(64.0, 8);
        thread.add(Point::ZERO);
        for p in points {
            if loose { thread.add_loose((*p).into()) } else { thread.add((*p).into()) }
        }
        thread
    }

    #[test]
    fn loose_points_within_the_tolerance_are_left_out() {
        let wavering = [(1000., 20.), (2000., -20.), (3000., 0.), (3000., 3000.)];
        assert_eq!(corners(thread(&wavering, true)), [(0, 0), (3000, 0), (3000, 3000)]);
        let all = corners(thread(&wavering, false));
        assert_eq!(all, [(0, 0), (1000, 20), (2000, -20), (3000, 0), (3000, 3000)]);
        let bent = [(1000., 0.), (2000., 200.), (3000., 0.), (3000., 3000.)];
        assert_eq!(corners(thread(&bent, true)).len(), 5);
    }

    #[test]
    fn the_same_point_is_not_kept_twice() {
        let again = [(1000., 0.), (1000.4, 0.6), (0., 1000.), (0.3, 0.2)];
        assert_eq!(corners(thread(&again, false)), [(0, 0), (1000, 0), (0, 1000)]);
        assert!(thread(&[(1000., 0.)], false).close().is_none());
    }

    #[test]
    fn the_first_point_is_kept_however_it_comes() {
        let mut thread = Thread::new(64.0, 8);
        for p in [(1000., 0.), (2000., 0.), (2000., 1000.), (1000., 1000.)] {
            thread.add_loose(p.into());
        }
        assert_eq!(corners(thread), [(1000, 0), (2000, 0), (2000, 1000), (1000, 1000)]);
    }

    #[test]
    fn an_amended_point_takes_the_place_of_the_last() {
        let mut thread = thread(&[(1000., 0.), (1000., 1000.)], false);
        thread.amend(Point::new(990., 1010.));
        assert_eq!(thread.end(), Point::new(990., 1010.));
        assert_eq!(corners(thread), [(0, 0), (1000, 0), (990, 1010)]);
    }

    #[test]
    fn rounding_is_to_the_nearest_grid_point() {
        let at = |x: f64, y: f64| {
            let p = grid_point(Point::new(x, y));
            (p.x, p.y)
        };
        assert_eq!(at(-0.4, 0.6), (0, 1));
        assert_eq!(at(-999_999_999.6, 1e9), (-1_000_000_000, 1_000_000_000));
    }
}
