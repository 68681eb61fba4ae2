//! The shipped faces: their bytes, and glyphs by sign.

use crate::PaperError;
use drawing::Face;

const REGULAR: &[u8] = include_bytes!("../../../assets/fonts/Barlow-Regular.ttf");
const BOLD: &[u8] = include_bytes!("../../../assets/fonts/Barlow-Bold.ttf");

/// The TrueType file of a face.
pub fn bytes(face: Face) -> &'static [u8] {
    match face {
        Face::Regular => REGULAR,
        Face::Bold => BOLD,
    }
}

/// The faces' family name.
pub fn family() -> &'static str {
    "Barlow"
}

/// The PostScript name of a face.
pub(crate) fn postscript(face: Face) -> &'static str {
    match face {
        Face::Regular => "Barlow-Regular",
        Face::Bold => "Barlow-Bold",
    }
}

/// A face, opened.
pub(crate) fn open(face: Face) -> Result<ttf_parser::Face<'static>, PaperError> {
    ttf_parser::Face::parse(bytes(face), 0)
        .map_err(|_broken| PaperError::Shipped { what: "A font" })
}

#[cfg(test)]
mod tests {
    use super::*;
    use drawing::lettering;

    /// The table in `assets/fonts/advances.csv` against the font files themselves.
    #[test]
    fn advances_equal_the_font_files() {
        for (face, column) in [(Face::Regular, 0), (Face::Bold, 1)] {
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
        for face in [Face::Regular, Face::Bold] {
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
