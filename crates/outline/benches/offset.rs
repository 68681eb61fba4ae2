//! How long an offset takes: a usual outline and one of ten thousand nodes.
//!
//! Timed as a caller sees it: from curves to rings of outlines, flattening included.

use std::f64::consts::TAU;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use outline::Outline;
use outline::kurbo::{CubicBez, PathSeg, Point, Vec2};

/// A wavy oval of `nodes` cubics, smooth at every node. The script that times GEOS on the
/// same outlines repeats this formula.
fn wavy_oval(nodes: u32, lobes: f64, depth: f64) -> Outline {
    let at = |turn: f64| {
        let r = 1.0 + depth * (lobes * turn).cos();
        Point::new(110.0 * r * turn.cos(), 20.0 * r * turn.sin())
    };
    let speed = |turn: f64| {
        let (r, dr) = (1.0 + depth * (lobes * turn).cos(), -depth * lobes * (lobes * turn).sin());
        Vec2::new(
            110.0 * (dr * turn.cos() - r * turn.sin()),
            20.0 * (dr * turn.sin() + r * turn.cos()),
        )
    };
    let step = TAU / f64::from(nodes);
    let turn = |i: u32| f64::from(i % nodes) * step;
    let segs = (0..nodes)
        .map(|i| {
            let (a, b) = (at(turn(i)), at(turn(i + 1)));
            let (u, v) = (speed(turn(i)) * (step / 3.0), speed(turn(i + 1)) * (step / 3.0));
            PathSeg::Cubic(CubicBez::new(a, a + u, b - v, b))
        })
        .collect();
    Outline::new(segs).expect("a ring")
}

fn offsets(c: &mut Criterion) {
    for (name, outline) in
        [("40 segments", wavy_oval(40, 5.0, 0.12)), ("10000 nodes", wavy_oval(10_000, 40.0, 0.02))]
    {
        for distance_mm in [-1.0, 3.5, 6.0] {
            c.bench_function(&format!("offset {name} by {distance_mm:+}"), |b| {
                b.iter(|| black_box(&outline).offset(black_box(distance_mm)));
            });
        }
    }
}

criterion_group!(benches, offsets);
criterion_main!(benches);
