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

#[cfg(test)]
mod tests {
    use super::super::{ring, walk::PathPiece};
    use super::*;
    use kurbo::{BezPath, Shape};

    fn ring_of(path: &BezPath) -> Ring {
        let piece = PathPiece { segs: path.segments().collect(), closed: true, circle: None };
        ring::rings(vec![piece], super::super::MEET_MM).0.remove(0)
    }

    fn polygon(sides: u32, radius: f64) -> Ring {
        let corner = |i: u32| {
            let angle = f64::from(i) / f64::from(sides) * 2.0 * PI;
            Point::new(70.0 + radius * angle.cos(), 5.0 + radius * angle.sin())
        };
        let mut path = BezPath::new();
        path.move_to(corner(0));
        (1..sides).for_each(|i| path.line_to(corner(i)));
        path.close_path();
        ring_of(&path)
    }

    #[test]
    fn four_cubics_give_the_circle_of_their_nodes() {
        // The usual handle of 0.5523 strays outward by 0.027 % between the nodes.
        let path = Circle::new((12.5, -3.0), 3.0).to_path(1e-2);
        let found = circle(&ring_of(&path)).unwrap();
        assert!(found.center.distance(Point::new(12.5, -3.0)) < 1e-12);
        assert!((found.radius - 3.0).abs() < 1e-12);
    }

    #[test]
    fn polygons_are_round_once_their_sides_stray_less_than_half_a_percent() {
        // A side strays by r·(1 − cos(π/n)): 0.43 % for 34 sides, 2.2 % for 15.
        let found = circle(&polygon(34, 10.0)).unwrap();
        assert!((found.radius - 10.0).abs() < 1e-12);
        assert_eq!(circle(&polygon(15, 10.0)), None);
        assert_eq!(circle(&polygon(4, 0.05)), None);
    }

    #[test]
    fn ovals_and_rings_run_twice_are_not_round() {
        let oval = kurbo::Ellipse::new((0.0, 0.0), (5.0, 5.2), 0.0).to_path(1e-6);
        assert_eq!(circle(&ring_of(&oval)), None);
        let once = Circle::new((0.0, 0.0), 5.0).to_path(1e-6);
        let mut twice: Vec<PathSeg> = once.segments().collect();
        twice.extend(once.segments());
        assert_eq!(circle(&ring_of(&BezPath::from_path_segments(twice.into_iter()))), None);
    }
}
