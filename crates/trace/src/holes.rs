//! Circles through points.

use kurbo::{Circle, Point, Vec2};

/// A circle through points, and how well it fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FittedCircle {
    /// The circle.
    pub circle: Circle,
    /// The largest distance of a point from it.
    pub max_distance: f64,
}

/// The circle that fits points best (Taubin 1991, "Estimation of planar curves, surfaces and
/// nonplanar space curves defined by implicit equations", by Newton's method as in Chernov,
/// Circular and Linear Regression, 2010, section 5.9). `None` for fewer than three points or
/// points on a line.
pub fn fit_circle(points: &[Point]) -> Option<FittedCircle> {
    if points.len() < 3 {
        return None;
    }
    let n = points.len() as f64;
    let mean = points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / n;
    let (mut xx, mut yy, mut xy, mut xz, mut yz, mut zz) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for p in points {
        let d = p.to_vec2() - mean;
        let z = d.hypot2();
        xx += d.x * d.x / n;
        yy += d.y * d.y / n;
        xy += d.x * d.y / n;
        xz += d.x * z / n;
        yz += d.y * z / n;
        zz += z * z / n;
    }
    let z = xx + yy;
    let cov = xx * yy - xy * xy;
    let var = zz - z * z;
    let a3 = 4.0 * z;
    let a2 = -3.0 * z * z - zz;
    let a1 = var * z + 4.0 * cov * z - xz * xz - yz * yz;
    let a0 = xz * (xz * yy - yz * xy) + yz * (yz * xx - xz * xy) - var * cov;
    let (mut x, mut y) = (0.0, a0);
    for _ in 0..50 {
        let slope = a1 + x * (2.0 * a2 + 3.0 * a3 * x);
        let next = x - y / slope;
        if !next.is_finite() || (next - x).abs() < 1e-14 * z {
            break;
        }
        let value = a0 + next * (a1 + next * (a2 + next * a3));
        if value.abs() >= y.abs() {
            break;
        }
        (x, y) = (next, value);
    }
    let det = x * x - x * z + cov;
    let centre = Vec2::new(xz * (yy - x) - yz * xy, yz * (xx - x) - xz * xy) / det / 2.0;
    let radius = (centre.hypot2() + z).sqrt();
    let centre = (centre + mean).to_point();
    if !(centre.is_finite() && radius.is_finite() && cov > 1e-12 * z * z) {
        return None;
    }
    let off = points.iter().map(|p| (p.distance(centre) - radius).abs());
    Some(FittedCircle {
        circle: Circle::new(centre, radius),
        max_distance: off.fold(0.0, f64::max),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against scikit-image's `CircleModel`, which fits another algebraic error: on whole circles
    /// the two agree far within the noise, on arcs within it.
    #[test]
    fn scikit_image_finds_the_same() {
        let reference: serde_json::Value = serde_json::from_str(crate::REFERENCE).unwrap();
        let cases = reference["circles"].as_array().unwrap();
        assert!(cases.len() >= 5);
        for case in cases {
            let points: Vec<Point> = case["points"]
                .as_array()
                .unwrap()
                .iter()
                .map(|p| Point::new(p[0].as_f64().unwrap(), p[1].as_f64().unwrap()))
                .collect();
            let found = fit_circle(&points).unwrap().circle;
            let number = |key: &str| case[key].as_f64().unwrap();
            let truth = Point::new(number("x"), number("y"));
            assert!(found.center.distance(truth) < number("within"), "{} {truth}", found.center);
            assert!((found.radius - number("r")).abs() < number("within"));
        }
    }

    #[test]
    fn points_on_a_line_have_no_circle() {
        let line: Vec<Point> = (0..9).map(|i| Point::new(f64::from(i), 1.0)).collect();
        assert!(fit_circle(&line).is_none() && fit_circle(&line[..2]).is_none());
    }
}
