//! The least width over all directions.

use crate::box_tree::{BoxTree, box_reach};
use crate::measure::farthest_point;
use crate::outline::Outline;
use crate::segment::control_box;
use crate::tolerance::{WIDTH_MM, WIDTH_RAD};
use kurbo::{ParamCurve, PathSeg, Point, Vec2};
use std::f64::consts::{FRAC_PI_2, PI};

/// The least width of an outline over all directions, and how to turn it there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MinWidth {
    /// The least width in millimetres.
    pub width_mm: f64,
    /// The angle in radians, counter-clockwise, by which to rotate the outline so that this
    /// width lies along y; above −π/2, at most π/2. Of several directions equally narrow the
    /// one that takes the smallest turn.
    pub turn_rad: f64,
}

/// Widths that differ by less than this share of themselves are the same.
const SAME_SHARE: f64 = 1e-10;
/// Directions looked at to begin with; the first is that of y.
const FIRST: usize = 12;
/// No more directions than this are looked at; a circle of a metre takes a third of it.
const MAX_DIRECTIONS: usize = 30_000;
/// A bracket of directions is narrow enough at this angle, in radians.
const FINE_RAD: f64 = 1e-11;

impl Outline {
    /// The least width over all directions.
    ///
    /// Between two directions no width can be less than what the outline's farthest points in
    /// those two leave room for; where that is least, the bracket is divided. So no narrow
    /// place is missed, and directions flush with a flat side are hit exactly.
    pub fn min_width(&self) -> MinWidth {
        let support = Support::new(self.segs());
        let first: Vec<Width> =
            (0..=FIRST).map(|k| support.width(FRAC_PI_2 + PI * k as f64 / FIRST as f64)).collect();
        let mut best = first[0];
        first.iter().for_each(|w| take(&mut best, *w));
        let mut stack: Vec<(Width, Width, u32)> =
            first.windows(2).map(|w| (w[0], w[1], 0)).collect();
        for _ in 0..MAX_DIRECTIONS {
            let Some((a, b, depth)) = stack.pop() else { break };
            let Some((at, room_mm)) = narrowest_between(&a, &b) else { continue };
            let span = b.direction_rad - a.direction_rad;
            let fine = span < WIDTH_RAD && room_mm >= best.width_mm - WIDTH_MM;
            if room_mm > best.width_mm * (1.0 + SAME_SHARE) || fine {
                continue;
            }
            // Now and then the middle, so that brackets shrink from both sides.
            let mid = support.width(if depth % 3 == 2 { a.direction_rad + 0.5 * span } else { at });
            take(&mut best, mid);
            stack.extend([(a, mid, depth + 1), (mid, b, depth + 1)]);
        }
        let settled = support.refined(best.direction_rad);
        take(&mut best, settled);
        MinWidth { width_mm: best.width_mm, turn_rad: turn_to_y(best.direction_rad) }
    }
}

/// The turn that brings a direction (given up to half a turn) onto y.
fn turn_to_y(direction_rad: f64) -> f64 {
    let turn = (FRAC_PI_2 - direction_rad).rem_euclid(PI);
    if turn > FRAC_PI_2 { turn - PI } else { turn }
}

/// The width along a direction, and the way between the farthest points on both sides.
#[derive(Clone, Copy)]
struct Width {
    direction_rad: f64,
    width_mm: f64,
    across: Vec2,
}

/// Takes the narrower; of two equally narrow the smaller turn.
fn take(best: &mut Width, other: Width) {
    let same = SAME_SHARE * best.width_mm;
    let turn = |w: &Width| turn_to_y(w.direction_rad).abs();
    let smaller = turn(&other) < turn(best) - FINE_RAD;
    if other.width_mm < best.width_mm - same || (other.width_mm <= best.width_mm + same && smaller)
    {
        *best = other;
    }
}

/// The direction between two at which the farthest points known leave the least room, and that
/// room. `None` if nothing between can be narrower than the two themselves.
fn narrowest_between(a: &Width, b: &Width) -> Option<(f64, f64)> {
    // Each pair of points gives a width that is a sine of the direction, so its least values
    // lie at the ends; the larger of the two is least where they are equal.
    let level = a.across - b.across;
    let crossing = Vec2::new(-level.y, level.x).atan2();
    let at = a.direction_rad + (crossing - a.direction_rad).rem_euclid(PI);
    let margin = 1e-13;
    if !(at > a.direction_rad + margin && at < b.direction_rad - margin) {
        return None;
    }
    Some((at, Vec2::from_angle(at).dot(a.across)))
}

/// Exact supports of the outline: how far it reaches in a direction.
struct Support<'a> {
    segs: &'a [PathSeg],
    tree: BoxTree,
}

impl<'a> Support<'a> {
    fn new(segs: &'a [PathSeg]) -> Self {
        Self { segs, tree: BoxTree::new(segs.iter().map(control_box)) }
    }

    fn width(&self, direction_rad: f64) -> Width {
        let along = Vec2::from_angle(direction_rad);
        let across = self.farthest(along) - self.farthest(-along);
        Width { direction_rad, width_mm: along.dot(across), across }
    }

    fn farthest(&self, along: Vec2) -> Point {
        let mut found = (f64::NEG_INFINITY, self.segs[0].start());
        let visit = |i: usize| {
            let here = farthest_point(&self.segs[i], along);
            if here.0 > found.0 {
                found = here;
            }
            here.0
        };
        self.tree.visit_best_first(f64::NEG_INFINITY, |r| box_reach(r, along), visit);
        found.1
    }

    /// The narrowest direction right beside one that is already as good as narrowest, by
    /// golden sections.
    fn refined(&self, direction_rad: f64) -> Width {
        const SHARE: f64 = 0.618_033_988_749_894_9;
        let (mut a, mut b) = (direction_rad - WIDTH_RAD, direction_rad + WIDTH_RAD);
        let (mut c, mut d) = (self.width(b - SHARE * (b - a)), self.width(a + SHARE * (b - a)));
        while b - a > FINE_RAD {
            if c.width_mm <= d.width_mm {
                (b, d) = (d.direction_rad, c);
                c = self.width(b - SHARE * (b - a));
            } else {
                (a, c) = (c.direction_rad, d);
                d = self.width(a + SHARE * (b - a));
            }
        }
        if c.width_mm <= d.width_mm { c } else { d }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Affine;

    #[test]
    fn a_turned_rectangle_lies_down_by_the_smaller_turn() {
        let plate =
            Outline::polygon(&[(0., 0.), (80., 0.), (80., 25.), (0., 25.)].map(Point::from))
                .unwrap();
        for turn in [-1.5, -0.7, 0.0, 0.2, 1.2] {
            let min = plate.transformed(Affine::rotate(turn)).min_width();
            assert!((min.width_mm - 25.0).abs() < 1e-9, "{min:?}");
            assert!((min.turn_rad + turn).abs() < 1e-9, "{turn} {min:?}");
        }
        let square = Outline::polygon(&[(0., 0.), (9., 0.), (9., 9.), (0., 9.)].map(Point::from));
        assert_eq!(square.unwrap().min_width(), MinWidth { width_mm: 9.0, turn_rad: 0.0 });
    }

    #[test]
    fn closed_form_reuleaux_and_needle() {
        let line = Outline::polygon(&[(0., 0.), (3., 4.)].map(Point::from)).unwrap();
        assert!(line.min_width().width_mm.abs() < 1e-12);
        let dot = Outline::polygon(&[Point::new(3., 4.)]).unwrap();
        assert_eq!(dot.min_width(), MinWidth { width_mm: 0.0, turn_rad: 0.0 });
        // The least width of an equilateral triangle is its height.
        let tall = 10.0 * 3.0_f64.sqrt() / 2.0;
        let tri = Outline::polygon(&[(0., 0.), (10., 0.), (5., tall)].map(Point::from)).unwrap();
        assert!((tri.min_width().width_mm - tall).abs() < 1e-12);
    }
}
