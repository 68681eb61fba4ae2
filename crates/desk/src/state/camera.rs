//! From millimetres to the screen and back: the only place where the y axis is turned over.

use egui::{Pos2, pos2};
use kurbo::{Point, Rect, Vec2};

/// The least and the most that is zoomed to, points to the millimetre.
const ZOOM: std::ops::RangeInclusive<f64> = 0.05..=1500.0;
/// White around what is fitted, points.
const AROUND: f64 = 36.0;

/// What is looked at: the plane's place in the middle of the view, and how near.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// The place in the middle of the view, mm.
    pub centre: Point,
    /// Screen points to the millimetre.
    pub points_per_mm: f64,
}

/// A camera in its window on the screen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Where on the screen, points.
    pub rect: egui::Rect,
    /// What is looked at.
    pub camera: Camera,
}

impl Camera {
    /// The camera that shows `bounds` whole in a view of this size.
    pub fn fitting(bounds: Rect, view: egui::Rect) -> Self {
        let room = |points: f32| (f64::from(points) - 2.0 * AROUND).max(40.0);
        let across = room(view.width()) / bounds.width().max(1.0);
        let up = room(view.height()) / bounds.height().max(1.0);
        Self { centre: bounds.center(), points_per_mm: clamped(across.min(up)) }
    }

    /// The same with other points to the millimetre.
    #[must_use]
    pub fn at_zoom(self, points_per_mm: f64) -> Self {
        Self { points_per_mm: clamped(points_per_mm), ..self }
    }
}

impl View {
    /// Where a place of the plane is on the screen.
    pub fn ui_from_mm(&self, p: Point) -> Pos2 {
        let off = (p - self.camera.centre) * self.camera.points_per_mm;
        let middle = self.rect.center();
        #[expect(clippy::cast_possible_truncation, reason = "screen points")]
        let (x, y) = (off.x as f32, off.y as f32);
        pos2(middle.x + x, middle.y - y)
    }

    /// Where a rectangle of the plane is on the screen.
    pub fn ui_rect(&self, rect: Rect) -> egui::Rect {
        let far = Point::new(rect.x1, rect.y1);
        egui::Rect::from_two_pos(self.ui_from_mm(rect.origin()), self.ui_from_mm(far))
    }

    /// Which place of the plane a point of the screen is.
    pub fn mm_from_ui(&self, pos: Pos2) -> Point {
        self.camera.centre + self.mm_from_ui_vec(pos - self.rect.center())
    }

    /// Which way of the plane a way on the screen is, mm.
    pub fn mm_from_ui_vec(&self, by: egui::Vec2) -> Vec2 {
        Vec2::new(f64::from(by.x), -f64::from(by.y)) / self.camera.points_per_mm
    }

    /// A length on the screen, points.
    pub fn points(&self, length_mm: f64) -> f32 {
        #[expect(clippy::cast_possible_truncation, reason = "screen points")]
        let points = (length_mm * self.camera.points_per_mm) as f32;
        points
    }

    /// The camera after zooming by a factor while the place under `pos` stays there.
    pub fn zoomed_at(&self, pos: Pos2, by: f64) -> Camera {
        let held = self.mm_from_ui(pos);
        let camera = self.camera.at_zoom(self.camera.points_per_mm * by);
        let off = Self { camera, ..*self }.mm_from_ui_vec(pos - self.rect.center());
        Camera { centre: held - off, ..camera }
    }

    /// The camera after the plane was pulled along by a way on the screen.
    pub fn panned(&self, by: egui::Vec2) -> Camera {
        Camera { centre: self.camera.centre - self.mm_from_ui_vec(by), ..self.camera }
    }

    /// The stretch of the plane that is seen, mm.
    pub fn seen(&self) -> Rect {
        Rect::from_points(self.mm_from_ui(self.rect.min), self.mm_from_ui(self.rect.max))
    }
}

fn clamped(points_per_mm: f64) -> f64 {
    if points_per_mm.is_finite() { points_per_mm.clamp(*ZOOM.start(), *ZOOM.end()) } else { 1.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn view(x: f64, y: f64, zoom: f64) -> View {
        let rect = egui::Rect::from_min_size(pos2(40.0, 60.0), egui::vec2(900.0, 500.0));
        View { rect, camera: Camera { centre: Point::new(x, y), points_per_mm: zoom } }
    }

    proptest! {
        #[test]
        fn there_and_back(x in -500.0..500.0f64, y in -500.0..500.0f64, zoom in 0.5..200.0f64,
                          px in 40.0..940.0f32, py in 60.0..560.0f32) {
            let view = view(x, y, zoom);
            let back = view.ui_from_mm(view.mm_from_ui(pos2(px, py)));
            prop_assert!((back - pos2(px, py)).length() < 1e-2);
        }

        #[test]
        fn zooming_holds_the_place_under_the_pointer(by in 0.2..5.0f64, px in 40.0..940.0f32) {
            let before = view(100.0, 20.0, 4.0);
            let pos = pos2(px, 111.0);
            let after = View { camera: before.zoomed_at(pos, by), ..before };
            prop_assert!((after.mm_from_ui(pos) - before.mm_from_ui(pos)).hypot() < 1e-9);
        }
    }

    #[test]
    fn up_is_up_and_what_is_fitted_is_seen() {
        let bounds = Rect::new(0.0, 0.0, 304.8, 38.1);
        let rect = view(0.0, 0.0, 1.0).rect;
        let view = View { rect, camera: Camera::fitting(bounds, rect) };
        assert!(view.ui_from_mm(Point::new(0.0, 38.1)).y < view.ui_from_mm(Point::ORIGIN).y);
        let seen = view.seen();
        assert!(seen.contains(bounds.origin()) && seen.contains(Point::new(304.8, 38.1)));
    }
}
