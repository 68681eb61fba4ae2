//! Pictures that can't be traced: one plain sentence each, never a panic.

#![expect(clippy::unwrap_used, reason = "a test says so by failing")]

use image::{DynamicImage, ImageFormat, Rgb, RgbImage, Rgba, RgbaImage};
use proptest::prelude::*;
use std::io::Cursor;
use trace::{Progress, Squaring, TraceError, TraceOptions, decode};

fn bytes(image: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut out = Cursor::new(Vec::new());
    image.write_to(&mut out, format).unwrap();
    out.into_inner()
}

fn plain(width: u32, height: u32, tone: u8) -> DynamicImage {
    RgbImage::from_pixel(width, height, Rgb([tone; 3])).into()
}

/// A dark disc on a light ground.
fn disc(width: u32, height: u32) -> RgbImage {
    let middle = (f64::from(width) / 2.0, f64::from(height) / 2.0);
    RgbImage::from_fn(width, height, |x, y| {
        let r = (f64::from(x) - middle.0).hypot(f64::from(y) - middle.1);
        Rgb([if r < 60.0 { 40 } else { 230 }; 3])
    })
}

fn at_100_dpi() -> TraceOptions {
    TraceOptions { squaring: Squaring::Density(Some(100.0)), ..TraceOptions::default() }
}

fn why(bytes: &[u8]) -> TraceError {
    match decode(bytes).and_then(|picture| trace::trace(&picture, &at_100_dpi())) {
        Err(why) => {
            let told = why.to_string();
            assert!(told.len() > 20 && !told.ends_with('.') && !told.contains('\n'), "{told}");
            why
        }
        Ok(traced) => panic!("traced {} nodes", traced.node_count()),
    }
}

/// The header of a PNG of this size, with nothing after it that fits.
fn bomb(width: u32, height: u32) -> Vec<u8> {
    let small = bytes(&plain(64, 64, 9), ImageFormat::Png);
    let mut out = small.clone();
    out[16..20].copy_from_slice(&width.to_be_bytes());
    out[20..24].copy_from_slice(&height.to_be_bytes());
    let crc = crc32(&out[12..29]);
    out[29..33].copy_from_slice(&crc.to_be_bytes());
    out
}

/// The check of a PNG chunk (ISO/IEC 15948, annex D).
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(
            crc ^ u32::from(*byte),
            |c, _| if c & 1 == 1 { 0xEDB8_8320 ^ c >> 1 } else { c >> 1 },
        )
    })
}

#[test]
fn what_is_no_picture_or_a_broken_one() {
    assert_eq!(why(b"notes about a knife, named .jpg"), TraceError::NotAPicture);
    assert_eq!(why(b""), TraceError::NotAPicture);
    assert_eq!(why(b"GIF89a\x01\0\x01\0\0\0\0;"), TraceError::NotAPicture);
    let image = DynamicImage::from(disc(300, 200));
    for format in [
        ImageFormat::Png,
        ImageFormat::Jpeg,
        ImageFormat::WebP,
        ImageFormat::Tiff,
        ImageFormat::Bmp,
    ] {
        let whole = bytes(&image, format);
        assert_eq!(why(&whole[..whole.len() / 2]), TraceError::Damaged, "{format:?}");
    }
}

#[test]
fn sizes_out_of_range() {
    let small = TraceError::TooFewPixels { width: 1, height: 1 };
    assert_eq!(why(&bytes(&plain(1, 1, 0), ImageFormat::Png)), small);
    let many = TraceError::TooManyPixels { width: 20_000, height: 20_000 };
    assert_eq!(why(&bomb(20_000, 20_000)), many);
    assert!(matches!(
        why(&bomb(u32::MAX / 4, u32::MAX / 4)),
        TraceError::TooManyPixels { .. } | TraceError::TooMuchMemory | TraceError::Damaged
    ));
    // 100 megapixels that aren't there.
    assert_eq!(why(&bomb(10_000, 10_000)), TraceError::Damaged);
}

#[test]
fn pictures_with_nothing_to_trace() {
    for tone in [0, 255, 128] {
        let told = why(&bytes(&plain(400, 300, tone), ImageFormat::Png));
        assert!(matches!(told, TraceError::OneTone | TraceError::NoContour), "{told:?}");
    }
    // A dark bar across the whole picture has no closed contour.
    let bar =
        RgbImage::from_fn(
            400,
            300,
            |_, y| Rgb([if (100..200).contains(&y) { 30 } else { 240 }; 3]),
        );
    assert_eq!(why(&bytes(&bar.into(), ImageFormat::Png)), TraceError::RunsOut);
    let nothing = decode(&bytes(&DynamicImage::from(disc(400, 300)), ImageFormat::Png)).unwrap();
    assert_eq!(trace::trace(&nothing, &TraceOptions::default()).err(), Some(TraceError::NoScale));
}

#[test]
fn options_out_of_range() {
    use kurbo::{Point, Size};
    let picture = decode(&bytes(&disc(400, 300).into(), ImageFormat::Png)).unwrap();
    let tried = |squaring| trace::square_up(&picture, &squaring, &Progress::default()).err();
    for dpi in [0.0, -300.0, f64::NAN, 1e9] {
        assert!(matches!(tried(Squaring::Density(Some(dpi))), Some(TraceError::BadDensity { .. })));
    }
    let (a, b) = (Point::new(10.0, 10.0), Point::new(390.0, 10.0));
    for (from, to, mm) in
        [(a, a, 50.0), (a, b, 0.0), (a, b, f64::NAN), (a, Point::new(900.0, 0.0), 9.0)]
    {
        assert_eq!(tried(Squaring::TwoPoints { from, to, mm }), Some(TraceError::BadPoints));
    }
    let rectangle = |size, corners| tried(Squaring::Rectangle { size, corners });
    assert_eq!(rectangle(Size::new(0.0, 100.0), None), Some(TraceError::BadSides));
    let crossed = [a, Point::new(390.0, 290.0), b, Point::new(10.0, 290.0)];
    assert_eq!(rectangle(Size::new(90.0, 60.0), Some(crossed)), Some(TraceError::BadCorners));
    let line = [a, b, Point::new(200.0, 10.0), Point::new(100.0, 10.0)];
    assert_eq!(rectangle(Size::new(90.0, 60.0), Some(line)), Some(TraceError::BadCorners));
    assert_eq!(rectangle(Size::new(90.0, 60.0), None), Some(TraceError::NoSheet));
    let squared = trace::square_up(&picture, &Squaring::Density(Some(100.0)), &Progress::default()).unwrap();
    let thick = trace::ExtractOptions { thickness_mm: -1.0, ..Default::default() };
    assert!(matches!(
        trace::extract(&picture, &squared, &thick, &Progress::default()),
        Err(TraceError::OutOfRange { .. })
    ));
    let beside = trace::ExtractOptions { at: Some(Point::new(5.0, 5.0)), ..Default::default() };
    assert_eq!(trace::extract(&picture, &squared, &beside, &Progress::default()).err(), Some(TraceError::NothingThere));
}

/// Kinds of pictures that are read: all give the same disc.
#[test]
fn every_kind_that_is_read_gives_the_same_thing() {
    let rgb = disc(400, 300);
    let clear = RgbaImage::from_fn(400, 300, |x, y| {
        let dark = rgb.get_pixel(x, y).0[0] < 100;
        // Transparent black, as drawing programs leave it, is white paper.
        if dark { Rgba([40, 40, 40, 255]) } else { Rgba([0, 0, 0, 0]) }
    });
    let image = DynamicImage::from(rgb);
    let grey = DynamicImage::from(image.to_luma8());
    let deep = DynamicImage::from(image.to_rgb16());
    let cases = [
        (&image, ImageFormat::Png),
        (&image, ImageFormat::Jpeg),
        (&image, ImageFormat::WebP),
        (&image, ImageFormat::Tiff),
        (&image, ImageFormat::Bmp),
        (&grey, ImageFormat::Png),
        (&deep, ImageFormat::Png),
        (&deep, ImageFormat::Tiff),
        (&DynamicImage::from(clear), ImageFormat::Png),
    ];
    for (image, format) in cases {
        let picture = decode(&bytes(image, format)).unwrap();
        let traced = trace::trace(&picture, &at_100_dpi()).unwrap();
        let radius = (traced.outline.signed_area() / std::f64::consts::PI).sqrt();
        assert!((radius - 60.0 * 0.254).abs() < 0.08, "{format:?}: {radius}");
        assert_eq!(traced.corners, 0);
    }
}

#[test]
fn a_light_thing_on_a_dark_ground_is_traced_too() {
    let image = DynamicImage::from(disc(400, 300));
    let mut inverted = image.clone();
    inverted.invert();
    let picture = decode(&bytes(&inverted, ImageFormat::Png)).unwrap();
    let traced = trace::trace(&picture, &at_100_dpi()).unwrap();
    assert!(traced.notes.contains(&trace::Note::Inverted));
    let radius = (traced.outline.signed_area() / std::f64::consts::PI).sqrt();
    assert!((radius - 60.0 * 0.254).abs() < 0.05, "{radius}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Broken bytes are told, whatever is broken.
    #[test]
    fn broken_bytes_never_panic(format in 0..5_usize, at in any::<prop::sample::Index>(), bits in 1..=255_u8, end in any::<prop::sample::Index>()) {
        use ImageFormat::{Bmp, Jpeg, Png, Tiff, WebP};
        let small = DynamicImage::from(disc(130, 130));
        let mut all = bytes(&small, [Png, Jpeg, Tiff, WebP, Bmp][format]);
        let (i, n) = (at.index(all.len()), all.len());
        all[i] ^= bits;
        all.truncate(n - end.index(n / 2));
        let _ = decode(&all).and_then(|picture| trace::trace(&picture, &at_100_dpi()));
    }

    /// Noise of any kind is told or traced.
    #[test]
    fn noise_never_panics(seed in any::<u64>(), levels in 2..200_u64) {
        let mut state = seed;
        let image = RgbImage::from_fn(96, 80, |_, _| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            Rgb([((state >> 33) % levels * (255 / levels)) as u8; 3])
        });
        let picture = decode(&bytes(&image.into(), ImageFormat::Png)).unwrap();
        for squaring in [Squaring::Auto, Squaring::Density(Some(100.0)), Squaring::Mat] {
            let _ = trace::trace(&picture, &TraceOptions { squaring, ..TraceOptions::default() });
        }
    }
}
