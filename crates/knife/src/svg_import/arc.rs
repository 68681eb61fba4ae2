//! Elliptical arcs to cubics, fine enough that the ninth digit of an area stands.

use super::ARC_MM;
use kurbo::{Arc, CubicBez, PathEl, PathSeg, Point, Vec2};
use std::f64::consts::TAU;

/// An arc as SVG writes it, in user units.
#[derive(Clone, Copy, Debug)]
pub(super) struct EndpointArc {
    /// Where it starts.
    pub(super) from: Point,
    /// Where it ends.
    pub(super) to: Point,
    /// Its two radii.
    pub(super) radii: Vec2,
    /// Turn of the first radius, radians.
    pub(super) turn_rad: f64,
    /// Whether it is the longer way round.
    pub(super) large: bool,
    /// Whether it runs towards growing angles.
    pub(super) sweep: bool,
}

/// The cubics of an arc; empty when it is a straight line.
pub(super) fn cubics(arc: &EndpointArc, unit_mm: f64) -> Vec<PathSeg> {
    centre(arc).map_or_else(Vec::new, |ellipse| along(ellipse, unit_mm, arc.from, arc.to))
}

/// The cubics of a whole ellipse, from its rightmost point back to it.
pub(super) fn ellipse(centre: Point, radii: Vec2, unit_mm: f64) -> Vec<PathSeg> {
    let start = Point::new(centre.x + radii.x, centre.y);
    along(Arc::new(centre, radii, 0.0, TAU, 0.0), unit_mm, start, start)
}

fn along(arc: Arc, unit_mm: f64, start: Point, end: Point) -> Vec<PathSeg> {
    let size = arc.radii.x.max(arc.radii.y);
    let tolerance = (ARC_MM / unit_mm).max(size * 1e-12);
    // Also keeps the number of pieces bounded: a hundred for a full turn at most.
    let pieces = size / tolerance;
    if pieces.is_nan() || pieces > 1e13 {
        return Vec::new();
    }
    let mut at = start;
    let mut segs = Vec::new();
    for el in arc.append_iter(tolerance) {
        if let PathEl::CurveTo(p1, p2, p3) = el {
            segs.push(PathSeg::Cubic(CubicBez::new(at, p1, p2, p3)));
            at = p3;
        }
    }
    if let Some(PathSeg::Cubic(last)) = segs.last_mut() {
        last.p3 = end;
    }
    segs
}

/// Centre and angles from end points: SVG 2, appendix B.2.4 and B.2.5. A half turn is told
/// from rounding noise, which the square root there would blow up from 1e-16 to 1e-8.
fn centre(arc: &EndpointArc) -> Option<Arc> {
    let (mut rx, mut ry) = (arc.radii.x.abs(), arc.radii.y.abs());
    if rx == 0.0 || ry == 0.0 || arc.from == arc.to {
        return None;
    }
    let (sin, cos) = arc.turn_rad.sin_cos();
    let half = (arc.from - arc.to) * 0.5;
    let middle = arc.from.midpoint(arc.to);
    let p = Vec2::new(cos * half.x + sin * half.y, cos * half.y - sin * half.x);
    let excess = (p.x / rx).powi(2) + (p.y / ry).powi(2);
    if !excess.is_finite() || excess == 0.0 {
        return None;
    }
    let reach = arc.from.to_vec2().hypot().max(arc.to.to_vec2().hypot());
    let noise = 8.0 * f64::EPSILON * (1.0 + reach / half.hypot());
    let mut lean = 0.0;
    if excess > 1.0 - noise {
        rx *= excess.sqrt();
        ry *= excess.sqrt();
    } else {
        lean = ((1.0 - excess) / excess).sqrt();
        if arc.large == arc.sweep {
            lean = -lean;
        }
    }
    let c = Vec2::new(lean * rx * p.y / ry, -lean * ry * p.x / rx);
    let start = Vec2::new((p.x - c.x) / rx, (p.y - c.y) / ry).atan2();
    let end = Vec2::new((-p.x - c.x) / rx, (-p.y - c.y) / ry).atan2();
    let mut sweep = (end - start) % TAU;
    if arc.sweep && sweep < 0.0 {
        sweep += TAU;
    } else if !arc.sweep && sweep > 0.0 {
        sweep -= TAU;
    }
    let centre = middle + Vec2::new(cos * c.x - sin * c.y, sin * c.x + cos * c.y);
    Some(Arc::new(centre, Vec2::new(rx, ry), start, sweep, arc.turn_rad))
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::ParamCurve;

    fn half_turn(at: f64) -> Vec<PathSeg> {
        let arc = EndpointArc {
            from: Point::new(at - 10.0, at),
            to: Point::new(at + 10.0, at),
            radii: Vec2::new(10.0, 10.0),
            turn_rad: 0.3,
            large: false,
            sweep: true,
        };
        cubics(&arc, 1.0)
    }

    #[test]
    fn a_half_turn_keeps_its_centre_to_the_last_digits() {
        for at in [0.0, 12345.678] {
            for seg in half_turn(at) {
                for i in 0..=8 {
                    let off = seg.eval(f64::from(i) / 8.0).distance(Point::new(at, at)) - 10.0;
                    assert!(off.abs() < 2e-8, "{off} at {at}");
                }
            }
        }
    }

    #[test]
    fn radii_too_small_are_scaled_up_and_no_radius_is_a_line() {
        // SVG 2, appendix B.2.5, steps 1 to 3.
        let mut arc = EndpointArc {
            from: Point::ORIGIN,
            to: Point::new(20.0, 0.0),
            radii: Vec2::new(1.0, 1.0),
            turn_rad: 0.0,
            large: false,
            sweep: true,
        };
        let top = cubics(&arc, 1.0).iter().map(|seg| seg.end().y).fold(0.0, f64::min);
        assert!((top + 10.0).abs() < 0.2, "{top}");
        arc.radii = Vec2::ZERO;
        assert!(cubics(&arc, 1.0).is_empty());
        arc.radii = Vec2::new(1e-308, 1e-308);
        assert!(cubics(&arc, 1.0).len() < 200);
    }
}
