//! Which part of the knife's plane a picture shows, and how finely.

use kurbo::{Affine, Point, Rect};
use outline::Outline;

/// Straightening the outline for its spans, mm.
const NEAR_MM: f64 = 0.02;

/// A patch of the knife's plane in square pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch {
    /// Its corner of least x and y.
    pub corner: Point,
    /// Side of a pixel, mm.
    pub step_mm: f64,
    /// Pixels along x.
    pub columns: usize,
    /// Pixels along y.
    pub rows: usize,
}

impl Patch {
    /// The patch over a box, as finely as asked for or as so many pixels allow. Its pixels lie
    /// on the same grid wherever the box is, so that nothing shimmers when it moves.
    pub fn over(bounds: Rect, pixels_per_mm: f64, max_pixels: usize) -> Self {
        let area_mm2 = (bounds.width() * bounds.height()).max(1e-9);
        let min_mm = (area_mm2 / max_pixels.max(1) as f64).sqrt();
        let step_mm = (1.0 / pixels_per_mm).max(min_mm).max(1e-6);
        let low = |mm: f64| (mm / step_mm).floor() * step_mm;
        let corner = Point::new(low(bounds.x0), low(bounds.y0));
        // A long thin box may ask for many pixels along its length.
        let count = |mm: f64| ((mm / step_mm).ceil().max(1.0) as usize).min(max_pixels.max(1));
        Self {
            corner,
            step_mm,
            columns: count(bounds.x1 - corner.x),
            rows: count(bounds.y1 - corner.y),
        }
    }

    /// The box it covers, mm.
    pub fn bounds(&self) -> Rect {
        let size = (self.columns as f64 * self.step_mm, self.rows as f64 * self.step_mm);
        Rect::from_origin_size(self.corner, size)
    }

    /// The low corner of a pixel; rows count downward from the highest.
    pub(super) fn low(&self, column: usize, row: usize) -> Point {
        let up = self.rows as f64 - 1.0 - row as f64;
        self.corner + kurbo::Vec2::new(column as f64, up) * self.step_mm
    }

    /// The first and the last row in which there is steel, for each column.
    pub(super) fn spans(&self, outline: &Outline) -> Vec<(usize, usize)> {
        let mut spans = vec![(usize::MAX, 0); self.columns];
        let mut points: Vec<Point> = Vec::new();
        kurbo::flatten(outline.to_path(), NEAR_MM, |element| points.extend(element.end_point()));
        points.extend(points.first().copied());
        let top = self.bounds().y1;
        let row = |y: f64| ((top - y) / self.step_mm).min(self.rows as f64 - 1.0).max(0.0) as usize;
        let column = |x: f64| (x - self.corner.x) / self.step_mm;
        for side in points.windows(2) {
            let (low, high) = (side[0].x.min(side[1].x), side[0].x.max(side[1].x));
            let (from, to) = (column(low).floor(), column(high).floor());
            if to < 0.0 || from >= self.columns as f64 {
                continue;
            }
            let rows = |column: usize| {
                let x = self.corner.x + column as f64 * self.step_mm;
                let at = |x: f64| {
                    let share = (x - side[0].x) / (side[1].x - side[0].x);
                    side[0].y + (side[1].y - side[0].y) * share.clamp(0.0, 1.0)
                };
                if side[0].x == side[1].x {
                    return (side[0].y, side[1].y);
                }
                (at(x), at(x + self.step_mm))
            };
            for (column, span) in
                spans.iter_mut().enumerate().take(to as usize + 1).skip(from.max(0.0) as usize)
            {
                let (a, b) = rows(column);
                span.0 = span.0.min(row(a.max(b)));
                span.1 = span.1.max(row(a.min(b)));
            }
        }
        spans
    }
}

/// Pixels of a picture at rest, and of one while something moves.
const MAX_PIXELS: usize = 1_200_000;
const MAX_PIXELS_MOVING: usize = 150_000;

/// What the canvas wants a picture of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShadeRequest {
    /// The part of the knife's plane that is seen, mm.
    pub seen: Rect,
    /// Pixels of the screen to the millimetre.
    pub pixels_per_mm: f64,
    /// Whether something moves, so that it must be quick.
    pub moves: bool,
    /// The screen's plane, y up, turned onto the knife's.
    pub knife_from_screen: Affine,
    /// The tones of steel.
    pub tones: [egui::Color32; 3],
}

impl ShadeRequest {
    /// The patch of a knife in this box that is seen; while something moves, with some room
    /// around it for what comes into view next.
    pub fn patch(&self, bounds: Rect) -> Patch {
        let (max, room) = if self.moves { (MAX_PIXELS_MOVING, 0.25) } else { (MAX_PIXELS, 0.0) };
        let seen = self.seen.inflate(self.seen.width() * room, self.seen.height() * room);
        Patch::over(bounds.intersect(seen), self.pixels_per_mm, max)
    }

    /// Whether a picture that was made will do while the camera moves: it shows all that is seen
    /// of a knife in this box.
    pub fn will_do(&self, patch: &Patch, bounds: Rect) -> bool {
        self.moves && patch.bounds().inflate(1e-6, 1e-6).contains_rect(bounds.intersect(self.seen))
    }

    /// Whether the same patch would look the same.
    pub fn looks_like(&self, other: &Self) -> bool {
        self.tones == other.tones && self.knife_from_screen == other.knife_from_screen
    }
}
