//! What the measures cost on an everyday outline and on one of ten thousand nodes.

#[path = "../tests/support/mod.rs"]
mod support;

use criterion::{Criterion, criterion_group, criterion_main};
use outline::Outline;
use outline::kurbo::{Circle, Point};
use std::hint::black_box;
use std::time::Duration;

fn outlines() -> Vec<(&'static str, Outline)> {
    let traced = support::wavy(10_000, &[(3.0, 0.15, 0.4), (7.0, 0.05, 1.0), (60.0, 0.005, 0.0)]);
    let corners: Vec<_> = traced.nodes().collect();
    vec![
        ("40 nodes", support::wavy(40, &[(3.0, 0.15, 0.4), (7.0, 0.05, 1.0)])),
        ("10000 nodes", traced),
        ("10000 corners", Outline::polygon(&corners).expect("a polygon is closed")),
    ]
}

/// Twelve circles of 5 mm in a row along the middle.
fn row() -> Vec<Circle> {
    (0..12).map(|i| Circle::new(Point::new(-55.0 + 10.0 * f64::from(i), 0.5), 2.5)).collect()
}

/// Every measure, twelve webs and the search for contacts.
fn everything(o: &Outline) -> f64 {
    let moments = o.second_moments();
    let mut sum = o.area() + o.centroid().x + o.perimeter() + o.bounds().x0 + moments.ixx_mm4;
    sum += o.min_width().width_mm + o.largest_circle().radius;
    sum += o.tightest_inside().map_or(0.0, |t| t.radius_mm);
    sum += o.inside_corners().len() as f64;
    sum += row().into_iter().map(|c| o.web(c)).sum::<f64>();
    sum + o.contacts().len() as f64
}

fn measures(c: &mut Criterion) {
    for (name, o) in outlines() {
        let mut group = c.benchmark_group(name);
        group.sample_size(20);
        group.warm_up_time(Duration::from_millis(200));
        group.measurement_time(Duration::from_millis(800));
        group.bench_function("everything", |b| b.iter(|| everything(black_box(&o))));
        group.bench_function("area", |b| b.iter(|| black_box(&o).area()));
        group.bench_function("second moments", |b| b.iter(|| black_box(&o).second_moments()));
        group.bench_function("perimeter", |b| b.iter(|| black_box(&o).perimeter()));
        group.bench_function("bounds", |b| b.iter(|| black_box(&o).bounds()));
        group.bench_function("least width", |b| b.iter(|| black_box(&o).min_width()));
        group.bench_function("largest circle", |b| b.iter(|| black_box(&o).largest_circle()));
        group.bench_function("tightest inside", |b| b.iter(|| black_box(&o).tightest_inside()));
        group.bench_function("corners", |b| b.iter(|| black_box(&o).corners()));
        group.bench_function("contacts", |b| b.iter(|| black_box(&o).contacts()));
        let twelve = row();
        group.bench_function("twelve webs", |b| {
            b.iter(|| twelve.iter().map(|c| black_box(&o).web(*c)).sum::<f64>());
        });
        group.finish();
    }
}

criterion_group!(benches, measures);
criterion_main!(benches);
