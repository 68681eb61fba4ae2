//! Joints at which the curvature is the same on both sides, and curves that are pulled.

use crate::hobby::turned;
use crate::segment;
use kurbo::{CubicBez, Vec2};

/// Handles may be lengthened or shortened by this factor to make curvatures agree; beyond it the
/// tangent turns instead.
const STRETCH: f64 = 2.5;
/// Curvatures that agree within this share are the same.
const SAME: f64 = 1e-9;
/// A pull nearer to an end than this acts as if it were here: the handles would fly off.
const NEAREST_END: f64 = 0.12;

/// Two cubics that join smoothly, changed so that the curvature is the same on both sides of the
/// joint. If both bend the same way there, the two handles at the joint change their lengths and
/// keep their product; else, or where that would change them much, the tangent turns. Nothing else
/// moves. `None` where a handle at the joint has no length, or what is asked for can't be.
///
/// A cubic's curvature at its end is 2/3 · h / a², with a the length of the handle there and h the
/// distance of the other handle's end from the tangent (G. Farin, "Curves and Surfaces for CAGD",
/// the chapter on geometric continuity).
pub fn curvature_matched(before: &CubicBez, behind: &CubicBez) -> Option<(CubicBez, CubicBez)> {
    let joint = before.p3;
    let (arrive, leave) = (joint - before.p2, behind.p1 - joint);
    let (a, b) = (arrive.hypot(), leave.hypot());
    let tiny = 1e-9 * (1.0 + joint.to_vec2().hypot());
    if a <= tiny || b <= tiny {
        return None;
    }
    let tangent = arrive / a + leave / b;
    if tangent.hypot() < 0.1 {
        return None;
    }
    let tangent = tangent.normalize();
    // Where the other handles' ends lie: behind and ahead along the tangent, and to its left.
    let (back, ahead) = (before.p1 - joint, behind.p2 - joint);
    let (l1, h1) = (-tangent.dot(back), tangent.cross(back));
    let (l2, h2) = (tangent.dot(ahead), tangent.cross(ahead));
    let build = |tangent: Vec2, a: f64, b: f64| {
        let before = CubicBez { p2: joint - tangent * a, ..*before };
        let behind = CubicBez { p1: joint + tangent * b, ..*behind };
        (before, behind)
    };
    let (k1, k2) = (h1 / (a * a), h2 / (b * b));
    if (k1 - k2).abs() <= SAME * k1.abs().max(k2.abs()) {
        return Some(build(tangent, a, b));
    }
    let ratio = h1 / h2;
    if ratio > 0.0 && ratio.is_finite() {
        let stretch = (ratio.sqrt() * b / a).sqrt();
        if (STRETCH.recip()..=STRETCH).contains(&stretch) {
            return Some(build(tangent, a * stretch, b / stretch));
        }
    }
    // Turned by θ to the left: h₁ grows with l₁ sin θ, h₂ falls with l₂ sin θ.
    let under = l1 / (a * a) + l2 / (b * b);
    let turn = ((k2 - k1) / under).atan();
    let is_small = under > 0.0 && turn.abs() < 0.7;
    is_small.then(|| build(turned(tangent, turn), a, b))
}

/// By how much the curvature jumps from the end of one cubic to the start of the next, 1/mm.
pub fn curvature_jump(before: &CubicBez, behind: &CubicBez) -> f64 {
    segment::curvature(behind, 0.0) - segment::curvature(before, 1.0)
}

/// A cubic pulled so that its place at `t` moves by `by`, its ends held: the two handles' ends
/// move as little as they can (least squares).
pub fn pulled(c: &CubicBez, t: f64, by: Vec2) -> CubicBez {
    let t = t.clamp(NEAREST_END, 1.0 - NEAREST_END);
    let s = 1.0 - t;
    let (w1, w2) = (3.0 * s * s * t, 3.0 * s * t * t);
    let by = by / (w1 * w1 + w2 * w2);
    CubicBez { p1: c.p1 + by * w1, p2: c.p2 + by * w2, ..*c }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{ParamCurve, Point};
    use proptest::prelude::*;

    fn pair(a: f64, b: f64, h1: f64, h2: f64) -> (CubicBez, CubicBez) {
        let joint = Point::new(3.0, -2.0);
        let at = |x: f64, y: f64| joint + Vec2::new(x, y);
        (
            CubicBez::new(at(-40.0, 3.0), at(-25.0, h1), at(-a, 0.0), joint),
            CubicBez::new(joint, at(b, 0.0), at(22.0, h2), at(45.0, 6.0)),
        )
    }

    proptest! {
        #[test]
        fn curvatures_agree_and_only_the_joint_changes(
            a in 2.0..15.0f64, b in 2.0..15.0f64, h1 in -9.0..9.0f64, h2 in -9.0..9.0f64,
        ) {
            let (before, behind) = pair(a, b, h1, h2);
            if let Some((x, y)) = curvature_matched(&before, &behind) {
                let (kx, ky) = (segment::curvature(&x, 1.0), segment::curvature(&y, 0.0));
                prop_assert!((kx - ky).abs() < 1e-9 + 1e-7 * kx.abs(), "{kx} {ky}");
                prop_assert_eq!((x.p0, x.p1, x.p3), (before.p0, before.p1, before.p3));
                prop_assert_eq!((y.p2, y.p3), (behind.p2, behind.p3));
                let (arrive, leave) = (x.p3 - x.p2, y.p1 - y.p0);
                prop_assert!(arrive.cross(leave).abs() < 1e-9 * arrive.hypot() * leave.hypot());
                prop_assert!(curvature_jump(&x, &y).abs() < 1e-7);
            }
        }

        #[test]
        fn what_is_pulled_follows(t in 0.12..0.88f64, x in -5.0..5.0f64, y in -5.0..5.0f64) {
            let (c, _) = pair(5.0, 5.0, 3.0, 3.0);
            let new = pulled(&c, t, Vec2::new(x, y));
            let wanted = c.eval(t) + Vec2::new(x, y);
            prop_assert!(new.eval(t).distance(wanted) < 1e-9);
            prop_assert_eq!((new.p0, new.p3), (c.p0, c.p3));
        }
    }

    #[test]
    fn a_quarter_circle_beside_another_is_left_alone() {
        // The usual cubic for a quarter of a circle of radius 20.
        let k = 20.0 * 0.552_284_749_8;
        let a = CubicBez::new((20., 0.), (20., k), (k, 20.), (0., 20.));
        let b = CubicBez::new((0., 20.), (-k, 20.), (-20., k), (-20., 0.));
        let (x, y) = curvature_matched(&a, &b).unwrap();
        assert!(x.p2.distance(a.p2) < 1e-9 && y.p1.distance(b.p1) < 1e-9);
        let flat = CubicBez::new((0., 20.), (0., 20.), (-20., k), (-20., 0.));
        assert!(curvature_matched(&a, &flat).is_none());
    }
}
