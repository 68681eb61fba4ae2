//! The nearest place of an outline to a point, and the webs of circles.

use crate::outline::Outline;
use crate::roots::{each_root, multiply};
use crate::segment::{box_distance_sq, control_box};
use kurbo::{Circle, CubicBez, Line, ParamCurve, PathSeg, Point, Rect};
use std::cell::Cell;

/// The place of an outline that is nearest to a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// The place itself.
    pub at: Point,
    /// Its distance from the point asked for, in millimetres.
    pub distance_mm: f64,
    /// Index of the segment it lies on.
    pub segment: usize,
    /// Where on that segment, from 0 at its start to 1 at its end.
    pub t: f64,
}

impl Outline {
    /// The nearest place of the outline to `p`: every foot of a perpendicular is solved for,
    /// so the result is exact to rounding. Of several equally near, the first.
    pub fn nearest(&self, p: Point) -> Nearest {
        let mut best = nearest_node(self, p);
        let Some(tree) = self.tree() else {
            for (segment, seg) in self.segs().iter().enumerate() {
                let reach = best.distance_mm * best.distance_mm;
                if box_distance_sq(&control_box(seg), p) < reach {
                    nearest_on(seg, segment, p, &mut best);
                }
            }
            return best;
        };
        // In the same order, so that of several equally near it is the same one.
        let reach = Cell::new(best.distance_mm * best.distance_mm);
        let near = |r: &Rect| box_distance_sq(r, p) < reach.get();
        tree.each(near, |segment| {
            nearest_on(&self.segs()[segment], segment, p, &mut best);
            reach.set(best.distance_mm * best.distance_mm);
        });
        best
    }

    /// The web of a circle: the least distance from it to the outline, in millimetres, when
    /// its centre lies inside. Negative when the circle breaks the outline: the depth by which
    /// it does, and for a centre outside `-(distance + radius)`.
    pub fn web(&self, c: Circle) -> f64 {
        let distance_mm = self.nearest(c.center).distance_mm;
        if self.contains(c.center) { distance_mm - c.radius } else { -(distance_mm + c.radius) }
    }
}

/// The gap between two circles in millimetres, negative by their overlap.
pub fn circle_gap(a: Circle, b: Circle) -> f64 {
    a.center.distance(b.center) - a.radius - b.radius
}

/// The nearest node, as a bound to start from.
pub(crate) fn nearest_node(outline: &Outline, p: Point) -> Nearest {
    let off = |segment: usize| outline.segs()[segment].start().distance_squared(p);
    let mut best = (f64::INFINITY, 0);
    let mut offer = |segment: usize| {
        let distance_sq = off(segment);
        if distance_sq < best.0 {
            best = (distance_sq, segment);
        }
    };
    match outline.tree() {
        None => (0..outline.segs().len()).for_each(offer),
        Some(tree) => {
            let apart = |r: &Rect| box_distance_sq(r, p);
            let min =
                -tree.visit_best_first(f64::NEG_INFINITY, |r| -apart(r), |segment| -off(segment));
            // Of several the first.
            tree.each(|r| apart(r) <= min, &mut offer);
        }
    }
    let at = outline.segs()[best.1].start();
    Nearest { at, distance_mm: at.distance(p), segment: best.1, t: 0.0 }
}

/// Betters `best` by the places of one segment.
pub(crate) fn nearest_on(seg: &PathSeg, segment: usize, p: Point, best: &mut Nearest) {
    let mut offer = |at: Point, t: f64| {
        let distance_mm = at.distance(p);
        if distance_mm < best.distance_mm {
            *best = Nearest { at, distance_mm, segment, t };
        }
    };
    offer(seg.start(), 0.0);
    offer(seg.end(), 1.0);
    match seg {
        PathSeg::Line(l) => {
            if let Some(t) = foot_on_line(*l, p) {
                offer(l.eval(t), t);
            }
        }
        PathSeg::Quad(q) => {
            let c = q.raise();
            each_foot(&c, p, &mut |t| offer(c.eval(t), t));
        }
        PathSeg::Cubic(c) => each_foot(c, p, &mut |t| offer(c.eval(t), t)),
    }
}

fn foot_on_line(l: Line, p: Point) -> Option<f64> {
    let chord = l.p1 - l.p0;
    let t = chord.dot(p - l.p0) / chord.hypot2();
    (t > 0.0 && t < 1.0).then_some(t)
}

/// Parameters where the way from `p` is square to the curve: the roots of (B − p)·B′, a
/// polynomial of degree five.
pub(crate) fn each_foot(c: &CubicBez, p: Point, found: &mut impl FnMut(f64)) {
    let arms = [c.p0 - p, c.p1 - p, c.p2 - p, c.p3 - p];
    let chords = [c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2];
    let (mut xs, mut ys) = ([0.0; 6], [0.0; 6]);
    multiply(&arms.map(|v| v.x), &chords.map(|v| v.x), &mut xs);
    multiply(&arms.map(|v| v.y), &chords.map(|v| v.y), &mut ys);
    let mut sum = xs;
    for (s, y) in sum.iter_mut().zip(ys) {
        *s += y;
    }
    each_root(sum, found);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plate() -> Outline {
        Outline::polygon(&[(0., 0.), (40., 0.), (40., 20.), (0., 20.)].map(Point::from)).unwrap()
    }

    #[test]
    fn webs_tell_inside_from_outside() {
        assert_eq!(plate().web(Circle::new((10., 8.), 3.0)), 5.0);
        assert_eq!(plate().web(Circle::new((10., 2.), 3.0)), -1.0);
        assert_eq!(plate().web(Circle::new((10., -2.), 3.0)), -5.0);
        assert_eq!(circle_gap(Circle::new((0., 0.), 1.), Circle::new((3., 4.), 2.)), 2.0);
        assert!(circle_gap(Circle::new((0., 0.), 1.), Circle::new((1., 0.), 2.)) < 0.0);
    }

    #[test]
    fn a_curve_that_stops_dead_hides_no_foot() {
        // At its end the derivative is 1e-10: the last coefficient is as good as 0.
        let c = CubicBez::new((0., 0.), (0.5, 0.), (0.75, -2.5e-11), (0.75, -3.75e-11));
        let p = Point::new(0.6, 0.0);
        let mut near = Nearest { at: p, distance_mm: f64::INFINITY, segment: 0, t: 0.0 };
        nearest_on(&PathSeg::Cubic(c), 0, p, &mut near);
        assert!(near.distance_mm < 1e-9, "{near:?}");
    }

    #[test]
    fn nearest_gives_its_place() {
        let near = plate().nearest(Point::new(30., 18.));
        assert_eq!((near.segment, near.at), (2, Point::new(30., 20.)));
        assert!((near.t - 0.25).abs() < 1e-15);
    }
}
