//! Finds where the offset is thin as a hair, so that it can be worked out more finely there.
//!
//! Raw curves are chords within the tolerance of the truth. Where two of them pass at some
//! angle, so do the true curves, near the same place. Where they run against each other within
//! two tolerances, nothing is certain: the strip between them may be there or not, and ends
//! many tolerances from where the chords say. Such places, and nowhere else, ask for finer
//! chords; how much finer depends on the angle, as a tip is out by the tolerance divided by
//! the sine of half its angle.

use kurbo::{Point, Vec2};

use super::bounds::Bounds;
use super::chain::{Chain, chord_distance2};
use super::trim::Judge;

/// How much finer every round is.
const FINER: f64 = 1.0 / 64.0;
/// The finest tolerance worth having, in grid steps: corners are rounded by half a step.
const FINEST: f64 = 2.0;
/// How near each other chords are, in tolerances, when nothing is certain.
const NEAR: f64 = 2.1;
/// The sine of the angle at which chords on the tolerance itself still do, as tips that are
/// less sharp are moved to where they belong one by one.
const SHARP: f64 = 0.14;
/// The most zones kept apart.
const MOST_ZONES: usize = 256;

/// Where a raw curve is to be finer than elsewhere, and how fine.
pub(super) struct Zones {
    tolerance: f64,
    finest: f64,
    zones: Vec<(Bounds, f64)>,
}

impl Zones {
    /// The same tolerance, in grid steps, everywhere.
    pub(super) fn none(tolerance: f64) -> Self {
        Self { tolerance, finest: tolerance, zones: Vec::new() }
    }

    /// Whether the tolerance is the same everywhere.
    pub(super) fn is_even(&self) -> bool {
        self.zones.is_empty()
    }

    /// The tolerance that holds throughout a box.
    pub(super) fn tolerance(&self, within: Bounds) -> f64 {
        let zones = self.zones.iter().filter(|zone| zone.0.meets(within));
        zones.fold(self.tolerance, |least, zone| least.min(zone.1))
    }

    /// The tolerance outside the zones.
    pub(super) fn coarsest(&self) -> f64 {
        self.tolerance
    }

    /// Whether a box lies outside all zones.
    pub(super) fn is_coarse(&self, place: Bounds) -> bool {
        !self.zones.iter().any(|zone| zone.0.meets(place))
    }

    /// Makes the tolerance finer by one round around hairs; `false` if it can't be.
    pub(super) fn refine(&mut self, hairs: Vec<Bounds>) -> bool {
        if self.finest <= FINEST {
            return false;
        }
        self.finest = (self.finest * FINER).max(FINEST);
        let finest = self.finest;
        // Twice as wide as two chords within two tolerances are: these may end anywhere there.
        let margin = (self.tolerance * NEAR).ceil() as i32;
        self.zones.extend(hairs.into_iter().map(|hair| (hair.grown(margin), finest)));
        true
    }
}

/// Looks for hairs among pairs of chords of a raw curve.
pub(super) struct Finder<'a> {
    judge: &'a Judge<'a>,
    near: f64,
    square_sine: f64,
    hairs: Vec<Bounds>,
}

impl<'a> Finder<'a> {
    /// A finder for a curve drawn with these zones.
    pub(super) fn new(judge: &'a Judge<'a>, zones: &Zones) -> Self {
        let share = zones.finest / zones.tolerance;
        // A tip of half the angle is out by no more than twice the tolerance asked for.
        let sine = if zones.is_even() { SHARP } else { share.min(SHARP) };
        Self { judge, near: zones.finest * NEAR, square_sine: sine * sine, hairs: Vec::new() }
    }

    /// How near each other boxes of chords are that may make a hair, in whole grid steps.
    pub(super) fn margin(&self) -> i32 {
        self.near.ceil() as i32
    }

    /// Looks at two chords whose boxes are as near as that.
    #[inline]
    pub(super) fn look(&mut self, chain: &Chain<'_>, i: usize, j: usize) {
        let way = |k: usize| vector(chain, k, k + 1);
        let (u, v) = (way(i), way(j));
        let cross = u.cross(v);
        if u.dot(v) < 0.0 && cross * cross <= self.square_sine * (u.hypot2() * v.hypot2()) {
            self.look_closer(chain, i, j);
        }
    }

    fn look_closer(&mut self, chain: &Chain<'_>, i: usize, j: usize) {
        let (a, u, v) = (place(chain, i), vector(chain, i, i + 1), vector(chain, j, j + 1));
        let from_a = vector(chain, i, j);
        let along = |p: Vec2| (p.dot(u) / u.hypot2()).clamp(0.0, 1.0);
        let (s, t) = (along(from_a), along(from_a + v));
        let crossing = from_a.cross(v) / u.cross(v);
        let crossing = if (0.0..=1.0).contains(&crossing) { crossing } else { s };
        let near2 = self.near * self.near;
        let is_hair = [s, t, f64::midpoint(s, t), crossing].into_iter().any(|share| {
            let p = a + u * share;
            chord_distance2(chain.point(j), chain.point(j + 1), p.x, p.y) <= near2
                && self.judge.may_be_true(p)
        });
        if is_hair {
            let both = |k: usize| chain.chord_box(k).grown(self.margin());
            self.add(both(i).within(both(j)));
        }
    }

    fn add(&mut self, hair: Bounds) {
        if self.hairs.len() == MOST_ZONES {
            self.hairs =
                self.hairs.chunks(2).map(|pair| pair[0].with(pair[pair.len() - 1])).collect();
        }
        match self.hairs.last_mut() {
            Some(last) if last.meets(hair) => *last = last.with(hair),
            _ => self.hairs.push(hair),
        }
    }

    pub(super) fn found(self) -> Vec<Bounds> {
        self.hairs
    }
}

fn place(chain: &Chain<'_>, i: usize) -> Point {
    let p = chain.point(i);
    Point::new(p.x.into(), p.y.into())
}

/// The way from one corner to another.
fn vector(chain: &Chain<'_>, from: usize, to: usize) -> Vec2 {
    place(chain, to) - place(chain, from)
}
