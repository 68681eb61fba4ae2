//! Where tip and heel of an outline without marks most likely are.

use knife::{NodeId, Profile};
use kurbo::ParamCurve;
use outline::Outline;

/// A node is taken for a corner when the outline turns there by more than this, radians (10°).
const CORNER_RAD: f64 = 0.174_533;
/// Corners that turn alike, radians (5°).
const ALIKE_RAD: f64 = 0.087_266;
/// The part of the length at either end in which a tip lies.
const END: f64 = 0.2;
/// The part of the length from the tip in which a heel lies, and where it mostly does. The
/// starters' heels lie from 0.35 to 0.62 behind the tip, half of them at less than 0.43 (common
/// practice, no source).
const HEEL: std::ops::RangeInclusive<f64> = 0.15..=0.70;
const USUAL_HEEL: f64 = 0.43;

/// A guess of tip and heel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Marks {
    /// The node taken for the tip.
    pub tip: NodeId,
    /// The node taken for the heel.
    pub heel: NodeId,
}

/// Tip and heel as they most likely are, for an outline lying along x with its edge down; `None`
/// for fewer than three nodes or an outline of no length.
///
/// The tip is the sharpest outward corner in the outer fifth of the length at either end, of
/// those that are alike the leftmost; without such a corner the leftmost node. The heel lies on
/// the lower side between tip and butt: the corner nearest to 0.43 of the length behind the tip,
/// if there is one between 0.15 and 0.70, else the node nearest to 0.43.
pub fn guess_marks(profile: &Profile) -> Option<Marks> {
    let outline = profile.outline().ok()?;
    let (n, bounds) = (profile.nodes.len(), outline.bounds());
    if n < 3 || bounds.width() <= 0.0 {
        return None;
    }
    let mut turns = vec![0.0; n];
    for corner in outline.corners() {
        turns[corner.node] = corner.turn_rad;
    }
    let x = |i: usize| profile.nodes[i].at.x;
    let along = |i: usize| (x(i) - bounds.x0) / bounds.width();
    let at_an_end = |i: &usize| along(*i).min(1.0 - along(*i)) <= END;
    let sharp = |i: &usize| turns[*i] > CORNER_RAD;
    let sharpest = (0..n).filter(at_an_end).map(|i| turns[i]).fold(CORNER_RAD, f64::max);
    let leftmost = |a: &usize, b: &usize| x(*a).total_cmp(&x(*b));
    let tip = (0..n)
        .filter(|i| at_an_end(i) && sharp(i) && turns[*i] >= sharpest - ALIKE_RAD)
        .min_by(leftmost)
        .or_else(|| (0..n).min_by(leftmost))?;
    let behind = |i: &usize| (x(*i) - x(tip)).abs() / bounds.width();
    let off = |i: &usize| (behind(i) - USUAL_HEEL).abs();
    let lower = lower_side(&outline, tip, |i| behind(&i));
    let nearest = |of: &dyn Fn(&usize) -> bool| {
        lower.iter().copied().filter(|i| of(i)).min_by(|a, b| off(a).total_cmp(&off(b)))
    };
    let heel = nearest(&|i: &usize| turns[*i].abs() > CORNER_RAD && HEEL.contains(&behind(i)))
        .or_else(|| nearest(&|_: &usize| true))?;
    Some(Marks { tip: profile.nodes[tip].id, heel: profile.nodes[heel].id })
}

/// The nodes from behind the tip to the butt along the lower side; the butt itself where there is
/// no other.
fn lower_side(outline: &Outline, tip: usize, behind: impl Fn(usize) -> f64) -> Vec<usize> {
    let n = outline.segs().len();
    let butt = (0..n).max_by(|a, b| behind(*a).total_cmp(&behind(*b))).unwrap_or(tip);
    let tip_is_left = outline.segs()[tip].start().x <= outline.segs()[butt].start().x;
    // Counter-clockwise the lower side is run from left to right.
    let forward = (outline.signed_area() > 0.0) == tip_is_left;
    let step = |i: usize| if forward { (i + 1) % n } else { (i + n - 1) % n };
    let mut side = Vec::new();
    let mut at = step(tip);
    while at != butt && at != tip {
        side.push(at);
        at = step(at);
    }
    if side.is_empty() { vec![butt] } else { side }
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::{Edit, Knife, STARTERS};
    use kurbo::Point;

    fn polygon(points: &[(f64, f64)]) -> Profile {
        let points: Vec<Point> = points.iter().map(|p| (*p).into()).collect();
        Profile::from_outline(&Outline::polygon(&points).unwrap())
    }

    /// The marks that the makers of the starters set are found again, whichever end the tip is at.
    #[test]
    fn the_starters_marks_are_found_again() {
        for starter in STARTERS {
            let knife = starter.knife();
            for knife in [Edit::MirrorAlong.apply(&knife).unwrap(), knife] {
                let profile = &knife.profile;
                let found = guess_marks(profile).unwrap();
                assert_eq!(
                    (Some(found.tip), Some(found.heel)),
                    (profile.tip, profile.heel),
                    "{}",
                    starter.key
                );
            }
        }
    }

    #[test]
    fn without_corners_there_is_a_sensible_place() {
        let mut profile =
            polygon(&[(0., 0.), (40., -6.5), (90., -12.), (200., -8.), (205., 8.), (60., 12.)]);
        assert_eq!(guess_marks(&profile), Some(Marks { tip: NodeId(1), heel: NodeId(3) }));
        // The other way round, nothing else is said.
        profile.nodes.reverse();
        assert_eq!(guess_marks(&profile), Some(Marks { tip: NodeId(1), heel: NodeId(3) }));
        // A triangle standing on its edge has a heel all the same, and it isn't the tip.
        let triangle = guess_marks(&polygon(&[(0., 0.), (100., 0.), (90., 20.)])).unwrap();
        assert_ne!(triangle.tip, triangle.heel);
        assert_eq!(guess_marks(&polygon(&[(0., 0.), (100., 0.)])), None);
        assert_eq!(guess_marks(&polygon(&[(0., 0.), (0., 5.), (0., 9.)])), None);
        assert_eq!(guess_marks(&Knife::empty().profile), None);
    }
}
