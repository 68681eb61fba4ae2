//! The shipped faces: their bytes, and glyphs by sign.

use crate::PaperError;
use kurbo::{BezPath, Point, Vec2};
use marks::FontFace;

const REGULAR: &[u8] = include_bytes!("../../../assets/fonts/Barlow-Regular.ttf");
const BOLD: &[u8] = include_bytes!("../../../assets/fonts/Barlow-Bold.ttf");

/// The TrueType file of a face.
pub fn bytes(face: FontFace) -> &'static [u8] {
    match face {
        FontFace::Regular => REGULAR,
        FontFace::Bold => BOLD,
    }
}

/// The PostScript name of a face.
pub(crate) fn postscript(face: FontFace) -> &'static str {
    match face {
        FontFace::Regular => "Barlow-Regular",
        FontFace::Bold => "Barlow-Bold",
    }
}

/// A face, opened.
pub(crate) fn open(face: FontFace) -> Result<ttf_parser::Face<'static>, PaperError> {
    ttf_parser::Face::parse(bytes(face), 0)
        .map_err(|_broken| PaperError::Shipped { what: "A font" })
}

/// The letters' outlines in the font's units, the first starting at the origin, one after another
/// by their advances.
pub(crate) fn outline(face: &ttf_parser::Face<'_>, text: &str) -> BezPath {
    let mut path = Outline::default();
    for sign in text.chars() {
        let Some(glyph) = face.glyph_index(sign) else { continue };
        face.outline_glyph(glyph, &mut path);
        path.start.x += f64::from(face.glyph_hor_advance(glyph).unwrap_or_default());
    }
    path.path
}

/// Collects outlines of glyphs into one path.
#[derive(Default)]
struct Outline {
    path: BezPath,
    start: Vec2,
}

impl Outline {
    fn at(&self, x: f32, y: f32) -> Point {
        Point::new(x.into(), y.into()) + self.start
    }
}

impl ttf_parser::OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.path.move_to(self.at(x, y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.path.line_to(self.at(x, y));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.path.quad_to(self.at(x1, y1), self.at(x, y));
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.path.curve_to(self.at(x1, y1), self.at(x2, y2), self.at(x, y));
    }

    fn close(&mut self) {
        self.path.close_path();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use marks::lettering;

    /// The table in `assets/fonts/advances.csv` against the font files themselves.
    #[test]
    fn advances_equal_the_font_files() {
        for (face, column) in [(FontFace::Regular, 0), (FontFace::Bold, 1)] {
            let font = open(face).unwrap();
            assert!((f64::from(font.units_per_em()) - lettering::UNITS_PER_EM).abs() < 1e-9);
            let capitals = f64::from(font.capital_height().unwrap());
            assert!((capitals - lettering::CAP_HEIGHT).abs() < 1e-9);
            let mut signs = 0;
            for (sign, widths) in lettering::advances() {
                let glyph = font.glyph_index(sign).unwrap();
                assert_eq!(font.glyph_hor_advance(glyph), Some(widths[column]), "{sign}");
                signs += 1;
            }
            assert!(signs > 500);
        }
    }

    /// Capitals drawn at cap height: the box of "H" is as high as the table says.
    #[test]
    fn capitals_stand_as_high_as_told() {
        for face in [FontFace::Regular, FontFace::Bold] {
            let font = open(face).unwrap();
            let glyph = font.glyph_index('H').unwrap();
            let bounds = font.glyph_bounding_box(glyph).unwrap();
            assert_eq!((bounds.y_min, bounds.y_max), (0, 700));
            for sign in "gjpqyQ,()".chars() {
                let bounds = font.glyph_bounding_box(font.glyph_index(sign).unwrap()).unwrap();
                let deepest = -lettering::DESCENT * lettering::CAP_HEIGHT;
                assert!(f64::from(bounds.y_min) > deepest, "{sign}: {}", bounds.y_min);
            }
        }
    }
}
