//! Raw offset rings: winding numbers that count how often a point is covered.
//!
//! The strip between a chord and its offset side, and the sector of the disc about each
//! outstanding corner, are all walked with the same turning sense. The raw ring is the sum of
//! the source ring and of all these pieces, so outward a point's winding number is positive
//! exactly where the source region or one of the pieces covers it; inward the pieces count
//! negative and what stays positive is the part of the source no piece covers. This holds
//! however the pieces overlap, which is why every piece is checked to turn the right way.

use i_overlay::i_float::int::point::IntPoint;
use kurbo::{Point, Vec2};

use super::flatten::{Chord, right_of};
use super::thread::grid_point;

/// Normals that lean further from the chord's own than this (by cosine) are not used.
const UPRIGHT: f64 = 0.9;
/// Normals whose cosine is below this belong to a run that turns back on itself.
const STRAIGHT_BACK: f64 = -0.999_999;

/// The raw offset ring of a closed run of chords, `distance` to the right (left if negative).
pub(super) fn ring(chords: &[Chord], distance: f64, tolerance: f64) -> Vec<IntPoint<i32>> {
    let mut walk = Walk {
        distance,
        step: arc_step(distance, tolerance),
        points: Vec::with_capacity(chords.len() * 2),
    };
    let upright: Vec<Chord> = chords.iter().map(|c| fit_normals(c, distance)).collect();
    let Some(mut before) = upright.last() else { return Vec::new() };
    for chord in &upright {
        walk.join(chord.a, before.nb, chord.na);
        walk.to(chord.b + chord.nb * distance);
        before = chord;
    }
    walk.points
}

/// The turn, in radians, whose arc at the given radius strays one tolerance from its chord.
pub(super) fn arc_step(distance: f64, tolerance: f64) -> f64 {
    let radius = distance.abs().max(tolerance);
    // sagitta = r·(1 - cos(step/2)); the half-angle form keeps its digits for large radii.
    let half_sine = (tolerance / (2.0 * radius)).sqrt();
    (4.0 * half_sine.asin()).min(std::f64::consts::FRAC_PI_4)
}

/// The chord with its own normals if their strip would fold over, else as it is.
pub(super) fn fit_normals(chord: &Chord, distance: f64) -> Chord {
    let Chord { a, b, na, nb } = *chord;
    let own = right_of((b - a).normalize());
    let (qa, qb) = (a + na * distance, b + nb * distance);
    let turns = |p: Point, q: Point, r: Point| (q - p).cross(r - q) * distance <= 0.0;
    let plain = na.dot(own) > UPRIGHT
        && nb.dot(own) > UPRIGHT
        && turns(a, b, qb)
        && turns(b, qb, qa)
        && turns(qb, qa, a)
        && turns(qa, a, b);
    if plain { *chord } else { Chord { a, b, na: own, nb: own } }
}

struct Walk {
    distance: f64,
    step: f64,
    points: Vec<IntPoint<i32>>,
}

impl Walk {
    fn to(&mut self, p: Point) {
        self.points.push(grid_point(p));
    }

    /// From the offset side that ends at a corner to the one that begins there.
    fn join(&mut self, corner: Point, from: Vec2, to: Vec2) {
        let (sine, cosine) = (from.cross(to) * self.distance.signum(), from.dot(to));
        if cosine > 0.0 && sine.abs() * self.distance.abs() < 0.5 {
            // Less than half a step apart: the next point is the same one.
            return;
        }
        // About a turn straight back the sector is the right way round either way.
        if sine < 0.0 && cosine > STRAIGHT_BACK {
            // The strips overlap: each is walked by itself.
            self.to(corner);
        } else {
            let turn = sine.atan2(cosine).rem_euclid(std::f64::consts::TAU);
            let parts = (turn / self.step).ceil().max(1.0);
            let (s, c) = (self.distance.signum() * turn / parts).sin_cos();
            let mut n = from;
            let mut i = 1.0;
            while i < parts {
                n = Vec2::new(n.x * c - n.y * s, n.x * s + n.y * c);
                self.to(corner + n * self.distance);
                i += 1.0;
            }
        }
        self.to(corner + to * self.distance);
    }
}
