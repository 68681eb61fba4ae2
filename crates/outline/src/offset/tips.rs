//! Puts the tips of slivers where they truly are.
//!
//! Where two sides of an offset meet at a sharp angle, chords within the tolerance of them
//! meet many tolerances from where the sides do. The true tip is as far from either side of
//! the source as the distance says, and is found by stepping there (Newton's method).

use kurbo::{ParamCurve, ParamCurveNearest, PathSeg, Point, Rect, Vec2};

use super::bounds::Bounds;
use super::chain::GridPoint;
use super::frame::Frame;
use super::hairs::Zones;
use super::thread::grid_point;
use super::trim::Judge;

/// Corners that turn back more than this (cosine of the turn) are tips. Chords on the
/// tolerance that meet less sharply meet within two and a half tolerances of the truth.
const SHARP: f64 = -0.7;
/// The most steps towards a tip.
const STEPS: usize = 8;
/// How often a side that reaches for a tip is halved.
const DEEPEST: u32 = 5;
/// How far from a tip on chords its source is looked for, in distances, besides [`LOST`]. What
/// a search that leads further away comes to is held against the whole source afterwards.
const FAR: f64 = 1.25;
/// How many segments in a row share a box.
const GROUP: usize = 32;
/// How near the nearest points of the source are found, as parameters (that is what kurbo takes
/// accuracies for here).
const NEAREST: f64 = 1e-8;

/// How far, in tolerances, from a tip on chords the true one is looked for by finer chords.
const LOST: f64 = 16.0;

/// What becomes of a tip.
enum Tip {
    /// It lies no further out than it should, within the tolerance of both sides.
    Stays,
    /// These points take its place.
    Moves(Vec<Point>),
    /// The true one can't be found from here.
    Lost,
}

/// Moves the tips of rings of an offset of `segs`, millimetres as `frame` has them; all else
/// in grid steps. Returns where tips are that it can't find, but for those that the zones
/// have seen to already.
pub(super) fn sharpen(
    rings: &mut [Vec<GridPoint>],
    (segs, frame): (&[PathSeg], &Frame),
    distance: f64,
    judge: &Judge<'_>,
    zones: &Zones,
) -> Vec<Bounds> {
    let mut groups: Option<Groups<'_>> = None;
    let mut lost = Vec::new();
    let reach = (LOST * zones.coarsest()).ceil() as i32;
    for ring in rings {
        let mut i = 0;
        let Some(mut before) = ring.last().copied() else { continue };
        let mut into = way(before, ring[0]);
        while i < ring.len() {
            let tip = ring[i];
            let after = ring[if i + 1 < ring.len() { i + 1 } else { 0 }];
            let out = way(tip, after);
            if !is_sharp(into, out) {
                (before, into) = (tip, out);
                i += 1;
                continue;
            }
            let here = Bounds::of(tip, tip).grown(reach);
            if zones.is_coarse(here) {
                let groups = groups.get_or_insert_with(|| Groups::of(segs));
                let far = FAR * distance.abs() + LOST * zones.coarsest();
                let near = groups.near(frame.to_mm(tip), far / frame.per_mm());
                let source = Source::of(
                    near.iter().map(|seg| frame.seg_to_grid(seg)),
                    distance,
                    zones.coarsest(),
                );
                match source.tip(place(before), place(tip), place(after)) {
                    Tip::Stays => {}
                    Tip::Lost => lost.push(here),
                    Tip::Moves(way) => {
                        let way: Vec<GridPoint> = way.into_iter().map(grid_point).collect();
                        if judge.is_true_way(before, &way, after) {
                            let count = way.len();
                            ring.splice(i..=i, way);
                            i += count - 1;
                        } else {
                            lost.push(here);
                        }
                    }
                }
            }
            before = ring[i];
            into = way(before, after);
            i += 1;
        }
    }
    lost
}

fn place(p: GridPoint) -> Point {
    Point::new(p.x.into(), p.y.into())
}

fn way(a: GridPoint, b: GridPoint) -> Vec2 {
    place(b) - place(a)
}

fn is_sharp(into: Vec2, out: Vec2) -> bool {
    let cosine = into.dot(out);
    cosine < 0.0 && cosine < SHARP * (into.hypot2() * out.hypot2()).sqrt()
}

/// Segments in a row under common boxes, to find those near a place.
struct Groups<'a> {
    segs: &'a [PathSeg],
    boxes: Vec<Rect>,
}

impl<'a> Groups<'a> {
    fn of(segs: &'a [PathSeg]) -> Self {
        let boxes = segs
            .chunks(GROUP)
            .map(|group| group.iter().map(hull).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO));
        Self { segs, boxes: boxes.collect() }
    }

    /// The segments whose boxes come within a reach of a place.
    fn near(&self, p: Point, reach: f64) -> Vec<PathSeg> {
        let is_near = |bounds: Rect| bounds.inflate(reach, reach).contains(p);
        let groups = self.segs.chunks(GROUP).zip(&self.boxes);
        let groups = groups.filter(|(_, bounds)| is_near(**bounds));
        groups.flat_map(|(group, _)| group).filter(|seg| is_near(hull(seg))).copied().collect()
    }
}

/// The box of a segment's defining points.
fn hull(seg: &PathSeg) -> Rect {
    match seg {
        PathSeg::Line(l) => Rect::from_points(l.p0, l.p1),
        _ => {
            let c = seg.to_cubic();
            Rect::from_points(c.p0, c.p3).union_pt(c.p1).union_pt(c.p2)
        }
    }
}

/// What lies near a tip of the source a ring was offset from, with its boxes.
struct Source {
    segs: Vec<(PathSeg, Rect)>,
    /// Positive if the source lies to the left of the ring.
    distance: f64,
    tolerance: f64,
}

impl Source {
    fn of(segs: impl Iterator<Item = PathSeg>, distance: f64, tolerance: f64) -> Self {
        Self { segs: segs.map(|seg| (seg, hull(&seg))).collect(), distance, tolerance }
    }

    fn tip(&self, before: Point, tip: Point, after: Point) -> Tip {
        let (into, out) = (tip - before, after - tip);
        let Some(better) = self.true_tip(tip) else { return Tip::Lost };
        let moved = better - tip;
        if moved.dot(into) <= 0.0 || moved.dot(out) >= 0.0 {
            return Tip::Stays;
        }
        let mut way = Vec::new();
        let whole = self.side(before, better, into, 0, &mut way).is_some() && {
            way.push(better);
            self.side(better, after, out, 0, &mut way).is_some()
        };
        if whole { Tip::Moves(way) } else { Tip::Lost }
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
        let [one, other] = self.both_sides(middle)?;
        let from_source = if along.cross(one) * self.distance < 0.0 { one } else { other };
        let reach = self.distance.abs();
        let short = reach - from_source.hypot();
        if short.abs() <= self.tolerance {
            return Some(());
        }
        if depth >= DEEPEST || short.abs() > reach / 2.0 {
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
        let (reach, mut tip) = (self.distance.abs(), from);
        for _ in 0..STEPS {
            let [one, other] = self.both_sides(tip)?;
            let (short, shorter) = (reach - one.hypot(), reach - other.hypot());
            if short.abs().max(shorter.abs()) < self.tolerance / 64.0 {
                return Some(tip);
            }
            let (u, v) = (one.normalize(), other.normalize());
            let step = Vec2::new(short * v.y - shorter * u.y, shorter * u.x - short * v.x);
            let step = step / u.cross(v);
            // No further than the source is, which also holds for no number at all.
            if step.hypot2() < reach * reach {
                tip += step;
            } else {
                return None;
            }
        }
        None
    }

    /// The ways to a point from the nearest points of the source on both sides of it.
    fn both_sides(&self, p: Point) -> Option<[Vec2; 2]> {
        let one = self.nearest_way(p, |_| true)?;
        let other = self.nearest_way(p, |way| way.dot(one) < 0.0)?;
        (one.hypot2() > 0.0 && other.hypot2() > 0.0).then_some([one, other])
    }

    /// The shortest way to a point from the source, of those that are wanted.
    fn nearest_way(&self, p: Point, wanted: impl Fn(Vec2) -> bool) -> Option<Vec2> {
        let shorter = |a: Vec2, b: Vec2| if b.hypot2() < a.hypot2() { b } else { a };
        // The nearest node first, so that few segments need a closer look.
        let ways = self.segs.iter().map(|(seg, _)| p - seg.start());
        let node = ways.filter(|way| wanted(*way)).reduce(shorter);
        self.segs.iter().fold(node, |best, (seg, bounds)| {
            let off = p - Point::new(
                p.x.max(bounds.x0).min(bounds.x1),
                p.y.max(bounds.y0).min(bounds.y1),
            );
            if best.is_some_and(|best| best.hypot2() <= off.hypot2()) {
                return best;
            }
            let way = p - seg.eval(seg.nearest(p, NEAREST).t);
            if wanted(way) { Some(best.map_or(way, |best| shorter(best, way))) } else { best }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::offset::chain::Chain;
    use kurbo::{BezPath, Line};

    /// A needle of two straight sides that meet at (0, 0), each leaning by a sixth.
    const NEEDLE: &str = "M0 0 L600000 -100000 L600000 100000 Z";

    fn sharpened(ring: &[(i32, i32)], distance: f64) -> (Vec<(i32, i32)>, usize) {
        let needle: Vec<PathSeg> = BezPath::from_svg(NEEDLE).unwrap().segments().collect();
        let source: Vec<GridPoint> = needle.iter().map(|s| grid_point(s.start())).collect();
        let chain = Chain::new(&source);
        let judge = Judge::new(&chain, distance, 100.0);
        let frame = Frame::around(&needle, 0.0).unwrap();
        let mut rings = vec![ring.iter().map(|c| GridPoint::new(c.0, c.1)).collect()];
        let lost = sharpen(&mut rings, (&needle, &frame), distance, &judge, &Zones::none(100.0));
        (rings[0].iter().map(|p: &GridPoint| (p.x, p.y)).collect(), lost.len())
    }

    #[test]
    fn corners_that_are_not_sharp_stay() {
        let square = [(0, 0), (1000, 0), (1000, 1000), (0, 1000)];
        assert_eq!(sharpened(&square, -100.0), (square.to_vec(), 0));
    }

    #[test]
    fn steps_lead_to_the_true_tip() {
        // Shrunk by 10000, the needle's tip is where both sides are that far: 10000 / sin(a).
        let needle = BezPath::from_svg(NEEDLE).unwrap();
        let source = Source::of(needle.segments(), -10_000.0, 100.0);
        let want = 10_000.0 * 37.0_f64.sqrt();
        let tip = source.true_tip(Point::new(want + 700.0, 3.0)).unwrap();
        assert!(tip.distance(Point::new(want, 0.0)) < 20.0, "{tip:?}");
        // From a tip too far in, the way leads over it.
        let inner = |y: f64| Point::new(want + 60_700.0, y);
        let moved = source.tip(
            inner(60_700.0 / 6.0),
            Point::new(want + 700.0, 0.0),
            inner(-60_700.0 / 6.0),
        );
        let Tip::Moves(way) = moved else { panic!("it moves outward") };
        assert!(way.iter().any(|p| p.distance(Point::new(want, 0.0)) < 20.0));
    }

    #[test]
    fn nearest_ways_are_found_on_curves_of_any_size() {
        // Half a circle's worth of bulge on a chord of 2e8 steps: the nearest point is its top.
        let bow = BezPath::from_svg("M0 0 C0 100000000 200000000 100000000 200000000 0 Z");
        let bow: Vec<PathSeg> = bow.unwrap().segments().collect();
        let source = Source::of(bow.into_iter(), -1e6, 100.0);
        let way = source.nearest_way(Point::new(1e8, 8e7), |_| true).unwrap();
        assert!((way - Vec2::new(0.0, 5e6)).hypot() < 100.0, "{way:?}");
        // And of those below, that on the closing line.
        let way = source.nearest_way(Point::new(1e8, 7e7), |way| way.y > 0.0).unwrap();
        assert!((way - Vec2::new(0.0, 7e7)).hypot() < 100.0, "{way:?}");
    }

    #[test]
    fn groups_leave_out_nothing_near() {
        let corner = |i: u32| Point::new(f64::from(i), f64::from(i % 7));
        let segs: Vec<PathSeg> =
            (0..200).map(|i| PathSeg::Line(Line::new(corner(i), corner(i + 1)))).collect();
        let groups = Groups::of(&segs);
        for at in [-5.0, 31.5, 100.0, 203.0] {
            let p = Point::new(at, 3.0);
            let want: Vec<PathSeg> = segs
                .iter()
                .filter(|seg| hull(seg).inflate(4.0, 4.0).contains(p))
                .copied()
                .collect();
            assert_eq!(groups.near(p, 4.0), want);
        }
    }
}
