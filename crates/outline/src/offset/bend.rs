//! Cuts cubics into chords for their raw offset curve.
//!
//! Bends tighter than the distance, where the raw curve runs backwards, are walked as coarsely
//! as the source allows.

use kurbo::{CubicBez, Point, Vec2};

use super::flat::Flatness;
use super::flatten::tangent_at;
use super::raw::{SHORTEST2, Walk, unit};
use super::thread::LOOSE;

/// Into how many stretches of its parameter a cubic is cut to judge how it bends.
const STRETCHES: usize = 8;
/// Slopes below this are inverted to the first order only.
const GENTLE: f64 = 0.15;
/// The most chords in one such stretch before any is checked.
const MOST_CHORDS: f64 = 4096.0;
/// How many stations are worked out side by side.
const ROW: usize = 8;
/// How often a chord that turns out too coarse is halved.
const DEEPEST: u32 = 12;
/// The least cosine between the tangents at the ends of a chord.
const MOST_TURN: f64 = 0.7;
/// The largest value of `t·(1-t)²` on 0..1: how far a curve leaves its chord, for each unit
/// that the tangent at one end leads away from it (cubic Hermite form).
const HERMITE_PEAK: f64 = 4.0 / 27.0;

/// A point of a cubic: parameter, place, unit tangent, place on the offset curve.
#[derive(Clone, Copy)]
struct Station {
    t: f64,
    p: Point,
    tangent: Vec2,
    q: Point,
}

/// A cubic as powers of its parameter.
struct Powers {
    cubic: CubicBez,
    first: Vec2,
    second: Vec2,
    third: Vec2,
}

impl Powers {
    fn of(c: &CubicBez) -> Self {
        let (e1, e2, e3) = (c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2);
        let third = (e3 - e2) - (e2 - e1);
        Self { cubic: *c, first: e1 * 3.0, second: (e2 - e1) * 3.0, third }
    }

    /// The place at a parameter and the derivative.
    #[inline]
    fn at(&self, t: f64) -> (Point, Vec2) {
        let p = self.cubic.p0 + ((self.third * t + self.second) * t + self.first) * t;
        let v = (self.third * (3.0 * t) + self.second * 2.0) * t + self.first;
        (p, v)
    }
}

/// How densely chords lie along the stretches of a cubic, ever more so or less along each.
struct Stretches {
    chords: [f64; STRETCHES],
    inverse: [f64; STRETCHES],
    /// How much more densely they lie at a stretch's end than amid it, as a share; as much less
    /// where it begins.
    slope: [f64; STRETCHES],
}

impl Stretches {
    /// By how many chords to a stretch they lie amid each.
    fn of(counts: &[f64; STRETCHES]) -> Self {
        const LAST: usize = STRETCHES - 1;
        let mut edges = [0.0; STRETCHES + 1];
        edges[0] = most(1.5 * counts[0] - 0.5 * counts[1], 1e-3);
        edges[STRETCHES] = most(1.5 * counts[LAST] - 0.5 * counts[LAST - 1], 1e-3);
        for k in 1..STRETCHES {
            edges[k] = (counts[k - 1] + counts[k]) * 0.5;
        }
        let (mut chords, mut inverse) = ([0.0; STRETCHES], [0.0; STRETCHES]);
        let mut slope = [0.0; STRETCHES];
        for k in 0..STRETCHES {
            chords[k] = (edges[k] + edges[k + 1]) * 0.5;
            inverse[k] = 1.0 / chords[k];
            slope[k] = (edges[k + 1] - edges[k]) * 0.5 * inverse[k];
        }
        Self { chords, inverse, slope }
    }

    /// The share of a stretch that takes so many chords.
    #[inline]
    fn share(&self, stretch: usize, chords: f64) -> f64 {
        let (share, slope) = (chords * self.inverse[stretch], self.slope[stretch]);
        if slope.abs() < GENTLE {
            return share + slope * share * (1.0 - share);
        }
        let from = 1.0 - slope;
        2.0 * share / (from + most(from * from + 4.0 * slope * share, 0.0).sqrt())
    }
}

impl Walk<'_> {
    pub(super) fn cubic(&mut self, c: &CubicBez, flat: Flatness, from: Vec2, to: Vec2) {
        let last = Station { t: 1.0, p: c.p3, tangent: to, q: self.offset(c.p3, to) };
        let even = self.is_even_about([c.p0, c.p1, c.p2, c.p3]);
        if even && flat.is_within(self.tolerance * LOOSE) {
            return self.straight(last.p, last.tangent);
        }
        if even && flat.is_within(self.tolerance) {
            return self.chord(last.p, last.q);
        }
        let powers = Powers::of(c);
        let stretches = self.stretches(&powers);
        let total: f64 = stretches.chords.iter().sum();
        let chords = total.ceil().max(2.0);
        let each = total / chords;
        let mut before = Station { t: 0.0, p: c.p0, tangent: from, q: self.offset(c.p0, from) };
        // Where the running stretch begins, in chords, and its parameter for each chord.
        let (mut begin, mut stretch) = (0.0, 0);
        let (mut row, mut filled) = ([0.0; ROW], 0);
        for k in 1..chords as u32 {
            let aim = each * f64::from(k);
            while stretch + 1 < STRETCHES && begin + stretches.chords[stretch] < aim {
                begin += stretches.chords[stretch];
                stretch += 1;
            }
            let t = (stretch as f64 + stretches.share(stretch, aim - begin)) / STRETCHES as f64;
            row[filled] = if t < 1.0 { t } else { 1.0 };
            filled += 1;
            if filled == ROW {
                before = self.row(&powers, &before, &row);
                filled = 0;
            }
        }
        before = self.pieces(&powers, &before, &row[..filled]);
        self.piece(&powers, &before, &last);
    }

    /// Adds the chords to stations at the given parameters and returns the last station.
    fn pieces(&mut self, c: &Powers, from: &Station, row: &[f64]) -> Station {
        row.iter().fold(*from, |before, t| {
            let next = self.station(c, *t);
            self.piece(c, &before, &next);
            next
        })
    }

    /// The same as [`Walk::pieces`] for a full row, all at once unless one is out of the
    /// ordinary. Plain steps over plain arrays are what compilers turn into instructions for
    /// several numbers.
    fn row(&mut self, c: &Powers, from: &Station, row: &[f64; ROW]) -> Station {
        let mut places = [[0.0; ROW + 1]; 2];
        let mut tangents = [[0.0; ROW + 1]; 2];
        let mut speed2 = [0.0; ROW];
        let [x, y] = &mut places;
        let [u, v] = &mut tangents;
        (x[0], y[0], u[0], v[0]) = (from.p.x, from.p.y, from.tangent.x, from.tangent.y);
        for k in 0..ROW {
            let (p, way) = c.at(row[k]);
            speed2[k] = way.hypot2();
            let inverse = 1.0 / speed2[k].sqrt();
            (x[k + 1], y[k + 1]) = (p.x, p.y);
            (u[k + 1], v[k + 1]) = (way.x * inverse, way.y * inverse);
        }
        let (mut strays, mut ways) = ([0.0; ROW], [0.0; ROW]);
        for k in 0..ROW {
            let pair = Pair::between(
                [Vec2::new(u[k], v[k]), Vec2::new(u[k + 1], v[k + 1])],
                Vec2::new(x[k + 1] - x[k], y[k + 1] - y[k]),
                self.distance,
            );
            strays[k] = most(pair.source, pair.offset);
            ways[k] = least(pair.cosine - MOST_TURN, pair.along);
        }
        let is_plain = self.is_even()
            && speed2.iter().all(|s| *s > SHORTEST2)
            && strays.iter().all(|s| *s <= self.tolerance)
            && ways.iter().all(|w| *w > 0.0);
        if !is_plain {
            return self.pieces(c, from, row);
        }
        for k in 1..=ROW {
            let p = Point::new(x[k], y[k]);
            self.chord(p, self.offset(p, Vec2::new(u[k], v[k])));
        }
        let (p, tangent) = (Point::new(x[ROW], y[ROW]), Vec2::new(u[ROW], v[ROW]));
        Station { t: row[ROW - 1], p, tangent, q: self.offset(p, tangent) }
    }

    #[inline]
    fn station(&self, c: &Powers, t: f64) -> Station {
        let (p, v) = c.at(t);
        let tangent = unit(v).unwrap_or_else(|| tangent_at(&c.cubic, t));
        Station { t, p, tangent, q: self.offset(p, tangent) }
    }

    /// How densely chords lie along each stretch of a cubic: a chord strays an eighth of its
    /// length times its turn. Where the offset runs backwards only the source's own length counts.
    fn stretches(&self, c: &Powers) -> Stretches {
        const WIDTH: f64 = 1.0 / STRETCHES as f64;
        let least2 = (self.tolerance * 1e-3).powi(2);
        // A little finer than the middle of the stretch asks for, as its ends may bend more.
        let fine = (1.06 * WIDTH).powi(2) / (8.0 * self.tolerance);
        // Plain steps over plain arrays, which compilers turn into one for several numbers.
        let (mut speed2, mut cross) = ([0.0; STRETCHES], [0.0; STRETCHES]);
        for k in 0..STRETCHES {
            let t = (k as f64 + 0.5) * WIDTH;
            let v = c.first + (c.second * 2.0 + c.third * (3.0 * t)) * t;
            let a = c.second * 2.0 + c.third * (6.0 * t);
            (speed2[k], cross[k]) = (v.hypot2() + least2, v.cross(a));
        }
        let mut counts = [0.0; STRETCHES];
        for k in 0..STRETCHES {
            let (speed, turn) = (speed2[k].sqrt(), cross[k] / speed2[k]);
            let outer = speed + self.distance * turn;
            let length = most(outer, speed);
            let count = (turn.abs() * length * fine).sqrt();
            counts[k] = least(most(count, 1e-3), MOST_CHORDS);
        }
        Stretches::of(&counts)
    }

    /// Adds the chord between two stations, or several if it would be too coarse.
    #[inline]
    fn piece(&mut self, c: &Powers, from: &Station, to: &Station) {
        if self.is_fine(from, to) {
            self.chord(to.p, to.q);
        } else {
            self.halve(c, from, to, 1);
        }
    }

    #[cold]
    fn halve(&mut self, c: &Powers, from: &Station, to: &Station, depth: u32) {
        let hardly = self.tolerance / 64.0;
        if depth > DEEPEST || from.p.distance_squared(to.p) < hardly * hardly {
            // A bend without size is as good as a corner.
            if from.tangent.dot(to.tangent) < MOST_TURN {
                self.join(to.p, from.tangent, to.tangent);
            }
            return self.chord(to.p, to.q);
        }
        let middle = self.station(c, f64::midpoint(from.t, to.t));
        for (from, to) in [(from, &middle), (&middle, to)] {
            if self.is_fine(from, to) {
                self.chord(to.p, to.q);
            } else {
                self.halve(c, from, to, depth + 1);
            }
        }
    }

    /// Whether a chord strays no further than it may, nor does its offset.
    #[inline]
    fn is_fine(&self, from: &Station, to: &Station) -> bool {
        let pair = Pair::between([from.tangent, to.tangent], to.p - from.p, self.distance);
        pair.cosine >= MOST_TURN
            && pair.along > 0.0
            && pair.source <= self.tolerance
            && pair.offset <= self.tolerance_for(from.q, to.q)
    }
}

/// How a chord lies between the tangents at its ends.
struct Pair {
    /// Of the turn between the tangents.
    cosine: f64,
    /// Positive if the chord runs the way both tangents do.
    along: f64,
    /// How far the curve strays from its chord.
    source: f64,
    /// How far the offset strays from its own; nothing where it runs backwards.
    offset: f64,
}

impl Pair {
    #[inline]
    fn between([ta, tb]: [Vec2; 2], chord: Vec2, distance: f64) -> Self {
        let (cosine, sine) = (ta.dot(tb), ta.cross(tb));
        let along = least(ta.dot(chord), tb.dot(chord));
        let across = [ta.cross(chord), chord.cross(tb)];
        // The chord of the offset is the chord and the difference of the normals.
        let wider = distance * (1.0 - cosine);
        let offset = stray(across[0] + wider, across[1] + wider);
        let runs_back = along + distance * sine <= 0.0;
        let offset = if runs_back { 0.0 } else { offset };
        Self { cosine, along, source: stray(across[0], across[1]), offset }
    }
}

/// How far a curve strays from its chord, by how far its tangents at both ends would lead away
/// from that, over its length and to the same side. Tangents as near each other as
/// [`MOST_TURN`] asks are taken for granted.
#[inline]
fn stray(a: f64, b: f64) -> f64 {
    most((a + b).abs() / 8.0, most(a.abs(), b.abs()) * HERMITE_PEAK)
}

/// The greater of two numbers; one instruction, as what is no number may come out as either.
#[inline]
pub(super) fn most(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

/// The lesser of two numbers, likewise.
#[inline]
pub(super) fn least(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::offset::hairs::Zones;
    use crate::offset::raw::Raw;
    use kurbo::Shape;

    /// A circle of radius 1e6 about the origin and its raw curve at a distance.
    fn circle(distance: f64) -> Raw {
        let circle = kurbo::Circle::new((0.0, 0.0), 1e6).to_path(1e-3);
        let segs: Vec<_> = circle.segments().collect();
        Raw::around(segs.into_iter(), distance, 100.0, &Zones::none(100.0)).unwrap()
    }

    #[test]
    fn a_circle_s_offset_is_a_circle_in_even_chords() {
        for distance in [-4e5, 5e5] {
            let radius = 1e6 + distance;
            let curve = circle(distance).curve;
            for (i, p) in curve.iter().enumerate() {
                let q = curve[(i + 1) % curve.len()];
                let (p, q) =
                    (Point::new(p.x.into(), p.y.into()), Point::new(q.x.into(), q.y.into()));
                assert!((p.to_vec2().hypot() - radius).abs() < 2.0);
                let sagitta = radius - p.midpoint(q).to_vec2().hypot();
                assert!((-1.0..=101.0).contains(&sagitta), "{sagitta}");
            }
            // No chords in waste: a sagitta of 100 on the radius allows this many.
            let least = std::f64::consts::PI / (2.0 * 100.0 / radius.max(1e6)).sqrt();
            assert!((curve.len() as f64) < 1.5 * least, "{} {least}", curve.len());
        }
    }

    #[test]
    fn past_its_centre_a_bend_runs_backwards_and_coarsely() {
        let back = circle(-1.5e6);
        for p in &back.curve {
            assert!((f64::from(p.x).hypot(p.y.into()) - 5e5).abs() < 2.0);
        }
        assert!(back.curve.len() <= back.source.len() + 4);
    }

    #[test]
    fn strays_are_those_of_a_parabola_s_arc() {
        // Tangents that lean by 0.1 on a chord of 1000: a sagitta of 25.
        let lean = |s: f64| Vec2::new(1.0, s).normalize();
        let chord = Vec2::new(1000.0, 0.0);
        let peak = stray(lean(0.1).cross(chord), chord.cross(lean(-0.1)));
        assert!((peak - 25.0).abs() < 0.2, "{peak}");
        // One that bends back half way strays less.
        let bend = stray(lean(0.1).cross(chord), chord.cross(lean(0.1)));
        assert!((bend - 14.8).abs() < 0.2, "{bend}");
    }

    #[test]
    fn a_row_is_the_pieces_of_its_stations() {
        let bend = CubicBez::new((0., 0.), (4e5, 3e5), (8e5, 3e5), (1e6, -2e5));
        let zones = Zones::none(100.0);
        let (powers, row) = (Powers::of(&bend), std::array::from_fn(|k| 0.01 * (k as f64 + 1.0)));
        let ring = |at_once: bool| {
            let mut walk = Walk::new(5e4, 100.0, &zones);
            let from = walk.station(&powers, 0.0);
            let last = if at_once {
                walk.row(&powers, &from, &row)
            } else {
                walk.pieces(&powers, &from, &row)
            };
            (last.p, last.q, walk.into_raw().unwrap().curve)
        };
        assert_eq!(ring(true), ring(false));
        assert_eq!(ring(true).2.len(), ROW);
    }
}
