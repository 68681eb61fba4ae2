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
use super::chain::{Chain, is_chord_nearer};
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
/// Chords no further from each other along the ring make a fold or the tip of a sliver rather
/// than a hair of some length. Either is mostly seen to without finer chords.
const CLOSE: usize = 12;
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
    folds: Vec<Bounds>,
}

impl<'a> Finder<'a> {
    /// A finder for a curve drawn with these zones.
    pub(super) fn new(judge: &'a Judge<'a>, zones: &Zones) -> Self {
        let share = zones.finest / zones.tolerance;
        // A tip of half the angle is out by no more than twice the tolerance asked for.
        let sine = if zones.is_even() { SHARP } else { share.min(SHARP) };
        Self {
            judge,
            near: zones.finest * NEAR,
            square_sine: sine * sine,
            hairs: Vec::new(),
            folds: Vec::new(),
        }
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
            is_chord_nearer(chain.point(j), chain.point(j + 1), p.x, p.y, near2)
                && self.judge.may_be_true(p)
        });
        if is_hair {
            let both = |k: usize| chain.chord_box(k).grown(self.margin());
            let apart = i.abs_diff(j);
            let close = apart.min(chain.len() - apart) <= CLOSE;
            let hair = both(i).within(both(j));
            add(if close { &mut self.folds } else { &mut self.hairs }, hair);
        }
    }

    /// The hairs, and folds and tips: what is to be finer at once, and what if all else fails.
    pub(super) fn found(self) -> [Vec<Bounds>; 2] {
        [self.hairs, self.folds]
    }
}

fn add(hairs: &mut Vec<Bounds>, hair: Bounds) {
    if hairs.len() == MOST_ZONES {
        *hairs = hairs.chunks(2).map(|pair| pair[0].with(pair[pair.len() - 1])).collect();
    }
    match hairs.last_mut() {
        Some(last) if last.meets(hair) => *last = last.with(hair),
        _ => hairs.push(hair),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::offset::chain::GridPoint;

    fn ring(corners: &[(i32, i32)]) -> Vec<GridPoint> {
        corners.iter().map(|c| GridPoint::new(c.0, c.1)).collect()
    }

    /// How many hairs there are in a slot of the raw curve, at a tolerance of 100 steps, of a
    /// source far from it.
    fn hairs(raw: &[(i32, i32)]) -> usize {
        let source = ring(&[(-90_000, -90_000), (90_000, -90_000), (0, 90_000)]);
        let chain = Chain::new(&source);
        let judge = Judge::new(&chain, 1000.0, 100.0);
        let mut finder = Finder::new(&judge, &Zones::none(100.0));
        let raw = ring(raw);
        let raw = Chain::new(&raw);
        raw.pairs(finder.margin(), &mut |i, j| {
            finder.look(&raw, i, j);
            true
        });
        finder.found().map(|found| found.len()).into_iter().sum()
    }

    #[test]
    fn sides_against_each_other_within_two_tolerances_are_a_hair() {
        let slot = |wide: i32| {
            let (low, high) = (-5000, 5000 + wide);
            hairs(&[
                (0, 0),
                (9000, 0),
                (12_000, low),
                (12_000, high),
                (9000, wide),
                (0, wide),
                (-3000, high),
                (-3000, low),
            ])
        };
        assert_eq!((slot(200), slot(211)), (1, 0));
        // The sides of this bow tie pass each other at an angle.
        assert_eq!(hairs(&[(0, 0), (9000, 3000), (9000, 0), (0, 3000)]), 0);
        // At a small one they are a hair.
        assert_eq!(hairs(&[(0, 0), (9000, 300), (9000, 0), (0, 300)]), 1);
    }

    #[test]
    fn zones_are_finer_by_rounds_down_to_the_grid() {
        let place = |x: i32| Bounds::of(GridPoint::new(x, 0), GridPoint::new(x, 0));
        let mut zones = Zones::none(8192.0);
        assert!(zones.is_even());
        assert!(zones.refine(vec![place(0)]));
        assert!(!zones.is_even() && zones.is_coarse(place(90_000)) && !zones.is_coarse(place(9)));
        assert_eq!((zones.tolerance(place(0)), zones.tolerance(place(90_000))), (128.0, 8192.0));
        assert!(zones.refine(vec![place(0)]));
        assert_eq!(zones.tolerance(place(0)), 2.0);
        assert!(!zones.refine(vec![place(0)]));
    }
}
