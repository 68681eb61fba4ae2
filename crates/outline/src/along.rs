//! Places on an outline: points, directions, curvature, and lengths along the way.

use crate::outline::Outline;
use crate::segment;
use crate::tolerance::LENGTH_MM;
use kurbo::{ParamCurve, ParamCurveArclen, PathSeg, Point, Vec2};

/// A place on an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutlinePoint {
    /// The place.
    pub at: Point,
    /// Index of its segment.
    pub segment: usize,
    /// Where on that segment, from 0 to 1.
    pub t: f64,
}

impl Outline {
    /// The point at parameter `t` (0 to 1) of a segment. Indices are taken round the ring.
    pub fn point_at(&self, segment: usize, t: f64) -> Point {
        self.ring(segment).eval(t.clamp(0.0, 1.0))
    }

    /// Unit direction of travel at a place. Where the derivative vanishes its limit is taken;
    /// a segment without length takes the direction of the next that has some. Zero only if
    /// the whole outline is one point.
    pub fn tangent_at(&self, segment: usize, t: f64) -> Vec2 {
        let here = segment::direction(&segment::cubic(&self.ring(segment)), t);
        here.or_else(|| {
            (1..self.segs().len())
                .find_map(|on| segment::start_direction(&segment::cubic(&self.ring(segment + on))))
        })
        .unwrap_or(Vec2::ZERO)
    }

    /// Curvature at a place in 1/mm: positive where the outline is convex (bulges outward),
    /// negative where it is hollow, whatever the turning sense; its reciprocal is the radius.
    /// ±infinity at the end of a curve whose handle there has no length and which bends.
    pub fn curvature_at(&self, segment: usize, t: f64) -> f64 {
        let here = segment::curvature(&segment::cubic(&self.ring(segment)), t.clamp(0.0, 1.0));
        if here == 0.0 { 0.0 } else { self.sense() * here }
    }

    /// Length in millimetres from one place to another (segment and parameter), going forward
    /// round the ring; 0 if they are the same, less than once round always.
    pub fn length_between(&self, from: (usize, f64), to: (usize, f64)) -> f64 {
        let count = self.segs().len();
        let (from, to) = ((from.0 % count, from.1), (to.0 % count, to.1));
        if from.0 == to.0 && from.1 <= to.1 {
            return self.part_length(from.0, from.1, to.1);
        }
        let mut sum = self.part_length(from.0, from.1, 1.0) + self.part_length(to.0, 0.0, to.1);
        let mut segment = (from.0 + 1) % count;
        while segment != to.0 {
            sum += self.part_length(segment, 0.0, 1.0);
            segment = (segment + 1) % count;
        }
        sum
    }

    /// The place that lies `length_mm` further along the outline than `from` (segment and
    /// parameter); back along it if negative, and round again as often as needed.
    pub fn at_length(&self, from: (usize, f64), length_mm: f64) -> OutlinePoint {
        let count = self.segs().len();
        let (segment, t) = (from.0 % count, from.1.clamp(0.0, 1.0));
        let before = self.part_length(segment, 0.0, t);
        let mut left = if length_mm.is_finite() { length_mm + before } else { before };
        let mut on = segment;
        let mut walked = 0.0;
        for step in 0..3 * count {
            let here = self.part_length(on, 0.0, 1.0);
            if (0.0..=here).contains(&left) {
                return self.place_at(on, left, here);
            }
            walked += here;
            if left < 0.0 {
                on = (on + count - 1) % count;
                left += self.part_length(on, 0.0, 1.0);
            } else {
                left -= here;
                on = (on + 1) % count;
            }
            if step + 1 == count {
                // Once round without arriving: whole rounds are left out.
                left %= walked;
            }
        }
        OutlinePoint { at: self.point_at(segment, t), segment, t }
    }

    fn place_at(&self, segment: usize, length_mm: f64, whole_mm: f64) -> OutlinePoint {
        let seg = self.segs()[segment];
        let t = if length_mm >= whole_mm { 1.0 } else { param_at(&seg, length_mm) };
        OutlinePoint { at: seg.eval(t), segment, t }
    }

    /// A segment by an index taken round the ring.
    pub(crate) fn ring(&self, segment: usize) -> PathSeg {
        self.segs()[segment % self.segs().len()]
    }

    /// Length of a segment's part.
    pub(crate) fn part_length(&self, segment: usize, from: f64, to: f64) -> f64 {
        if from <= 0.0 && to >= 1.0 {
            return self.lengths_mm()[segment];
        }
        let seg = self.segs()[segment];
        if to <= from { 0.0 } else { seg.subsegment(from..to).arclen(LENGTH_MM) }
    }
}

/// The parameter at which a segment has run `length_mm`.
fn param_at(seg: &PathSeg, length_mm: f64) -> f64 {
    if length_mm <= 0.0 { 0.0 } else { seg.inv_arclen(length_mm, LENGTH_MM) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plate() -> Outline {
        Outline::polygon(&[(0., 0.), (40., 0.), (40., 20.), (0., 20.)].map(Point::from)).unwrap()
    }

    #[test]
    fn lengths_go_forward_round_the_ring() {
        assert_eq!(plate().length_between((0, 0.5), (1, 0.5)), 30.0);
        assert_eq!(plate().length_between((1, 0.5), (0, 0.5)), 90.0);
        assert_eq!(plate().length_between((0, 0.5), (0, 0.25)), 110.0);
        assert_eq!(plate().length_between((0, 0.5), (0, 0.5)), 0.0);
    }

    #[test]
    fn walking_forward_and_back_meets() {
        for by in [0.0, 5.0, 35.0, 119.0, 121.0, -5.0, -300.0] {
            let there = plate().at_length((0, 0.25), by);
            let back = plate().at_length((there.segment, there.t), -by);
            assert!((back.at - Point::new(10., 0.)).hypot() < 1e-6, "{by} {back:?}");
        }
        assert_eq!(plate().at_length((0, 0.25), 35.0).at, Point::new(40., 5.));
        assert_eq!(plate().tangent_at(3, 0.5), Vec2::new(0., -1.));
        assert_eq!(plate().curvature_at(3, 0.5), 0.0);
    }
}
