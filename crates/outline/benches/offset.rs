//! How long an offset takes: the reference outlines, a wavy one, two of ten thousand nodes.
//!
//! Timed as a caller sees it: from curves to rings of outlines, flattening included.

#[path = "../tests/support/reference.rs"]
mod reference;

use std::f64::consts::TAU;
use std::hint::black_box;
use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group};
use outline::kurbo::{self, CubicBez, PathEl, PathSeg, Point, Vec2};
use outline::{OFFSET_TOLERANCE_MM, Outline};

const DISTANCES_MM: [f64; 3] = [-1.0, 3.5, 6.0];

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

/// A bar of 250 by 30 with fine teeth along both edges: four nodes a tooth, all corners.
fn toothed_bar(teeth_a_side: u32) -> Outline {
    let pitch = 250.0 / f64::from(teeth_a_side);
    let depth = pitch / 2.0;
    let tooth = [(0.0, 0.0), (0.2, 1.0), (0.5, 1.0), (0.7, 0.0)];
    let edge: Vec<Point> = (0..teeth_a_side)
        .flat_map(|i| tooth.map(|(x, y)| Point::new((f64::from(i) + x) * pitch, y * depth)))
        .collect();
    let turned = edge.iter().map(|p| Point::new(250.0 - p.x, 30.0 - p.y));
    let corners: Vec<Point> = edge.iter().copied().chain(turned).collect();
    Outline::polygon(&corners).expect("a ring")
}

/// The valid outlines of the reference file that other libraries were asked about.
fn reference_outlines() -> Vec<(String, Outline)> {
    let file = reference::read("outlines.json");
    let valid = file["outlines"].as_array().expect("a list").iter();
    let named = |case: &serde_json::Value| {
        (case["name"].as_str().expect("a name").to_owned(), reference::outline(&case["outline"]))
    };
    valid.filter(|case| case["valid"] == true).map(named).collect()
}

fn outlines() -> Vec<(String, Outline)> {
    let mut outlines = reference_outlines();
    outlines.push(("40 segments".to_owned(), wavy_oval(40, 5.0, 0.12)));
    outlines.push(("10000 nodes".to_owned(), wavy_oval(10_000, 40.0, 0.02)));
    outlines.push(("10000 teeth corners".to_owned(), toothed_bar(1250)));
    outlines
}

fn title(name: &str, distance_mm: f64) -> String {
    format!("offset {name} by {distance_mm:+}")
}

fn offsets(c: &mut Criterion) {
    for (name, outline) in outlines() {
        for distance_mm in DISTANCES_MM {
            c.bench_function(&title(&name, distance_mm), |b| {
                b.iter(|| black_box(&outline).offset(black_box(distance_mm)));
            });
        }
    }
}

/// The corners of an outline flattened by kurbo.
fn flattened(outline: &Outline) -> Vec<Point> {
    let mut corners = Vec::new();
    kurbo::flatten(outline.to_path().iter(), OFFSET_TOLERANCE_MM, |el| match el {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => corners.push(p),
        _ => {}
    });
    corners.dedup();
    if corners.len() > 1 && corners.first() == corners.last() {
        corners.pop();
    }
    corners
}

/// The least time of single runs within a tenth of a second, in milliseconds.
fn fastest<T>(run: impl Fn() -> T) -> f64 {
    let (start, mut min) = (Instant::now(), f64::INFINITY);
    while start.elapsed() < Duration::from_millis(100) {
        let once = Instant::now();
        drop(black_box(run()));
        min = min.min(once.elapsed().as_secs_f64());
    }
    min * 1e3
}

/// What a comparison in turns with another library wants on a machine that has other things
/// to do, for one outline and distance: the least times of the offset of its curves, of
/// flattening it by kurbo, and of the offset of the polygon that comes of that.
#[expect(clippy::print_stdout, reason = "that is what it is run for")]
fn print_fastest(wanted: &str) {
    for (name, outline) in outlines() {
        for distance_mm in DISTANCES_MM {
            if title(&name, distance_mm) == wanted {
                let polygon = Outline::polygon(&flattened(&outline)).expect("a ring");
                let curves = fastest(|| black_box(&outline).offset(black_box(distance_mm)));
                let flattening = fastest(|| flattened(black_box(&outline)));
                let lines = fastest(|| black_box(&polygon).offset(black_box(distance_mm)));
                println!("{curves} {flattening} {lines}");
            }
        }
    }
}

/// Prints the corners of an outline flattened by kurbo, one a line.
#[expect(clippy::print_stdout, reason = "that is what it is run for")]
fn print_flattened(wanted: &str) {
    for (_, outline) in outlines().into_iter().filter(|(name, _)| name == wanted) {
        flattened(&outline).iter().for_each(|p| println!("{} {}", p.x, p.y));
    }
}

criterion_group!(benches, offsets);

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    let after = |word: &str| {
        let at = arguments.iter().position(|a| a == word)?;
        arguments.get(at + 1)
    };
    if let Some(wanted) = after("--least") {
        return print_fastest(wanted);
    }
    if let Some(wanted) = after("--flattened") {
        return print_flattened(wanted);
    }
    benches();
    Criterion::default().configure_from_args().final_summary();
}
