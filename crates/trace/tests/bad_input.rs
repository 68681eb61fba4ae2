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
            let message = why.to_string();
            assert!(
                message.len() > 20 && !message.ends_with('.') && !message.contains('\n'),
                "{message}"
            );
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
        let message = why(&bytes(&plain(400, 300, tone), ImageFormat::Png));
        assert!(matches!(message, TraceError::OneTone | TraceError::NoContour), "{message:?}");
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
    let squared =
        trace::square_up(&picture, &Squaring::Density(Some(100.0)), &Progress::default()).unwrap();
    let thick = trace::ExtractOptions { thickness_mm: -1.0, ..Default::default() };
    assert!(matches!(
        trace::extract(&picture, &squared, &thick, &Progress::default()),
        Err(TraceError::OutOfRange { .. })
    ));
    let beside = trace::ExtractOptions { at: Some(Point::new(5.0, 5.0)), ..Default::default() };
    assert_eq!(
        trace::extract(&picture, &squared, &beside, &Progress::default()).err(),
        Some(TraceError::NothingThere)
    );
}

/// A JPEG of four inks (CMYK, ITU-T T.81 with the marker that says so): each block of 8 × 8 pixels
/// has one tone; a dark rectangle of 240 × 160 pixels on light.
fn four_inks() -> Vec<u8> {
    let (wide, high) = (400_u16, 320_u16);
    let mut out = vec![0xFF, 0xD8, 0xFF, 0xEE, 0, 14];
    out.extend(b"Adobe\0\x64\0\0\0\0\0");
    // Steps of 8: a block's first value is then its tone less 128.
    out.extend([0xFF, 0xDB, 0, 67, 0]);
    out.extend([8; 64]);
    out.extend([0xFF, 0xC0, 0, 20, 8]);
    out.extend(high.to_be_bytes().into_iter().chain(wide.to_be_bytes()));
    out.push(4);
    (1..=4).for_each(|id| out.extend([id, 0x11, 0]));
    // First values in 9 lengths of bits, all told in four bits; of the others only their end.
    out.extend([0xFF, 0xC4, 0, 28, 0x00, 0, 0, 0, 9, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]);
    out.extend(0..9);
    out.extend([0xFF, 0xC4, 0, 20, 0x10, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]);
    out.extend([0xFF, 0xDA, 0, 14, 4, 1, 0, 2, 0, 3, 0, 4, 0, 0, 63, 0]);
    let (mut bits, mut last) = (String::new(), [0_i32; 4]);
    for row in 0..high / 8 {
        for column in 0..wide / 8 {
            let dark = (10..40).contains(&column) && (10..30).contains(&row);
            // Inks are told the other way round: 255 is none.
            for (ink, before) in last.iter_mut().enumerate() {
                let tone = if ink == 3 && dark { 30 } else { 240 };
                let by = tone - 128 - *before;
                *before = tone - 128;
                let length = 32 - by.unsigned_abs().leading_zeros();
                bits.push_str(&format!("{length:04b}"));
                let code = if by < 0 { by + (1 << length) - 1 } else { by };
                if length > 0 {
                    bits.push_str(&format!("{code:0width$b}", width = length as usize));
                }
                bits.push('0');
            }
        }
    }
    while bits.len() % 8 > 0 {
        bits.push('1');
    }
    for byte in bits.as_bytes().chunks(8) {
        let byte = byte.iter().fold(0_u8, |byte, bit| byte << 1 | (bit - b'0'));
        out.push(byte);
        out.extend((byte == 0xFF).then_some(0));
    }
    out.extend([0xFF, 0xD9]);
    out
}

#[test]
fn a_jpeg_of_four_inks_is_read() {
    let picture = decode(&four_inks()).unwrap();
    let traced = trace::trace(&picture, &at_100_dpi()).unwrap();
    let size = traced.outline.bounds().size();
    assert!((size.width - 240.0 * 0.254).abs() < 0.2, "{size:?}");
    assert!((size.height - 160.0 * 0.254).abs() < 0.2, "{size:?}");
}

/// Tones and palettes of the disc, as an animation's first frame and alone.
fn indexed(depth: png::BitDepth, frames: u32) -> Vec<u8> {
    let image = disc(400, 300);
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, 400, 300);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(depth);
    encoder.set_palette([230, 230, 230, 40, 40, 40].as_slice());
    if frames > 1 {
        encoder.set_animated(frames, 0).unwrap();
    }
    let mut writer = encoder.write_header().unwrap();
    let index = |x: u32, y: u32| u8::from(image.get_pixel(x, y).0[0] < 100);
    let rows: Vec<u8> = match depth {
        png::BitDepth::One => (0..300)
            .flat_map(|y| (0..50).map(move |byte| (byte, y)))
            .map(|(byte, y)| (0..8).fold(0, |bits, k| bits << 1 | index(byte * 8 + k, y)))
            .collect(),
        _ => {
            (0..300).flat_map(|y| (0..400).map(move |x| (x, y))).map(|(x, y)| index(x, y)).collect()
        }
    };
    writer.write_image_data(&rows).unwrap();
    for _ in 1..frames {
        writer.write_image_data(&vec![0; rows.len()]).unwrap();
    }
    writer.finish().unwrap();
    out
}

/// The disc as the first frame of an animated WebP (RFC 9649, section 2.7).
fn animated_webp() -> Vec<u8> {
    let still = bytes(&DynamicImage::from(disc(400, 300)), ImageFormat::WebP);
    let chunk = |name: &[u8; 4], body: &[u8]| {
        let mut out = name.to_vec();
        out.extend((body.len() as u32).to_le_bytes());
        out.extend(body);
        out.extend((body.len() % 2 == 1).then_some(0));
        out
    };
    let size = |n: u32| (n - 1).to_le_bytes()[..3].to_vec();
    let frame = [vec![0; 6], size(400), size(300), vec![100, 0, 0, 0], still[12..].to_vec()];
    let frame = chunk(b"ANMF", &frame.concat());
    let head = [vec![0x02, 0, 0, 0], size(400), size(300)].concat();
    let all = [
        b"WEBP".to_vec(),
        chunk(b"VP8X", &head),
        chunk(b"ANIM", &[255, 255, 255, 255, 0, 0]),
        frame.clone(),
        frame,
    ];
    chunk(b"RIFF", &all.concat())
}

#[test]
fn palettes_and_the_first_frame_of_animations_are_read() {
    let cases = [
        ("palette", indexed(png::BitDepth::Eight, 1)),
        ("two tones", indexed(png::BitDepth::One, 1)),
        ("animated PNG", indexed(png::BitDepth::Eight, 3)),
        ("animated WebP", animated_webp()),
    ];
    for (name, bytes) in cases {
        let picture = decode(&bytes).unwrap_or_else(|why| panic!("{name}: {why}"));
        let traced = trace::trace(&picture, &at_100_dpi()).unwrap();
        let radius = (traced.outline.signed_area() / std::f64::consts::PI).sqrt();
        assert!((radius - 60.0 * 0.254).abs() < 0.08, "{name}: {radius}");
    }
}

fn photo(name: &str) -> DynamicImage {
    let folder =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference/photos");
    image::load_from_memory(&std::fs::read(folder.join(name)).unwrap()).unwrap()
}

#[test]
fn half_a_mat_is_told() {
    let mat = photo("thick_on_mat.jpg");
    let (w, h) = (mat.width(), mat.height());
    for (x, y, wide, high) in [(0, 0, w / 2, h), (w / 2, 0, w - w / 2, h), (0, 0, w, h / 2)] {
        let half = decode(&bytes(&mat.crop_imm(x, y, wide, high), ImageFormat::Png)).unwrap();
        let options = TraceOptions { squaring: Squaring::Mat, ..TraceOptions::default() };
        let why = trace::trace(&half, &options).unwrap_err();
        let message = matches!(why, TraceError::PartOfMat { .. } | TraceError::NoMark);
        assert!(message, "{x} {y} {wide} {high}: {why}");
    }
}

#[test]
fn work_that_is_cancelled_says_so() {
    let picture = decode(&bytes(&disc(400, 300).into(), ImageFormat::Png)).unwrap();
    let cancelled = Progress::default();
    cancelled.cancel();
    let squared = trace::square_up(&picture, &Squaring::Auto, &cancelled);
    assert_eq!(squared.err(), Some(TraceError::Cancelled));
    let squared = trace::square_up(&picture, &Squaring::Density(Some(100.0)), &cancelled).unwrap();
    let contours = trace::extract(&picture, &squared, &Default::default(), &cancelled);
    assert_eq!(contours.err(), Some(TraceError::Cancelled));
    assert_eq!(trace::edges(&picture, &cancelled), Err(TraceError::Cancelled));
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
