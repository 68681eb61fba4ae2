//! Fairing: nodes and handles move a little, so that the curvature changes as little as it can.
//!
//! Source: H. P. Moreton and C. H. Séquin, "Functional optimization for fair surface design",
//! SIGGRAPH '92 (Computer Graphics 26(2), 167–176): the minimum variation curve minimises
//! ∫ (dκ/ds)² ds. Here it does so among the cubics that a run of nodes spans, smooth at every
//! node, and with a price on the distance from the old curve. The least price at which nothing
//! moves further than the tolerance is looked for. Each step is one of Levenberg and Marquardt
//! (D. W. Marquardt, SIAM J. Appl. Math. 11 (1963), 431–441) on banded equations.

mod banded;
mod chain;
mod solve;

use crate::nearest::{Nearest, nearest_on};
use crate::outline::Outline;
use crate::segment::{self, cubic};
use crate::tolerance::SMOOTH_TURN_RAD;
use chain::Chain;
use kurbo::{CubicBez, ParamCurve, PathSeg, Point};
use solve::Budget;

/// A jump of the curvature at a node counts as if it were spread over this length, mm.
const JUMP_MM: f64 = 1.0;
/// Places on each cubic at which its distance from the old curve is looked at.
const CHECKED: usize = 24;
/// Share of the tolerance that is used: what lies between the places looked at needs the rest.
const USED: f64 = 0.99;
/// A handle shorter than this share of its chord has no direction to keep.
const NO_HANDLE: f64 = 1e-3;

/// What is to be made fair.
#[derive(Clone, Copy, Debug)]
pub struct FairOptions<'a> {
    /// The nodes that may move, by index. Corners and ends of straight runs stay where they are.
    pub nodes: &'a [usize],
    /// Nodes among them that stay where they are; only their handles move.
    pub pinned: &'a [usize],
    /// Nodes whose two handles stay equally long.
    pub symmetric: &'a [usize],
    /// No node, and no point of the outline, moves further than this, mm.
    pub tolerance_mm: f64,
}

/// A fairer outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Faired {
    /// The outline, its nodes those of the old one.
    pub outline: Outline,
    /// Variation of the curvature ∫ (dκ/ds)² ds of the curves concerned before, 1/mm³; a jump
    /// at a node counts as if it were spread over a millimetre.
    pub before: f64,
    /// The same afterwards.
    pub after: f64,
    /// The furthest that a node or a point of the outline moved, mm.
    pub moved_mm: f64,
}

impl Outline {
    /// The outline with the curves at some nodes made fair. Where there is nothing to make
    /// fairer it comes back as it was.
    pub fn faired(&self, options: &FairOptions<'_>) -> Faired {
        let mut faired = Faired { outline: self.clone(), before: 0.0, after: 0.0, moved_mm: 0.0 };
        if !(options.tolerance_mm.is_finite() && options.tolerance_mm > 0.0) {
            return faired;
        }
        let chains = self.chains(options);
        let mut budget = Budget::new(chains.iter().map(Chain::segments).sum());
        for mut chain in chains {
            let n = chain.segments();
            chain.set_outside(&faired.outline);
            let (before, after) = chain.solve(options.tolerance_mm, &mut budget);
            // A ring that is smooth all the way round is gone through twice.
            let again = n >= faired.outline.segs().len() && faired.before > 0.0;
            faired.before += if again { 0.0 } else { before };
            faired.after = if again { after } else { faired.after + after };
            let mut segs = faired.outline.segs().to_vec();
            let count = segs.len();
            for k in 0..n {
                segs[(chain.first + k) % count] = PathSeg::Cubic(chain.cubic(k));
            }
            faired.outline = faired.outline.with_segs(segs);
            faired.moved_mm = faired.moved_mm.max(chain.moved_mm());
        }
        faired
    }

    /// Variation of the curvature ∫ (dκ/ds)² ds, 1/mm³, of the curves that making some nodes fair
    /// would change; a jump at a node counts as if it were spread over a millimetre.
    pub fn curvature_variation(&self, nodes: &[usize]) -> f64 {
        let options = FairOptions { nodes, pinned: &[], symmetric: &[], tolerance_mm: 1.0 };
        let mut chains = self.chains(&options);
        if chains.first().is_some_and(|chain| chain.segments() >= self.segs().len()) {
            chains.truncate(1);
        }
        let variation = |mut chain: Chain| {
            chain.set_outside(self);
            chain.variation()
        };
        chains.into_iter().map(variation).sum()
    }

    /// The furthest that a node or a point of another outline with as many segments lies from this
    /// one's, mm.
    pub fn furthest_mm(&self, other: &Self) -> f64 {
        let cubics = |outline: &Self| outline.segs().iter().map(cubic).collect::<Vec<_>>();
        let (old, new) = (cubics(self), cubics(other));
        if old.len() == new.len() { furthest_mm(&new, &old) } else { f64::INFINITY }
    }

    /// The runs of cubics that can be made fair together: from one node that stays to the next.
    fn chains(&self, options: &FairOptions<'_>) -> Vec<Chain> {
        let count = self.segs().len();
        let mut selected = vec![false; count];
        options.nodes.iter().filter(|i| **i < count).for_each(|i| selected[*i] = true);
        let is_cubic = |i: usize| is_sound(&self.segs()[i % count]);
        let active = |i: usize| is_cubic(i) && (selected[i] || selected[(i + 1) % count]);
        let joint = |i: usize| self.is_smooth_joint(i);
        let moves = |i: usize| {
            let before = (i + count - 1) % count;
            selected[i] && is_cubic(before) && is_cubic(i) && joint(i)
        };
        // A run begins at an active segment whose first node stays.
        let mut starts: Vec<usize> = (0..count).filter(|i| active(*i) && !moves(*i)).collect();
        if starts.is_empty() && count > 0 && (0..count).all(active) {
            // Smooth all the way round: opened at one node, then at the one across.
            starts = if count > 3 { vec![0, count / 2] } else { vec![0] };
            return starts.into_iter().map(|from| self.chain(from, count, options)).collect();
        }
        let run = |from: usize| {
            let mut length = 1;
            while length < count
                && moves((from + length) % count)
                && active((from + length) % count)
            {
                length += 1;
            }
            self.chain(from, length, options)
        };
        starts.into_iter().map(run).collect()
    }

    fn chain(&self, first: usize, length: usize, options: &FairOptions<'_>) -> Chain {
        let count = self.segs().len();
        let cubics = (0..length).map(|k| cubic(&self.segs()[(first + k) % count])).collect();
        let at = |k: usize| (first + k) % count;
        let is = |list: &[usize], k: usize| list.contains(&at(k));
        let ends = [at(0), at(length)].map(|node| self.is_smooth_joint(node));
        let pinned: Vec<bool> =
            (0..=length).map(|k| k == 0 || k == length || is(options.pinned, k)).collect();
        let tied: Vec<bool> =
            (0..=length).map(|k| k > 0 && k < length && is(options.symmetric, k)).collect();
        Chain::new(first, cubics, &pinned, &tied, ends)
    }

    /// Whether the outline runs on smoothly through a node.
    fn is_smooth_joint(&self, node: usize) -> bool {
        let count = self.segs().len();
        let before = cubic(&self.segs()[(node + count - 1) % count]);
        let behind = cubic(&self.segs()[node % count]);
        match (segment::end_direction(&before), segment::start_direction(&behind)) {
            (Some(arrive), Some(leave)) => {
                crate::curvature::turn(arrive, leave).abs() <= SMOOTH_TURN_RAD
            }
            _ => false,
        }
    }
}

/// Whether a segment is a curve with two handles.
fn is_sound(seg: &PathSeg) -> bool {
    let PathSeg::Cubic(c) = seg else { return false };
    let chord = c.p0.distance(c.p3);
    let min_length = NO_HANDLE * chord;
    chord > 1e-6 && c.p0.distance(c.p1) > min_length && c.p2.distance(c.p3) > min_length
}

/// The furthest that the places of some cubics lie from others in the same order, mm.
fn furthest_mm(new: &[CubicBez], old: &[CubicBez]) -> f64 {
    let mut furthest: f64 = 0.0;
    for (k, piece) in new.iter().enumerate() {
        furthest = furthest.max(piece.p0.distance(old[k].p0)).max(piece.p3.distance(old[k].p3));
        for i in 1..CHECKED {
            let p = piece.eval(i as f64 / CHECKED as f64);
            furthest = furthest.max(distance_mm(p, old, k));
        }
    }
    furthest
}

/// The distance of a place from the old cubics beside the one of its own number, mm.
fn distance_mm(p: Point, old: &[CubicBez], k: usize) -> f64 {
    let mut best = Nearest { at: p, distance_mm: f64::INFINITY, segment: k, t: 0.0 };
    for (i, piece) in old.iter().enumerate().take(k + 2).skip(k.saturating_sub(1)) {
        nearest_on(&PathSeg::Cubic(*piece), i, p, &mut best);
    }
    best.distance_mm
}

#[cfg(test)]
mod tests;
