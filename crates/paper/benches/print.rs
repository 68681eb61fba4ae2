//! Laying out and writing one sheet, in process.

#[path = "../tests/common/demo.rs"]
mod demo;

use criterion::{Criterion, criterion_group, criterion_main};
use marks::kurbo::{BezPath, Point, Rect};
use marks::{Drawing, Mark, Pen};
use paper::{Meta, Sheet, lay_out, pdf, png, svg};
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
    let sheets = [Sheet { drawing: jagged(10_000), ..demo::sheet(215.0) }];
    c.bench_function("print, 10 000 nodes", |b| {
        b.iter(|| {
            let pages = lay_out(black_box(&sheets), &setup).unwrap_or_default();
            pdf(&pages, &Meta::default())
        });
    });
    let drawing = demo::blank(215.0);
    let window = Rect::new(-10.0, -10.0, 225.0, 60.0);
    c.bench_function("svg", |b| b.iter(|| svg(black_box(&drawing), window, "")));
    c.bench_function("png at 150 dpi", |b| b.iter(|| png(black_box(&drawing), window, 150.0)));
}

/// A ring of so many short curves.
fn jagged(nodes: u32) -> Drawing {
    let at = |k: f64| {
        let turn = k / f64::from(nodes) * std::f64::consts::TAU;
        let radius = 1.0 + 0.002 * (turn * 400.0).sin();
        Point::new(100.0 * radius * turn.cos(), 20.0 * radius * turn.sin())
    };
    let mut path = BezPath::new();
    path.move_to(at(0.0));
    for k in 0..nodes {
        let k = f64::from(k);
        path.curve_to(at(k + 0.33), at(k + 0.67), at(k + 1.0));
    }
    path.close_path();
    let mut drawing = Drawing::new();
    drawing.add(Pen::Cut, Mark::Path(path));
    drawing
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = print
}
criterion_main!(benches);
