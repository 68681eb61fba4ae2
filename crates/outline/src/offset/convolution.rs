//! The convolution of a ring with a circle: a closed line that winds around every place as often as
//! a disc about it meets the region in separate pieces, and so around none that is further away.
//!
//! Corners that stand in are turned through backwards, as those that stand out are forwards. That
//! makes the count right and keeps the line short: where a hollow is tighter than the distance,
//! spokes to every corner would cross one another by the thousand. At a sharp corner two spokes are
//! shorter than the arc; what they add to the count lies within the distance of that corner. The
//! circle is one polygon for all corners: with arcs of their own, the count would err in slivers.
//!
//! Source: L. Guibas, L. Ramshaw, J. Stolfi, "A kinetic framework for computational geometry",
//! 24th Symposium on Foundations of Computer Science, 1983.

use i_overlay::i_float::int::point::IntPoint;
use kurbo::Vec2;
use std::f64::consts::{PI, TAU};

/// The sides of the finest and of the coarsest polygon that stands for a circle. Multiples of four:
/// what lies along an axis moves by the whole distance.
const MAX_CIRCLE_SIDES: f64 = 1024.0;
const MIN_CIRCLE_SIDES: f64 = 16.0;

/// Of more sides than this a backward arc is longer than two spokes.
const MAX_BACK_STEPS: usize = 2;

/// A polygon that stands for a circle about the origin, in grid steps.
pub(super) struct CirclePolygon {
    /// The directions of its corners, radians, rising from −π to π.
    angles: Vec<f64>,
    corners: Vec<IntPoint<i32>>,
    /// Whether its radius is negative.
    is_opposite: bool,
}

impl CirclePolygon {
    /// With sides that turn by `step_rad` at most, and further corners to both sides of each way
    /// given. A negative radius puts each corner opposite to its direction.
    pub(super) fn new(radius: i32, step_rad: f64, ways: &[Vec2]) -> Self {
        let sides = ((TAU / step_rad / 4.0).ceil() * 4.0).clamp(MIN_CIRCLE_SIDES, MAX_CIRCLE_SIDES);
        // Inward its sides touch the circle, outward its corners lie on it: so what comes out lies
        // within the true offset of a convex ring, as chords do.
        let (reach, first) = match radius < 0 {
            true => (f64::from(radius) / (PI / sides).cos(), 0.5),
            false => (f64::from(radius), 0.0),
        };
        let regular = (0..whole(sides)).map(|k| ((f64::from(k) + first) / sides - 0.5) * TAU);
        let beside = ways.iter().flat_map(|way| [way.turn_90().angle(), (-way.turn_90()).angle()]);
        let mut angles: Vec<f64> = regular.chain(beside).collect();
        angles.sort_by(f64::total_cmp);
        let corner = |angle: &f64| {
            let p = Vec2::from_angle(*angle) * reach;
            IntPoint::new(whole(p.x), whole(p.y))
        };
        let corners = angles.iter().map(corner).collect();
        Self { angles, corners, is_opposite: radius < 0 }
    }

    /// Its corner furthest to the right of a way, or to the left where the radius is negative, by
    /// number. Exact: of two nearly as far the wrong one would leave a sliver.
    fn furthest(&self, way: Vec2) -> usize {
        let count = self.corners.len();
        let right = (-way.turn_90()).angle();
        let next = self.angles.partition_point(|angle| *angle < right);
        #[expect(clippy::cast_possible_truncation, reason = "differences of whole numbers")]
        let (x, y) = (way.x as i128, way.y as i128);
        let far = |k: &usize| {
            let p = self.corners[*k];
            (y * i128::from(p.x) - x * i128::from(p.y)).abs()
        };
        let near = [count - 2, count - 1, 0, 1].map(|by| (next + by) % count);
        near.into_iter().max_by_key(far).unwrap_or_default()
    }

    /// The corners from one to another, both with it, on the way that turns by about so much; in
    /// place of a long way back, its centre.
    fn between(
        &self,
        from: usize,
        to: usize,
        turn_rad: f64,
    ) -> impl Iterator<Item = IntPoint<i32>> + '_ {
        let count = self.corners.len();
        let apart_rad = self.angles[to] - self.angles[from];
        // Of the way straight there and those once more around either way, the nearest.
        let around = whole((turn_rad - apart_rad) / TAU);
        let onward = around > 0 || around == 0 && to >= from;
        let steps = match around {
            0 => to.abs_diff(from),
            _ if onward => to + count - from,
            _ => from + count - to,
        };
        let step = if onward { 1 } else { count - 1 };
        let by_centre = onward == self.is_opposite && steps > MAX_BACK_STEPS;
        let steps = if by_centre { 2 } else { steps };
        (0..=steps).map(move |i| match i {
            1 if by_centre => IntPoint::new(0, 0),
            2 if by_centre => self.corners[to],
            _ => self.corners[(from + i * step) % count],
        })
    }
}

/// The line at a circle's radius to the right of a ring's way, to the left where it is negative.
///
/// Of a simple counter-clockwise ring: outward it winds (counter-clockwise) around all places within
/// the radius, inward around those further inside than that, provided that the ring itself doesn't
/// fit into the circle. A path there and back is a ring, too.
pub(super) fn convolution(ring: &[IntPoint<i32>], circle: &CirclePolygon) -> Vec<IntPoint<i32>> {
    let mut line = Vec::with_capacity(2 * ring.len());
    let mut before = ring.last().zip(ring.first()).map(|(p, q)| vector(p, q)).unwrap_or_default();
    let mut from = circle.furthest(before);
    for (i, corner) in ring.iter().enumerate() {
        let after = vector(corner, &ring[(i + 1) % ring.len()]);
        // Adding nought makes minus nought none: where a path turns back, it turns outwards.
        let turn_rad = (before.cross(after) + 0.0).atan2(before.dot(after));
        let to = circle.furthest(after);
        let arms = circle.between(from, to, turn_rad);
        line.extend(arms.map(|arm| IntPoint::new(corner.x + arm.x, corner.y + arm.y)));
        (before, from) = (after, to);
    }
    line.dedup();
    line
}

/// From one place of the grid to another.
pub(super) fn vector(p: &IntPoint<i32>, q: &IntPoint<i32>) -> Vec2 {
    Vec2::new(f64::from(q.x) - f64::from(p.x), f64::from(q.y) - f64::from(p.y))
}

/// The nearest whole number.
#[expect(clippy::cast_possible_truncation, reason = "a cast keeps within the integer's range")]
fn whole(x: f64) -> i32 {
    x.round() as i32
}
