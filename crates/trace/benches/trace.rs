//! How long tracing takes: a 12-megapixel photograph on the mat, an A4 scan at 300 dpi, and the
//! same contour at another tolerance.

#![expect(clippy::unwrap_used, reason = "a test says so by failing")]

use criterion::{Criterion, criterion_group, criterion_main};
use image::{DynamicImage, GrayImage, ImageFormat, Luma};
use kurbo::Point;
use mat::{CELL_MM, Mat, MatCorner, OPENING_MM, TARGET_MM, cell_at};
use std::hint::black_box;
use std::io::Cursor;
use trace::{
    ExtractOptions, FitOptions, Progress, Squaring, TraceOptions, decode, extract, fit, square_up,
    trace,
};

fn jpeg(image: GrayImage) -> Vec<u8> {
    let mut out = Cursor::new(Vec::new());
    DynamicImage::from(image).write_to(&mut out, ImageFormat::Jpeg).unwrap();
    out.into_inner()
}

/// A blank-like shape: negative inside, mm.
fn blank(p: Point) -> bool {
    let along = p.x / 105.0;
    along.abs() < 1.0 && p.y.abs() < 16.0 * (1.0 - along.powi(4)).sqrt() + 2.0 * (5.0 * along).sin()
}

fn is_ink(mat: &Mat, p: Point) -> bool {
    let inside =
        |centre: Point, side: f64| (p.x - centre.x).abs().max((p.y - centre.y).abs()) < side / 2.0;
    let target = mat.targets().any(|c| inside(c, TARGET_MM) && !inside(c, OPENING_MM));
    let marked = |corner: MatCorner| {
        let cells = mat.mark(corner);
        (0..5).any(|r| {
            (0..5).any(|c| cells[r][c] && inside(mat.mark_at(corner) + cell_at(c, r), CELL_MM))
        })
    };
    target || MatCorner::ALL.into_iter().any(marked)
}

/// Cheap noise, so that nothing is easier than in a real picture.
fn noisy(tone: f64, x: u32, y: u32) -> Luma<u8> {
    let n =
        (x.wrapping_mul(73_856_093) ^ y.wrapping_mul(19_349_663)).wrapping_mul(2_654_435_761) >> 28;
    Luma([(tone + f64::from(n) - 8.0).clamp(0.0, 255.0) as u8])
}

/// 4000 × 3000 pixels, turned a little and in perspective.
fn photo() -> Vec<u8> {
    let mat = Mat::new(14, 10).unwrap();
    jpeg(GrayImage::from_fn(4000, 3000, |x, y| {
        let (u, v) = ((f64::from(x) - 2000.0) / 12.0, (1500.0 - f64::from(y)) / 12.0);
        let w = 1.0 + 4e-4 * u + 3e-4 * v;
        let p = Point::new((u + 0.05 * v) / w, (v - 0.05 * u) / w);
        let paper = p.x.abs() < 150.0 && p.y.abs() < 110.0;
        let tone = if blank(p) || is_ink(&mat, p) {
            40.0
        } else if paper {
            225.0
        } else {
            90.0
        };
        noisy(tone * (1.0 - 0.06 * (f64::from(x) / 1000.0)), x, y)
    }))
}

fn scan() -> Vec<u8> {
    jpeg(GrayImage::from_fn(2480, 3508, |x, y| {
        let p = Point::new((f64::from(y) - 1754.0) * 0.0847, (f64::from(x) - 1240.0) * 0.0847);
        noisy(if blank(p) { 50.0 } else { 235.0 }, x, y)
    }))
}

fn benches(c: &mut Criterion) {
    let (photo, scan) = (photo(), scan());
    let mut group = c.benchmark_group("trace");
    group.sample_size(10);
    let whole = |bytes: &[u8], squaring: Squaring| {
        let options = TraceOptions { squaring, ..TraceOptions::default() };
        decode(bytes).and_then(|picture| trace(&picture, &options)).unwrap()
    };
    group.bench_function("photo on the mat, 12 megapixels", |b| {
        b.iter(|| whole(black_box(&photo), Squaring::Mat));
    });
    group.bench_function("A4 scan at 300 dpi", |b| {
        b.iter(|| whole(black_box(&scan), Squaring::Density(Some(300.0))));
    });
    let picture = decode(&photo).unwrap();
    let squared = square_up(&picture, &Squaring::Mat, &Progress::default()).unwrap();
    let contours =
        extract(&picture, &squared, &ExtractOptions::default(), &Progress::default()).unwrap();
    group.bench_function("another tolerance", |b| {
        b.iter(|| {
            fit(black_box(&contours), &FitOptions { tolerance_mm: 0.1, ..FitOptions::default() })
        });
    });
    group.finish();
}

criterion_group!(trace_benches, benches);
criterion_main!(trace_benches);
