//! Filling a picture tile by tile: where the tone changes evenly a few places are enough; where
//! it breaks, at a grind line or a plunge, every pixel is worked out.

use super::light::MIDDLE;
use super::{Light, Patch, Surface, Tones};
use egui::Color32;
use kurbo::{Point, Vec2};

/// Side of a tile, pixels; a power of two.
pub(super) const TILE: usize = 16;
/// How far a tone between known ones may stray.
const NEAR: f64 = 0.006;

/// Rows of a picture that are filled at once.
pub(super) struct Band<'a> {
    /// The first of its rows.
    pub(super) first: usize,
    /// Its pixels.
    pub(super) pixels: &'a mut [Color32],
}

/// Fills bands, one after the other.
pub(super) struct Lit<'a> {
    surface: &'a Surface<'a>,
    patch: &'a Patch,
    light: &'a Light,
    tones: &'a Tones,
    spans: &'a [(usize, usize)],
    /// Heights of the face at the corners of the band's pixels; not a number until asked for.
    heights: Vec<f64>,
    /// Tones of the band's pixels, likewise.
    known: Vec<f64>,
    /// The band's first row, and how many it has.
    rows: (usize, usize),
}

impl<'a> Lit<'a> {
    pub(super) fn new(
        surface: &'a Surface<'a>,
        patch: &'a Patch,
        light: &'a Light,
        tones: &'a Tones,
        spans: &'a [(usize, usize)],
    ) -> Self {
        Self {
            surface,
            patch,
            light,
            tones,
            spans,
            heights: Vec::new(),
            known: Vec::new(),
            rows: (0, 0),
        }
    }

    pub(super) fn fill(&mut self, band: Band<'_>) {
        let columns = self.patch.columns;
        let rows = band.pixels.len() / columns;
        self.rows = (band.first, rows);
        self.heights.clear();
        self.heights.resize((columns + 1) * (rows + 1), f64::NAN);
        self.known.clear();
        self.known.resize(columns * rows, f64::NAN);
        for from in (0..columns).step_by(TILE) {
            let wide = TILE.min(columns - from);
            if self.has_steel(from, wide) {
                self.block(from, 0, wide, rows);
            }
        }
        self.paint(band.pixels);
    }

    /// Whether any of these columns has steel in this band.
    fn has_steel(&self, from: usize, wide: usize) -> bool {
        let (first, rows) = self.rows;
        let spans = self.spans[from..from + wide].iter();
        spans.into_iter().any(|(top, foot)| *top < first + rows && *foot >= first)
    }

    /// Fills a block: from its corners where that is near enough, else in quarters.
    fn block(&mut self, x: usize, y: usize, wide: usize, tall: usize) {
        let (right, foot) = (x + wide - 1, y + tall - 1);
        let corners = [(x, y), (right, y), (x, foot), (right, foot)];
        let corners = corners.map(|(x, y)| self.tone(x, y));
        if wide <= 2 && tall <= 2 {
            return;
        }
        let (mid_x, mid_y) = (x + wide / 2, y + tall / 2);
        let between = |at_x: usize, at_y: usize| {
            let share = |at: usize, from: usize, long: usize| {
                if long > 1 { (at - from) as f64 / (long - 1) as f64 } else { 0.0 }
            };
            let (across, down) = (share(at_x, x, wide), share(at_y, y, tall));
            let mix = |a: f64, b: f64, share: f64| a + (b - a) * share;
            let (top, low) =
                (mix(corners[0], corners[1], across), mix(corners[2], corners[3], across));
            mix(top, low, down)
        };
        let looked = [(mid_x, mid_y), (mid_x, y), (mid_x, foot), (x, mid_y), (right, mid_y)];
        let even = looked.into_iter().all(|(x, y)| (self.tone(x, y) - between(x, y)).abs() <= NEAR);
        if even {
            for row in y..=foot {
                for column in x..=right {
                    self.known[row * self.patch.columns + column] = between(column, row);
                }
            }
            return;
        }
        let (half_wide, half_tall) = (wide.div_ceil(2), tall.div_ceil(2));
        for (x, wide) in [(x, half_wide), (x + half_wide, wide - half_wide)] {
            for (y, tall) in [(y, half_tall), (y + half_tall, tall - half_tall)] {
                if wide > 0 && tall > 0 {
                    self.block(x, y, wide, tall);
                }
            }
        }
    }

    /// The tone of a pixel, from the slope between its corners.
    fn tone(&mut self, x: usize, y: usize) -> f64 {
        let place = y * self.patch.columns + x;
        if !self.known[place].is_nan() {
            return self.known[place];
        }
        let [a, b, c, d] =
            [(x, y), (x + 1, y), (x, y + 1), (x + 1, y + 1)].map(|(x, y)| self.height(x, y));
        let two_steps = 2.0 * self.patch.step_mm;
        let rise = Vec2::new(b + d - a - c, a + b - c - d) / two_steps;
        let tone = self.light.tone(rise, self.place(x, y));
        self.known[place] = tone;
        tone
    }

    /// The height of the face at a corner of the band's pixels; the first row of corners lies
    /// highest.
    fn height(&mut self, x: usize, y: usize) -> f64 {
        let place = y * (self.patch.columns + 1) + x;
        if self.heights[place].is_nan() {
            let low = self.patch.low(x, self.rows.0 + y);
            let at = Point::new(low.x, low.y + self.patch.step_mm);
            self.heights[place] = self.surface.height_mm(at);
        }
        self.heights[place]
    }

    /// The middle of a pixel of the band.
    fn place(&self, x: usize, y: usize) -> Point {
        let half_mm = self.patch.step_mm / 2.0;
        self.patch.low(x, self.rows.0 + y) + Vec2::new(half_mm, half_mm)
    }

    fn paint(&self, pixels: &mut [Color32]) {
        for (i, (pixel, tone)) in pixels.iter_mut().zip(&self.known).enumerate() {
            let (x, y) = (i % self.patch.columns, i / self.patch.columns);
            if tone.is_nan() {
                *pixel = self.tones.colour(MIDDLE);
                continue;
            }
            let marks =
                if self.light.grain > 0.0 { self.light.marks(self.place(x, y)) } else { 0.0 };
            *pixel = self.tones.colour(tone + marks);
        }
    }
}
