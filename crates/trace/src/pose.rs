//! Where the camera stood, and what that does to a thing of some thickness.

use crate::Plane;
use kurbo::Point;
use nalgebra::{Matrix3, Vector3};

/// Half the diagonal of a 24 × 36 mm frame, mm.
const HALF_FRAME_MM: f64 = 21.633_307_652_783_937;
/// The focal length is taken from the homography only where its columns differ by this much, of
/// their own size: a tilt of about 6°. Below, a small error of the homography makes a large one.
const MIN_TILT: f64 = 0.01;

/// Where the camera stood over the plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CameraPose {
    /// The point of the plane straight under it, mm.
    pub foot: Point,
    /// Its height over the plane, mm.
    pub height_mm: f64,
    /// Its focal length in half diagonals of the picture.
    pub focal: f64,
}

/// Where the camera stood, with square pixels and the lens's axis through the picture's centre.
///
/// The focal length comes from the homography itself where the camera is tilted enough (Zhang
/// 2000, "A flexible new technique for camera calibration", one view), else from `focal_35mm`, as
/// for a camera with a 24 × 36 mm frame. `None` where neither gives it.
pub fn camera_pose(plane: &Plane, focal_35mm: Option<f64>) -> Option<CameraPose> {
    let h = plane.view_from_mm();
    let focal = focal_of(h).or(focal_35mm.map(|mm| mm / HALF_FRAME_MM))?;
    let columns = |i: usize| Vector3::new(h[(0, i)] / focal, h[(1, i)] / focal, h[(2, i)]);
    let (a, b, t) = (columns(0), columns(1), columns(2));
    let size = (a.norm() * b.norm()).sqrt();
    // The plane lies before the camera.
    let size = if t.z < 0.0 { -size } else { size };
    let (r1, r2, t) = (a / size, b / size, t / size);
    let r3 = r1.cross(&r2);
    let height_mm = r3.dot(&t).abs();
    let foot = Point::new(-r1.dot(&t), -r2.dot(&t));
    (height_mm.is_finite() && height_mm > 0.0).then_some(CameraPose { foot, height_mm, focal })
}

/// The focal length in half diagonals; `None` where the camera looks too straight down.
fn focal_of(h: &Matrix3<f64>) -> Option<f64> {
    let (h1, h2) = (h.column(0), h.column(1));
    let size = h1.norm() * h2.norm();
    let rows = [
        (h1[0] * h2[0] + h1[1] * h2[1], h1[2] * h2[2]),
        (
            h1[0] * h1[0] + h1[1] * h1[1] - h2[0] * h2[0] - h2[1] * h2[1],
            h1[2] * h1[2] - h2[2] * h2[2],
        ),
    ];
    let aa: f64 = rows.iter().map(|(a, _)| a * a).sum();
    let ab: f64 = rows.iter().map(|(a, b)| a * b).sum();
    // 1/f² by least squares.
    let u = -ab / aa;
    let focal = u.recip().sqrt();
    (aa.sqrt() > MIN_TILT * size && (0.3..20.0).contains(&focal)).then_some(focal)
}

/// The first side of a rectangle over its second, as the homography from a unit square in its
/// place tells it, free of perspective; `focal` in half diagonals is used where the view doesn't
/// give its own (Zhang & He 2007, "Whiteboard scanning and image enhancement").
pub(crate) fn side_ratio(view_from_unit: &Matrix3<f64>, focal: f64) -> f64 {
    let (h1, h2) = (view_from_unit.column(0), view_from_unit.column(1));
    // Only that the sides are square to each other may be used: their ratio is what is asked.
    let (a, b) = (h1[0] * h2[0] + h1[1] * h2[1], h1[2] * h2[2]);
    let size = h1.norm() * h2.norm();
    let own = (-a / b).sqrt();
    let focal = if a.abs() > MIN_TILT * size && (0.5..6.0).contains(&own) { own } else { focal };
    let length = |i: usize| {
        let c = view_from_unit.column(i);
        Vector3::new(c[0] / focal, c[1] / focal, c[2]).norm()
    };
    length(0) / length(1)
}

impl CameraPose {
    /// A place on the rim of a thing of this thickness as it is, from where it seems to lie on
    /// the plane: drawn larger by T/(D−T) about the point under the camera.
    pub fn lowered(&self, seen: Point, thickness_mm: f64) -> Point {
        self.foot + (seen - self.foot) * (1.0 - thickness_mm / self.height_mm)
    }
}
