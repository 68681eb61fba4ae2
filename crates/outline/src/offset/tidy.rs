//! Takes small folds out of rings of the true offset.

use kurbo::Vec2;

use super::chain::GridPoint;

/// The most points in a row that are taken out as one fold.
const LONGEST_FOLD: usize = 12;

/// Flattens small folds; returns whether none is left.
///
/// Where the source turns slightly towards the offset side, or bends just tighter than the
/// distance, the raw curve doubles back upon itself and crosses itself at a very flat angle.
/// Once it is chords these may just fail to cross, and the way back remains: a Z squeezed
/// flat. A true offset has none, as its corners turn away from the offset side only: a sharp
/// corner towards it gives a fold away.
pub(super) fn flatten_folds(ring: &mut Vec<GridPoint>, distance: f64, tolerance: f64) -> bool {
    let mut i = 0;
    let mut plain = true;
    let mut into = way(ring[ring.len() - 1], ring[0]);
    while i < ring.len() {
        let next = way(ring[i], ring[if i + 1 < ring.len() { i + 1 } else { 0 }]);
        if next.dot(into) < 0.0 {
            if flatten_fold(ring, i, tolerance) {
                // Whatever it was is gone; corners before may have been a part of it. Those
                // further back were none, and if round the ring or not plain all may be.
                let back = LONGEST_FOLD + 3;
                let is_far = plain && i >= back && i + back < ring.len();
                i = if is_far { i - back } else { 0 };
                plain = true;
                into = way(ring[if i > 0 { i } else { ring.len() } - 1], ring[i]);
                continue;
            }
            let shorter2 = into.hypot2().min(next.hypot2());
            let sharp = into.cross(next) * distance > 0.0;
            plain &= !(sharp && shorter2 > (tolerance / 16.0).powi(2));
        }
        into = next;
        i += 1;
    }
    plain
}

/// Puts one point in the place of those from `i` on that make a fold, if the way over it
/// passes all of them within the tolerance and goes on in the sense of the ring.
fn flatten_fold(ring: &mut Vec<GridPoint>, i: usize, tolerance: f64) -> bool {
    let n = ring.len();
    let at = |k: usize| ring[(i + n + k - 1) % n];
    let before = way(at(n - 1), at(0));
    for count in 2..=LONGEST_FOLD.min(n.saturating_sub(4)) {
        // The curve crosses itself about halfway between the two corners of the Z.
        let middle = halfway(at(1), at(count));
        let (start, end) = (at(0), at(count + 1));
        let (to, from) = (way(start, middle), way(middle, end));
        let goes_on =
            to.dot(before) > 0.0 && from.dot(to) > 0.0 && from.dot(way(end, at(count + 2))) > 0.0;
        let passes = |p: GridPoint| {
            is_beside(way(start, p), to, tolerance) || is_beside(way(middle, p), from, tolerance)
        };
        if goes_on && (1..=count).all(|k| passes(at(k))) {
            ring[i] = middle;
            // Those after it, as far as they go round the ring.
            ring.drain(i + 1..n.min(i + count));
            ring.drain(..(i + count).saturating_sub(n));
            return true;
        }
    }
    false
}

fn halfway(a: GridPoint, b: GridPoint) -> GridPoint {
    let half = |u: i32, v: i32| (i64::from(u) + i64::from(v)).div_euclid(2) as i32;
    GridPoint::new(half(a.x, b.x), half(a.y, b.y))
}

/// Whether a point, as seen from the start of a chord, lies beside it within the tolerance.
fn is_beside(p: Vec2, chord: Vec2, tolerance: f64) -> bool {
    let t = (p.dot(chord) / chord.hypot2()).clamp(0.0, 1.0);
    (p - chord * t).hypot2() <= tolerance * tolerance
}

fn way(a: GridPoint, b: GridPoint) -> Vec2 {
    Vec2::new(f64::from(b.x) - f64::from(a.x), f64::from(b.y) - f64::from(a.y))
}

#[cfg(test)]
mod tests {
    use super::*;
    fn ring(corners: &[(i32, i32)]) -> Vec<GridPoint> {
        corners.iter().map(|c| GridPoint::new(c.0, c.1)).collect()
    }

    #[test]
    fn a_flat_z_is_taken_out_and_the_rest_kept() {
        // Outward, counter-clockwise, with a step back of 40 along its lower side.
        let mut folded = ring(&[
            (-500, 0),
            (0, 0),
            (520, 3),
            (480, -3),
            (1000, 0),
            (1500, 0),
            (1500, 1000),
            (-500, 1000),
        ]);
        assert!(flatten_folds(&mut folded, 100.0, 20.0));
        let straight =
            [(-500, 0), (0, 0), (500, 0), (1000, 0), (1500, 0), (1500, 1000), (-500, 1000)];
        assert_eq!(folded, ring(&straight));
    }

    #[test]
    fn a_fold_beyond_the_tolerance_is_told_and_left() {
        let corners = [(0, 0), (700, 300), (300, -300), (1000, 0), (1000, 1000), (0, 1000)];
        let mut folded = ring(&corners);
        assert!(!flatten_folds(&mut folded, 100.0, 20.0));
        assert_eq!(folded, ring(&corners));
    }

    #[test]
    fn true_tips_are_no_folds() {
        // Inward, a tip turns left by almost half a turn.
        let mut sliver = ring(&[(0, 0), (1000, 5), (0, 10), (-500, 5)]);
        let before = sliver.clone();
        assert!(flatten_folds(&mut sliver, -100.0, 2.0));
        assert_eq!(sliver, before);
    }
}
