//! The blank that benches work out and draw: smooth, with twelve holes, bevels and scales.

use knife::{Bevel, Hole, HoleId, HoleKind, Knife, Profile, Scales};
use kurbo::{CubicBez, PathSeg, Point, Vec2};
use outline::Outline;

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

/// A blank of so many nodes.
pub(crate) fn knife(nodes: u32) -> Knife {
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
            at: Point::new(-30.0 + 11.0 * f64::from(i), 0.5),
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
