//! Relief saw cuts: straight cuts from the bar's edge into the hollows of an outline.
//!
//! The rule: every hollow of the outline (what lies between it and a side of its convex hull)
//! that is at least 2 mm deep gets one cut. It aims at the deepest place of the hollow, square
//! to the hollow's mouth where that keeps clear, else leaning by up to 40° in steps of 10°, and
//! ends where the saw would come nearer to the outline than the leave. A hollow into which no
//! such cut leads gets none.

use super::BarSpace;
use crate::shop::Shop;
use kurbo::{Line, ParamCurve, Point, Shape, Vec2};
use outline::{Concavity, Outline};

/// Hollows shallower than this need no cut: a saw follows them (own choice), mm.
const SHALLOW_MM: f64 = 2.0;
/// Ways in which a cut may lean, degrees.
const LEANS_DEG: [f64; 9] = [0.0, 10.0, -10.0, 20.0, -20.0, 30.0, -30.0, 40.0, -40.0];
/// Width of a hacksaw's cut, for a shop without a saw, mm (common practice, no source).
const KERF_MM: f64 = 1.0;
/// So many hollows times stretches of outline are not cut into one by one.
const MAX_EVALUATIONS: usize = 1_000_000;
/// No step along a cut is shorter than this, mm.
const STEP_MM: f64 = 0.02;
/// Nor is one past another blank, mm.
const LOOK_MM: f64 = 0.5;

/// A straight cut with the saw, in the bar's plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SawCut {
    /// Where it starts, on the bar's edge or end.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
    /// Width of the cut, mm.
    pub kerf_mm: f64,
}

impl SawCut {
    /// Its length, mm.
    pub fn length_mm(&self) -> f64 {
        self.from.distance(self.to)
    }
}

/// The width of the cut of the narrowest saw in the shop.
pub(super) fn kerf_mm(shop: &Shop) -> f64 {
    shop.min_kerf_mm().unwrap_or(KERF_MM)
}

/// The cuts into all hollows, or how many hollows there are when that is too many to look into.
pub(super) fn cuts(
    placed: &Outline,
    ground: &BarSpace<'_>,
    leave_mm: f64,
    kerf_mm: f64,
) -> Result<Vec<SawCut>, usize> {
    let clear_mm = leave_mm + kerf_mm / 2.0;
    let mut hollows = placed.concavities(SHALLOW_MM.max(clear_mm));
    // Through a narrower mouth no cut keeps clear of both its sides.
    hollows.retain(|hollow| hollow.from.distance(hollow.to) >= 2.0 * clear_mm - 1e-6);
    if hollows.len().saturating_mul(placed.segs().len()) > MAX_EVALUATIONS {
        return Err(hollows.len());
    }
    let cut = |hollow: &Concavity| {
        let out = -(hollow.to - hollow.from).normalize().turn_90();
        LEANS_DEG.iter().find_map(|lean| {
            let (sin, cos) = lean.to_radians().sin_cos();
            let direction = Vec2::new(out.x * cos - out.y * sin, out.x * sin + out.y * cos);
            straight(placed, ground, hollow, direction, cos, clear_mm)
        })
    };
    let ends = hollows.iter().filter_map(cut);
    Ok(ends.map(|(from, to)| SawCut { from, to, kerf_mm }).collect())
}

/// The cut that runs out of a hollow one way, from the bar's edge inward, if it keeps clear.
fn straight(
    placed: &Outline,
    ground: &BarSpace<'_>,
    hollow: &Concavity,
    direction: Vec2,
    cos: f64,
    clear_mm: f64,
) -> Option<(Point, Point)> {
    let at = |t: f64| hollow.deepest + direction * t;
    let gap = |t: f64| placed.nearest(at(t)).distance_mm - clear_mm;
    let mouth = hollow.depth_mm / cos;
    let mut t = STEP_MM;
    while gap(t) < 0.0 {
        t += (-gap(t)).max(STEP_MM);
        if t >= mouth {
            return None;
        }
    }
    let end = t;
    let free = mouth + clear_mm / cos + STEP_MM;
    while t < free {
        let gap = gap(t);
        if gap < -1e-9 || placed.contains(at(t)) {
            return None;
        }
        t += gap.max(STEP_MM);
    }
    let through = at(mouth);
    let side = hollow.to - hollow.from;
    let along = side.dot(through - hollow.from) / side.hypot2();
    let (from, to) = (edge(ground, at(end), direction)?, at(end));
    let line = Line::new(from, to);
    let way_mm = from.distance(to);
    let beside = |other: &Outline| {
        let near = other.bounds().inflate(clear_mm, clear_mm);
        if !near.overlaps(line.bounding_box()) {
            return true;
        }
        let mut along_mm = 0.0;
        loop {
            let gap = other.nearest(line.eval(along_mm / way_mm.max(STEP_MM))).distance_mm;
            if gap < clear_mm {
                return false;
            }
            if along_mm >= way_mm {
                return other.crossings_with(line).is_empty();
            }
            // So far on nothing comes nearer.
            along_mm = (along_mm + (gap - clear_mm).max(LOOK_MM)).min(way_mm);
        }
    };
    let clear = (0.0..=1.0).contains(&along) && ground.others.iter().all(beside);
    clear.then_some((from, to))
}

/// Where the way from a point of the bar leaves the bar.
fn edge(ground: &BarSpace<'_>, from: Point, direction: Vec2) -> Option<Point> {
    let rect = ground.rect();
    if !rect.contains(from) {
        return None;
    }
    let until = |at: f64, by: f64, low: f64, high: f64| match by {
        by if by > 1e-12 => (high - at) / by,
        by if by < -1e-12 => (low - at) / by,
        _ => f64::INFINITY,
    };
    let t = until(from.x, direction.x, rect.x0, rect.x1).min(until(
        from.y,
        direction.y,
        rect.y0,
        rect.y1,
    ));
    t.is_finite().then(|| from + direction * t)
}
