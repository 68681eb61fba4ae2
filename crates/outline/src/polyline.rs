//! An open run as a fine polyline, and how far points lie from it.

use crate::box_tree::BoxTree;
use crate::segment::box_distance_sq;
use kurbo::{BezPath, Line, ParamCurve, ParamCurveNearest, PathEl, PathSeg, Point, Rect, Vec2};

/// An open run of segments, flattened, that answers for many points how far they lie from it.
///
/// Its corners lie on the run and its sides within the tolerance it was made with, so that
/// distances are right to that tolerance.
#[derive(Clone, Debug)]
pub struct Polyline {
    points: Vec<Point>,
    tree: BoxTree,
}

/// The place of a run nearest to a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PolylinePoint {
    /// The place itself.
    pub at: Point,
    /// Its distance from the point asked for, mm.
    pub distance_mm: f64,
    /// Unit direction of the run there.
    pub tangent: Vec2,
}

impl PolylinePoint {
    /// +1 when `p` lies to the left of the way along the run, −1 when to the right.
    pub fn side_of(&self, p: Point) -> f64 {
        if self.tangent.cross(p - self.at) >= 0.0 { 1.0 } else { -1.0 }
    }
}

/// Two runs are alike when their corners are.
impl PartialEq for Polyline {
    fn eq(&self, other: &Self) -> bool {
        self.points == other.points
    }
}

impl Polyline {
    /// A run of segments, each starting where the one before it ends, within `tolerance_mm`.
    /// `None` when it has no length or a coordinate is not finite.
    pub fn new(segs: &[PathSeg], tolerance_mm: f64) -> Option<Self> {
        let start = PathEl::MoveTo(segs.first()?.start());
        let path = std::iter::once(start).chain(segs.iter().map(PathSeg::as_path_el));
        let mut points: Vec<Point> = Vec::new();
        kurbo::flatten(path, tolerance_mm, |el| points.extend(el.end_point()));
        Self::through(points)
    }

    /// A run along a path, whose later subpaths are joined on by straight lines.
    pub fn from_path(path: &BezPath, tolerance_mm: f64) -> Option<Self> {
        let mut points: Vec<Point> = Vec::new();
        kurbo::flatten(path, tolerance_mm, |el| points.extend(el.end_point()));
        Self::through(points)
    }

    fn through(mut points: Vec<Point>) -> Option<Self> {
        points.dedup();
        if points.len() < 2 || points.iter().any(|p| !p.is_finite()) {
            return None;
        }
        let boxes: Vec<Rect> =
            points.windows(2).map(|side| Rect::from_points(side[0], side[1])).collect();
        Some(Self { tree: BoxTree::new(boxes.into_iter()), points })
    }

    /// The corners of the polyline, from one end to the other.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The place of the run nearest to `p`.
    pub fn nearest(&self, p: Point) -> PolylinePoint {
        let (side, t) = self.foot(p);
        let line = self.side(side);
        let at = line.eval(t);
        PolylinePoint { at, distance_mm: at.distance(p), tangent: (line.p1 - line.p0).normalize() }
    }

    fn side(&self, side: usize) -> Line {
        Line::new(self.points[side], self.points[side + 1])
    }

    /// The side that is nearest to `p`, and the parameter of the place on it.
    pub(crate) fn foot(&self, p: Point) -> (usize, f64) {
        let mut found = (0, 0.0);
        let mut min_sq = f64::INFINITY;
        self.tree.visit_best_first(
            f64::NEG_INFINITY,
            |r| -box_distance_sq(r, p),
            |side| {
                let near = self.side(side).nearest(p, 0.0);
                if near.distance_sq < min_sq {
                    (found, min_sq) = ((side, near.t), near.distance_sq);
                }
                -near.distance_sq
            },
        );
        found
    }

    /// How far `p` lies from the run, mm.
    pub fn distance(&self, p: Point) -> f64 {
        self.tree
            .visit_best_first(
                f64::NEG_INFINITY,
                |r| -box_distance_sq(r, p),
                |side| -self.side(side).nearest(p, 0.0).distance_sq,
            )
            .abs()
            .sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn bent() -> Polyline {
        let corners = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (3.0, 12.0)].map(Point::from);
        let segs: Vec<PathSeg> =
            corners.windows(2).map(|w| PathSeg::Line(Line::new(w[0], w[1]))).collect();
        Polyline::new(&segs, 0.01).unwrap()
    }

    #[test]
    fn distances_are_those_of_the_handbook() {
        let run = bent();
        assert_eq!(run.distance(Point::new(5.0, 3.0)), 3.0);
        assert_eq!(run.distance(Point::new(-3.0, -4.0)), 5.0);
        let near = run.nearest(Point::new(12.0, 5.0));
        assert_eq!((near.at, near.distance_mm), (Point::new(10.0, 5.0), 2.0));
        assert_eq!(near.side_of(Point::new(12.0, 5.0)), -1.0);
    }

    #[test]
    fn no_length_is_no_run() {
        assert!(Polyline::new(&[], 0.01).is_none());
        let point = PathSeg::Line(Line::new((1.0, 1.0), (1.0, 1.0)));
        assert!(Polyline::new(&[point], 0.01).is_none());
        let lost = PathSeg::Line(Line::new((1.0, 1.0), (f64::NAN, 1.0)));
        assert!(Polyline::new(&[lost], 0.01).is_none());
    }

    proptest! {
        #[test]
        fn the_tree_finds_what_looking_at_every_side_finds(x in -20.0..30.0, y in -20.0..30.0) {
            let (run, p) = (bent(), Point::new(x, y));
            let every = run.points.windows(2).map(|w| Line::new(w[0], w[1]).nearest(p, 0.0).distance_sq);
            let min = every.fold(f64::INFINITY, f64::min).sqrt();
            prop_assert!((run.distance(p) - min).abs() < 1e-12);
            let near = run.nearest(p);
            prop_assert!((near.at.distance(p) - min).abs() < 1e-9);
        }
    }
}
