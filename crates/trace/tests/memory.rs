//! The largest picture that is read, and what it takes: a test program of its own, so that nothing
//! else counts.

#![expect(clippy::unwrap_used, reason = "a test says so by failing")]

use std::io::Write as _;
use trace::{MAX_PIXELS, Squaring, TraceError, TraceOptions, decode};

/// Pixels along each side: 100 megapixels in all.
const SIDE: u32 = 10_000;

/// A light picture with a dark disc in the middle, four bytes a pixel, or of one tone.
fn large(disc: bool) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, SIDE, SIDE);
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_compression(png::Compression::Fast);
    encoder.set_filter(png::Filter::Up);
    let mut writer = encoder.write_header().unwrap();
    let mut rows = writer.stream_writer().unwrap();
    let (middle, radius) = (f64::from(SIDE) / 2.0, 1500.0);
    let mut row = vec![230_u8; 4 * SIDE as usize];
    for y in 0..SIDE {
        row.fill(230);
        row.chunks_exact_mut(4).for_each(|pixel| pixel[3] = 255);
        let off = f64::from(y) + 0.5 - middle;
        if disc && off.abs() < radius {
            let half = (radius * radius - off * off).sqrt();
            let dark = (middle - half).round() as usize..(middle + half).round() as usize;
            row[4 * dark.start..4 * dark.end].chunks_exact_mut(4).for_each(|p| p[..3].fill(40));
        }
        rows.write_all(&row).unwrap();
    }
    rows.finish().unwrap();
    drop(writer);
    out
}

/// The most memory that this program has held, MB; `None` where the system doesn't tell.
fn most_mb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    Some(line.split_whitespace().nth(1)?.parse::<u64>().ok()? / 1000)
}

#[test]
fn a_hundred_megapixels_take_less_than_a_gigabyte() {
    assert_eq!(u64::from(SIDE) * u64::from(SIDE), MAX_PIXELS);
    let options =
        TraceOptions { squaring: Squaring::Density(Some(600.0)), ..TraceOptions::default() };
    let bytes = large(true);
    assert!(bytes.len() < 5_000_000, "it is written small: {}", bytes.len());
    let picture = decode(&bytes).unwrap();
    let traced = trace::trace(&picture, &options).unwrap();
    let radius = (traced.outline.signed_area() / std::f64::consts::PI).sqrt();
    assert!((radius - 1500.0 * 25.4 / 600.0).abs() < 0.05, "{radius}");
    drop(picture);
    // A few kilobytes that unfold to all of that, with nothing in it.
    let blank = decode(&large(false)).unwrap();
    assert_eq!(trace::trace(&blank, &options).err(), Some(TraceError::OneTone));
    if let Some(mb) = most_mb() {
        assert!(mb < 1000, "{mb} MB");
    }
}
