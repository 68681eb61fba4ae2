//! Corners of a contour, and the points where its sides would meet without blur.

use kurbo::{Point, Vec2};
use nalgebra::{Matrix3, Vector3};
use std::f64::consts::PI;

/// The stretch over which a corner must turn by the given angle, mm, and the stretch in which it
/// must turn by nearly all of that: else it is an arc of small radius.
const WITHIN_MM: f64 = 1.5;
const MOSTLY_WITHIN_MM: f64 = 0.8;
const MOSTLY: f64 = 0.9;
/// A point that turns by more than this (100°) is rounded by the picture's blur far along its narrow
/// sides: less of its turn lies in the short stretch, yet more than of any arc's.
const POINT_RAD: f64 = 1.745_329;
const MOSTLY_AT_POINT: f64 = 0.62;
/// Half the stretch over which a tangent is taken, mm.
const TANGENT_MM: f64 = 0.25;
/// From so far beside a corner its sides are taken, and to so much farther, mm.
const FROM_MM: f64 = 0.4;
const OVER_MM: f64 = 2.1;
/// Blur and the reach of profiles round a corner's sides by this at most, mm.
const ROUNDED_MM: f64 = 0.42;
/// The farthest from its corner that a side may begin, mm.
const FARTHEST_MM: f64 = 2.2;
/// The farthest from where they begin that two sides meet, mm.
const MEETING_MM: f64 = 3.0;

/// The sides of one corner open wider than the contour turns by this at most, 20°.
const WIDER_RAD: f64 = 0.349;

/// So many points are rounded by a known tip: by the mean over neighbours alone.
const AT_TIP: usize = 2;

/// A corner of a closed contour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ContourCorner {
    /// Index of the point nearest to it.
    pub(crate) index: usize,
    /// Where its sides meet.
    pub(crate) at: Point,
    /// So many points on either side are rounded by it.
    pub(crate) rounded: usize,
}

/// The corners of a closed contour that is evenly sampled at `step` mm: where its tangent turns
/// by more than `angle` radians, in order. Those at `tips` are known to lie there, with their sides.
pub(crate) fn corners(
    points: &[Point],
    step: f64,
    angle: f64,
    tips: &[Point],
) -> Vec<ContourCorner> {
    let n = points.len();
    let half = |mm: f64| ((mm / 2.0 / step).round() as usize).max(1);
    let (wide, narrow) = (half(WITHIN_MM), half(MOSTLY_WITHIN_MM));
    if n < 8 * wide {
        return Vec::new();
    }
    let k = ((TANGENT_MM / step).round() as usize).max(2);
    let tangents: Vec<Vec2> = (0..n).map(|i| tangent(points, i, k)).collect();
    // The angle run through from the first point on: at a sharp point the ends of a stretch differ
    // by nearly half a turn, of which the sign is lost.
    let step_turn = |i: usize| {
        let (a, b) = (tangents[i % n], tangents[(i + 1) % n]);
        a.cross(b).atan2(a.dot(b))
    };
    let mut run = vec![0.0; n + 1];
    for i in 0..n {
        run[i + 1] = run[i] + step_turn(i);
    }
    let turn = |i: usize, half: usize| {
        let (from, to) = (i + n - half, i + half);
        let at = |k: usize| run[k % n] + run[n] * (k / n) as f64;
        at(to) - at(from) + run[n]
    };
    let turns: Vec<f64> = (0..n).map(|i| turn(i, narrow)).collect();
    let sharp = |i: &usize| {
        let all = turn(*i, wide);
        let mostly = if all.abs() > POINT_RAD { MOSTLY_AT_POINT } else { MOSTLY };
        all.abs() > angle && turns[*i] * all.signum() >= mostly * all.abs()
    };
    let candidates: Vec<usize> = (0..n).filter(sharp).collect();
    let mut peaks: Vec<usize> = Vec::new();
    for i in candidates {
        let most = (0..=2 * wide).map(|d| turns[(i + n + d - wide) % n].abs()).fold(0.0, f64::max);
        if turns[i].abs() < most - 1e-12 {
            continue;
        }
        let near = |j: &usize| (i + n - j) % n < wide || (j + n - i) % n < wide;
        if !peaks.iter().any(near) {
            peaks.push(middle_of_peak(&turns, i, wide));
        }
    }
    peaks.sort_unstable();
    let turned = |i: usize| turn(i, wide).abs();
    let mut found = located(points, step, &peaks, turned);
    for corner in &mut found {
        let near = |tip: &&Point| tip.distance(points[corner.index]) < WITHIN_MM / 2.0;
        if let Some(tip) = tips.iter().find(near) {
            let off = |d: &usize| points[(corner.index + n + d - wide) % n].distance(*tip);
            let nearest = (0..2 * wide).min_by(|a, b| off(a).total_cmp(&off(b)));
            let index = (corner.index + n + nearest.unwrap_or(wide) - wide) % n;
            *corner = ContourCorner { index, at: *tip, rounded: AT_TIP };
        }
    }
    found
}

/// The tangent at a point by least squares over `k` points to either side.
fn tangent(points: &[Point], i: usize, k: usize) -> Vec2 {
    let n = points.len();
    (1..=k)
        .fold(Vec2::ZERO, |sum, d| sum + (points[(i + d) % n] - points[(i + n - d) % n]) * d as f64)
}

/// The middle of the flat top of a peak.
fn middle_of_peak(turns: &[f64], i: usize, wide: usize) -> usize {
    let n = turns.len();
    let high = |j: usize| turns[j % n].abs() > 0.93 * turns[i].abs();
    let up = (1..wide).take_while(|d| high(i + d)).count();
    let down = (1..wide).take_while(|d| high(i + n - d)).count();
    ((i + n + up) * 2 - up - down).div_ceil(2) % n
}

/// The corners with the points where the curves on either side meet.
fn located(
    points: &[Point],
    step: f64,
    peaks: &[usize],
    turned: impl Fn(usize) -> f64,
) -> Vec<ContourCorner> {
    let n = points.len();
    let count = peaks.len();
    let corner = |k: usize| {
        let index = peaks[k];
        let gap = |other: usize| if count == 1 { n } else { (other + n - index) % n };
        let room_after = gap(peaks[(k + 1) % count]);
        let room_before = if count == 1 { n } else { n - gap(peaks[(k + count - 1) % count]) };
        let room = room_after.min(room_before) as f64 * step;
        // The sharper the corner, the farther along its sides the blur of one reaches the other.
        let half_angle = (PI - turned(index)).max(0.2) / 2.0;
        let from = (ROUNDED_MM / half_angle.tan()).clamp(FROM_MM, FARTHEST_MM).min(0.3 * room);
        let to = (from + OVER_MM.max(1.4 * from)).min(0.7 * room);
        let (near, far) = ((from / step).round() as usize, (to / step).round() as usize);
        let raw = points[index];
        let sides = if far >= near + 4 {
            let side = |sign: i64| {
                let at = |d: usize| {
                    let i = (index as i64 + n as i64 + sign * d as i64) as usize % n;
                    (d as f64 * step, points[i])
                };
                parabola(&(near..=far).map(at).collect::<Vec<_>>())
            };
            side(-1).zip(side(1))
        } else {
            None
        };
        // Sides that open wider than the contour turns are those of a narrow tooth: its two corners
        // are seen as one, and its top is as it is seen.
        let open = |(a, b): &(Parabola, Parabola)| {
            let (a, b) = (on(a, from).1, on(b, from).1);
            a.cross(b).atan2(a.dot(b)).abs()
        };
        if sides.as_ref().is_some_and(|sides| open(sides) > PI - turned(index) + WIDER_RAD) {
            return ContourCorner { index, at: raw, rounded: 1 };
        }
        let meet = sides.and_then(|(a, b)| meeting(&a, &b, MEETING_MM));
        let at = meet.filter(|p| p.distance(raw) < from.max(1.0)).unwrap_or(raw);
        ContourCorner { index, at, rounded: near.max(1) }
    };
    (0..count).map(corner).collect()
}

/// x and y as quadratics of the distance from the corner.
pub(crate) type Parabola = [Vector3<f64>; 2];

/// The parabola through samples, by least squares; `None` for too few.
pub(crate) fn parabola(samples: &[(f64, Point)]) -> Option<Parabola> {
    let mut a = Matrix3::zeros();
    let (mut bx, mut by) = (Vector3::zeros(), Vector3::zeros());
    for (s, p) in samples {
        let row = Vector3::new(1.0, *s, s * s);
        a += row * row.transpose();
        bx += row * p.x;
        by += row * p.y;
    }
    let a = a.cholesky()?;
    Some([a.solve(&bx), a.solve(&by)])
}

/// Its place and its derivative.
pub(crate) fn on(parabola: &Parabola, s: f64) -> (Point, Vec2) {
    let [x, y] = parabola;
    let value = |c: &Vector3<f64>| c[0] + s * (c[1] + s * c[2]);
    let slope = |c: &Vector3<f64>| c[1] + 2.0 * s * c[2];
    (Point::new(value(x), value(y)), Vec2::new(slope(x), slope(y)))
}

/// Where two curves meet within `reach` of their beginnings by Newton's method.
pub(crate) fn meeting(a: &Parabola, b: &Parabola, reach: f64) -> Option<Point> {
    let (mut s, mut t) = (0.0, 0.0);
    for _ in 0..20 {
        let ((p, dp), (q, dq)) = (on(a, s), on(b, t));
        let off = q - p;
        let det = dp.cross(dq);
        if det.abs() < 1e-6 {
            return None;
        }
        let (ds, dt) = (off.cross(dq) / det, off.cross(dp) / det);
        (s, t) = (s + ds, t + dt);
        if ds.abs() + dt.abs() < 1e-10 {
            let near = |v: f64| v.abs() < reach;
            return (near(s) && near(t)).then(|| on(a, s).0);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::smooth::resampled;

    /// A rectangle whose corners are rounded by a radius.
    fn rounded(radius: f64) -> Vec<Point> {
        let path = kurbo::Rect::new(0.0, 0.0, 40.0, 20.0).to_rounded_rect(radius);
        let mut points = Vec::new();
        kurbo::flatten(kurbo::Shape::to_path(&path, 1e-4), 1e-4, |el| {
            if let kurbo::PathEl::MoveTo(p) | kurbo::PathEl::LineTo(p) = el {
                points.push(p);
            }
        });
        let mut dense = Vec::new();
        for (i, a) in points.iter().enumerate() {
            let b = points[(i + 1) % points.len()];
            let pieces = (a.distance(b) / 0.05).ceil().max(1.0) as usize;
            dense.extend((0..pieces).map(|k| a.lerp(b, k as f64 / pieces as f64)));
        }
        resampled(&dense, 0.1)
    }

    #[test]
    fn sharp_corners_are_found_at_their_points_and_round_ones_are_none() {
        for radius in [0.02, 0.2] {
            let found = corners(&rounded(radius), 0.1, 30_f64.to_radians(), &[]);
            assert_eq!(found.len(), 4, "{radius}");
            for corner in found {
                let truth = [(0., 0.), (40., 0.), (40., 20.), (0., 20.)].map(Point::from);
                let off = truth.iter().map(|t| t.distance(corner.at)).fold(f64::MAX, f64::min);
                assert!(off < 0.03, "{radius}: {off}");
            }
        }
        for radius in [1.5, 4.0] {
            assert!(
                corners(&rounded(radius), 0.1, 30_f64.to_radians(), &[]).is_empty(),
                "{radius}"
            );
        }
    }
}
