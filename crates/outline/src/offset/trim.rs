//! Cuts a raw offset curve where it crosses itself and keeps the true offset.
//!
//! Let the distance grow from nothing: the raw curve moves, always within the distance of the
//! source, so it never sweeps over a point that is further away. Such points therefore keep
//! the winding number that the source gives them, 1 inside and 0 outside, and every piece of
//! the true offset has winding number 0 on its right and 1 on its left. So the pieces with 0
//! on their right are all that can be true; they chain up at the crossings by themselves.
//! Whether a piece is true is the same all along it, as the distance to the source can fall
//! below the wanted one only across the raw curve: one point of each is held against the
//! source.

use kurbo::Point;

use super::chain::{Chain, GridPoint, Meeting};
use super::hairs::Finder;

/// More crossings than this for each chord of the raw curve are not worked through.
const PATIENCE: usize = 64;

/// A crossing as one of its two curves passes it.
#[derive(Clone, Copy)]
struct Pass {
    /// The chord, and how far along it.
    place: f64,
    crossing: u32,
    /// What it does to the winding number on the right of the curve.
    step: i32,
}

/// The true offset in a raw offset curve whose every crossing is given, as rings: everything
/// that winds positively. None if that can't be told for certain.
pub(super) fn trim(
    raw: &[GridPoint],
    crossings: &[Meeting],
    judge: &Judge<'_>,
) -> Option<Vec<Vec<GridPoint>>> {
    let outside = outer_winding(raw)?;
    if crossings.is_empty() {
        let mut verdict = Verdict::default();
        for i in [0, raw.len() / 3, raw.len() / 3 * 2] {
            verdict.tell(outside.1 == 0 && judge.is_true_corner(raw[i]));
        }
        return Some(if verdict.is_true()? { vec![raw.to_vec()] } else { Vec::new() });
    }
    Cut::new(raw, crossings, outside).rings(judge)
}

/// Every crossing of a raw curve with itself, shown hairs on the way. None if parts of it
/// touch or there are too many.
pub(super) fn crossings(raw: &[GridPoint], finder: &mut Finder<'_>) -> Option<Vec<Meeting>> {
    let mut crossings = Vec::new();
    let most = PATIENCE * raw.len();
    let chain = Chain::new(raw);
    let done = chain.pairs(finder.margin(), &mut |i, j| {
        finder.look(&chain, i, j);
        let Some(meeting) = chain.meeting(i, j) else { return true };
        let clean = meeting.is_clean() && crossings.len() < most;
        crossings.push(meeting);
        clean
    });
    (done && !chain.is_folded()).then_some(crossings)
}

/// A point of the raw curve that certainly borders the outside, and the winding number on
/// the right of the curve there.
fn outer_winding(raw: &[GridPoint]) -> Option<(usize, i32)> {
    let n = raw.len();
    let lowest = (0..n).min_by_key(|&i| (raw[i].y, raw[i].x))?;
    let (p, q, r) = (raw[(lowest + n - 1) % n], raw[lowest], raw[(lowest + 1) % n]);
    match super::chain::side(p, q, r) {
        0 => None,
        s if s > 0 => Some((lowest, 0)),
        _ => Some((lowest, -1)),
    }
}

/// A raw curve cut into pieces: piece `k` runs from pass `k` to the next.
struct Cut<'a> {
    raw: &'a [GridPoint],
    passes: Vec<Pass>,
    /// Where each crossing lies.
    places: Vec<GridPoint>,
    /// The two passes of each crossing.
    pairs: Vec<[u32; 2]>,
    /// The winding number on the right of each piece.
    right: Vec<i32>,
}

impl<'a> Cut<'a> {
    fn new(raw: &'a [GridPoint], crossings: &[Meeting], outside: (usize, i32)) -> Self {
        let mut passes = Vec::with_capacity(crossings.len() * 2);
        let mut places = Vec::with_capacity(crossings.len());
        for (k, c) in crossings.iter().enumerate() {
            let crossing = k as u32;
            let (along_i, along_j) = (share(c.of_j), share(c.of_i));
            // Chord j passes from the right of i to its left, or the other way.
            let leftward = if c.of_i[1] > 0 { 1 } else { -1 };
            passes.push(Pass { place: f64::from(c.i) + along_i, crossing, step: -leftward });
            passes.push(Pass { place: f64::from(c.j) + along_j, crossing, step: leftward });
            let i = c.i as usize;
            places.push(between(raw[i], raw[(i + 1) % raw.len()], along_i));
        }
        passes.sort_unstable_by(|a, b| a.place.total_cmp(&b.place));
        let mut pairs = vec![[u32::MAX; 2]; crossings.len()];
        for (k, pass) in passes.iter().enumerate() {
            let pair = &mut pairs[pass.crossing as usize];
            pair[usize::from(pair[0] != u32::MAX)] = k as u32;
        }
        let mut cut = Self { raw, passes, places, pairs, right: Vec::new() };
        cut.wind(outside);
        cut
    }

    fn wind(&mut self, (corner, right): (usize, i32)) {
        let n = self.passes.len();
        let after = self.passes.partition_point(|p| p.place <= corner as f64);
        self.right = vec![0; n];
        let mut winding = right;
        for k in (after..n).chain(0..after) {
            winding += self.passes[k].step;
            self.right[k] = winding;
        }
    }

    fn rings(&self, judge: &Judge<'_>) -> Option<Vec<Vec<GridPoint>>> {
        let n = self.passes.len();
        let mut used = vec![false; n];
        let mut rings = Vec::new();
        for first in 0..n {
            if used[first] || self.right[first] != 0 {
                continue;
            }
            let mut verdict = Verdict::default();
            let mut ring = Vec::new();
            let mut k = first;
            while !used[k] {
                used[k] = true;
                self.walk(k, &mut ring, judge, &mut verdict);
                k = self.turn(k)?;
            }
            if k != first {
                return None;
            }
            if verdict.is_true()? {
                rings.push(ring);
            }
        }
        Some(rings)
    }

    /// The piece that goes on where a kept one ends; none if the windings do not fit.
    fn turn(&self, k: usize) -> Option<usize> {
        let end = (k + 1) % self.passes.len();
        let pair = self.pairs[self.passes[end].crossing as usize];
        let next = if pair[0] as usize == end { pair[1] } else { pair[0] } as usize;
        (self.right[next] == 0).then_some(next)
    }

    /// Adds a piece to a ring, without its end, and has it judged.
    fn walk(&self, k: usize, ring: &mut Vec<GridPoint>, judge: &Judge<'_>, verdict: &mut Verdict) {
        let (from, to) = (self.passes[k], self.passes[(k + 1) % self.passes.len()]);
        let (a, b) = (self.places[from.crossing as usize], self.places[to.crossing as usize]);
        let n = self.raw.len();
        let first = from.place as usize + 1;
        let mut last = to.place as usize;
        if to.place <= from.place {
            last += n;
        }
        ring.push(a);
        if last < first {
            return verdict.hint(judge.is_true_between(a, b));
        }
        if last < n {
            ring.extend_from_slice(&self.raw[first..=last]);
        } else {
            ring.extend_from_slice(&self.raw[first.min(n)..]);
            ring.extend_from_slice(&self.raw[first.saturating_sub(n)..=last - n]);
        }
        // At its ends as well: where curves meet flatly, chords may cross where these don't.
        for i in [first, last, usize::midpoint(first, last)].iter().take(last - first + 1) {
            verdict.tell(judge.is_true_corner(self.raw[i % n]));
        }
    }
}

/// Tells true pieces by their distance from the source.
pub(super) struct Judge<'a> {
    source: &'a Chain<'a>,
    corner: f64,
    side: f64,
    perhaps: f64,
}

impl<'a> Judge<'a> {
    /// A judge by a plain source ring. That stands for curves up to a tolerance away; corners
    /// of the raw curve are exact and its sides stray as much again.
    pub(super) fn new(source: &'a Chain<'a>, distance: f64, tolerance: f64) -> Self {
        let less = |slack: f64| (distance.abs() - slack - 2.0).max(0.0);
        Self {
            source,
            corner: less(1.05 * tolerance),
            side: less(2.05 * tolerance),
            perhaps: less(5.0 * tolerance),
        }
    }

    fn is_true_corner(&self, p: GridPoint) -> bool {
        !self.source.is_nearer(p.x.into(), p.y.into(), self.corner)
    }

    /// Whether a place is as far from the source as the true offset within a few tolerances.
    pub(super) fn may_be_true(&self, p: Point) -> bool {
        !self.source.is_nearer(p.x, p.y, self.perhaps)
    }

    /// Whether a way between two corners is true at its corners and amid its sides.
    pub(super) fn is_true_way(&self, first: GridPoint, way: &[GridPoint], last: GridPoint) -> bool {
        let ends = way.iter().chain(std::iter::once(&last));
        way.iter().all(|p| self.is_true_corner(*p))
            && std::iter::once(&first)
                .chain(way)
                .zip(ends)
                .all(|(a, b)| self.is_true_between(*a, *b))
    }

    fn is_true_between(&self, a: GridPoint, b: GridPoint) -> bool {
        let half = |u: i32, v: i32| (f64::from(u) + f64::from(v)) / 2.0;
        !self.source.is_nearer(half(a.x, b.x), half(a.y, b.y), self.side)
    }
}

/// What is known of the pieces of one ring.
#[derive(Default)]
struct Verdict {
    yes: u32,
    no: u32,
    /// What pieces without corners hint at, which counts only if there are no others.
    maybe: u32,
    hardly: u32,
}

impl Verdict {
    fn tell(&mut self, is_true: bool) {
        *(if is_true { &mut self.yes } else { &mut self.no }) += 1;
    }

    fn hint(&mut self, is_true: bool) {
        *(if is_true { &mut self.maybe } else { &mut self.hardly }) += 1;
    }

    /// None if the pieces disagree.
    fn is_true(&self) -> Option<bool> {
        match (self.yes, self.no) {
            (0, 0) if self.maybe == 0 || self.hardly == 0 => Some(self.maybe > 0),
            (0, 0) => None,
            (_, 0) => Some(true),
            (0, _) => Some(false),
            _ => None,
        }
    }
}

/// How far along a chord the other one crosses it, from the areas its ends leave on that.
fn share(sides: [i64; 2]) -> f64 {
    let (a, b) = (sides[0] as f64, sides[1] as f64);
    // Never a whole 1: the place would then belong to the next chord.
    (a / (a - b)).clamp(0.0, 1.0 - 1e-9)
}

fn between(a: GridPoint, b: GridPoint, t: f64) -> GridPoint {
    let at = |u: i32, v: i32| (f64::from(u) + t * (f64::from(v) - f64::from(u))).round() as i32;
    GridPoint::new(at(a.x, b.x), at(a.y, b.y))
}

#[cfg(test)]
mod tests {
    use super::*;
    fn ring(corners: &[(i32, i32)]) -> Vec<GridPoint> {
        corners.iter().map(|c| GridPoint::new(c.0, c.1)).collect()
    }

    fn trimmed(source: &[(i32, i32)], raw: &[(i32, i32)], distance: f64) -> Vec<Vec<GridPoint>> {
        let (source, raw) = (ring(source), ring(raw));
        let chain = Chain::new(&source);
        let judge = Judge::new(&chain, distance, 4.0);
        let mut finder = Finder::new(&judge, &super::super::hairs::Zones::none(4.0));
        let crossings = crossings(&raw, &mut finder).unwrap();
        trim(&raw, &crossings, &judge).unwrap()
    }

    #[test]
    fn the_loops_at_inside_corners_are_cut_off() {
        // A square shrunk by 200, whose raw sides still have their full length, joined by jumps.
        let square = [(0, 0), (1000, 0), (1000, 1000), (0, 1000)];
        let raw = [
            (0, 200),
            (1000, 200),
            (800, 0),
            (800, 1000),
            (1000, 800),
            (0, 800),
            (200, 1000),
            (200, 0),
        ];
        let rings = trimmed(&square, &raw, -200.0);
        assert_eq!(rings.len(), 1);
        let mut corners: Vec<_> = rings[0].iter().map(|p| (p.x, p.y)).collect();
        corners.sort_unstable();
        assert_eq!(corners, [(200, 200), (200, 800), (800, 200), (800, 800)]);
    }

    #[test]
    fn nothing_is_left_of_what_is_thinner_than_twice_the_distance() {
        // Shrunk by 600 the sides of the square have passed each other.
        let square = [(0, 0), (1000, 0), (1000, 1000), (0, 1000)];
        let raw = [
            (0, 600),
            (1000, 600),
            (400, 0),
            (400, 1000),
            (1000, 400),
            (0, 400),
            (600, 1000),
            (600, 0),
        ];
        assert!(trimmed(&square, &raw, -600.0).is_empty());
    }

    #[test]
    fn a_raw_curve_without_crossings_is_kept_or_dropped_whole() {
        let square = [(0, 0), (1000, 0), (1000, 1000), (0, 1000)];
        let grown = [(-100, -100), (1100, -100), (1100, 1100), (-100, 1100)];
        assert_eq!(trimmed(&square, &grown, 100.0), [ring(&grown)]);
        assert!(trimmed(&square, &grown, 150.0).is_empty());
    }
}
