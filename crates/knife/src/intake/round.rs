//! Whether a closed ring is a circle, and which.

use super::ring::Ring;
use kurbo::{Circle, ParamCurve, PathSeg, Point, Vec2};
use std::f64::consts::PI;

/// A ring counts as round when it strays from a circle by no more than this, mm: less than a
/// drill does.
const OFF_MM: f64 = 0.02;
/// Or by no more than this share of the radius.
const OFF_SHARE: f64 = 0.005;
/// Nodes within this share of the radius are taken to lie on the circle that was meant.
const NODE_SHARE: f64 = 1e-3;

/// The circle that the ring is, or nothing if it isn't round.
///
/// Drawing programs put the nodes of a circle on it and let the curves between stray by up
/// to 0.03 %, and polygons cut the corners off; so the circle through the nodes is taken when
/// they share one, otherwise the one that fits the ring best.
pub(super) fn circle(ring: &Ring) -> Option<Circle> {
    if let Some(circle) = ring.circle {
        return Some(circle);
    }
    let (w, h) = (ring.bounds.width(), ring.bounds.height());
    let size = w.max(h) / 2.0;
    if size <= 0.0 || (w - h).abs() > 4.0 * allowed(size) {
        return None;
    }
    let nodes: Vec<Point> = ring.segs.iter().map(PathSeg::start).collect();
    let along: Vec<Point> = ring.segs.iter().flat_map(samples).collect();
    let through_nodes =
        fit(&nodes).filter(|circle| stray(circle, &nodes) <= NODE_SHARE * circle.radius);
    let circle = [through_nodes, fit(&along)]
        .into_iter()
        .flatten()
        .find(|circle| stray(circle, &along) <= allowed(circle.radius))?;
    // A ring may run along a circle and back, or twice around; neither is a hole.
    let once = ring.area_mm2 / (PI * circle.radius * circle.radius);
    let slack = 4.0 * allowed(circle.radius) / circle.radius + 0.02;
    ((once - 1.0).abs() <= slack).then_some(circle)
}

fn allowed(radius_mm: f64) -> f64 {
    OFF_MM.max(OFF_SHARE * radius_mm).min(0.1 * radius_mm)
}

fn samples(seg: &PathSeg) -> impl Iterator<Item = Point> + '_ {
    let count = if matches!(seg, PathSeg::Line(_)) { 4 } else { 12 };
    (0..count).map(move |i| seg.eval(f64::from(i) / f64::from(count)))
}

/// The farthest that a point lies from the circle.
fn stray(circle: &Circle, points: &[Point]) -> f64 {
    points.iter().map(|p| (p.distance(circle.center) - circle.radius).abs()).fold(0.0, f64::max)
}

/// The circle that fits the points in the sense of least squares of `r² − R²`
/// (I. Kåsa, IEEE Transactions on Instrumentation and Measurement 25, 1976).
fn fit(points: &[Point]) -> Option<Circle> {
    if points.len() < 3 {
        return None;
    }
    let n = points.len() as f64;
    let mean = points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / n;
    let (mut uu, mut uv, mut vv) = (0.0, 0.0, 0.0);
    let (mut us, mut vs, mut ss) = (0.0, 0.0, 0.0);
    for p in points {
        let d = p.to_vec2() - mean;
        let s = d.hypot2();
        uu += d.x * d.x;
        uv += d.x * d.y;
        vv += d.y * d.y;
        us += d.x * s;
        vs += d.y * s;
        ss += s;
    }
    let det = uu * vv - uv * uv;
    if det.is_nan() || det <= 1e-9 * (uu + vv).powi(2) {
        return None;
    }
    let centre = Vec2::new(us * vv - vs * uv, vs * uu - us * uv) / (2.0 * det);
    let radius = (centre.hypot2() + ss / n).sqrt();
    let circle = Circle::new((mean + centre).to_point(), radius);
    (circle.center.is_finite() && radius.is_finite()).then_some(circle)
}
