//! Cuts cubics into chords for their raw offset curve.
//!
//! Bends tighter than the distance, where the raw curve runs backwards, are walked as coarsely
//! as the source allows.

use kurbo::{CubicBez, Point, Vec2};

use super::flatten::tangent_at;
use super::raw::{Walk, unit};
use super::thread::LOOSE;

/// Into how many stretches of its parameter a cubic is cut to judge how it bends.
const STRETCHES: usize = 8;
/// The most chords in one such stretch before any is checked.
const MOST_CHORDS: f64 = 4096.0;
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

impl Walk<'_> {
    pub(super) fn cubic(&mut self, c: &CubicBez, from: Vec2, to: Vec2) {
        let last = Station { t: 1.0, p: c.p3, tangent: to, q: self.offset(c.p3, to) };
        let even = self.is_even_about([c.p0, c.p1, c.p2, c.p3]);
        let strays = if even { self.most_stray(c) } else { f64::INFINITY };
        if strays <= self.tolerance * LOOSE {
            return self.straight(last.p, last.tangent);
        }
        if strays <= self.tolerance {
            return self.chord(last.p, last.q);
        }
        let powers = Powers::of(c);
        let shares = self.chord_counts(&powers);
        let total: f64 = shares.iter().sum();
        let chords = total.ceil().max(2.0);
        let each = total / chords;
        let widths = shares.map(|share| 1.0 / (share * STRETCHES as f64));
        let mut before = Station { t: 0.0, p: c.p0, tangent: from, q: self.offset(c.p0, from) };
        // Where the running stretch begins, in chords, and its parameter for each chord.
        let (mut begin, mut stretch) = (0.0, 0);
        for k in 1..chords as u32 {
            let aim = each * f64::from(k);
            while stretch + 1 < STRETCHES && begin + shares[stretch] < aim {
                begin += shares[stretch];
                stretch += 1;
            }
            let t = stretch as f64 / STRETCHES as f64 + (aim - begin) * widths[stretch];
            let next = self.station(&powers, t.min(1.0));
            self.piece(&powers, &before, &next);
            before = next;
        }
        self.piece(&powers, &before, &last);
    }

    #[inline]
    fn station(&self, c: &Powers, t: f64) -> Station {
        let (p, v) = c.at(t);
        let tangent = unit(v).unwrap_or_else(|| tangent_at(&c.cubic, t));
        Station { t, p, tangent, q: self.offset(p, tangent) }
    }

    /// How far a cubic, or its offset, certainly does not stray from a single chord. All its
    /// tangents lie between those of its handles; the furthest that such a curve gets is the
    /// tip of the triangle on the chord whose sides lean as much.
    fn most_stray(&self, c: &CubicBez) -> f64 {
        let chord = c.p3 - c.p0;
        if chord == Vec2::ZERO {
            return f64::INFINITY;
        }
        let (mut most, mut least) = (0.0_f64, f64::INFINITY);
        for handle in [c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2] {
            let (along, across) = (handle.dot(chord), handle.cross(chord).abs());
            // Leaning by half is not flat; a handle of no length has no say.
            if across > 0.5 * along {
                return f64::INFINITY;
            }
            if along > 0.0 {
                (most, least) = (most.max(across), least.min(along));
            }
        }
        let lean = most / least;
        (chord.hypot2().sqrt() + 2.0 * self.distance.abs() * lean) * lean / 2.0
    }

    /// How many chords each stretch of a cubic takes: a chord strays an eighth of its length
    /// times its turn. Where the offset runs backwards only the source's own length counts.
    fn chord_counts(&self, c: &Powers) -> [f64; STRETCHES] {
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
            let length = if outer > speed { outer } else { speed };
            counts[k] = (turn.abs() * length * fine).sqrt();
        }
        counts.map(|count| count.clamp(1e-3, MOST_CHORDS))
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
        let (ta, tb, chord) = (from.tangent, to.tangent, to.p - from.p);
        let (cosine, sine) = (ta.dot(tb), ta.cross(tb));
        let (along_a, along_b) = (ta.dot(chord), tb.dot(chord));
        let (across_a, across_b) = (ta.cross(chord), chord.cross(tb));
        // All conditions at once: they nearly always hold, so that nothing is gained by stops.
        let is_fine = (cosine >= MOST_TURN)
            & (along_a > 0.0)
            & (along_b > 0.0)
            & (stray(across_a, across_b) <= self.tolerance);
        if !is_fine {
            return false;
        }
        // The offset chord is the chord and the difference of the normals.
        let (further, wider) = (self.distance * sine, self.distance * (1.0 - cosine));
        let runs_back = (along_a + further <= 0.0) | (along_b + further <= 0.0);
        runs_back || stray(across_a + wider, across_b + wider) <= self.tolerance_for(from.q, to.q)
    }
}

/// How far a curve strays from its chord, by how far its tangents at both ends would lead away
/// from that, over its length and to the same side. Tangents as near each other as [`MOST_TURN`]
/// asks are taken for granted.
#[inline]
fn stray(a: f64, b: f64) -> f64 {
    let arc = (a + b).abs() / 8.0;
    let bend = a.abs().max(b.abs()) * HERMITE_PEAK;
    if arc > bend { arc } else { bend }
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
        Raw::around(circle.segments(), distance, 100.0, &Zones::none(100.0)).unwrap()
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
}
