//! The scan density that a file states: PNG pHYs, JFIF density, TIFF resolution.

use crate::tiff_tags::Tags;
use image::ImageFormat;
use std::io::Cursor;

const MM_PER_INCH: f64 = 25.4;

/// Dots per inch as the file states them, if both ways alike.
pub(crate) fn stated(bytes: &[u8], format: ImageFormat) -> Option<f64> {
    let dpi = match format {
        ImageFormat::Png => png(bytes),
        ImageFormat::Jpeg => jfif(bytes),
        ImageFormat::Tiff => Tags::read(bytes).and_then(|tags| tags.dpi()),
        _ => None,
    }?;
    (20.0..=10_000.0).contains(&dpi).then_some(dpi)
}

/// PNG (ISO/IEC 15948), chunk pHYs: pixels per metre.
fn png(bytes: &[u8]) -> Option<f64> {
    let reader = png::Decoder::new(Cursor::new(bytes)).read_info().ok()?;
    let dims = reader.info().pixel_dims?;
    let square = dims.xppu.abs_diff(dims.yppu) <= dims.xppu / 100;
    (dims.unit == png::Unit::Meter && square).then(|| f64::from(dims.xppu) * MM_PER_INCH / 1000.0)
}

/// The segments of a JPEG before its picture data: marker and what follows its length; and where
/// that data begins.
fn jpeg_segments(bytes: &[u8]) -> (Vec<(u8, &[u8])>, Option<usize>) {
    let mut found = Vec::new();
    let mut at = 2;
    while let Some([0xFF, marker, high, low]) = bytes.get(at..at + 4) {
        let length = usize::from(u16::from_be_bytes([*high, *low]));
        found.push((*marker, bytes.get(at + 4..).unwrap_or_default()));
        at += 2 + length.max(2);
        if *marker == START_OF_SCAN {
            return (found, Some(at));
        }
    }
    (found, None)
}

/// Markers of JPEG (ITU-T T.81, table B.1).
const START_OF_SCAN: u8 = 0xDA;
const END_OF_IMAGE: [u8; 2] = [0xFF, 0xD9];
const APP0: u8 = 0xE0;

/// Whether a JPEG's picture data comes to an end: readers fill what is missing with grey.
pub(crate) fn is_whole_jpeg(bytes: &[u8]) -> bool {
    let (_, data) = jpeg_segments(bytes);
    let data = data.and_then(|at| bytes.get(at..)).unwrap_or_default();
    data.windows(2).any(|pair| pair == END_OF_IMAGE)
}

/// JFIF 1.02, marker APP0: unit 1 dots per inch, 2 dots per centimetre.
fn jfif(bytes: &[u8]) -> Option<f64> {
    let (segments, _) = jpeg_segments(bytes);
    let is_jfif = |(marker, data): &&(u8, &[u8])| *marker == APP0 && data.starts_with(b"JFIF\0");
    let (_, segment) = segments.iter().find(is_jfif)?;
    let [unit, xh, xl, yh, yl] = segment.get(7..12)? else { return None };
    let (x, y) = (u16::from_be_bytes([*xh, *xl]), u16::from_be_bytes([*yh, *yl]));
    let dots = (x == y && x > 0).then(|| f64::from(x))?;
    match unit {
        1 => Some(dots),
        2 => Some(dots * MM_PER_INCH / 10.0),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn jpeg(unit: u8, x: u16, y: u16) -> Vec<u8> {
        let mut bytes = vec![0xFF, 0xD8, 0xFF, 0xE0, 0, 16];
        bytes.extend(b"JFIF\0\x01\x02");
        bytes.push(unit);
        bytes.extend(x.to_be_bytes());
        bytes.extend(y.to_be_bytes());
        bytes.extend([0, 0]);
        bytes
    }

    #[test]
    fn jfif_counts_by_inch_and_centimetre() {
        assert_eq!(stated(&jpeg(1, 300, 300), ImageFormat::Jpeg), Some(300.0));
        assert!((stated(&jpeg(2, 118, 118), ImageFormat::Jpeg).unwrap() - 299.72).abs() < 1e-9);
        for (unit, x, y) in [(0, 1, 1), (1, 300, 150), (1, 0, 0), (3, 9, 9)] {
            assert_eq!(stated(&jpeg(unit, x, y), ImageFormat::Jpeg), None);
        }
        assert_eq!(stated(&jpeg(1, 300, 300)[..12], ImageFormat::Jpeg), None);
    }
}
