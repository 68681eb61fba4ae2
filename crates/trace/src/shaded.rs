//! Dark and light of a ground that is lit unevenly.

use crate::Gray;
use crate::contour::Field;
use crate::illumination::Illumination;
use crate::region::Region;
use kurbo::Point;

/// Dark and light of a lit ground.
pub(crate) struct Shaded<'a> {
    pub(crate) gray: &'a Gray,
    pub(crate) region: &'a Region,
    pub(crate) light: Illumination,
    /// The part of the ground's tone below which is dark.
    pub(crate) level: f32,
}

impl Shaded<'_> {
    /// How much darker than the lit ground a place is: 0 ground, 1 black.
    pub(crate) fn darkness(&self, p: Point) -> f64 {
        1.0 - self.gray.sample(p) / self.light.at(p.x, p.y)
    }
}

impl Field for Shaded<'_> {
    fn size(&self) -> (usize, usize) {
        (self.gray.width(), self.gray.height())
    }

    fn span(&self, y: usize) -> (usize, usize) {
        self.region.span(y)
    }

    fn value(&self, x: usize, y: usize) -> f32 {
        // To the last digit what `row` gives: a contour is begun by one and followed by the other.
        self.gray.at(x, y) as f32 - self.level * self.light.along(y as f64 + 0.5)(x)
    }

    fn row(&self, y: usize, out: &mut Vec<f32>) {
        let (from, to) = self.span(y);
        let light = self.light.along(y as f64 + 0.5);
        let row = &self.gray.row(y)[from..to];
        out.clear();
        out.extend(
            row.iter().enumerate().map(|(i, v)| f32::from(*v) - self.level * light(from + i)),
        );
    }
}
