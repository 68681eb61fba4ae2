//! Laying out and writing one sheet, in process.

#[path = "../tests/common/demo.rs"]
mod demo;

use criterion::{Criterion, criterion_group, criterion_main};
use drawing::kurbo::Rect;
use paper::{Meta, lay_out, pdf, png, svg};
use std::hint::black_box;

fn print(c: &mut Criterion) {
    let setup = demo::setup("letter");
    for (name, length_mm) in [("level", 215.0), ("diagonal", 258.0), ("tiled", 500.0)] {
        let sheets = [demo::sheet(length_mm)];
        c.bench_function(&format!("lay out, {name}"), |b| {
            b.iter(|| lay_out(black_box(&sheets), &setup));
        });
        c.bench_function(&format!("print, {name}"), |b| {
            b.iter(|| {
                let pages = lay_out(black_box(&sheets), &setup).unwrap_or_default();
                pdf(&pages, &Meta::default())
            });
        });
    }
    let drawing = demo::blank(215.0);
    let window = Rect::new(-10.0, -10.0, 225.0, 60.0);
    c.bench_function("svg", |b| b.iter(|| svg(black_box(&drawing), window, "")));
    c.bench_function("png at 150 dpi", |b| b.iter(|| png(black_box(&drawing), window, 150.0)));
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = print
}
criterion_main!(benches);
