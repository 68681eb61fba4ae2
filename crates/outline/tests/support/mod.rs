//! Smooth closed outlines for tests and benches, made from waves of the radius.

use outline::Outline;
use outline::kurbo::{CubicBez, PathSeg, Vec2};
use std::f64::consts::TAU;

/// A wave of the radius: how many to the round, height as a share of it, phase.
pub(crate) type Wave = (f64, f64, f64);

/// A ring of `nodes` cubics through r(φ) = 1 + Σ height·cos(count·φ + phase), stretched to
/// roughly 240 mm × 40 mm. With heights summing to less than one half it is star-shaped, so
/// it can't touch itself.
pub(crate) fn wavy(nodes: usize, waves: &[Wave]) -> Outline {
    let place = |k: usize| TAU * (k % nodes) as f64 / nodes as f64;
    let step = TAU / nodes as f64;
    let at = |phi: f64| {
        let r: f64 = 1.0 + waves.iter().map(|w| w.1 * (w.0 * phi + w.2).cos()).sum::<f64>();
        let slope: f64 = -waves.iter().map(|w| w.0 * w.1 * (w.0 * phi + w.2).sin()).sum::<f64>();
        let (sin, cos) = phi.sin_cos();
        let stretch = |v: Vec2| Vec2::new(100.0 * v.x, 16.0 * v.y);
        let delta = Vec2::new(slope * cos - r * sin, slope * sin + r * cos);
        (stretch(Vec2::new(r * cos, r * sin)).to_point(), stretch(delta))
    };
    let seg = |k: usize| {
        let ((p, v), (q, w)) = (at(place(k)), at(place(k + 1)));
        PathSeg::Cubic(CubicBez::new(p, p + v * (step / 3.0), q - w * (step / 3.0), q))
    };
    Outline::new((0..nodes).map(seg).collect()).expect("a ring of cubics is closed")
}
