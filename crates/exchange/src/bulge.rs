//! Arcs told by their bulge, as DXF has them: the tangent of a quarter of the angle they turn by.

use kurbo::{BezPath, Point};

/// How far the cubics that stand for an arc may stray from it, mm: as of other imports.
pub(crate) const ARC_MM: f64 = 1e-8;

/// Appends the way from one place to another, turning by an arc; positive bulges turn
/// counter-clockwise. The path's end is `to` exactly.
pub(crate) fn append(path: &mut BezPath, from: Point, to: Point, bulge: f64) {
    let chord = to - from;
    if bulge == 0.0 || chord.hypot() == 0.0 || !bulge.is_finite() {
        path.line_to(to);
        return;
    }
    let off = (1.0 - bulge * bulge) / (4.0 * bulge);
    let centre = from.midpoint(to) + chord.turn_90() * off;
    let radius = centre.distance(from);
    if !radius.is_finite() || radius > 1e9 {
        // Of a hair's bulge the circle is too wide to tell from its chord. One that is nearly whole
        // goes so far out that its outline is refused.
        if bulge.abs() > 1.0 {
            path.line_to(centre + (centre - from.midpoint(to)));
        }
        path.line_to(to);
        return;
    }
    let start = (from - centre).atan2();
    let arc = kurbo::Arc::new(centre, (radius, radius), start, 4.0 * bulge.atan(), 0.0);
    let mut points: Vec<(Point, Point, Point)> = Vec::new();
    arc.to_cubic_beziers(ARC_MM, |a, b, c| points.push((a, b, c)));
    if let Some(last) = points.last_mut() {
        last.2 = to;
    }
    for (a, b, c) in points {
        path.curve_to(a, b, c);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape;

    // By hand: a bulge of 1 is half a circle; with a line back the area is π r² / 2.
    #[test]
    fn a_bulge_of_one_is_half_a_circle_to_the_right() {
        for (bulge, sign) in [(1.0, 1.0), (-1.0, -1.0)] {
            let mut path = BezPath::new();
            path.move_to((0.0, 0.0));
            append(&mut path, Point::new(0.0, 0.0), Point::new(10.0, 0.0), bulge);
            path.close_path();
            let wanted = sign * std::f64::consts::PI * 25.0 / 2.0;
            assert!((path.area() - wanted).abs() < 1e-6, "{} {wanted}", path.area());
        }
        // Nearly a whole circle of light years is no line, and a hair's bulge of any length is one.
        for (bulge, far) in [(1e12, true), (1e-12, false)] {
            let mut path = BezPath::new();
            path.move_to((0.0, 0.0));
            append(&mut path, Point::ORIGIN, Point::new(30.0, 0.0), bulge);
            assert_eq!(path.bounding_box().width().max(path.bounding_box().height()) > 1e9, far);
        }
        let mut line = BezPath::new();
        line.move_to((0.0, 0.0));
        append(&mut line, Point::ORIGIN, Point::new(3.0, 4.0), 0.0);
        assert_eq!(line.elements().len(), 2);
    }
}
