//! The least width over all directions.

use crate::closed::Outline;
use crate::index::{BoxTree, box_reach};
use crate::measure::farthest;
use crate::segment::{control_box, cubic};
use crate::tolerance::CHORD_MM;
use kurbo::{ParamCurve, PathSeg, Point, Vec2};
use std::f64::consts::{FRAC_PI_2, PI};

/// The least width of an outline over all directions, and how to turn it there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeastWidth {
    /// The least width in millimetres.
    pub width_mm: f64,
    /// The angle in radians, counter-clockwise, by which to rotate the outline so that this
    /// width lies along y; above −π/2, at most π/2. Of several directions equally narrow the
    /// one that takes the smallest turn.
    pub turn_rad: f64,
}

/// Widths that differ by less than this share of themselves are the same.
const SAME_SHARE: f64 = 1e-10;
/// A bracket of directions is narrow enough at this angle, in radians.
const FINE_RAD: f64 = 1e-11;

impl Outline {
    /// The least width over all directions.
    ///
    /// A hull of short chords gives every direction that can matter (its width is too small by
    /// less than two sagittas); among those the width of the curves themselves is minimised.
    pub fn least_width(&self) -> LeastWidth {
        let support = Support::new(self.segs());
        let flush = flush_directions(&hull(chords(self.segs())));
        let upright = (FRAC_PI_2, support.width(FRAC_PI_2));
        let mut best = upright;
        let lowest = flush.iter().enumerate().min_by(|a, b| a.1.1.total_cmp(&b.1.1));
        if let Some((k, _)) = lowest {
            take(&mut best, support.narrowest(around(&flush, k)));
        }
        let promising: Vec<usize> =
            (0..flush.len()).filter(|k| flush[*k].1 <= best.1 * (1.0 + SAME_SHARE)).collect();
        let exact: Vec<f64> = promising.iter().map(|k| support.width(flush[*k].0)).collect();
        for (i, &k) in promising.iter().enumerate() {
            let beside = |j: Option<usize>, at: usize| {
                j.filter(|j| promising.get(*j) == Some(&at)).map_or(f64::INFINITY, |j| exact[j])
            };
            let before = beside(i.checked_sub(1), k.wrapping_sub(1));
            let after = beside(Some(i + 1), k + 1);
            if exact[i] <= before && exact[i] <= after {
                take(&mut best, support.narrowest(around(&flush, k)));
            }
        }
        LeastWidth { width_mm: best.1, turn_rad: turn_to_y(best.0) }
    }
}

/// The turn that brings a direction (given up to half a turn) onto y.
fn turn_to_y(direction_rad: f64) -> f64 {
    let turn = (FRAC_PI_2 - direction_rad).rem_euclid(PI);
    if turn > FRAC_PI_2 { turn - PI } else { turn }
}

/// Takes the narrower; of two equally narrow the smaller turn.
fn take(best: &mut (f64, f64), other: (f64, f64)) {
    let same = SAME_SHARE * best.1;
    let smaller = turn_to_y(other.0).abs() < turn_to_y(best.0).abs();
    if other.1 < best.1 - same || (other.1 <= best.1 + same && smaller) {
        *best = other;
    }
}

/// The directions beside the one with index `k` among those flush with the hull.
fn around(flush: &[(f64, f64)], k: usize) -> (f64, f64, f64) {
    let count = flush.len();
    let low = if k == 0 { flush[count - 1].0 - PI } else { flush[k - 1].0 };
    let high = if k + 1 == count { flush[0].0 + PI } else { flush[k + 1].0 };
    (low, flush[k].0, high)
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

    fn width(&self, direction_rad: f64) -> f64 {
        let along = Vec2::from_angle(direction_rad);
        self.reach(along) + self.reach(-along)
    }

    fn reach(&self, along: Vec2) -> f64 {
        let of = |i: usize| farthest(std::iter::once(&self.segs[i]), along);
        self.tree.best(f64::NEG_INFINITY, |r| box_reach(r, along), of)
    }

    /// The narrowest direction of a bracket, by golden sections on both sides of its middle.
    fn narrowest(&self, bracket: (f64, f64, f64)) -> (f64, f64) {
        let (low, mid, high) = bracket;
        let mut best = (mid, self.width(mid));
        for (a, b) in [(low, mid), (mid, high)] {
            let found = self.section(a, b);
            if found.1 < best.1 {
                best = found;
            }
        }
        best
    }

    fn section(&self, low: f64, high: f64) -> (f64, f64) {
        const SHARE: f64 = 0.618_033_988_749_894_9;
        let (mut a, mut b) = (low, high);
        let (mut c, mut d) = (b - SHARE * (b - a), a + SHARE * (b - a));
        let (mut wc, mut wd) = (self.width(c), self.width(d));
        while b - a > FINE_RAD {
            if wc <= wd {
                (b, d, wd) = (d, c, wc);
                c = b - SHARE * (b - a);
                wc = self.width(c);
            } else {
                (a, c, wc) = (c, d, wd);
                d = a + SHARE * (b - a);
                wd = self.width(d);
            }
        }
        if wc <= wd { (c, wc) } else { (d, wd) }
    }
}

/// Points along the segments, near enough for chords between them to miss the curve by no
/// more than [`CHORD_MM`].
fn chords(segs: &[PathSeg]) -> Vec<Point> {
    let mut all = Vec::with_capacity(8 * segs.len());
    for seg in segs {
        all.push(seg.start());
        if let PathSeg::Cubic(_) = seg {
            let c = cubic(seg);
            let bow = ((c.p2 - c.p1) - (c.p1 - c.p0))
                .hypot()
                .max(((c.p3 - c.p2) - (c.p2 - c.p1)).hypot());
            let pieces = (6.0 * bow / (8.0 * CHORD_MM)).sqrt().ceil().clamp(1.0, 1e4) as usize;
            all.extend((1..pieces).map(|i| c.eval(i as f64 / pieces as f64)));
        }
    }
    all
}

/// Convex hull, counter-clockwise, by Andrew's monotone chains.
fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_unstable_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let mut ring: Vec<Point> = Vec::with_capacity(64);
    for pass in 0..2 {
        let floor = ring.len() + 1;
        let mut add = |p: Point| {
            while ring.len() > floor {
                let (a, b) = (ring[ring.len() - 2], ring[ring.len() - 1]);
                if (b - a).cross(p - b) > 0.0 {
                    break;
                }
                ring.pop();
            }
            ring.push(p);
        };
        if pass == 0 {
            points.iter().for_each(|p| add(*p));
        } else {
            points.iter().rev().for_each(|p| add(*p));
        }
        ring.pop();
    }
    ring
}

/// For each side of the hull: its normal (0 to π) and the hull's width along it, by rising
/// direction.
fn flush_directions(ring: &[Point]) -> Vec<(f64, f64)> {
    let count = ring.len();
    if count < 2 {
        return vec![];
    }
    let mut far = 1;
    let mut all: Vec<(f64, f64)> = (0..count)
        .map(|k| {
            let (a, b) = (ring[k], ring[(k + 1) % count]);
            let inward = Vec2::new(a.y - b.y, b.x - a.x).normalize();
            let depth = |j: usize| inward.dot(ring[j % count] - a);
            let mut steps = 0;
            while depth(far + 1) >= depth(far) && steps < count {
                far = (far + 1) % count;
                steps += 1;
            }
            (inward.atan2().rem_euclid(PI), depth(far))
        })
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all
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
            let least = plate.transformed(Affine::rotate(turn)).least_width();
            assert!((least.width_mm - 25.0).abs() < 1e-9, "{least:?}");
            assert!((least.turn_rad + turn).abs() < 1e-9, "{turn} {least:?}");
        }
        let square = Outline::polygon(&[(0., 0.), (9., 0.), (9., 9.), (0., 9.)].map(Point::from));
        assert_eq!(square.unwrap().least_width(), LeastWidth { width_mm: 9.0, turn_rad: 0.0 });
    }

    #[test]
    fn closed_form_reuleaux_and_needle() {
        let line = Outline::polygon(&[(0., 0.), (3., 4.)].map(Point::from)).unwrap();
        assert!(line.least_width().width_mm.abs() < 1e-12);
        let dot = Outline::polygon(&[Point::new(3., 4.)]).unwrap();
        assert_eq!(dot.least_width(), LeastWidth { width_mm: 0.0, turn_rad: 0.0 });
        // The least width of an equilateral triangle is its height.
        let tall = 10.0 * 3.0_f64.sqrt() / 2.0;
        let tri = Outline::polygon(&[(0., 0.), (10., 0.), (5., tall)].map(Point::from)).unwrap();
        assert!((tri.least_width().width_mm - tall).abs() < 1e-12);
    }
}
