//! Area, centroid, second moments, perimeter, bounds and extents.

use crate::box_tree::box_reach;
use crate::outline::Outline;
use crate::segment;
use kurbo::common::{GAUSS_LEGENDRE_COEFFS_6, solve_quadratic};
use kurbo::{Affine, ParamCurve, ParamCurveArea, ParamCurveExtrema, PathSeg, Point, Rect, Vec2};

/// Second moments of area about the centroid, in mm⁴, for axes along x and y.
///
/// Positive for material whatever the outline's turning sense (the product may have either
/// sign).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SecondMoments {
    /// ∫ y² dA: about the axis along x.
    pub ixx_mm4: f64,
    /// ∫ x² dA: about the axis along y.
    pub iyy_mm4: f64,
    /// ∫ x·y dA: the product of inertia.
    pub ixy_mm4: f64,
}

/// Integrals over the area enclosed, about `origin`, signed by the turning sense.
struct Integrals {
    origin: Point,
    area: f64,
    x: f64,
    y: f64,
    xx: f64,
    yy: f64,
    xy: f64,
}

impl Outline {
    /// Area enclosed in mm², positive when the outline turns counter-clockwise.
    pub fn signed_area(&self) -> f64 {
        let origin = self.middle();
        let from_origin = Affine::translate(-origin.to_vec2());
        self.segs().iter().map(|seg| (from_origin * *seg).signed_area()).sum()
    }

    /// Area enclosed in mm², whatever the turning sense.
    pub fn area(&self) -> f64 {
        self.signed_area().abs()
    }

    /// Centre of the area enclosed; the middle of the nodes if there is no area.
    pub fn centroid(&self) -> Point {
        self.integrals().centroid()
    }

    /// Second moments of the area enclosed, about its centroid.
    pub fn second_moments(&self) -> SecondMoments {
        let sums = self.integrals();
        let by = sums.centroid() - sums.origin;
        let sign = if sums.area < 0.0 { -1.0 } else { 1.0 };
        SecondMoments {
            ixx_mm4: sign * (sums.yy - by.y * by.y * sums.area),
            iyy_mm4: sign * (sums.xx - by.x * by.x * sums.area),
            ixy_mm4: sign * (sums.xy - by.x * by.y * sums.area),
        }
    }

    /// Length once round, in millimetres.
    pub fn perimeter(&self) -> f64 {
        self.lengths_mm().iter().sum()
    }

    /// The smallest box with sides along x and y that holds the outline.
    pub fn bounds(&self) -> Rect {
        let mut all = Rect::from_points(self.segs()[0].start(), self.segs()[0].start());
        for seg in self.segs() {
            all = all.union_pt(seg.end());
            let control = segment::control_box(seg);
            if all.union(control) != all {
                all = all.union(seg.bounding_box());
            }
        }
        all
    }

    /// Least and greatest coordinate of the outline along a direction, in millimetres: the
    /// projection of each point on the unit vector at `direction_rad` from the x axis.
    pub fn extent(&self, direction_rad: f64) -> (f64, f64) {
        let along = Vec2::from_angle(direction_rad);
        let high = farthest(self.segs().iter(), along);
        (-farthest(self.segs().iter(), -along), high)
    }

    /// +1.0 if the outline turns counter-clockwise, −1.0 if clockwise.
    pub(crate) fn sense(&self) -> f64 {
        if self.signed_area() < 0.0 { -1.0 } else { 1.0 }
    }

    /// The middle of the box around the nodes: a near origin to sum about, so that outlines
    /// far from the origin lose no digits.
    pub(crate) fn middle(&self) -> Point {
        let first = self.segs()[0].start();
        self.nodes().fold(Rect::from_points(first, first), |all, p| all.union_pt(p)).center()
    }

    /// Green's theorem turns each area integral into one along the outline, a polynomial of
    /// degree at most 11 in the parameter, which six Gauss-Legendre points integrate exactly.
    fn integrals(&self) -> Integrals {
        let origin = self.middle();
        let mut sums = Integrals { origin, area: 0., x: 0., y: 0., xx: 0., yy: 0., xy: 0. };
        for seg in self.segs() {
            let c = segment::cubic(seg);
            for &(weight, node) in GAUSS_LEGENDRE_COEFFS_6 {
                let t = 0.5 * (1.0 + node);
                let (p, w) = (c.eval(t) - origin, 0.5 * weight);
                let d = w * segment::derivatives(&c, t).0;
                sums.area += 0.5 * (p.x * d.y - p.y * d.x);
                sums.x += 0.5 * p.x * p.x * d.y;
                sums.y -= 0.5 * p.y * p.y * d.x;
                sums.xx += p.x.powi(3) * d.y / 3.0;
                sums.yy -= p.y.powi(3) * d.x / 3.0;
                sums.xy += 0.5 * p.x * p.x * p.y * d.y;
            }
        }
        sums
    }
}

impl Integrals {
    fn centroid(&self) -> Point {
        let by = Vec2::new(self.x / self.area, self.y / self.area);
        if by.is_finite() { self.origin + by } else { self.origin }
    }
}

/// The greatest projection of the segments on `along`.
fn farthest<'a>(segs: impl Iterator<Item = &'a PathSeg>, along: Vec2) -> f64 {
    segs.fold(f64::NEG_INFINITY, |best, seg| {
        let ends = along.dot(seg.start().to_vec2()).max(along.dot(seg.end().to_vec2()));
        if best.max(ends) >= box_reach(&segment::control_box(seg), along) {
            return best.max(ends);
        }
        best.max(farthest_point(seg, along).0)
    })
}

/// The point of a segment with the greatest projection on `along`, after that projection.
pub(crate) fn farthest_point(seg: &PathSeg, along: Vec2) -> (f64, Point) {
    let offer = |p: Point| (along.dot(p.to_vec2()), p);
    let (a, b) = (offer(seg.start()), offer(seg.end()));
    let mut best = if a.0 >= b.0 { a } else { b };
    if let PathSeg::Cubic(c) = seg {
        let (h, k) = (offer(c.p1).0, offer(c.p2).0);
        if h.max(k) > best.0 {
            let (d0, d1, d2) = (h - a.0, k - h, b.0 - k);
            for t in solve_quadratic(d0, 2.0 * (d1 - d0), d0 - 2.0 * d1 + d2) {
                let here = offer(c.eval(t.clamp(0.0, 1.0)));
                if here.0 > best.0 {
                    best = here;
                }
            }
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_form_rectangle_far_from_the_origin() {
        let at = |x: f64, y: f64| Point::new(1e6 + x, -1e6 + y);
        let plate =
            Outline::polygon(&[at(0., 0.), at(75., 0.), at(75., 25.), at(0., 25.)]).unwrap();
        assert_eq!(plate.area(), 1875.0);
        assert_eq!(plate.reversed().signed_area(), -1875.0);
        assert!((plate.centroid() - at(37.5, 12.5)).hypot() < 1e-9);
        let m = plate.second_moments();
        // Rectangle b × h: b·h³/12 about the axis along b.
        assert!((m.ixx_mm4 - 75.0 * 25.0_f64.powi(3) / 12.0).abs() < 1e-6);
        assert!((m.iyy_mm4 - 25.0 * 75.0_f64.powi(3) / 12.0).abs() < 1e-6);
        assert!(m.ixy_mm4.abs() < 1e-6);
        assert_eq!(plate.perimeter(), 200.0);
        assert_eq!(plate.bounds(), Rect::from_points(at(0., 0.), at(75., 25.)));
    }

    #[test]
    fn extent_turns_with_the_direction() {
        let plate =
            Outline::polygon(&[(0., 0.), (30., 0.), (30., 40.), (0., 40.)].map(Point::from))
                .unwrap();
        let (low, high) = plate.extent((4.0_f64 / 3.0).atan());
        assert!(low.abs() < 1e-12 && (high - 50.0).abs() < 1e-12);
        let turned = plate.transformed(Affine::rotate(0.3));
        let (low, high) = turned.extent(0.3);
        assert!(low.abs() < 1e-12 && (high - 30.0).abs() < 1e-12);
    }
}
