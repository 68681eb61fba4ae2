//! The closed outline: a ring of lines and cubics, each starting where the last one ended.

use crate::box_tree::BoxTree;
use crate::segment::control_box;
use crate::tolerance::LENGTH_MM;
use kurbo::{
    Affine, BezPath, CubicBez, Line, ParamCurve, ParamCurveArclen as _, PathEl, PathSeg, Point,
};
use std::fmt;
use std::sync::OnceLock;

/// Why a run of segments is not a closed outline.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OutlineError {
    /// There is nothing to close.
    #[error("the outline has no segments")]
    Empty,
    /// A coordinate is infinite or not a number.
    #[error("segment {segment} has a coordinate that is not a finite number")]
    NotFinite {
        /// Index of the segment, from 0.
        segment: usize,
    },
    /// A segment does not start where the one before it ended.
    #[error("the outline is open: {gap_mm:.4} mm are missing after segment {segment}")]
    Open {
        /// Index of the segment after which the gap lies, from 0.
        segment: usize,
        /// Width of the gap in millimetres.
        gap_mm: f64,
        /// Where the outline breaks off.
        at: Point,
    },
    /// The path holds more than one ring.
    #[error("the path holds {rings} rings where one is wanted")]
    ManyRings {
        /// How many there are.
        rings: usize,
    },
}

/// A closed outline of straight lines and cubic Béziers, in millimetres, y up.
///
/// Segment `i` runs from node `i` to node `i + 1`; the last one ends exactly at node 0.
/// There is at least one segment and every coordinate is finite. Nothing else is promised:
/// zero-length segments, either turning sense and self-contact are all possible (the last
/// is found by [`Outline::contacts`]).
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    segs: Vec<PathSeg>,
    /// The boxes of the segments: holes, sections and rules ask the same outline thousands of times.
    tree: Lazy<BoxTree>,
    /// The lengths of the segments, mm.
    lengths_mm: Lazy<Vec<f64>>,
}

/// An outline of fewer segments is looked through one by one: a tree would cost more than it saves.
const FEW: usize = 256;

/// What is worked out when it is first asked for. It is no part of what an outline is: copies make
/// their own, and equal outlines need not both have it.
struct Lazy<T>(OnceLock<T>);

impl<T> Default for Lazy<T> {
    fn default() -> Self {
        Self(OnceLock::new())
    }
}

impl<T> Clone for Lazy<T> {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl<T> PartialEq for Lazy<T> {
    fn eq(&self, _other: &Self) -> bool {
        true
    }
}

impl<T> fmt::Debug for Lazy<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Lazy")
    }
}

impl Outline {
    /// Takes a ring of segments. Quadratics are raised to cubics. Ends that differ by no
    /// more than 1e-9 mm are made to meet.
    ///
    /// # Errors
    /// [`OutlineError`] if there are none, one is not finite, or the ring is open.
    pub fn new(segs: Vec<PathSeg>) -> Result<Self, OutlineError> {
        if segs.is_empty() {
            return Err(OutlineError::Empty);
        }
        let mut ring: Vec<PathSeg> = Vec::with_capacity(segs.len());
        for (segment, seg) in segs.into_iter().enumerate() {
            let seg = match seg {
                PathSeg::Quad(q) => PathSeg::Cubic(q.raise()),
                other => other,
            };
            if !points(&seg).iter().all(|p| p.is_finite()) {
                return Err(OutlineError::NotFinite { segment });
            }
            ring.push(seg);
        }
        let count = ring.len();
        for i in 0..count {
            let next = ring[(i + 1) % count].start();
            let gap_mm = ring[i].end().distance(next);
            if gap_mm > 1e-9 {
                return Err(OutlineError::Open { segment: i, gap_mm, at: ring[i].end() });
            }
            set_end(&mut ring[i], next);
        }
        Ok(Self::of(ring))
    }

    /// Takes a path of exactly one ring. A path without a closing element is closed when its
    /// ends meet within 1e-9 mm; a closing element over a gap becomes a straight segment.
    ///
    /// # Errors
    /// [`OutlineError`] as [`Outline::new`], or when the path has several rings.
    pub fn from_path(path: &BezPath) -> Result<Self, OutlineError> {
        let rings = path.elements().iter().filter(|el| matches!(el, PathEl::MoveTo(_))).count();
        if rings > 1 {
            return Err(OutlineError::ManyRings { rings });
        }
        Self::new(path.segments().collect())
    }

    /// A closed polygon through the given corners.
    ///
    /// # Errors
    /// [`OutlineError`] if there are none or one is not finite.
    pub fn polygon(corners: &[Point]) -> Result<Self, OutlineError> {
        if corners.is_empty() || !corners.iter().all(|p| p.is_finite()) {
            let n = corners.len();
            let side = |i: usize| PathSeg::Line(Line::new(corners[i], corners[(i + 1) % n]));
            return Self::new((0..n).map(side).collect());
        }
        Ok(Self::through(corners.iter().copied(), corners[0]))
    }

    /// The polygon through corners that are known to be finite, of which the first is given.
    pub(crate) fn through(corners: impl ExactSizeIterator<Item = Point>, first: Point) -> Self {
        // Sides meet by the way they are made: no need to look.
        let mut segs = Vec::with_capacity(corners.len());
        let mut before = first;
        for corner in corners.skip(1) {
            segs.push(PathSeg::Line(Line::new(before, corner)));
            before = corner;
        }
        segs.push(PathSeg::Line(Line::new(before, first)));
        Self::of(segs)
    }

    fn of(segs: Vec<PathSeg>) -> Self {
        Self { segs, tree: Lazy::default(), lengths_mm: Lazy::default() }
    }

    /// The boxes of many segments.
    pub(crate) fn tree(&self) -> Option<&BoxTree> {
        let made = || BoxTree::new(self.segs.iter().map(control_box));
        (self.segs.len() >= FEW).then(|| self.tree.0.get_or_init(made))
    }

    /// The lengths of the segments, mm.
    pub(crate) fn lengths_mm(&self) -> &[f64] {
        let made = || self.segs.iter().map(|seg| seg.arclen(LENGTH_MM)).collect();
        self.lengths_mm.0.get_or_init(made)
    }

    /// The segments in order; each is a line or a cubic.
    pub fn segs(&self) -> &[PathSeg] {
        &self.segs
    }

    /// The nodes: the start of each segment.
    pub fn nodes(&self) -> impl Iterator<Item = Point> + '_ {
        self.segs.iter().map(PathSeg::start)
    }

    /// The outline as one closed path.
    pub fn to_path(&self) -> BezPath {
        let mut path = BezPath::new();
        path.move_to(self.segs[0].start());
        for seg in &self.segs {
            path.push(seg.as_path_el());
        }
        path.close_path();
        path
    }

    /// The outline moved, turned, scaled or mirrored.
    #[must_use]
    pub fn transformed(&self, by: Affine) -> Self {
        Self::of(self.segs.iter().map(|seg| by * *seg).collect())
    }

    /// The same outline run the other way round; node 0 stays node 0.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self::of(self.segs.iter().rev().map(PathSeg::reverse).collect())
    }
}

/// The defining points of a segment: 2 for a line, 4 for a cubic.
fn points(seg: &PathSeg) -> Vec<Point> {
    match seg {
        PathSeg::Line(l) => vec![l.p0, l.p1],
        PathSeg::Quad(q) => vec![q.p0, q.p1, q.p2],
        PathSeg::Cubic(c) => vec![c.p0, c.p1, c.p2, c.p3],
    }
}

fn set_end(seg: &mut PathSeg, end: Point) {
    match seg {
        PathSeg::Line(Line { p1, .. }) => *p1 = end,
        PathSeg::Quad(q) => q.p2 = end,
        PathSeg::Cubic(CubicBez { p3, .. }) => *p3 = end,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> Outline {
        Outline::polygon(&[(0., 0.), (10., 0.), (10., 10.), (0., 10.)].map(Point::from)).unwrap()
    }

    #[test]
    fn path_and_back_is_the_same_outline() {
        let again = Outline::from_path(&square().to_path()).unwrap();
        assert_eq!(again, square());
        assert_eq!(square().reversed().reversed(), square());
        assert_eq!(square().reversed().segs()[0].start(), Point::ORIGIN);
    }

    #[test]
    fn gaps_and_bad_numbers_are_told_with_their_place() {
        let open = BezPath::from_svg("M0 0 L10 0 L10 10 L1 1").unwrap();
        let Err(OutlineError::Open { segment, .. }) = Outline::from_path(&open) else {
            panic!("an open path was taken")
        };
        assert_eq!(segment, 2);
        assert_eq!(Outline::new(vec![]), Err(OutlineError::Empty));
        let nan = PathSeg::Line(Line::new((0., f64::NAN), (1., 1.)));
        assert_eq!(Outline::new(vec![nan]), Err(OutlineError::NotFinite { segment: 0 }));
        let two = BezPath::from_svg("M0 0 L1 0 L1 1 Z M5 5 L6 5 L6 6 Z").unwrap();
        assert_eq!(Outline::from_path(&two), Err(OutlineError::ManyRings { rings: 2 }));
    }
}
