//! Where the picture that is traced stands on the screen.

use egui::{Pos2, vec2};
use kurbo::Point;

/// From the picture's pixels to the screen.
#[derive(Clone, Copy)]
pub(super) struct Shown {
    /// Where the picture's upper left corner is shown.
    pub(super) origin: Pos2,
    /// Points to the pixel.
    pub(super) scale: f32,
}

impl Shown {
    /// Where a pixel is shown.
    pub(super) fn screen(self, px: Point) -> Pos2 {
        #[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
        let at = vec2(px.x as f32, px.y as f32);
        self.origin + at * self.scale
    }

    /// Which pixel is shown at a place.
    pub(super) fn px(self, at: Pos2) -> Point {
        let off = (at - self.origin) / self.scale;
        Point::new(f64::from(off.x), f64::from(off.y))
    }
}
