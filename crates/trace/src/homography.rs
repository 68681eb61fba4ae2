//! The homography between two planes.

use kurbo::Point;
use nalgebra::{DMatrix, Matrix3, Vector3};

/// The homography that takes each point of `from` to that of `to`, least squares of the algebraic
/// error for more than four, the last element 1 (Hartley & Zisserman, Multiple View Geometry,
/// 2nd ed., algorithm 4.2, normalised). `None` for fewer than four pairs or points on a line.
pub fn homography(from: &[Point], to: &[Point]) -> Option<Matrix3<f64>> {
    if from.len() != to.len() || from.len() < 4 {
        return None;
    }
    let (t, s) = (normaliser(from)?, normaliser(to)?);
    // A thin decomposition leaves the null space out unless there are nine rows.
    let mut a = DMatrix::zeros((2 * from.len()).max(9), 9);
    for (i, (p, q)) in from.iter().zip(to).enumerate() {
        let (p, q) = (apply(&t, *p), apply(&s, *q));
        let rows = [
            [p.x, p.y, 1.0, 0.0, 0.0, 0.0, -q.x * p.x, -q.x * p.y, -q.x],
            [0.0, 0.0, 0.0, p.x, p.y, 1.0, -q.y * p.x, -q.y * p.y, -q.y],
        ];
        for (k, row) in rows.iter().enumerate() {
            for (column, value) in row.iter().enumerate() {
                a[(2 * i + k, column)] = *value;
            }
        }
    }
    let svd = a.svd(false, true);
    let v_t = svd.v_t?;
    let mut order: Vec<usize> = (0..9).collect();
    order.sort_by(|i, j| svd.singular_values[*i].total_cmp(&svd.singular_values[*j]));
    // A second null vector: the points don't fix a homography.
    if svd.singular_values[order[1]] < 1e-9 * svd.singular_values[order[8]] {
        return None;
    }
    let h = v_t.row(order[0]);
    let h = Matrix3::new(h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], h[8]);
    let h = s.try_inverse()? * h * t;
    let scale = h[(2, 2)];
    let h = h / scale;
    h.iter().all(|v| v.is_finite()).then_some(h)
}

/// Moves the points' centre to the origin and their mean distance from it to √2.
fn normaliser(points: &[Point]) -> Option<Matrix3<f64>> {
    let n = points.len() as f64;
    let centre = points.iter().fold(Point::ORIGIN, |sum, p| sum + p.to_vec2()).to_vec2() / n;
    let mean = points.iter().map(|p| (p.to_vec2() - centre).hypot()).sum::<f64>() / n;
    let s = std::f64::consts::SQRT_2 / mean;
    s.is_finite().then(|| Matrix3::new(s, 0.0, -s * centre.x, 0.0, s, -s * centre.y, 0.0, 0.0, 1.0))
}

/// A point through a homography.
pub(crate) fn apply(h: &Matrix3<f64>, p: Point) -> Point {
    let v = h * Vector3::new(p.x, p.y, 1.0);
    Point::new(v.x / v.z, v.y / v.z)
}

/// The eight elements before the last, which is 1.
pub(crate) fn elements(h: &Matrix3<f64>) -> [f64; 8] {
    let w = h[(2, 2)];
    [
        h[(0, 0)] / w,
        h[(0, 1)] / w,
        h[(0, 2)] / w,
        h[(1, 0)] / w,
        h[(1, 1)] / w,
        h[(1, 2)] / w,
        h[(2, 0)] / w,
        h[(2, 1)] / w,
    ]
}

/// The homography of eight elements.
pub(crate) fn of_elements(e: &[f64]) -> Matrix3<f64> {
    Matrix3::new(e[0], e[1], e[2], e[3], e[4], e[5], e[6], e[7], 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(value: &serde_json::Value) -> Vec<Point> {
        let all = value.as_array().unwrap().iter();
        all.map(|p| Point::new(p[0].as_f64().unwrap(), p[1].as_f64().unwrap())).collect()
    }

    /// Against OpenCV's `getPerspectiveTransform` (four points) and `findHomography` (more).
    #[test]
    fn opencv_finds_the_same() {
        let reference: serde_json::Value = serde_json::from_str(crate::REFERENCE).unwrap();
        let cases = reference["homographies"].as_array().unwrap();
        assert!(cases.len() >= 6);
        for case in cases {
            let (from, to) = (points(&case["from"]), points(&case["to"]));
            let h = homography(&from, &to).unwrap();
            let truth: Vec<f64> =
                case["h"].as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect();
            for p in &from {
                let other = apply(&of_elements(&truth), *p);
                assert!(apply(&h, *p).distance(other) < 1e-6 * other.to_vec2().hypot().max(1.0));
            }
        }
    }

    #[test]
    fn points_on_a_line_fix_nothing() {
        let line: Vec<Point> =
            (0..5).map(|i| Point::new(f64::from(i), 2.0 * f64::from(i))).collect();
        assert!(homography(&line, &line).is_none());
        assert!(homography(&line[..3], &line[..3]).is_none());
        assert!(homography(&[Point::ORIGIN; 4], &[Point::ORIGIN; 4]).is_none());
    }
}
