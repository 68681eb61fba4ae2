//! How long everything takes: a 40-node blank with 12 holes, and one of 10 000 nodes.

use criterion::{Criterion, criterion_group, criterion_main};
use knife::{Bevel, Hole, HoleId, HoleKind, Knife, Profile, Scales};
use kurbo::{CubicBez, PathSeg, Point, Vec2};
use outline::Outline;
use reckon::tables::Tables;
use reckon::{Shop, numbers_json, readings, reckon};
use std::hint::black_box;

/// A rippled oval of smooth cubics, about 210 × 32 mm.
fn oval(nodes: u32) -> Outline {
    let place = |turn: f64| {
        let ripple = 1.0 + 0.03 * (turn * 5.0).sin();
        Point::new(105.0 * turn.cos() * ripple, 16.0 * turn.sin() * ripple)
    };
    let step = std::f64::consts::TAU / f64::from(nodes);
    let slope = |turn: f64| -> Vec2 { (place(turn + 1e-6) - place(turn - 1e-6)) / 2e-6 };
    let segs = (0..nodes).map(|i| {
        let (a, b) = (f64::from(i) * step, f64::from(i + 1) * step);
        let end = if i + 1 == nodes { place(0.0) } else { place(b) };
        PathSeg::Cubic(CubicBez::new(
            place(a),
            place(a) + slope(a) * (step / 3.0),
            end - slope(b) * (step / 3.0),
            end,
        ))
    });
    Outline::new(segs.collect()).expect("a closed oval")
}

fn knife(nodes: u32) -> Knife {
    let mut knife = Knife::empty();
    knife.profile = Profile::from_outline(&oval(nodes));
    let half = nodes as usize / 2;
    knife.profile.tip = Some(knife.profile.nodes[half].id);
    knife.profile.heel = Some(knife.profile.nodes[half + nodes as usize / 5].id);
    knife.bar.placement.at = Point::new(150.0, 19.05);
    knife.holes = (0..12)
        .map(|i| Hole {
            id: HoleId(i),
            name: String::new(),
            kind: HoleKind::Relief,
            at: Point::new(-40.0 + 11.0 * f64::from(i), 0.5),
            diameter_mm: 4.7625,
            drill: Some("3/16".to_owned()),
            pin_mm: None,
        })
        .collect();
    knife.bevel = Some(Bevel {
        plunge_x_mm: -45.0,
        grind_height_mm: 10.0,
        edge_thickness_mm: 0.5,
        ..Bevel::default()
    });
    knife.scales = Some(Scales { front_x_mm: -40.0, thickness_mm: 6.35 });
    knife
}

fn numbers(c: &mut Criterion) {
    let (shop, tables) = (Shop::default(), Tables::built_in());
    for nodes in [40, 1_000, 10_000] {
        let knife = knife(nodes);
        assert!(reckon(&knife, &shop, tables).profile.is_some_and(|p| p.contacts.is_empty()));
        c.bench_function(&format!("reckon {nodes} nodes, 12 holes"), |b| {
            b.iter(|| reckon(black_box(&knife), &shop, tables));
        });
        let reckoning = reckon(&knife, &shop, tables);
        c.bench_function(&format!("readings and JSON, {nodes} nodes"), |b| {
            b.iter(|| (readings(&knife, &reckoning), numbers_json(&knife, &reckoning).to_string()));
        });
    }
}

criterion_group!(benches, numbers);
criterion_main!(benches);
