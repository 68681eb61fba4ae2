//! A picture that lies under the blank, to be drawn over: where it is kept and how it lies.

use crate::limits;
use kurbo::{Affine, Point};

/// A picture kept beside the blank's file.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Its file. A blank's file tells it from the folder that it lies in itself, with `/` between
    /// folders.
    pub path: String,
    /// A sum of the picture's bytes (FNV-1a, 64 bits), by which a changed one is noticed.
    pub sum: u64,
    /// How it lies.
    pub placement: PicturePlacement,
}

/// How a picture lies in the knife's plane.
///
/// A place of the picture is told in half diagonals about its centre, x right, y down, so that the
/// same picture with more pixels lies in the same place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PicturePlacement {
    /// From such places, the lens's distortion taken out, to millimetres of the knife's plane:
    /// the rows of a homography whose last element is 1.
    pub mm_from_view: [[f64; 3]; 3],
    /// The lens's distortion, k1 and k2: `r (1 + k1 r² + k2 r⁴)`.
    pub distortion: [f64; 2],
}

impl PicturePlacement {
    /// A picture seen square and level, its centre at the origin, half its diagonal so long, mm.
    pub fn level(half_diagonal_mm: f64) -> Self {
        let mm = half_diagonal_mm;
        Self {
            mm_from_view: [[mm, 0.0, 0.0], [0.0, -mm, 0.0], [0.0, 0.0, 1.0]],
            distortion: [0.0, 0.0],
        }
    }

    /// Where a place of the picture lies, the lens's distortion taken out before, mm.
    pub fn place(&self, view: Point) -> Point {
        let row = |r: [f64; 3]| r[0] * view.x + r[1] * view.y + r[2];
        let [x, y, w] = self.mm_from_view.map(row);
        Point::new(x / w, y / w)
    }

    /// The same with the plane moved, turned or mirrored.
    #[must_use]
    pub fn transformed(&self, by: Affine) -> Self {
        let [a, b, c, d, e, f] = by.as_coeffs();
        let [x, y, w] = self.mm_from_view;
        let row = |over_x: f64, over_y: f64, over_w: f64| {
            std::array::from_fn(|i| over_x * x[i] + over_y * y[i] + over_w * w[i])
        };
        Self { mm_from_view: [row(a, c, e), row(b, d, f), w], ..*self }
    }

    /// Whether it can be one: numbers in their ranges, the whole picture in front of the camera,
    /// and no part of it without an area.
    pub fn is_sound(&self) -> bool {
        let [x, y, w] = self.mm_from_view;
        let numbers = x.iter().chain(&y).chain(&w);
        let in_range = numbers.copied().all(|v| limits::COORDINATE_MM.contains(&v))
            && self.distortion.iter().all(|k| limits::DISTORTION.contains(k));
        let det = x[0] * (y[1] * w[2] - y[2] * w[1]) - x[1] * (y[0] * w[2] - y[2] * w[0])
            + x[2] * (y[0] * w[1] - y[1] * w[0]);
        // Places lie within the unit circle.
        in_range && (w[2] - 1.0).abs() < 1e-9 && w[0].hypot(w[1]) < 1.0 && det.abs() > 1e-3
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Vec2;

    #[test]
    fn a_move_carries_every_place_along() {
        let tilted = PicturePlacement {
            mm_from_view: [[90.0, 4.0, 20.0], [3.0, -95.0, 8.0], [0.1, -0.2, 1.0]],
            distortion: [0.02, 0.0],
        };
        assert!(tilted.is_sound() && PicturePlacement::level(120.0).is_sound());
        let by = Affine::rotate(0.4).then_translate(Vec2::new(30.0, -7.0)) * Affine::FLIP_X;
        let moved = tilted.transformed(by);
        for view in [(0.0, 0.0), (0.8, -0.6), (-0.3, 0.9)].map(Point::from) {
            assert!(moved.place(view).distance(by * tilted.place(view)) < 1e-9);
        }
        assert!(moved.is_sound());
    }

    #[test]
    fn what_no_camera_sees_is_not_sound() {
        let level = PicturePlacement::level(100.0);
        let with = |row: usize, column: usize, value: f64| {
            let mut wrong = level;
            wrong.mm_from_view[row][column] = value;
            wrong.is_sound()
        };
        assert!(!with(0, 0, 0.0) && !with(0, 0, f64::NAN) && !with(1, 2, 1e9));
        assert!(!with(2, 0, 1.5) && !with(2, 2, 0.5) && with(2, 0, 0.3));
        assert!(!PicturePlacement { distortion: [9.0, 0.0], ..level }.is_sound());
    }
}
