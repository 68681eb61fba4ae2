//! Lines that were worked out point by point, as curves: a reader of an SVG edits few nodes rather
//! than hundreds.

use kurbo::simplify::{SimplifyOptions, simplify_bezpath};
use kurbo::{BezPath, PathEl, Point, Vec2};

/// The curve goes by the points within this, mm.
const NEAR_MM: f64 = 0.003;
/// Fewer stretches than these are as good as a curve.
const MIN_STRETCHES: usize = 6;
/// A bend sharper than this is a corner, degrees.
const CORNER_DEG: f64 = 12.0;

/// A path with its long polylines as curves; all else as it is.
pub(crate) fn curved(path: &BezPath) -> BezPath {
    let mut out = BezPath::new();
    let mut points: Vec<Point> = Vec::new();
    let flush = |points: &mut Vec<Point>, out: &mut BezPath| {
        if points.len() > MIN_STRETCHES {
            out.extend(through(points).elements().iter().skip(1).copied());
        } else {
            points.iter().skip(1).for_each(|p| out.line_to(*p));
        }
        let last = points.last().copied();
        points.clear();
        points.extend(last);
    };
    for element in path.elements() {
        match *element {
            PathEl::LineTo(p) if points.last() == Some(&p) => {}
            PathEl::LineTo(p) => points.push(p),
            PathEl::MoveTo(p) => {
                flush(&mut points, &mut out);
                points = vec![p];
                out.move_to(p);
            }
            other => {
                flush(&mut points, &mut out);
                out.push(other);
                points = other.end_point().into_iter().collect();
            }
        }
    }
    flush(&mut points, &mut out);
    out
}

/// A curve through points: from each to the next along the direction between its neighbours, but
/// for corners, then with as few pieces as stay near.
fn through(points: &[Point]) -> BezPath {
    let direction = |i: usize| -> [Vec2; 2] {
        let before = i.checked_sub(1).map(|k| points[i] - points[k]);
        let after = points.get(i + 1).map(|next| *next - points[i]);
        match (before, after) {
            (Some(a), Some(b)) => {
                let bend = a.cross(b).atan2(a.dot(b)).to_degrees().abs();
                if bend > CORNER_DEG {
                    return [a.normalize(), b.normalize()];
                }
                // Weighed by the other's length: the circle through three points.
                let along = a.normalize() * b.hypot() + b.normalize() * a.hypot();
                [along.normalize(); 2]
            }
            (Some(one), None) | (None, Some(one)) => [one.normalize(); 2],
            (None, None) => [Vec2::ZERO; 2],
        }
    };
    let mut path = BezPath::new();
    path.move_to(points[0]);
    for (i, pair) in points.windows(2).enumerate() {
        let third = pair[0].distance(pair[1]) / 3.0;
        let (out, into) = (direction(i)[1], direction(i + 1)[0]);
        path.curve_to(pair[0] + out * third, pair[1] - into * third, pair[1]);
    }
    let fewer =
        simplify_bezpath(path.elements().iter().copied(), NEAR_MM, &SimplifyOptions::default());
    if fewer.elements().len() < path.elements().len() { fewer } else { path }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{ParamCurve, ParamCurveNearest};

    #[test]
    fn few_curves_go_by_many_points() {
        let at = |k: u32| {
            let x = f64::from(k);
            Point::new(x, 12.0 + 4.0 * (x / 30.0).sin())
        };
        let mut path = BezPath::new();
        path.move_to(at(0));
        (1..=120).for_each(|k| path.line_to(at(k)));
        let curved = curved(&path);
        assert!(curved.elements().len() < 30, "{}", curved.elements().len());
        for k in 0..=120 {
            let away = curved.segments().map(|seg| seg.nearest(at(k), 1e-9).distance_sq);
            assert!(away.fold(f64::MAX, f64::min).sqrt() < 2.0 * NEAR_MM, "{k}");
        }
        let ends =
            (curved.segments().next().unwrap().start(), curved.segments().last().unwrap().end());
        assert_eq!(ends, (at(0), at(120)));
    }

    #[test]
    fn corners_and_short_lines_stay() {
        let mut path = BezPath::new();
        path.move_to((0.0, 0.0));
        path.line_to((10.0, 0.0));
        path.line_to((10.0, 5.0));
        path.close_path();
        assert_eq!(curved(&path), path);
        let mut zigzag = BezPath::new();
        zigzag.move_to((0.0, 0.0));
        for k in 1..20 {
            zigzag.line_to((f64::from(k), f64::from(k % 2)));
        }
        let curved = curved(&zigzag);
        for k in 1..20 {
            let p = Point::new(f64::from(k), f64::from(k % 2));
            assert!(curved.segments().any(|seg| seg.end().distance(p) < 1e-9), "{p:?}");
        }
    }
}
