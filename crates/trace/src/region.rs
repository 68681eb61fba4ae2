//! The part of a picture that is looked at: a convex quadrilateral, row by row.

use crate::Gray;
use kurbo::Point;

/// A part of a picture, as the span of each row.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Region {
    /// For each row the first pixel and the end; equal where the row isn't in it.
    spans: Vec<(u32, u32)>,
}

impl Region {
    /// All of a picture.
    pub(crate) fn whole(gray: &Gray) -> Self {
        Self { spans: vec![(0, gray.width() as u32); gray.height()] }
    }

    /// The pixels whose centres lie inside a convex polygon.
    pub(crate) fn polygon(gray: &Gray, corners: &[Point]) -> Self {
        let spans = (0..gray.height()).map(|y| {
            let y = y as f64 + 0.5;
            let (mut from, mut to) = (f64::INFINITY, f64::NEG_INFINITY);
            for (i, a) in corners.iter().enumerate() {
                let b = corners[(i + 1) % corners.len()];
                if (a.y > y) != (b.y > y) {
                    let x = a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
                    (from, to) = (from.min(x), to.max(x));
                }
            }
            let pixel = |x: f64| (x - 0.5).ceil().clamp(0.0, gray.width() as f64) as u32;
            if from <= to { (pixel(from), pixel(to)) } else { (0, 0) }
        });
        Self { spans: spans.collect() }
    }

    /// The span of a row.
    pub(crate) fn span(&self, y: usize) -> (usize, usize) {
        let (from, to) = self.spans[y];
        (from as usize, to as usize)
    }

    /// Rows that are in it, with their spans.
    pub(crate) fn rows(&self) -> impl Iterator<Item = (usize, (usize, usize))> + '_ {
        (0..self.spans.len()).map(|y| (y, self.span(y))).filter(|(_, (from, to))| from < to)
    }
}
