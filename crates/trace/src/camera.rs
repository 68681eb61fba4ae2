//! How pixels lie on the plane of the thing.

use crate::Gray;
use crate::homography::{apply, elements, homography, of_elements};
use crate::least_squares::minimise;
use kurbo::{Point, Vec2};
use nalgebra::{Matrix3, RowVector3};

/// Millimetres are divided by this before a homography is searched for.
pub(crate) const UNIT_MM: f64 = 100.0;

/// How the picture's pixels lie on a plane in millimetres: lens distortion and a homography.
///
/// Distortion is `r_d = r (1 + k1 r² + k2 r⁴)` about the picture's centre with r in half
/// diagonals (Brown 1966, "Decentering distortion of lenses").
#[derive(Clone, Debug, PartialEq)]
pub struct Plane {
    centre: Point,
    half_diagonal: f64,
    k1: f64,
    k2: f64,
    /// From undistorted places, in half diagonals about the centre, y down.
    mm_from_view: Matrix3<f64>,
    view_from_mm: Matrix3<f64>,
}

impl Plane {
    /// The plane of a picture; `None` if the homography has no inverse.
    pub(crate) fn new(gray: &Gray, mm_from_view: Matrix3<f64>, k: [f64; 2]) -> Option<Self> {
        let view_from_mm = mm_from_view.try_inverse()?;
        let (centre, half_diagonal) = (gray.centre(), gray.half_diagonal());
        Some(Self { centre, half_diagonal, k1: k[0], k2: k[1], mm_from_view, view_from_mm })
    }

    /// The plane of a picture of so many pixels, by the matrix that [`Plane::mm_from_view`] gives
    /// and the lens's k1 and k2; `None` if no camera sees it so.
    pub fn of_view(
        (width, height): (usize, usize),
        mm_from_view: [[f64; 3]; 3],
        [k1, k2]: [f64; 2],
    ) -> Option<Self> {
        let rows = mm_from_view.map(RowVector3::from);
        let mm_from_view = Matrix3::from_rows(&rows);
        let view_from_mm = mm_from_view.try_inverse()?;
        let (w, h) = (width as f64, height as f64);
        let centre = Point::new(w / 2.0, h / 2.0);
        Some(Self { centre, half_diagonal: w.hypot(h) / 2.0, k1, k2, mm_from_view, view_from_mm })
    }

    /// From undistorted places in half diagonals about the picture's centre (y down) to
    /// millimetres: the rows of a homography whose last element is 1.
    pub fn mm_from_view(&self) -> [[f64; 3]; 3] {
        let m = self.mm_from_view / self.mm_from_view[(2, 2)];
        let mut rows = [0, 1, 2].map(|i| [m[(i, 0)], m[(i, 1)], m[(i, 2)]]);
        rows[2][2] = 1.0;
        rows
    }

    /// A plane that is only a scale: y up, the origin at the picture's lower left corner.
    pub(crate) fn scaled(gray: &Gray, mm_per_px: f64) -> Option<Self> {
        let (c, d) = (gray.centre(), gray.half_diagonal());
        let s = mm_per_px * d;
        let x = c.x * mm_per_px;
        let y = (gray.height() as f64 - c.y) * mm_per_px;
        Self::new(gray, Matrix3::new(s, 0.0, x, 0.0, -s, y, 0.0, 0.0, 1.0), [0.0, 0.0])
    }

    /// The plane on which places in millimetres are seen at given pixels (pairs of place and
    /// pixel), by least squares of the pixels (Levenberg–Marquardt); with the lens's k1 and k2 if
    /// asked for. `None` for fewer than four pairs or places on a line.
    pub(crate) fn fitted(gray: &Gray, pairs: &[(Point, Point)], with_lens: bool) -> Option<Self> {
        let (centre, d) = (gray.centre(), gray.half_diagonal());
        let mm: Vec<Point> =
            pairs.iter().map(|(mm, _)| (mm.to_vec2() / UNIT_MM).to_point()).collect();
        let seen: Vec<Point> =
            pairs.iter().map(|(_, px)| ((*px - centre) / d).to_point()).collect();
        let mut params = elements(&homography(&mm, &seen)?).to_vec();
        if with_lens {
            params.extend([0.0, 0.0]);
        }
        let lens = |p: &[f64]| if with_lens { [p[8], p[9]] } else { [0.0, 0.0] };
        let residuals = |p: &[f64]| -> Vec<f64> {
            let (h, [k1, k2]) = (of_elements(p), lens(p));
            let each = mm.iter().zip(&seen).flat_map(|(mm, seen)| {
                let off = (distorted(apply(&h, *mm), k1, k2) - *seen) * d;
                [off.x, off.y]
            });
            each.collect()
        };
        let params = minimise(&params, residuals);
        Self::new(gray, from_units(&params)?, lens(&params))
    }

    /// Lens distortion, k1 and k2.
    pub fn distortion(&self) -> [f64; 2] {
        [self.k1, self.k2]
    }

    /// From the plane in millimetres to undistorted places in half diagonals about the centre.
    pub fn view_from_mm(&self) -> &Matrix3<f64> {
        &self.view_from_mm
    }

    /// A pixel's place on the plane, mm.
    pub fn mm(&self, px: Point) -> Point {
        let seen = self.view_of_px(px);
        apply(&self.mm_from_view, undistorted(seen, self.k1, self.k2))
    }

    /// The pixel that shows a place of the plane; far behind the camera it means nothing.
    pub fn px(&self, mm: Point) -> Point {
        let seen = distorted(apply(&self.view_from_mm, mm), self.k1, self.k2);
        self.centre + seen.to_vec2() * self.half_diagonal
    }

    /// Half diagonals about the centre, still distorted.
    pub(crate) fn view_of_px(&self, px: Point) -> Point {
        ((px - self.centre) / self.half_diagonal).to_point()
    }

    /// Pixels per millimetre at a place of the picture.
    pub fn px_per_mm(&self, px: Point) -> f64 {
        let at = self.mm(px);
        let (right, down) = (self.mm(px + Vec2::new(1.0, 0.0)), self.mm(px + Vec2::new(0.0, 1.0)));
        1.0 / ((right - at).cross(down - at).abs().sqrt())
    }

    /// The same plane with coordinates moved and turned in millimetres.
    #[must_use]
    pub(crate) fn then(&self, by: &Matrix3<f64>) -> Option<Self> {
        let mm_from_view = by * self.mm_from_view;
        let view_from_mm = mm_from_view.try_inverse()?;
        Some(Self { mm_from_view, view_from_mm, ..self.clone() })
    }
}

/// Millimetres from view, of the elements of the homography from [`UNIT_MM`] to view.
pub(crate) fn from_units(elements: &[f64]) -> Option<Matrix3<f64>> {
    let scale = Matrix3::new(UNIT_MM, 0.0, 0.0, 0.0, UNIT_MM, 0.0, 0.0, 0.0, 1.0);
    Some(scale * of_elements(elements).try_inverse()?)
}

/// Where a lens puts a place, both in half diagonals about the centre.
pub(crate) fn distorted(p: Point, k1: f64, k2: f64) -> Point {
    let r2 = p.to_vec2().hypot2();
    (p.to_vec2() * (1.0 + k1 * r2 + k2 * r2 * r2)).to_point()
}

/// The place that a lens put there: Newton's method on the radius.
pub(crate) fn undistorted(p: Point, k1: f64, k2: f64) -> Point {
    let rd = p.to_vec2().hypot();
    if rd == 0.0 || (k1 == 0.0 && k2 == 0.0) {
        return p;
    }
    let mut r = rd;
    for _ in 0..8 {
        let r2 = r * r;
        let value = r * (1.0 + k1 * r2 + k2 * r2 * r2) - rd;
        let slope = 1.0 + 3.0 * k1 * r2 + 5.0 * k2 * r2 * r2;
        if slope < 0.1 {
            break;
        }
        r -= value / slope;
    }
    (p.to_vec2() * (r / rd)).to_point()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn undistorting_takes_distortion_back(
            x in -0.8..0.8f64, y in -0.6..0.6f64, k1 in -0.1..0.1f64, k2 in -0.03..0.03f64
        ) {
            let p = Point::new(x, y);
            let back = undistorted(distorted(p, k1, k2), k1, k2);
            prop_assert!(back.distance(p) < 1e-9);
        }
    }

    #[test]
    fn a_scale_has_y_up_and_its_origin_below() {
        let gray = Gray::new(200, 100, vec![0; 20_000]).unwrap();
        let plane = Plane::scaled(&gray, 0.1).unwrap();
        assert!(plane.mm(Point::new(0.0, 100.0)).distance(Point::ORIGIN) < 1e-12);
        assert!(plane.mm(Point::new(50.0, 0.0)).distance(Point::new(5.0, 10.0)) < 1e-12);
        assert!(plane.px(Point::new(5.0, 10.0)).distance(Point::new(50.0, 0.0)) < 1e-9);
        assert!((plane.px_per_mm(Point::new(7.0, 7.0)) - 10.0).abs() < 1e-9);
    }

    #[test]
    fn plain_numbers_give_the_same_plane() {
        let gray = Gray::new(400, 300, vec![0; 120_000]).unwrap();
        let corners = [(20., 30.), (380., 20.), (390., 280.), (10., 270.)].map(Point::from);
        let mm = [(0., 100.), (150., 100.), (150., 0.), (0., 0.)].map(Point::from);
        let pairs: Vec<_> = mm.into_iter().zip(corners).collect();
        let plane = Plane::fitted(&gray, &pairs, false).unwrap();
        let again = Plane::of_view((400, 300), plane.mm_from_view(), plane.distortion()).unwrap();
        for px in corners {
            assert!(again.mm(px).distance(plane.mm(px)) < 1e-9);
        }
        assert!(Plane::of_view((400, 300), [[0.0; 3]; 3], [0.0; 2]).is_none());
    }

    /// Places of a plane as OpenCV's `projectPoints` sees them through lens and pose, the pose
    /// also solved by its `solvePnP` (`tests/reference/tracing_reference.py`).
    #[test]
    fn opencv_sees_the_same() {
        let reference: serde_json::Value = serde_json::from_str(crate::REFERENCE).unwrap();
        for view in reference["views"].as_array().unwrap() {
            let number = |key: &str| view[key].as_f64().unwrap();
            let points = |key: &str| -> Vec<Point> {
                let all = view[key].as_array().unwrap().iter();
                all.map(|p| Point::new(p[0].as_f64().unwrap(), p[1].as_f64().unwrap())).collect()
            };
            let (width, height) = (number("width") as usize, number("height") as usize);
            let gray = Gray::new(width, height, vec![0; width * height]).unwrap();
            let (mm, px) = (points("mm"), points("px"));
            let pairs: Vec<_> = mm.iter().copied().zip(px.iter().copied()).collect();
            let plane = Plane::fitted(&gray, &pairs, true).unwrap();
            let [k1, k2] = plane.distortion();
            assert!((k1 - number("k1")).abs() < 1e-6 && (k2 - number("k2")).abs() < 2e-6);
            for (mm, px) in &pairs {
                assert!(plane.mm(*px).distance(*mm) < 1e-5);
                assert!(plane.px(*mm).distance(*px) < 1e-4);
            }
            let pose = crate::camera_pose(&plane, None).unwrap();
            let foot = Point::new(number("foot_x"), number("foot_y"));
            assert!(pose.foot.distance(foot) < 1e-2, "{} {foot}", pose.foot);
            assert!((pose.height_mm - number("camera_height")).abs() < 1e-2);
            assert!((pose.focal - number("focal")).abs() < 1e-4);
        }
    }
}
