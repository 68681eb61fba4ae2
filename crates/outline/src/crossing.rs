//! Where a straight line crosses an outline: inside tests, chords, local width.

use crate::outline::Outline;
use crate::roots::{bracketed, each_root};
use crate::segment::control_box;
use kurbo::{Line, ParamCurve, PathSeg, Point, Rect, Vec2};

/// A place where a straight line crosses an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineCrossing {
    /// The place.
    pub at: Point,
    /// Index of the segment crossed.
    pub segment: usize,
    /// Where on that segment, from 0 to 1.
    pub t: f64,
    /// Distance along the line from its first point, in millimetres; negative before it.
    pub along_mm: f64,
}

impl Outline {
    /// Where the endless straight line through both points of `line` crosses the outline, in
    /// order along it.
    ///
    /// Each passage from one side to the other is given once, also through a node; merely
    /// touching the line gives none or two. A line without length crosses nothing.
    pub fn crossings_with(&self, line: Line) -> Vec<LineCrossing> {
        self.passages(line).into_iter().map(|(crossing, _)| crossing).collect()
    }

    /// The same, each with whether the outline goes to the left of the line there.
    fn passages(&self, line: Line) -> Vec<(LineCrossing, bool)> {
        let along = (line.p1 - line.p0).normalize();
        let mut all = vec![];
        if !along.is_finite() {
            return all;
        }
        let look = |segment: usize| {
            let seg = &self.segs()[segment];
            each_passage(seg, line.p0, along, &mut |t, left| {
                let at = seg.eval(t);
                let along_mm = along.dot(at - line.p0);
                all.push((LineCrossing { at, segment, t, along_mm }, left));
            });
        };
        match self.tree() {
            None => (0..self.segs().len()).for_each(look),
            Some(tree) => tree.each(|r| has_both_sides(r, line.p0, along), look),
        }
        all.sort_by(|(a, _), (b, _)| a.along_mm.total_cmp(&b.along_mm));
        all
    }

    /// The stretches of the endless straight line through both points of `line` that lie inside
    /// the outline, in order along it.
    pub fn inside_intervals(&self, line: Line) -> Vec<(Point, Point)> {
        let all = self.passages(line);
        let mut inside = vec![];
        // Before the first passage the outline winds round nothing; each changes that by one.
        let mut turns = 0;
        for pair in all.windows(2) {
            let [(from, left), (to, _)] = pair else { continue };
            turns += if *left { 1 } else { -1 };
            if turns != 0 && to.along_mm > from.along_mm {
                inside.push((from.at, to.at));
            }
        }
        inside
    }

    /// The nearest places of the outline before and behind `p` on the straight line through
    /// it: the first against `direction`, the second along it. `None` unless there are both.
    ///
    /// For `p` inside, their distance is the width of the material there.
    pub fn chord(&self, p: Point, direction: Vec2) -> Option<(Point, Point)> {
        let all = self.crossings_with(Line::new(p, p + direction));
        let before = all.iter().rev().find(|c| c.along_mm <= 0.0)?;
        let after = all.iter().find(|c| c.along_mm > 0.0)?;
        Some((before.at, after.at))
    }

    /// Whether `p` lies inside the outline (is wound round by it). On the outline itself
    /// either answer may come.
    ///
    /// Nodes, horizontal tangents and zero-length segments don't fool it: a stretch counts
    /// when it runs from below `p` to at least its height or back, judged at shared nodes
    /// from the same coordinates.
    pub fn contains(&self, p: Point) -> bool {
        let Some(tree) = self.tree() else {
            let turns: i32 = self.segs().iter().map(|seg| windings(seg, p)).sum();
            return turns != 0;
        };
        let mut turns = 0;
        tree.each(|r| meets_ray(r, p), |segment| turns += windings(&self.segs()[segment], p));
        turns != 0
    }
}

/// Whether a box reaches to the ray from `p` towards greater x.
fn meets_ray(r: &Rect, p: Point) -> bool {
    !(r.y0 >= p.y || r.y1 < p.y || r.x1 < p.x)
}

/// Whether a box lies on both sides of a line, heights of exactly 0 counted as left: where its
/// corners don't, nothing in it does, to the last bit, for rounding keeps order.
fn has_both_sides(r: &Rect, origin: Point, along: Vec2) -> bool {
    let corners = [(r.x0, r.y0), (r.x1, r.y0), (r.x0, r.y1), (r.x1, r.y1)];
    let heights = corners.map(|corner| along.cross(Point::from(corner) - origin));
    heights.iter().any(|h| *h < 0.0) && heights.iter().any(|h| *h >= 0.0)
}

/// How often the segment passes the ray from `p` towards greater x upward, less downward.
pub(crate) fn windings(seg: &PathSeg, p: Point) -> i32 {
    if !meets_ray(&control_box(seg), p) {
        return 0;
    }
    let mut turns = 0;
    each_passage(seg, p, Vec2::new(1.0, 0.0), &mut |t, up| {
        if seg.eval(t).x > p.x {
            turns += if up { 1 } else { -1 };
        }
    });
    turns
}

/// Calls `found` with the parameter of each passage of the segment through the line, and
/// whether it goes to the left of `along`. Heights of exactly 0 count as left.
pub(crate) fn each_passage(
    seg: &PathSeg,
    origin: Point,
    along: Vec2,
    found: &mut impl FnMut(f64, bool),
) {
    let height = |p: Point| along.cross(p - origin);
    match seg {
        PathSeg::Line(l) => {
            let (a, b) = (height(l.p0), height(l.p1));
            if (a < 0.0) != (b < 0.0) {
                found(a / (a - b), b >= 0.0);
            }
        }
        PathSeg::Quad(q) => each_passage(&PathSeg::Cubic(q.raise()), origin, along, found),
        PathSeg::Cubic(c) => {
            let h = [height(c.p0), height(c.p1), height(c.p2), height(c.p3)];
            if h.iter().all(|v| *v < 0.0) || h.iter().all(|v| *v >= 0.0) {
                return;
            }
            // Between its extremes the height is monotone: at most one passage each.
            let slopes = [h[1] - h[0], h[2] - h[1], h[3] - h[2]];
            let mut from = (0.0, h[0]);
            let mut step = |to: (f64, f64)| {
                if (from.1 < 0.0) != (to.1 < 0.0) {
                    found(passage(&h, from, to), to.1 >= 0.0);
                }
                from = to;
            };
            each_root(slopes, &mut |t| step((t, crate::roots::value(&h, t))));
            step((1.0, h[3]));
        }
    }
}

/// The parameter between two of differing sign at which the height is 0.
fn passage(h: &[f64; 4], from: (f64, f64), to: (f64, f64)) -> f64 {
    let part = crate::roots::part(h, from.0, to.0);
    let bracket = [from.1, part[1], part[2], to.1];
    from.0 + (to.0 - from.0) * bracketed(&bracket)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nearest::{Nearest, nearest_on};
    use crate::segment::box_distance_sq;
    use kurbo::CubicBez;
    use proptest::prelude::*;

    /// A ring of arcs and lines of many segments, some without length.
    fn wheel(count: u32) -> Outline {
        let at = |i: u32| {
            let turn = std::f64::consts::TAU * f64::from(i) / f64::from(count);
            Point::ORIGIN + Vec2::from_angle(turn) * if i.is_multiple_of(2) { 20.0 } else { 13.0 }
        };
        let off = |p: Point, by: f64| (by * p.to_vec2()).to_point();
        let seg = |i: u32| {
            let (a, b) = (at(i), at((i + 1) % count));
            match i % 3 {
                0 => PathSeg::Line(Line::new(a, b)),
                1 => PathSeg::Cubic(CubicBez::new(a, off(a.lerp(b, 0.4), 1.1), b, b)),
                _ => PathSeg::Cubic(CubicBez::new(a, a, off(a.lerp(b, 0.9), 0.8), b)),
            }
        };
        Outline::new((0..count).map(seg).collect()).unwrap()
    }

    proptest! {
        // Looking at every segment is the reference.
        #[test]
        fn a_tree_answers_as_looking_at_every_segment_does(
            x in -25.0..25.0, y in -25.0..25.0, turn in 0.0..6.3, on in any::<bool>(),
        ) {
            let outline = wheel(600);
            prop_assert!(outline.tree().is_some() && wheel(60).tree().is_none());
            let free = Point::new(x, y);
            let p = if on { outline.nearest(free).at } else { free };
            let turns: i32 = outline.segs().iter().map(|seg| windings(seg, p)).sum();
            prop_assert_eq!(outline.contains(p), turns != 0);
            let line = Line::new(p, p + Vec2::from_angle(turn));
            let along = (line.p1 - line.p0).normalize();
            let mut crossed = 0;
            for seg in outline.segs() {
                each_passage(seg, p, along, &mut |_, _| crossed += 1);
            }
            prop_assert_eq!(outline.crossings_with(line).len(), crossed);
            let first = outline.segs()[0].start();
            let mut near = Nearest { at: first, distance_mm: first.distance(p), segment: 0, t: 0.0 };
            for (i, node) in outline.nodes().enumerate() {
                if node.distance_squared(p) < near.at.distance_squared(p) {
                    near = Nearest { at: node, distance_mm: node.distance(p), segment: i, t: 0.0 };
                }
            }
            for (i, seg) in outline.segs().iter().enumerate() {
                if box_distance_sq(&control_box(seg), p) < near.distance_mm * near.distance_mm {
                    nearest_on(seg, i, p, &mut near);
                }
            }
            prop_assert_eq!(outline.nearest(p), near);
        }
    }

    #[test]
    fn lines_through_nodes_and_along_sides_keep_count() {
        let diamond =
            Outline::polygon(&[(10., 0.), (0., 10.), (-10., 0.), (0., -10.)].map(Point::from))
                .unwrap();
        let across = diamond.crossings_with(Line::new((-20., 0.), (-19., 0.)));
        assert_eq!(across.len(), 2);
        assert_eq!((across[0].along_mm, across[1].along_mm), (10.0, 30.0));
        for x in [-12., -10.5, -9.5, 0., 9.5, 10.5, 12.] {
            assert_eq!(diamond.contains(Point::new(x, 0.0)), f64::abs(x) < 10.0, "{x}");
            assert!(!diamond.contains(Point::new(x, 10.0)), "{x}");
        }
        let inside = diamond.inside_intervals(Line::new((2., 0.), (2., 1.)));
        assert!(inside.len() == 1 && inside[0].0.y < inside[0].1.y);
        assert!(diamond.inside_intervals(Line::new((11., 0.), (11., 1.))).is_empty());
        // A comb whose teeth the line goes through: the gaps between are no inside.
        let tooth = |i: u32| [(2 * i, 9), (2 * i + 1, 9), (2 * i + 1, 0), (2 * i + 2, 0)];
        let mut comb: Vec<Point> =
            (0..50).flat_map(tooth).map(|(x, y)| (f64::from(x), f64::from(y)).into()).collect();
        comb.extend([Point::new(100., -1.), Point::new(0., -1.)]);
        let comb = Outline::polygon(&comb).unwrap();
        let inside = comb.inside_intervals(Line::new((0., 5.), (1., 5.)));
        assert_eq!(inside.len(), 50);
        for (i, (from, to)) in (0..).zip(inside) {
            assert_eq!((from.x, to.x), (f64::from(2 * i), f64::from(2 * i + 1)));
        }
        let chord = diamond.chord(Point::new(2., 1.), Vec2::new(0., 3.)).unwrap();
        assert_eq!(chord, (Point::new(2., -8.), Point::new(2., 8.)));
        assert!(diamond.chord(Point::new(11., 1.), Vec2::new(0., 3.)).is_none());
    }
}
