//! Stretches of an outline between two places, and where it crosses a circle.

use crate::along::OutlinePoint;
use crate::outline::Outline;
use crate::roots::{each_root, multiply};
use crate::segment::cubic;
use kurbo::{Circle, ParamCurve, PathSeg};

impl Outline {
    /// The outline's own curves from one place to another, going forward round the ring. From a
    /// place to itself: none. Whole segments come back as they are.
    pub fn subpath(&self, from: &OutlinePoint, to: &OutlinePoint) -> Vec<PathSeg> {
        let count = self.segs().len();
        let (start, end) = (from.segment % count, to.segment % count);
        let mut kept = Vec::new();
        let mut part = |segment: usize, a: f64, b: f64| {
            let seg = self.segs()[segment];
            if a <= 0.0 && b >= 1.0 {
                kept.push(seg);
            } else if b > a {
                kept.push(seg.subsegment(a..b));
            }
        };
        if start == end && from.t <= to.t {
            part(start, from.t, to.t);
            return kept;
        }
        part(start, from.t, 1.0);
        let mut segment = (start + 1) % count;
        while segment != end {
            part(segment, 0.0, 1.0);
            segment = (segment + 1) % count;
        }
        part(end, 0.0, to.t);
        kept
    }

    /// Where the outline passes from one side of a circle to the other, in order round the ring.
    ///
    /// Exact to rounding: roots of the polynomial |p(t) − c|² − r². Each passage is given once,
    /// also through a node; merely touching gives none or two.
    pub fn circle_crossings(&self, circle: Circle) -> Vec<OutlinePoint> {
        // Pieces between roots, each with the side on which it lies.
        let mut pieces: Vec<(OutlinePoint, bool)> = Vec::new();
        for (segment, seg) in self.segs().iter().enumerate() {
            let mut cuts = vec![0.0, 1.0];
            each_root(beyond(seg, circle), &mut |t| cuts.push(t));
            cuts.sort_by(f64::total_cmp);
            for pair in cuts.windows(2).filter(|pair| pair[1] > pair[0]) {
                let middle = seg.eval(0.5 * (pair[0] + pair[1]));
                let outside = middle.distance(circle.center) > circle.radius;
                pieces.push((OutlinePoint { at: seg.eval(pair[0]), segment, t: pair[0] }, outside));
            }
        }
        let before = |i: usize| pieces[(i + pieces.len() - 1) % pieces.len()].1;
        let passes = (0..pieces.len()).filter(|i| pieces[*i].1 != before(*i));
        passes.map(|i| pieces[i].0).collect()
    }
}

/// Bernstein coefficients of |p(t) − c|² − r² along a segment.
fn beyond(seg: &PathSeg, circle: Circle) -> [f64; 7] {
    let c = cubic(seg);
    let arms = [c.p0, c.p1, c.p2, c.p3].map(|p| p - circle.center);
    let (mut xx, mut yy) = ([0.0; 7], [0.0; 7]);
    let (x, y) = (arms.map(|arm| arm.x), arms.map(|arm| arm.y));
    multiply(&x, &x, &mut xx);
    multiply(&y, &y, &mut yy);
    std::array::from_fn(|i| xx[i] + yy[i] - circle.radius * circle.radius)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{CubicBez, Point, Shape};

    fn square() -> Outline {
        Outline::polygon(&[(0., 0.), (10., 0.), (10., 10.), (0., 10.)].map(Point::from)).unwrap()
    }

    // By hand: x² + y² = 169 passes (12, 5) and (5, 12); about the square's corner.
    #[test]
    fn a_circle_crosses_where_pythagoras_says() {
        let found = square().circle_crossings(Circle::new((-2., -2.), 13.0));
        let at = [Point::new(10.0, 3.0), Point::new(3.0, 10.0)];
        assert_eq!(found.len(), 2);
        for (place, at) in found.iter().zip(at) {
            assert!(place.at.distance(at) < 1e-12, "{place:?}");
        }
        // Through two nodes: each once.
        let round = Circle::new((0., 0.), 10.0);
        let found = square().circle_crossings(round);
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(square().circle_crossings(Circle::new((5., 5.), 20.0)).is_empty());
    }

    #[test]
    fn curves_cross_a_circle_at_its_radius() {
        let leaf = Outline::new(vec![
            PathSeg::Cubic(CubicBez::new((0., 0.), (10., -12.), (30., -8.), (50., 0.))),
            PathSeg::Cubic(CubicBez::new((50., 0.), (30., 14.), (12., 6.), (0., 0.))),
        ])
        .unwrap();
        for radius in [7.0, 10_000.0] {
            let circle = Circle::new((20.0 + radius, 1.0), radius);
            let found = leaf.circle_crossings(circle);
            assert!(found.len() == 2 || radius < 10.0, "{found:?}");
            for place in &found {
                assert!((place.at.distance(circle.center) - radius).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn two_stretches_are_the_whole_ring() {
        let disc = Outline::from_path(&Circle::new((3., 4.), 10.).to_path(1e-6)).unwrap();
        let place =
            |segment: usize, t: f64| OutlinePoint { at: disc.point_at(segment, t), segment, t };
        for (a, b) in [(place(0, 0.25), place(0, 0.75)), (place(1, 0.5), place(3, 0.1))] {
            let mut both = disc.subpath(&a, &b);
            both.extend(disc.subpath(&b, &a));
            let whole = Outline::new(both).unwrap();
            assert!((whole.area() - disc.area()).abs() < 1e-9);
            assert!(disc.subpath(&a, &a).is_empty());
        }
    }
}
