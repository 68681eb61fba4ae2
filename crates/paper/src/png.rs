//! Writing a drawing as a PNG picture of known dots per inch.

use crate::{MM_PER_INCH, PaperError, svg};
use kurbo::Rect;
use marks::Drawing;
use resvg::{tiny_skia, usvg};

/// More dots than this (64 million, 256 MB) are refused.
const MAX_DOTS: f64 = 64e6;

/// The fewest dots to the inch that show anything.
const MIN_DPI: f64 = 10.0;
/// The most of any drawing, however small.
const MAX_DPI: f64 = 2400.0;

/// The part of a drawing in `window` on white, as a PNG that tells its dots per inch.
///
/// # Errors
/// [`PaperError::Dots`], or [`PaperError::Picture`] when it can't be drawn.
pub fn png(drawing: &Drawing, window: Rect, dpi: f64) -> Result<Vec<u8>, PaperError> {
    let dots = |mm: f64| (mm / MM_PER_INCH * dpi).round().max(1.0);
    // One dot less all round, as sides are rounded to whole dots.
    let area_in2 = window.area().abs() / (MM_PER_INCH * MM_PER_INCH);
    let max = ((MAX_DOTS / area_in2).sqrt() - 1.0).floor().min(MAX_DPI);
    if !(MIN_DPI..=max).contains(&dpi) {
        return Err(PaperError::Dots { dpi, min: MIN_DPI, max });
    }
    let (width, height) = (dots(window.width()), dots(window.height()));
    if width * height > MAX_DOTS {
        return Err(PaperError::Dots { dpi, min: MIN_DPI, max });
    }
    let failed = |why: &dyn std::fmt::Display| PaperError::Picture { why: why.to_string() };
    let tree = usvg::Tree::from_str(&svg(drawing, window, ""), &usvg::Options::default())
        .map_err(|error| failed(&error))?;
    let mut picture = tiny_skia::Pixmap::new(whole(width), whole(height))
        .ok_or_else(|| failed(&"no room for it"))?;
    picture.fill(tiny_skia::Color::WHITE);
    let scale = |dots: f64, units: f32| single(dots) / units;
    let size = tree.size();
    let to_dots =
        tiny_skia::Transform::from_scale(scale(width, size.width()), scale(height, size.height()));
    resvg::render(&tree, to_dots, &mut picture.as_mut());
    let bytes = picture.encode_png().map_err(|error| failed(&error))?;
    Ok(with_density(&bytes, dpi))
}

/// A picture of dots (red, green, blue, opaque) as PNG, row by row from the top; with so many dots
/// to the inch where it is drawn true to size.
///
/// # Errors
/// [`PaperError::Picture`] when there are not as many dots as its sides say.
pub fn picture_png(
    width: u32,
    height: u32,
    dots: &[[u8; 4]],
    dpi: Option<f64>,
) -> Result<Vec<u8>, PaperError> {
    let failed = |why: &dyn std::fmt::Display| PaperError::Picture { why: why.to_string() };
    let size = tiny_skia::IntSize::from_wh(width, height).ok_or_else(|| failed(&"it is empty"))?;
    let picture = tiny_skia::Pixmap::from_vec(dots.as_flattened().to_vec(), size)
        .ok_or_else(|| failed(&"dots are missing"))?;
    let bytes = picture.encode_png().map_err(|error| failed(&error))?;
    Ok(dpi.map_or_else(|| bytes.clone(), |dpi| with_density(&bytes, dpi)))
}

/// Puts a pHYs chunk (dots per metre) after the header chunk.
fn with_density(png: &[u8], dpi: f64) -> Vec<u8> {
    // Signature 8 bytes, then the header chunk: length 4, name 4, data 13, check 4.
    const AFTER_HEADER: usize = 8 + 25;
    let per_metre = whole(dpi / MM_PER_INCH * 1000.0).to_be_bytes();
    let mut chunk = b"pHYs".to_vec();
    chunk.extend(per_metre);
    chunk.extend(per_metre);
    chunk.push(1);
    let check = crc(&chunk).to_be_bytes();
    let (head, tail) = png.split_at(AFTER_HEADER.min(png.len()));
    [head, &9_u32.to_be_bytes(), &chunk, &check, tail].concat()
}

/// The check sum of PNG chunks (ISO/IEC 15948, annex D).
fn crc(bytes: &[u8]) -> u32 {
    let step = |sum: u32| if sum & 1 == 1 { (sum >> 1) ^ 0xedb8_8320 } else { sum >> 1 };
    let sum = bytes
        .iter()
        .fold(u32::MAX, |sum, byte| (0..8).fold(sum ^ u32::from(*byte), |sum, _| step(sum)));
    !sum
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to a range that u32 holds"
)]
fn whole(value: f64) -> u32 {
    value.round().clamp(0.0, f64::from(u32::MAX)) as u32
}

#[expect(clippy::cast_possible_truncation, reason = "the renderer works in 32-bit numbers")]
fn single(value: f64) -> f32 {
    value as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dots_that_make_no_picture_are_refused_with_what_is_allowed() {
        let window = Rect::new(0.0, 0.0, 254.0, 127.0);
        for dpi in [0.0, -3.0, f64::NAN, f64::INFINITY, 1e9, 1e300, 2400.0, 9.9] {
            let message = png(&Drawing::new(), window, dpi).unwrap_err().to_string();
            assert!(message.len() < 90, "{message}");
            assert!(message.contains("between 10 and 1130 for this drawing"), "{message}");
        }
        assert!(png(&Drawing::new(), window, 10.0).is_ok());
        // 30 m square has room for no picture: "between 10 and 6" would be no help.
        let huge = Rect::new(0.0, 0.0, 30_000.0, 30_000.0);
        for dpi in [10.0, 300.0] {
            let message = png(&Drawing::new(), huge, dpi).unwrap_err().to_string();
            assert!(message.contains("too large for a picture at any number of dots"), "{message}");
        }
    }

    #[test]
    fn check_sum_of_a_known_chunk() {
        // The end chunk of every PNG: "IEND" has the check sum AE 42 60 82 (ISO/IEC 15948).
        assert_eq!(crc(b"IEND"), 0xae42_6082);
    }
}
