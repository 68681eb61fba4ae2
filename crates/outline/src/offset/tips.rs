//! Puts the tips of inward slivers where they truly are.
//!
//! Where two sides of an inward offset meet at a very sharp angle, chords within the tolerance
//! of them meet many tolerances from where the sides do. The true tip is as far from either
//! side of the source as the distance says, and is found by stepping there (Newton's method).

use kurbo::{ParamCurve, ParamCurveNearest, PathSeg, Point, Vec2};

use super::chain::GridPoint;
use super::thread::grid_point;
use super::trim::Judge;

/// Corners that turn back more than this (cosine of the turn) are tips.
const SHARP: f64 = -0.9;
/// The most steps towards a tip.
const STEPS: usize = 8;
/// How often a side that reaches for a tip is halved.
const DEEPEST: u32 = 5;
/// How near the nearest points of the source are found, in grid steps.
const NEAREST: f64 = 0.5;

/// Moves the tips of rings of an inward offset; `segs` is the source. All in grid steps.
pub(super) fn sharpen(
    rings: &mut [Vec<GridPoint>],
    segs: &[PathSeg],
    distance: f64,
    tolerance: f64,
    judge: &Judge<'_>,
) {
    if distance >= 0.0 {
        return;
    }
    let source = Source { segs, distance: -distance, tolerance };
    for ring in rings {
        let mut i = 0;
        while i < ring.len() {
            let n = ring.len();
            let [before, tip, after] = [(i + n - 1) % n, i, (i + 1) % n]
                .map(|k| Point::new(ring[k].x.into(), ring[k].y.into()));
            if is_sharp(tip - before, after - tip)
                && let Some(way) = source.way_over_tip(before, tip, after)
            {
                let way: Vec<GridPoint> = way.into_iter().map(grid_point).collect();
                let count = way.len();
                let (first, last) = (ring[(i + n - 1) % n], ring[(i + 1) % n]);
                if judge.is_true_way(first, &way, last) {
                    ring.splice(i..=i, way);
                    i += count;
                } else {
                    i += 1;
                }
            } else {
                i += 1;
            }
        }
    }
}

fn is_sharp(into: Vec2, out: Vec2) -> bool {
    let cosine = into.dot(out);
    cosine < 0.0 && cosine < SHARP * (into.hypot2() * out.hypot2()).sqrt()
}

/// The source a ring was offset from.
struct Source<'a> {
    segs: &'a [PathSeg],
    distance: f64,
    tolerance: f64,
}

impl Source<'_> {
    /// The points that take the place of a tip: the true tip, with what its sides need to
    /// reach it. None if it is found no further out: the tip there is lies within the
    /// tolerance of both sides.
    fn way_over_tip(&self, before: Point, tip: Point, after: Point) -> Option<Vec<Point>> {
        let (into, out) = (tip - before, after - tip);
        let better = self.true_tip(tip)?;
        let moved = better - tip;
        if moved.dot(into) <= 0.0 || moved.dot(out) >= 0.0 {
            return None;
        }
        let mut way = Vec::new();
        self.side(before, better, into, 0, &mut way)?;
        way.push(better);
        self.side(better, after, out, 0, &mut way)?;
        Some(way)
    }

    /// Adds points between two on the same side of a sliver, as the curve there needs them.
    fn side(
        &self,
        a: Point,
        b: Point,
        along: Vec2,
        depth: u32,
        way: &mut Vec<Point>,
    ) -> Option<()> {
        let middle = a.midpoint(b);
        // The source lies to the right.
        let [one, other] = self.both_sides(middle)?;
        let from_source = if along.cross(one) > 0.0 { one } else { other };
        let short = self.distance - from_source.hypot();
        if short.abs() <= self.tolerance {
            return Some(());
        }
        if depth >= DEEPEST || short.abs() > self.distance / 2.0 {
            return None;
        }
        let middle = middle + from_source.normalize() * short;
        self.side(a, middle, along, depth + 1, way)?;
        way.push(middle);
        self.side(middle, b, along, depth + 1, way)
    }

    /// The point at the distance from both sides of the source, near a point that is so but
    /// for the tolerance.
    fn true_tip(&self, from: Point) -> Option<Point> {
        let mut tip = from;
        for _ in 0..STEPS {
            let [one, other] = self.both_sides(tip)?;
            let (short, shorter) = (self.distance - one.hypot(), self.distance - other.hypot());
            if short.abs().max(shorter.abs()) < self.tolerance / 64.0 {
                return Some(tip);
            }
            let (u, v) = (one.normalize(), other.normalize());
            let step = Vec2::new(short * v.y - shorter * u.y, shorter * u.x - short * v.x);
            let step = step / u.cross(v);
            // No further than the source is, which also holds for no number at all.
            if step.hypot2() < self.distance * self.distance {
                tip += step;
            } else {
                return None;
            }
        }
        None
    }

    /// The ways to a point from the nearest points of the source on both sides of it.
    fn both_sides(&self, p: Point) -> Option<[Vec2; 2]> {
        let reach = 1.5 * self.distance;
        let ways: Vec<Vec2> = self
            .segs
            .iter()
            .filter(|seg| is_within(seg, p, reach))
            .map(|seg| p - seg.eval(seg.nearest(p, NEAREST).t))
            .collect();
        let nearest = |ways: &mut dyn Iterator<Item = &Vec2>| {
            ways.min_by(|a, b| a.hypot2().total_cmp(&b.hypot2())).copied()
        };
        let one = nearest(&mut ways.iter())?;
        let other = nearest(&mut ways.iter().filter(|way| way.dot(one) < 0.0))?;
        (one.hypot2() > 0.0 && other.hypot2() > 0.0).then_some([one, other])
    }
}

/// Whether the box of a segment's defining points comes within a reach of a point.
fn is_within(seg: &PathSeg, p: Point, reach: f64) -> bool {
    let c = seg.to_cubic();
    let hull = kurbo::Rect::from_points(c.p0, c.p3).union_pt(c.p1).union_pt(c.p2);
    hull.inflate(reach, reach).contains(p)
}
