//! Where along the strip one shape may lie beside another: no-fit intervals and their cache.

use super::oriented_shape::{OrientedShape, Slab};
use rustc_hash::FxHashMap;
use std::rc::Rc;

/// Offsets along the strip at which two shapes overlap: disjoint, ascending, mm.
pub(super) type BlockedIntervals = Rc<[(f64, f64)]>;

/// Heights across the strip are whole multiples of 1 mm over this.
pub(super) const PER_MM: f64 = 1000.0;

/// A height as a whole number of micrometres, rounded down.
#[expect(clippy::cast_possible_truncation, reason = "a bar is no kilometre wide")]
pub(super) fn height(mm: f64) -> i64 {
    (mm.clamp(-1e9, 1e9) * PER_MM + 1e-6).floor() as i64
}

/// The height in mm.
#[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
pub(super) fn height_mm(height: i64) -> f64 {
    height as f64 / PER_MM
}

/// No-fit intervals of pairs of shapes.
pub(super) struct NoFitCache {
    cache: FxHashMap<(usize, usize, i64), BlockedIntervals>,
    boxes: bool,
}

/// Overlaps below this are rounding, mm.
const SLACK_MM: f64 = 1e-9;
/// Cached pairs before the cache is cleared: some tens of megabytes.
const MAX_CACHED: usize = 300_000;

impl NoFitCache {
    /// For true shapes, or for bounding boxes.
    pub(super) fn new(boxes: bool) -> Self {
        Self { cache: FxHashMap::default(), boxes }
    }

    /// The offsets to the right of shape `a` at which shape `b`, `up` higher, overlaps it.
    pub(super) fn blocked(
        &mut self,
        orientations: &[OrientedShape],
        a: usize,
        b: usize,
        up: i64,
    ) -> BlockedIntervals {
        if let Some(known) = self.cache.get(&(a, b, up)) {
            return Rc::clone(known);
        }
        let pick =
            |i: usize| if self.boxes { &orientations[i].boxed } else { &orientations[i].slabs };
        let found: BlockedIntervals = overlaps(pick(a), pick(b), height_mm(up)).into();
        if self.cache.len() >= MAX_CACHED {
            self.cache.clear();
        }
        self.cache.insert((a, b, up), Rc::clone(&found));
        found
    }
}

/// Shifts along x at which `b`, shifted up, overlaps `a`. Between two neighbouring heights all
/// sides are straight, so that the extremes lie at the heights.
fn overlaps(a: &[Slab], b: &[Slab], up: f64) -> Vec<(f64, f64)> {
    let mut all: Vec<(f64, f64)> = Vec::new();
    let (mut i, mut j) = (0, 0);
    while i < a.len() && j < b.len() {
        let (p, q) = (&a[i], &b[j]);
        let (from, to) = (p.from.max(q.from + up), p.to.min(q.to + up));
        if to > from {
            for s in &p.spans {
                let (s0, s1) = (s.at(from - p.from), s.at(to - p.from));
                for t in &q.spans {
                    let (t0, t1) = (t.at(from - up - q.from), t.at(to - up - q.from));
                    add(&mut all, (s0.0 - t0.1).min(s1.0 - t1.1), (s0.1 - t0.0).max(s1.1 - t1.0));
                }
            }
        }
        if p.to < q.to + up { i += 1 } else { j += 1 }
    }
    merged(all)
}

/// Appends an interval, merging it with the last where they touch.
fn add(all: &mut Vec<(f64, f64)>, low: f64, high: f64) {
    if let Some(last) = all.last_mut()
        && low < last.1
        && high > last.0
    {
        *last = (last.0.min(low), last.1.max(high));
    } else {
        all.push((low, high));
    }
}

fn merged(mut all: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    all.sort_by(|x, y| x.0.total_cmp(&y.0));
    let mut out: Vec<(f64, f64)> = Vec::with_capacity(all.len().min(4));
    for (low, high) in all {
        match out.last_mut() {
            Some(last) if low < last.1 => last.1 = last.1.max(high),
            _ => out.push((low, high)),
        }
    }
    out
}

/// The smallest position from `from` on that is in none of the intervals.
pub(super) fn first_free(from: f64, blocked: &mut [(f64, f64)]) -> f64 {
    blocked.sort_unstable_by(|x, y| x.0.total_cmp(&y.0));
    let mut x: f64 = from;
    for (low, high) in blocked.iter() {
        // Intervals that start further right can't block this position.
        if *low >= x - SLACK_MM {
            break;
        }
        x = x.max(*high);
    }
    x
}
