//! The tips of drawn lines: where two sides of an outline come close, their ink is one, and only
//! what lies before and beyond tells where they meet.

use crate::line_side::LineSide;
use crate::shaded::Shaded;
use kurbo::common::solve_quadratic;
use kurbo::{Point, Vec2};
use nalgebra::{Matrix3, Vector3};

/// A line wider than this times its usual width has begun to run into another, and is two in one
/// from the second on.
const SINGLE: f64 = 1.25;
const DOUBLE: f64 = 1.5;
/// The ink at the very end of a tip is as slim as one line over so many places at most.
const MAX_SLIM: usize = 200;
/// Two lines nearer than this are drawn together by the picture's blur, px.
const BLUR_PX: f64 = 5.0;
/// Places on either side of a tip from which its sides are carried on.
const FLANK: usize = 80;
const MIN_FLANK: usize = 16;
/// So many places at most are near another line before a tip.
const MAX_NEAR: usize = 240;
/// Only tips sharper than this: others have their own places. 72°.
const APEX_RAD: f64 = 1.25;
/// The farthest that a tip lies from where its sides are still two, px.
const MAX_OUT_PX: f64 = 160.0;
/// Steps along and across a tip, px.
const STEP_PX: f64 = 0.25;
/// So wide, as a part of the line's width, is ink half a width before the end of a pen's round
/// stroke; a sharp corner is slimmer there.
const ROUND: f64 = 0.75;

/// The end of a tip, in place of what was found from one index on, around the end of the list if
/// need be.
pub(crate) struct LineTip {
    from: usize,
    count: usize,
    pub(crate) tip: Point,
    /// Its sides, a pixel from point to point, its end among them.
    pub(crate) points: Vec<Point>,
}

impl LineTip {
    /// Whether a place is among those that the tip stands for.
    pub(crate) fn covers(&self, i: usize, n: usize) -> bool {
        (i + n - self.from) % n < self.count
    }

    /// The one of them at whose turn the tip is told.
    pub(crate) fn middle(&self, n: usize) -> usize {
        (self.from + self.count / 2) % n
    }
}

/// The tips of a line: `found` tells, all around, where its wanted side lies and how many times
/// its usual width it is there.
pub(crate) fn tips(
    field: &Shaded<'_>,
    found: &[Option<(Point, f64)>],
    side: LineSide,
    width_px: f64,
) -> Vec<LineTip> {
    let n = found.len();
    let single = |i: usize| found[i % n].filter(|(_, wide)| *wide <= SINGLE).map(|(p, _)| p);
    let runs = doubled_runs(found);
    let tip_of = |from: usize, to: usize| {
        let reach = MAX_NEAR + FLANK;
        let before: Vec<Point> = (1..=reach).map_while(|j| single(from + n - j)).collect();
        let after: Vec<Point> = (0..reach).map_while(|j| single(to + j)).collect();
        let apart = |(a, b): (&Point, &Point)| a.distance(*b) > width_px + BLUR_PX;
        let near = before.iter().zip(&after).position(apart)?;
        let flank = |side: &[Point]| side.iter().skip(near).take(FLANK).copied().collect();
        let (before, after): (Vec<Point>, Vec<Point>) = (flank(&before), flank(&after));
        if before.len() < MIN_FLANK || after.len() < MIN_FLANK {
            return None;
        }
        let (tip, points) = end(field, (&before, &after), side, width_px)?;
        Some(LineTip { from: (from + n - near) % n, count: to - from + 2 * near, tip, points })
    };
    let mut all: Vec<LineTip> = Vec::new();
    let mut k = 0;
    while k < runs.len() {
        // The runs around the slim end of a tip are one.
        let near = (k + 1..runs.len()).take_while(|j| runs[*j].0 - runs[j - 1].1 < MAX_SLIM);
        let last = near.last().unwrap_or(k);
        let found = (k..=last).rev().find_map(|j| Some((j, tip_of(runs[k].0, runs[j].1)?)));
        k = found.as_ref().map_or(k, |(j, _)| *j) + 1;
        all.extend(found.map(|(_, tip)| tip));
    }
    all
}

/// Stretches on which a line is not single and somewhere double: from one index to before another,
/// both perhaps around the end of the list. None begins near the first of them.
fn doubled_runs(found: &[Option<(Point, f64)>]) -> Vec<(usize, usize)> {
    let n = found.len();
    let is_single = |i: usize| found[i % n].is_some_and(|(_, wide)| wide <= SINGLE);
    let Some(first) = (0..n).find(|i| !is_single(*i)) else { return Vec::new() };
    let mut longest = (0, first);
    let mut single = 0;
    for i in first..=first + n {
        single = if is_single(i) { single + 1 } else { 0 };
        longest = longest.max((single, i));
    }
    let start = longest.1 + 1 + n - longest.0 / 2;
    let mut runs = Vec::new();
    let mut i = start;
    while i < start + n {
        let from = i;
        while i < start + n && !is_single(i) {
            i += 1;
        }
        if (from..i).any(|k| found[k % n].is_some_and(|(_, wide)| wide >= DOUBLE)) {
            runs.push((from, i));
        }
        i += usize::from(i == from);
    }
    runs
}

/// Where two sides meet, each given from the tip inward, and all points on the way there and back.
fn end(
    field: &Shaded<'_>,
    (before, after): (&[Point], &[Point]),
    side: LineSide,
    width_px: f64,
) -> Option<(Point, Vec<Point>)> {
    let outward = |side: &[Point]| Some((*side.first()? - *side.last()?).normalize());
    let (left, right) = (outward(before)?, outward(after)?);
    let apex = left.cross(right).atan2(left.dot(right)).abs();
    if apex > APEX_RAD {
        return None;
    }
    let out = (left + right).normalize();
    let axis = Axis { field, origin: before[0].midpoint(after[0]), out };
    let sides = [axis.parabola(before)?, axis.parabola(after)?];
    let meet = meeting(sides).filter(|s| *s > 0.0 && *s < MAX_OUT_PX);
    let pen = if side == LineSide::Centre { axis.pen_end(width_px) } else { None };
    let (s, x) = pen.or_else(|| meet.map(|s| (s, across(sides[0], s))))?;
    // The sides lead there, moved a little more the nearer they are.
    let way = |side: [f64; 3], from: Point| {
        let start = axis.along(from);
        let off = x - across(side, s);
        let steps = (s - start).max(1.0).ceil() as usize;
        (1..steps).map(move |k| {
            let part = k as f64 / steps as f64;
            let at = start + part * (s - start);
            (at, across(side, at) + off * part)
        })
    };
    let tip = axis.at(s, x);
    let mut points: Vec<Point> = way(sides[0], before[0]).map(|(s, x)| axis.at(s, x)).collect();
    points.push(tip);
    let back: Vec<Point> = way(sides[1], after[0]).map(|(s, x)| axis.at(s, x)).collect();
    points.extend(back.into_iter().rev());
    Some((tip, points))
}

/// How far across the axis a side lies, so far outward, px.
fn across([a, b, c]: [f64; 3], s: f64) -> f64 {
    a + s * (b + s * c)
}

/// How far outward two parabolas first meet.
fn meeting([a, b]: [[f64; 3]; 2]) -> Option<f64> {
    let roots = solve_quadratic(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
    roots.into_iter().filter(|s| *s > 0.0).min_by(f64::total_cmp)
}

/// The middle between two sides, outward: places by how far out they are and how far to the left.
struct Axis<'a> {
    field: &'a Shaded<'a>,
    origin: Point,
    out: Vec2,
}

impl Axis<'_> {
    fn at(&self, s: f64, x: f64) -> Point {
        self.origin + self.out * s + self.out.turn_90() * x
    }

    fn along(&self, p: Point) -> f64 {
        (p - self.origin).dot(self.out)
    }

    /// The parabola through a side: how far it lies across, by how far outward.
    fn parabola(&self, side: &[Point]) -> Option<[f64; 3]> {
        let (mut sums, mut right) = (Matrix3::zeros(), Vector3::zeros());
        for p in side {
            let (s, x) = (self.along(*p), (*p - self.origin).dot(self.out.turn_90()));
            let row = Vector3::new(1.0, s, s * s);
            sums += row * row.transpose();
            right += row * x;
        }
        let fitted = sums.lu().solve(&right)?;
        fitted.iter().all(|v| v.is_finite()).then(|| fitted.into())
    }

    /// Where the middle of a round pen stood at the end of a tip; `None` where the ink ends sharp,
    /// as a corner of a machine's line does.
    fn pen_end(&self, width_px: f64) -> Option<(f64, f64)> {
        let dark = |s: f64, x: f64| self.field.darkness(self.at(s, x));
        let steps = (MAX_OUT_PX / STEP_PX) as usize;
        let along: Vec<f64> = (0..steps).map(|k| dark(k as f64 * STEP_PX, 0.0)).collect();
        let half = along.iter().copied().fold(0.0, f64::max) / 2.0;
        let from = along.iter().position(|dark| *dark > half)?;
        let end = from + along[from..].iter().position(|dark| *dark < half)?;
        let s = end as f64 * STEP_PX - width_px / 2.0;
        let reach = (width_px / STEP_PX) as usize;
        let side = |way: f64| {
            let run = (1..reach).take_while(|k| dark(s, way * *k as f64 * STEP_PX) > half);
            run.count() as f64 * STEP_PX
        };
        let (left, right) = (side(1.0), side(-1.0));
        (s > 0.0 && left + right >= ROUND * width_px).then(|| (s, (left - right) / 2.0))
    }
}
