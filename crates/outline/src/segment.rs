//! One segment: its ends, directions, derivatives and curvature, with limits where it stalls.

use crate::tolerance::tiny_mm;
use kurbo::{CubicBez, ParamCurve, ParamCurveDeriv, PathSeg, Point, Rect, Vec2};

/// A segment as a cubic, its handles at the thirds if it is a line.
pub(crate) fn cubic(seg: &PathSeg) -> CubicBez {
    match seg {
        PathSeg::Line(l) => {
            CubicBez::new(l.p0, l.p0.lerp(l.p1, 1.0 / 3.0), l.p0.lerp(l.p1, 2.0 / 3.0), l.p1)
        }
        PathSeg::Quad(q) => q.raise(),
        PathSeg::Cubic(c) => *c,
    }
}

/// The box around a segment's control points; it holds the segment.
pub(crate) fn control_box(seg: &PathSeg) -> Rect {
    let ends = Rect::from_points(seg.start(), seg.end());
    match seg {
        PathSeg::Line(_) => ends,
        PathSeg::Quad(q) => ends.union_pt(q.p1),
        PathSeg::Cubic(c) => ends.union_pt(c.p1).union_pt(c.p2),
    }
}

/// The largest coordinate of a cubic's control points, by magnitude.
fn reach_mm(c: &CubicBez) -> f64 {
    [c.p0, c.p1, c.p2, c.p3].iter().fold(0.0, |far, p| far.max(p.x.abs()).max(p.y.abs()))
}

/// First and second derivative by the parameter.
pub(crate) fn derivatives(c: &CubicBez, t: f64) -> (Vec2, Vec2) {
    let first = c.deriv();
    (first.eval(t).to_vec2(), first.deriv().eval(t).to_vec2())
}

/// Unit direction in which the cubic leaves its start, by limit where handles have no length.
/// `None` if the whole cubic has none.
pub(crate) fn start_direction(c: &CubicBez) -> Option<Vec2> {
    let tiny = tiny_mm(reach_mm(c));
    [c.p1, c.p2, c.p3].iter().map(|p| *p - c.p0).find(|v| v.hypot() > tiny).map(Vec2::normalize)
}

/// Unit direction in which the cubic arrives at its end, as [`start_direction`].
pub(crate) fn end_direction(c: &CubicBez) -> Option<Vec2> {
    let tiny = tiny_mm(reach_mm(c));
    [c.p2, c.p1, c.p0].iter().map(|p| c.p3 - *p).find(|v| v.hypot() > tiny).map(Vec2::normalize)
}

/// Unit direction at a parameter; where the derivative vanishes, that of the way on (at the
/// end, of the way in).
pub(crate) fn direction(c: &CubicBez, t: f64) -> Option<Vec2> {
    if t <= 0.0 {
        return start_direction(c);
    }
    if t >= 1.0 {
        return end_direction(c);
    }
    let (d1, _) = derivatives(c, t);
    if d1.hypot() > 3.0 * tiny_mm(reach_mm(c)) {
        return Some(d1.normalize());
    }
    start_direction(&c.subsegment(t..1.0)).or_else(|| end_direction(&c.subsegment(0.0..t)))
}

/// Curvature, positive to the left of the way; ±infinity where a handle without length makes
/// it grow past all bounds, 0 for what has no length.
pub(crate) fn curvature(c: &CubicBez, t: f64) -> f64 {
    let tiny = tiny_mm(reach_mm(c));
    let (d1, d2) = derivatives(c, t);
    let speed = d1.hypot();
    if speed > 3.0 * tiny {
        return d1.cross(d2) / speed.powi(3);
    }
    // Near the stall the curve is p + a u² + b u³: it bends as u^(3/2) to the side of a × b.
    let (near, sense) =
        if t < 0.5 { (c.subsegment(t..1.0), 1.0) } else { (reversed(&c.subsegment(0.0..t)), -1.0) };
    let (a, b) = (near.p2 - near.p0, near.p3 - near.p0);
    let side = a.cross(b);
    if a.hypot() <= tiny || side.abs() <= tiny * b.hypot() {
        return 0.0;
    }
    f64::INFINITY.copysign(side * sense)
}

/// Whether the derivative vanishes at a parameter.
pub(crate) fn stalls(c: &CubicBez, t: f64) -> bool {
    derivatives(c, t).0.hypot() <= 3.0 * tiny_mm(reach_mm(c))
}

fn reversed(c: &CubicBez) -> CubicBez {
    CubicBez::new(c.p3, c.p2, c.p1, c.p0)
}

/// The longest way along a segment's control points: no less than its length.
pub(crate) fn control_length_mm(seg: &PathSeg) -> f64 {
    match seg {
        PathSeg::Line(l) => l.p0.distance(l.p1),
        other => {
            let c = cubic(other);
            c.p0.distance(c.p1) + c.p1.distance(c.p2) + c.p2.distance(c.p3)
        }
    }
}

/// Least squared distance from a point to a box, 0 inside.
pub(crate) fn box_distance_sq(r: &Rect, p: Point) -> f64 {
    let dx = (r.x0 - p.x).max(p.x - r.x1).max(0.0);
    let dy = (r.y0 - p.y).max(p.y - r.y1).max(0.0);
    dx * dx + dy * dy
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn directions_survive_missing_handles() {
        let c = CubicBez::new((0., 0.), (0., 0.), (10., 0.), (10., 10.));
        assert_eq!(start_direction(&c), Some(Vec2::new(1., 0.)));
        assert_eq!(end_direction(&c), Some(Vec2::new(0., 1.)));
        assert_eq!(curvature(&c, 0.0), f64::INFINITY);
        assert_eq!(curvature(&reversed(&c), 1.0), f64::NEG_INFINITY);
        let flat = CubicBez::new((0., 0.), (0., 0.), (10., 5.), (20., 10.));
        assert_eq!(curvature(&flat, 0.0), 0.0);
        let point = CubicBez::new((1., 1.), (1., 1.), (1., 1.), (1., 1.));
        assert_eq!(direction(&point, 0.5), None);
    }
}
