//! The last of a tip that is thinner than the tolerance.

use super::{ASKED_MM, exact_distance};
use outline::kurbo::{ParamCurve, ParamCurveNearest, PathSeg, Point};

/// Whether the distance from the source hardly changes on the way from a point to the rings, so
/// that a curve within the tolerance of the distance may end anywhere on it.
pub(crate) fn is_flat(source: &[PathSeg], result: &[PathSeg], q: Point, d: f64) -> bool {
    let near = result.iter().map(|s| (s.nearest(q, 1e-9), s));
    let near = near.min_by(|a, b| a.0.distance_sq.total_cmp(&b.0.distance_sq));
    let Some(to) = near.map(|(on, s)| s.eval(on.t)) else { return false };
    let tolerance = outline::OFFSET_TOLERANCE_MM;
    let at = |i: u32| q.lerp(to, f64::from(i) / 16.0);
    q.distance(to) < 10.0 * ASKED_MM
        && (0..=16).all(|i| (exact_distance(source, at(i)) - d.abs()).abs() < tolerance)
}
