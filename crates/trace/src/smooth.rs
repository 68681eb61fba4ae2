//! Smoothing a contour: local cubics by least squares.

use kurbo::{Point, Vec2};
use nalgebra::{Matrix4, Vector4};

/// Half the width of the window of a local cubic, mm.
const HALF_WIDTH_MM: f64 = 2.0;
/// A point that must be met counts as so many.
const PINNED: f64 = 400.0;

/// A point of a smoothed curve and its derivative by arc length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sample {
    pub(crate) at: Point,
    pub(crate) derivative: Vec2,
}

/// A closed polyline resampled evenly at about `step`, after a mean over three neighbours.
pub(crate) fn resampled(points: &[Point], step: f64) -> Vec<Point> {
    let n = points.len();
    let mean = |i: usize| {
        let sum =
            points[(i + n - 1) % n].to_vec2() + points[i].to_vec2() + points[(i + 1) % n].to_vec2();
        (sum / 3.0).to_point()
    };
    let smooth: Vec<Point> = (0..n).map(mean).collect();
    let lengths: Vec<f64> = (0..n).map(|i| smooth[i].distance(smooth[(i + 1) % n])).collect();
    let total: f64 = lengths.iter().sum();
    let count = (total / step).round().max(8.0) as usize;
    let step = total / count as f64;
    let mut out = Vec::with_capacity(count);
    let (mut i, mut before) = (0, 0.0);
    for k in 0..count {
        let s = k as f64 * step;
        while i + 1 < n && before + lengths[i] < s {
            before += lengths[i];
            i += 1;
        }
        let t = if lengths[i] > 0.0 { ((s - before) / lengths[i]).clamp(0.0, 1.0) } else { 0.0 };
        out.push(smooth[i].lerp(smooth[(i + 1) % n], t));
    }
    out
}

/// A curve smoothed by a local cubic at each of its samples (least squares with tricube weights,
/// Cleveland 1979, of third order, which unlike a mean doesn't shrink arcs).
///
/// `closed`: the last point is followed by the first, and the result ends on its own beginning;
/// else both ends are met.
pub(crate) fn smoothed(points: &[Point], closed: bool, step: f64) -> Vec<Sample> {
    let run = Run::new(points, closed);
    let count = (run.length / step).round().max(2.0) as usize;
    (0..=count)
        .map(|i| if closed && i == count { 0 } else { i })
        .map(|i| run.at(run.length * i as f64 / count as f64))
        .collect()
}

struct Run {
    /// Arc length and point; of a closed run with neighbours beyond its ends.
    points: Vec<(f64, Point)>,
    length: f64,
    pinned: bool,
}

impl Run {
    fn new(points: &[Point], closed: bool) -> Self {
        let mut s = 0.0;
        let mut all = vec![(0.0, points[0])];
        for pair in points.windows(2) {
            s += pair[0].distance(pair[1]);
            all.push((s, pair[1]));
        }
        if !closed {
            return Self { points: all, length: s, pinned: true };
        }
        let length = s + points[points.len() - 1].distance(points[0]);
        let reach = HALF_WIDTH_MM * 1.5;
        let before = all.iter().filter(|(s, _)| *s > length - reach).map(|(s, p)| (s - length, *p));
        let after = all.iter().filter(|(s, _)| *s < reach).map(|(s, p)| (s + length, *p));
        let points = before.chain(all.iter().copied()).chain(after).collect();
        Self { points, length, pinned: false }
    }

    fn at(&self, s: f64) -> Sample {
        let mut half = HALF_WIDTH_MM;
        loop {
            let from = self.points.partition_point(|(t, _)| *t < s - half);
            let to = self.points.partition_point(|(t, _)| *t <= s + half);
            if to - from >= 7 || half > self.length {
                break self.cubic(s, half, &self.points[from..to]);
            }
            half *= 1.5;
        }
    }

    fn cubic(&self, s: f64, half: f64, near: &[(f64, Point)]) -> Sample {
        let mut a = Matrix4::zeros();
        let (mut bx, mut by) = (Vector4::zeros(), Vector4::zeros());
        for (t, p) in near {
            let u = (t - s) / half;
            let mut weight = (1.0 - u.abs().powi(3)).max(0.0).powi(3);
            if self.pinned && (*t == 0.0 || *t == self.length) {
                weight *= PINNED;
            }
            let row = Vector4::new(1.0, u, u * u, u * u * u);
            a += row * row.transpose() * weight;
            bx += row * (weight * p.x);
            by += row * (weight * p.y);
        }
        match a.cholesky() {
            Some(a) if near.len() >= 6 => {
                let (x, y) = (a.solve(&bx), a.solve(&by));
                let derivative = Vec2::new(x[1], y[1]) / half;
                Sample { at: Point::new(x[0], y[0]), derivative }
            }
            _ => self.straight(s),
        }
    }

    /// Too few points for a cubic: on the polyline itself.
    fn straight(&self, s: f64) -> Sample {
        let i = self.points.partition_point(|(t, _)| *t < s).clamp(1, self.points.len() - 1);
        let ((s0, p0), (s1, p1)) = (self.points[i - 1], self.points[i]);
        let length = (s1 - s0).max(1e-9);
        Sample { at: p0.lerp(p1, (s - s0) / length), derivative: (p1 - p0) / length }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Deterministic noise of about this size.
    fn noise(i: usize) -> f64 {
        ((i * 7919 % 101) as f64 / 50.0 - 1.0) * 0.02
    }

    #[test]
    fn a_noisy_circle_keeps_its_radius() {
        for radius in [4.0, 20.0] {
            let count = (radius * 62.83) as usize;
            let points: Vec<Point> = (0..count)
                .map(|i| {
                    let way = Vec2::from_angle(i as f64 / count as f64 * std::f64::consts::TAU);
                    (way * (radius + noise(i))).to_point()
                })
                .collect();
            let curve = smoothed(&points, true, 0.2);
            assert_eq!(curve[0], curve[curve.len() - 1]);
            let radii = curve.iter().map(|s| s.at.to_vec2().hypot() - radius);
            let mean = radii.clone().sum::<f64>() / curve.len() as f64;
            assert!(mean.abs() < 0.004, "{mean}");
            assert!(radii.fold(0.0, |a: f64, b| a.max(b.abs())) < 0.012);
        }
    }

    #[test]
    fn an_open_run_meets_its_ends() {
        let points: Vec<Point> =
            (0..100).map(|i| Point::new(f64::from(i) * 0.1, noise(i as usize))).collect();
        let curve = smoothed(&points, false, 0.2);
        assert!(curve[0].at.distance(points[0]) < 2e-3);
        assert!(curve[curve.len() - 1].at.distance(points[99]) < 2e-3);
        assert!(curve.iter().all(|s| s.at.y.abs() < 0.021 && s.derivative.y.abs() < 0.15));
    }
}
