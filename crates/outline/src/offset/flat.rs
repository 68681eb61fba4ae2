//! Tells what is so flat that one chord does for it.
//!
//! All tangents of a cubic lie between those of its handles, and so do those of its offset.
//! The furthest that such a curve gets from its chord is the tip of the triangle on that whose
//! sides lean as much.

use kurbo::CubicBez;

use super::bend::{least, most};

/// How far a cubic and its offset stray from one chord: certainly no more than `peak` over
/// `room`, which saves dividing.
#[derive(Clone, Copy)]
pub(super) struct Flatness {
    peak: f64,
    room: f64,
}

impl Flatness {
    /// That of a cubic and its offset by a distance.
    #[inline]
    pub(super) fn of(c: &CubicBez, distance: f64) -> Self {
        let chord = c.p3 - c.p0;
        // The most that a handle leads aside, and the least that one leads ahead, both times
        // the length of the chord: more by less than the lean is.
        let (mut across, mut along, mut is_steep) = (0.0, f64::INFINITY, false);
        for handle in [c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2] {
            let (ahead, aside) = (handle.dot(chord), handle.cross(chord).abs());
            // Leaning by half is not flat; a handle of no length has no say.
            is_steep |= aside > 0.5 * ahead;
            if ahead > 0.0 {
                (across, along) = (most(across, aside), least(along, ahead));
            }
        }
        // More than the chord's length will do for that.
        let length = chord.x.abs() + chord.y.abs();
        if is_steep || length == 0.0 {
            return Self { peak: f64::INFINITY, room: 1.0 };
        }
        let peak = (length * along + 2.0 * distance.abs() * across) * across;
        Self { peak, room: 2.0 * along * along }
    }

    /// Whether neither strays further than this.
    #[inline]
    pub(super) fn is_within(&self, most: f64) -> bool {
        self.peak <= most * self.room
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{ParamCurve, ParamCurveDeriv, Vec2};

    /// How far a cubic's offset gets from its own chord, by many of its points.
    fn stray(c: &CubicBez, distance: f64) -> f64 {
        let at = |t: f64| {
            let way = c.deriv().eval(t).to_vec2().normalize();
            c.eval(t) + Vec2::new(way.y, -way.x) * distance
        };
        let (from, chord) = (at(0.0), (at(1.0) - at(0.0)).normalize());
        let aside = |i: u32| chord.cross(at(f64::from(i) / 200.0) - from).abs();
        (0..=200).map(aside).fold(0.0, f64::max)
    }

    #[test]
    fn nothing_strays_further_than_it_tells() {
        for (p1, p2) in
            [((3.0, 0.4), (7.0, 0.2)), ((2.0, -0.3), (9.0, 0.3)), ((5.0, 1.0), (6.0, 0.5))]
        {
            let c = CubicBez::new((0.0, 0.0), p1, p2, (10.0, 0.0));
            for distance in [-1.0, 0.0, 2.0, 5.0] {
                let (flat, most) = (Flatness::of(&c, distance), stray(&c, distance));
                assert!(!flat.is_within(most * 0.999), "{p1:?} {p2:?} by {distance}: {most}");
                // It is no idle bound either.
                assert!(flat.is_within(20.0 * most.max(0.3)), "{p1:?} {p2:?} by {distance}");
            }
        }
    }

    #[test]
    fn what_leans_much_or_goes_nowhere_is_not_flat() {
        let steep = CubicBez::new((0.0, 0.0), (1.0, 2.0), (9.0, 0.0), (10.0, 0.0));
        assert!(!Flatness::of(&steep, 1.0).is_within(1e9));
        let nowhere = CubicBez::new((0.0, 0.0), (1.0, 2.0), (9.0, 0.0), (0.0, 0.0));
        assert!(!Flatness::of(&nowhere, 1.0).is_within(1e9));
        let point = CubicBez::new((1.0, 1.0), (1.0, 1.0), (1.0, 1.0), (1.0, 1.0));
        assert!(!Flatness::of(&point, 1.0).is_within(1e9));
        let straight = CubicBez::new((0.0, 0.0), (0.0, 0.0), (10.0, 0.0), (10.0, 0.0));
        assert!(Flatness::of(&straight, 1.0).is_within(0.0));
    }
}
