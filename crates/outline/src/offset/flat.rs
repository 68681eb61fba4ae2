//! Tells what is so flat that one chord does for it.
//!
//! All tangents of a run of segments lie between those of its handles, and so do those of its
//! offset. The furthest that such a curve gets from its chord is the tip of the triangle on
//! that whose sides lean as much.

use kurbo::{CubicBez, ParamCurve, PathSeg, Vec2};

use super::raw::{Walk, curve_ends};
use super::thread::LOOSE;

/// How many segments in a row are looked at as one.
pub(super) const RUN: usize = 4;
/// The share of the tolerance that a cubic may stray and still be taken for a line.
const STRAIGHT: f64 = 1.0 / 64.0;

/// How far handles lean from a chord.
struct Lean {
    chord: Vec2,
    /// The most that a handle leads aside, and the least that one leads ahead, both times the
    /// length of the chord: more by less than the lean is.
    across: f64,
    along: f64,
    is_steep: bool,
}

impl Lean {
    fn from(chord: Vec2) -> Self {
        Self { chord, across: 0.0, along: f64::INFINITY, is_steep: false }
    }

    #[inline]
    fn add(&mut self, handle: Vec2) {
        let (ahead, aside) = (handle.dot(self.chord), handle.cross(self.chord).abs());
        // Leaning by half is not flat; a handle of no length has no say.
        self.is_steep |= aside > 0.5 * ahead;
        if ahead > 0.0 {
            (self.across, self.along) = (self.across.max(aside), self.along.min(ahead));
        }
    }

    #[inline]
    fn add_cubic(&mut self, c: &CubicBez) {
        self.add(c.p1 - c.p0);
        self.add(c.p2 - c.p1);
        self.add(c.p3 - c.p2);
    }

    /// Whether neither what the handles are of nor its offset by a distance certainly strays
    /// further than this from one chord.
    #[inline]
    fn is_within(&self, most: f64, distance: f64) -> bool {
        // More than the chord's length will do for that.
        let length = self.chord.x.abs() + self.chord.y.abs();
        let peak = (length * self.along + 2.0 * distance.abs() * self.across) * self.across;
        !self.is_steep && length > 0.0 && peak <= 2.0 * most * self.along * self.along
    }
}

impl Walk<'_> {
    /// Whether a cubic is as good as a line, and so is its offset.
    #[inline]
    pub(super) fn is_straight(&self, c: &CubicBez) -> bool {
        self.is_even() && self.strays_within(c, self.tolerance * STRAIGHT)
    }

    /// Whether a cubic and its offset certainly stray no further than this from one chord.
    #[inline]
    pub(super) fn strays_within(&self, c: &CubicBez, most: f64) -> bool {
        let mut lean = Lean::from(c.p3 - c.p0);
        lean.add_cubic(c);
        lean.is_within(most, self.distance)
    }

    /// Walks the next few segments as one if they are flat, and returns those after them.
    pub(super) fn flat_run<I: Iterator<Item = PathSeg> + Clone>(&mut self, segs: &I) -> Option<I> {
        let before = self.before.filter(|_| self.is_even())?;
        let mut ahead = segs.clone();
        let run: [Option<PathSeg>; RUN] = std::array::from_fn(|_| ahead.next());
        let (first, last) = (run[0].as_ref()?, run[RUN - 1].as_ref()?);
        let mut lean = Lean::from(last.end() - first.start());
        for seg in run.iter().flatten() {
            match seg {
                PathSeg::Line(l) => lean.add(l.p1 - l.p0),
                PathSeg::Cubic(c) => lean.add_cubic(c),
                PathSeg::Quad(q) => lean.add_cubic(&q.raise()),
            }
        }
        if !lean.is_within(self.tolerance * LOOSE, self.distance) {
            return None;
        }
        let (from, _) = curve_ends(first, Some(before.tangent))?;
        let (_, to) = curve_ends(last, None)?;
        self.enter(first.start(), from);
        self.straight(last.end(), to.tangent);
        self.before = Some(to);
        Some(ahead)
    }
}
