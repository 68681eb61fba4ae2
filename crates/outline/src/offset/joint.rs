//! Joints of raw offset curves: how the offsets of two segments go on from one another.
//!
//! A raw curve made of points of the source, each moved square or less far than the distance,
//! never leaves what is within the distance of the source, nor does it while the distance
//! grows; that is what [`trim`](super::trim) builds upon, besides every point of the true
//! offset being on it. So between lines that turn towards the offset side much can be left
//! out. Let them turn by `a` and call `d·tan(a/2)` the reach.
//!
//! * Where both are as long as the reach, their offsets meet in the mitre, as far from a point
//!   of either line as the distance says, and what runs on past it is nearer to the other line.
//! * Of a line's offset, the first part up to the reach or the other line's length, whichever
//!   is less, is nearer to that other line than the distance: to its inside, or else to its far
//!   end. A line that is hidden so from both its ends needs but one point at every corner.

use kurbo::{Point, Vec2};

use super::bend::least;
use super::raw::Walk;
use super::strip::arc_step;
use super::thread::LOOSE;

/// The widest gap, in tolerances, between offset ends that are made one.
const MOST_JUMP: f64 = 0.5;
/// How often a chord of an arc is cut up again for its zone.
const DEEPEST_ARC: u32 = 3;
/// A cosine below this is that of a turn straight back.
const STRAIGHT_BACK: f64 = -0.999_999;
/// The share of an arc's step whose sagitta is [`LOOSE`] of the tolerance: about its root.
const LOOSE_STEP: f64 = 0.35;

/// One side of a joint.
#[derive(Clone, Copy)]
pub(super) struct Side {
    /// The unit tangent there.
    pub(super) tangent: Vec2,
    /// How long the segment is if it is a line, whose offset is left to its joints. Nothing
    /// for a curve.
    pub(super) straight: f64,
}

impl Side {
    pub(super) fn curve(tangent: Vec2) -> Self {
        Self { tangent, straight: 0.0 }
    }

    /// Whether a curve goes on smoothly into a curve.
    #[inline]
    pub(super) fn is_curve_into(&self, next: Self) -> bool {
        self.straight + next.straight == 0.0 && self.tangent == next.tangent
    }
}

/// How the offset of a line begins, as far as that is put off until its other end is known.
#[derive(Default)]
pub(super) struct Begin {
    /// How much of the line's offset its first joint hides.
    hidden: f64,
    /// Its start, and what does instead if all of it is hidden.
    start: Option<(Point, Option<Point>)>,
}

impl Walk<'_> {
    /// From one segment to the next at a corner they share.
    #[inline(always)]
    pub(super) fn joint(&mut self, corner: Point, before: Side, next: Side) {
        let (from, to) = (before.tangent, next.tangent);
        let (sine, cosine) = (from.cross(to) * self.distance.signum(), from.dot(to));
        let shorter = least(before.straight, next.straight);
        if shorter > 0.0 && cosine > 0.0 && self.is_even() && self.begin.start.is_none() {
            // By far the most frequent between lines: one point will do.
            let both = from + to;
            let square = both.hypot2();
            let reach = -sine * self.distance.abs() / (1.0 + cosine);
            if sine < 0.0 && reach <= shorter {
                self.begin.hidden = reach;
                return self.curve.add_loose(self.offset(corner, both * (2.0 / square)));
            }
            if sine >= 0.0 && self.is_flat(sine, 1.0) {
                self.begin.hidden = 0.0;
                // Within the tolerance of both offsets' ends, as is an arc's only chord.
                let q = self.offset(corner, both * (1.0 / square.sqrt()));
                if self.is_flat(sine, LOOSE_STEP) {
                    return self.curve.add_loose(q);
                }
                return self.curve.add(q);
            }
        }
        self.any_joint(corner, before, next, sine, cosine);
    }

    #[inline(never)]
    fn any_joint(&mut self, corner: Point, before: Side, next: Side, sine: f64, cosine: f64) {
        let is_of_lines = before.straight > 0.0 && next.straight > 0.0;
        if is_of_lines && sine < 0.0 && cosine > STRAIGHT_BACK {
            return self.towards(corner, before, next, -sine / (1.0 + cosine));
        }
        self.settle_start(false);
        self.begin.hidden = 0.0;
        if before.straight > 0.0 {
            self.add_loose(self.offset(corner, before.tangent));
        }
        self.join(corner, before.tangent, next.tangent);
    }

    /// A joint of lines that turn towards the offset side; `half` is the tangent of half of
    /// that turn.
    fn towards(&mut self, corner: Point, before: Side, next: Side, half: f64) {
        let reach = half * self.distance.abs();
        // An arc about the line's other end may be seen though the line is not.
        let hidden = self.begin.hidden > 0.0
            && self.begin.hidden + reach.min(next.straight) >= before.straight;
        self.settle_start(hidden);
        let (from, to) = (before.tangent, next.tangent);
        self.begin.hidden = reach.min(before.straight);
        let both = from + to;
        if reach <= before.straight.min(next.straight) {
            // As long as twice the cosine of half the turn: over half its square, 1 / cosine.
            let mitre = both * (2.0 / both.hypot2());
            return self.add_loose(self.offset(corner, mitre));
        }
        let sine = 2.0 * half / (1.0 + half * half);
        if half < 1.0 && self.is_even() && self.is_flat(sine, LOOSE_STEP) {
            return self.add_loose(self.halfway(corner, from, to));
        }
        if !hidden {
            self.add_loose(self.offset(corner, from));
        }
        let between = hidden.then(|| self.offset(corner, both * 0.5));
        self.begin.start = Some((self.offset(corner, to), between));
    }

    /// Adds what was put off, now that it is known whether the whole line is hidden.
    pub(super) fn settle_start(&mut self, hidden: bool) {
        let Some((start, between)) = self.begin.start.take() else { return };
        if !hidden {
            self.curve.add(start);
        } else if let Some(between) = between {
            self.add_loose(between);
        }
    }

    /// Whether a turn of less than a right angle is no more than a share of an arc's step.
    #[inline]
    fn is_flat(&self, sine: f64, share: f64) -> bool {
        // A turn is more than its sine by less than this for the widest step.
        sine * 1.12 <= self.arc_step * share
    }

    /// The point of the arc about a corner halfway between two tangents.
    fn halfway(&self, corner: Point, from: Vec2, to: Vec2) -> Point {
        let both = from + to;
        self.offset(corner, both * (1.0 / both.hypot2().sqrt()))
    }

    /// From the offset end at a corner to the start of the offset of what follows.
    pub(super) fn join(&mut self, corner: Point, from: Vec2, to: Vec2) {
        let (sine, cosine) = (from.cross(to) * self.distance.signum(), from.dot(to));
        let gap = sine.abs() * self.distance.abs();
        if cosine > 0.0 && gap < 0.5 {
            return;
        }
        if cosine > 0.0 && gap < self.tolerance * MOST_JUMP && sine < 0.0 {
            // The two offsets cross just about in the middle of the jump.
            return self.curve.amend(self.halfway(corner, from, to));
        }
        if cosine > 0.0 && sine > 0.0 && sine < self.arc_step * LOOSE {
            return self.add_loose(self.offset(corner, to));
        }
        // About a turn straight back the arc is right either way: it stays near the corner.
        if sine > 0.0 || cosine < STRAIGHT_BACK {
            let turn = sine.atan2(cosine).rem_euclid(std::f64::consts::TAU);
            if self.is_even() {
                self.even_arc(corner, from, turn);
            } else {
                self.arc(corner, from, turn, self.arc_step, 0);
            }
        }
        self.curve.add(self.offset(corner, to));
    }

    /// An arc about a corner, without its end, in chords of a step or less. They come in pairs, as two numbers are as soon worked out as one.
    fn even_arc(&mut self, corner: Point, from: Vec2, turn: f64) {
        let parts = (turn / self.arc_step).ceil().max(1.0);
        let (s, c) = (self.distance.signum() * turn / parts).sin_cos();
        let turned = |v: Vec2, s: f64, c: f64| Vec2::new(v.x * c - v.y * s, v.x * s + v.y * c);
        let (twice_s, twice_c) = (2.0 * s * c, c * c - s * s);
        let mut one = turned(from, s, c);
        let mut other = turned(from, twice_s, twice_c);
        let mut left = parts as u32 - 1;
        while left > 1 {
            self.curve.add(self.offset(corner, one));
            self.curve.add(self.offset(corner, other));
            (one, other) = (turned(one, twice_s, twice_c), turned(other, twice_s, twice_c));
            left -= 2;
        }
        if left > 0 {
            self.curve.add(self.offset(corner, one));
        }
    }

    /// The same where there are zones: in these, chords of a part of a step.
    fn arc(&mut self, corner: Point, from: Vec2, turn: f64, step: f64, depth: u32) {
        let parts = (turn / step).ceil().max(1.0);
        let part = turn / parts;
        let (s, c) = (self.distance.signum() * part).sin_cos();
        let mut v = from;
        for i in 1..=parts as u32 {
            let next = Vec2::new(v.x * c - v.y * s, v.x * s + v.y * c);
            let end = self.offset(corner, next);
            if depth < DEEPEST_ARC {
                let finer =
                    arc_step(self.distance, self.tolerance_for(self.offset(corner, v), end));
                if finer < part {
                    self.arc(corner, v, part, finer, depth + 1);
                }
            }
            if f64::from(i) < parts {
                self.curve.add(end);
            }
            v = next;
        }
    }
}
