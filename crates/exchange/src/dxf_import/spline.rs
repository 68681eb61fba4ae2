//! B-splines and rational B-splines as cubic Béziers.
//!
//! L. Piegl and W. Tiller, "The NURBS Book" (1997), algorithms A2.1 and A3.1: points by de Boor's
//! recursion in homogeneous coordinates. Between two knots a curve of degree 3 or less without
//! weights is the cubic through its ends with its slopes there; any other is halved until that
//! cubic keeps to it.

use kurbo::{CubicBez, ParamCurve, PathSeg, Point, Vec2};

/// The highest degree that drawing programs write is far below this.
const MAX_DEGREE: usize = 25;
/// A cubic that stands for a stretch keeps so near to it, mm.
const NEAR_MM: f64 = 1e-5;
/// Halvings of a stretch.
const DEEPEST: u32 = 10;

/// A B-spline curve: control points with weights, in millimetres.
pub(super) struct Spline {
    degree: usize,
    knots: Vec<f64>,
    points: Vec<(Vec2, f64)>,
}

impl Spline {
    /// `None` where degree, knots, points and weights don't fit together.
    pub(super) fn new(
        degree: i32,
        knots: &[f64],
        points: &[Point],
        weights: &[f64],
    ) -> Option<Self> {
        let degree = usize::try_from(degree).ok().filter(|d| (1..=MAX_DEGREE).contains(d))?;
        let rises = knots.windows(2).all(|pair| pair[0] <= pair[1]);
        let is_sound = points.len() > degree
            && knots.len() == points.len() + degree + 1
            && knots.iter().all(|knot| knot.is_finite())
            && rises
            && knots[degree] < knots[points.len()]
            && (weights.is_empty() || weights.len() == points.len())
            && weights.iter().all(|weight| *weight > 0.0 && weight.is_finite());
        if !is_sound {
            return None;
        }
        let weighted = points.iter().enumerate().map(|(i, p)| {
            let weight = weights.get(i).copied().unwrap_or(1.0);
            (p.to_vec2() * weight, weight)
        });
        Some(Self { degree, knots: knots.to_vec(), points: weighted.collect() })
    }

    /// The whole curve.
    pub(super) fn segments(&self) -> Vec<PathSeg> {
        let mut segs = Vec::new();
        let within = self.degree..self.points.len();
        for span in within.filter(|span| self.knots[*span] < self.knots[span + 1]) {
            self.stretch(span, self.knots[span], self.knots[span + 1], DEEPEST, &mut segs);
        }
        segs
    }

    fn stretch(&self, span: usize, from: f64, to: f64, halvings: u32, segs: &mut Vec<PathSeg>) {
        let third = (to - from) / 3.0;
        let ((a, along_a), (b, along_b)) = (self.at(span, from), self.at(span, to));
        let cubic = CubicBez::new(a, a + along_a * third, b - along_b * third, b);
        let off = |share: f64| {
            let p = self.at(span, from + (to - from) * share).0;
            p.distance(cubic.eval(share))
        };
        let keeps = [0.25, 0.5, 0.75].into_iter().all(|share| off(share) <= NEAR_MM);
        if keeps || halvings == 0 {
            segs.push(PathSeg::Cubic(cubic));
        } else {
            let middle = f64::midpoint(from, to);
            self.stretch(span, from, middle, halvings - 1, segs);
            self.stretch(span, middle, to, halvings - 1, segs);
        }
    }

    /// The curve's point and its derivative at a parameter of a span between two knots.
    fn at(&self, span: usize, u: f64) -> (Point, Vec2) {
        let degree = self.degree;
        let mut level: Vec<(Vec2, f64)> = self.points[span - degree..=span].to_vec();
        let mut slope = (Vec2::ZERO, 0.0);
        for r in 1..=degree {
            if r == degree {
                // The last step's difference is the derivative.
                let wide = self.knots[span + 1] - self.knots[span];
                let scale = degree as f64 / wide;
                let (a, b) = (level[degree - 1], level[degree]);
                slope = ((b.0 - a.0) * scale, (b.1 - a.1) * scale);
            }
            for i in (r..=degree).rev() {
                let low = self.knots[span - degree + i];
                let high = self.knots[span + 1 + i - r];
                let share = if high > low { (u - low) / (high - low) } else { 0.0 };
                let (a, b) = (level[i - 1], level[i]);
                level[i] = (a.0 * (1.0 - share) + b.0 * share, a.1 * (1.0 - share) + b.1 * share);
            }
        }
        let (sum, weight) = level[degree];
        let p = sum / weight;
        (p.to_point(), (slope.0 - p * slope.1) / weight)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::ParamCurveNearest;

    fn points(all: &[(f64, f64)]) -> Vec<Point> {
        all.iter().map(|p| Point::from(*p)).collect()
    }

    #[test]
    fn a_single_bezier_comes_back_as_it_is() {
        let control = points(&[(0.0, 0.0), (1.0, 5.0), (7.0, -3.0), (10.0, 1.0)]);
        let knots = [0.0, 0.0, 0.0, 0.0, 2.0, 2.0, 2.0, 2.0];
        let segs = Spline::new(3, &knots, &control, &[]).unwrap().segments();
        let [PathSeg::Cubic(found)] = segs[..] else { panic!("{segs:?}") };
        for (p, wanted) in [found.p0, found.p1, found.p2, found.p3].iter().zip(&control) {
            assert!(p.distance(*wanted) < 1e-12);
        }
    }

    // A uniform quadratic B-spline goes through the middles of its control polygon's inner sides,
    // along them (Piegl and Tiller, ch. 3).
    #[test]
    fn a_quadratic_touches_its_control_polygon() {
        let control = points(&[(0.0, 0.0), (2.0, 4.0), (6.0, 4.0), (8.0, 0.0)]);
        let knots = [0.0, 0.0, 0.0, 1.0, 2.0, 2.0, 2.0];
        let segs = Spline::new(2, &knots, &control, &[]).unwrap().segments();
        assert_eq!(segs.len(), 2);
        assert!(segs[0].end().distance(Point::new(4.0, 4.0)) < 1e-12);
    }

    // The quarter circle as a rational quadratic: weights 1, 1/√2, 1 (Piegl and Tiller, ch. 7).
    #[test]
    fn a_rational_quarter_circle_is_round() {
        let control = points(&[(10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]);
        let knots = [0.0, 0.0, 0.0, 1.0, 1.0, 1.0];
        let weights = [1.0, 0.5_f64.sqrt(), 1.0];
        let segs = Spline::new(2, &knots, &control, &weights).unwrap().segments();
        for seg in &segs {
            for i in 0..=16 {
                let p = seg.eval(f64::from(i) / 16.0);
                assert!((p.to_vec2().hypot() - 10.0).abs() < 2e-5, "{p:?}");
            }
        }
        assert!(segs[0].nearest(Point::new(20.0, 0.0), 1e-9).distance_sq.sqrt() - 10.0 < 1e-9);
    }

    #[test]
    fn what_does_not_fit_together_is_no_spline() {
        let control = points(&[(0.0, 0.0), (2.0, 4.0), (6.0, 4.0), (8.0, 0.0)]);
        let good = [0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0];
        let back = [0.0, 0.0, 0.0, 0.0, -1.0, 1.0, 1.0, 1.0];
        for (degree, knots, weights) in [
            (0, &good[..], &[][..]),
            (3, &good[1..], &[]),
            (3, &back, &[]),
            (3, &[0.0; 8], &[]),
            (3, &good, &[1.0, 0.0, 1.0, 1.0]),
            (900, &good, &[]),
        ] {
            assert!(Spline::new(degree, knots, &control, weights).is_none());
        }
    }
}
