//! Corners, and the tightest inside radius.

use crate::outline::Outline;
use crate::roots::{each_root, multiply};
use crate::segment::{self, cubic};
use crate::tolerance::{JOINT_MM, SMOOTH_TURN_RAD};
use kurbo::{CubicBez, ParamCurve, PathSeg, Point, Vec2};

/// The tightest place of the hollow stretches of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InsideRadius {
    /// Radius of curvature there, in millimetres.
    pub radius_mm: f64,
    /// The place.
    pub at: Point,
    /// Index of its segment.
    pub segment: usize,
    /// Where on that segment, from 0 to 1.
    pub t: f64,
}

/// A node where the direction of an outline breaks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// The place.
    pub at: Point,
    /// Index of the node: the corner lies between segments `node - 1` and `node`. Where
    /// segments shorter than a micrometre meet in it, the first such node.
    pub node: usize,
    /// The turn of the direction, in radians: positive at a corner that points outward,
    /// negative at an inside corner, whatever the turning sense; between −π and π.
    pub turn_rad: f64,
}

/// A sharp inside corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InsideCorner {
    /// The place.
    pub at: Point,
    /// Index of the node, as in [`Corner`].
    pub node: usize,
    /// How far the direction turns inward there, in radians, above 0; a square notch has
    /// π/2 at each of its inner corners.
    pub angle_rad: f64,
}

/// Where two segments of some length meet, past those of hardly any.
struct Joint {
    /// The node of the corner.
    node: usize,
    /// The last segment before and the first behind that have some length.
    before: usize,
    behind: usize,
    /// Turn to the left, in radians.
    turn_rad: f64,
}

impl Outline {
    /// The smallest radius of curvature over the smooth hollow stretches; `None` if nothing
    /// is hollow.
    ///
    /// Every extreme of curvature inside a segment is solved for, and the ends of each segment
    /// looked at. Corners are no part of a smooth stretch (see [`Outline::inside_corners`]),
    /// nor is the unbounded bend right at a corner into which a curve runs with a handle of no
    /// length (at a smooth node such a bend counts, and its radius is 0). Segments shorter than a micrometre are passed over.
    pub fn tightest_inside(&self) -> Option<InsideRadius> {
        let sense = self.sense();
        let sharp = self.sharp_ends();
        let mut best: Option<(f64, usize, f64)> = None;
        for (i, seg) in self.segs().iter().enumerate() {
            let PathSeg::Cubic(c) = seg else { continue };
            if is_joint(seg) || !may_hollow(c, sense) {
                continue;
            }
            let mut offer = |t: f64| {
                let bend = -sense * segment::curvature(c, t);
                if bend > best.map_or(FLAT_PER_MM, |b| b.0) {
                    best = Some((bend, i, t));
                }
            };
            each_extreme(c, &mut offer);
            for (t, corner) in [(0.0, sharp[i].0), (1.0, sharp[i].1)] {
                if !(corner && segment::stalls(c, t)) {
                    offer(t);
                }
            }
        }
        best.map(|(bend, segment, t)| InsideRadius {
            radius_mm: 1.0 / bend,
            at: self.point_at(segment, t),
            segment,
            t,
        })
    }

    /// The sharp corners that point inward, in order round the outline: nodes where the
    /// direction turns inward by more than half a degree.
    pub fn inside_corners(&self) -> Vec<InsideCorner> {
        let inward = self.corners().into_iter().filter(|c| c.turn_rad < 0.0);
        inward.map(|c| InsideCorner { at: c.at, node: c.node, angle_rad: -c.turn_rad }).collect()
    }

    /// All corners in order round the outline: nodes where the direction turns by more than
    /// half a degree.
    pub fn corners(&self) -> Vec<Corner> {
        let sense = self.sense();
        let sharp = self.joints().into_iter().filter(|j| j.turn_rad.abs() > SMOOTH_TURN_RAD);
        sharp
            .map(|j| Corner {
                at: self.segs()[j.node].start(),
                node: j.node,
                turn_rad: sense * j.turn_rad,
            })
            .collect()
    }

    /// For each segment, whether there is a corner at its start and at its end.
    fn sharp_ends(&self) -> Vec<(bool, bool)> {
        let mut all = vec![(false, false); self.segs().len()];
        for j in self.joints().iter().filter(|j| j.turn_rad.abs() > SMOOTH_TURN_RAD) {
            all[j.before].1 = true;
            all[j.behind].0 = true;
        }
        all
    }

    /// Every joint between segments of some length, by rising node.
    fn joints(&self) -> Vec<Joint> {
        let solid: Vec<usize> =
            (0..self.segs().len()).filter(|i| !is_joint(&self.segs()[*i])).collect();
        let pairs = (0..solid.len()).map(|k| (solid[k], solid[(k + 1) % solid.len()]));
        let mut all: Vec<Joint> = pairs
            .filter_map(|(before, behind)| {
                let arrive = segment::end_direction(&cubic(&self.segs()[before]))?;
                let leave = segment::start_direction(&cubic(&self.segs()[behind]))?;
                let node = (before + 1) % self.segs().len();
                Some(Joint { node, before, behind, turn_rad: turn(arrive, leave) })
            })
            .collect();
        all.sort_by_key(|j| j.node);
        all
    }
}

/// Bends less than this are straight (a radius above ten kilometres), per millimetre.
const FLAT_PER_MM: f64 = 1e-7;

/// The turn to the left from one direction to another, in radians, −π to π.
pub(crate) fn turn(from: Vec2, to: Vec2) -> f64 {
    from.cross(to).atan2(from.dot(to))
}

/// Whether a segment is so short that it belongs to the joint at its ends.
fn is_joint(seg: &PathSeg) -> bool {
    segment::control_length_mm(seg) < JOINT_MM
}

/// Whether a cubic may bend to the hollow side: some Bernstein coefficient of B′ × B″ says so.
fn may_hollow(c: &CubicBez, sense: f64) -> bool {
    bend_coefficients(c).iter().any(|b| sense * b < 0.0)
}

/// Bernstein coefficients of B′ × B″ (up to a positive factor), which is of degree 2.
pub(crate) fn bend_coefficients(c: &CubicBez) -> [f64; 3] {
    let (a, b, d) = (c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2);
    [a.cross(b), 0.5 * a.cross(d), b.cross(d)]
}

/// Parameters inside a cubic at which its curvature is extreme: the roots of
/// (B′·B′)(B′ × B‴) − 3 (B′ × B″)(B′·B″).
fn each_extreme(c: &CubicBez, found: &mut impl FnMut(f64)) {
    let first = [c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2].map(|v| 3.0 * v);
    let second = [first[1] - first[0], first[2] - first[1]].map(|v| 2.0 * v);
    let third = second[1] - second[0];
    let speed: [f64; 5] = dot(&first, &first);
    let slew = first.map(|v| v.cross(third));
    let mut left = [0.0; 7];
    multiply(&speed, &slew, &mut left);
    let gain: [f64; 4] = dot(&first, &second);
    let bend: [f64; 4] = cross(&first, &second);
    let mut right = [0.0; 7];
    multiply(&bend, &gain, &mut right);
    let mut whole = left;
    for (w, r) in whole.iter_mut().zip(right) {
        *w -= 3.0 * r;
    }
    each_root(whole, found);
}

fn dot<const K: usize>(a: &[Vec2], b: &[Vec2]) -> [f64; K] {
    combine(a, b, |u, v| u.dot(v))
}

fn cross<const K: usize>(a: &[Vec2], b: &[Vec2]) -> [f64; K] {
    combine(a, b, |u, v| u.cross(v))
}

/// Bernstein coefficients of a product of two vector polynomials.
fn combine<const K: usize>(a: &[Vec2], b: &[Vec2], by: impl Fn(Vec2, Vec2) -> f64) -> [f64; K] {
    use crate::roots::binomial;
    let (m, n) = (a.len() - 1, b.len() - 1);
    let mut out = [0.0; K];
    for (i, u) in a.iter().enumerate() {
        for (j, v) in b.iter().enumerate() {
            out[i + j] += binomial(m, i) * binomial(n, j) * by(*u, *v) / binomial(m + n, i + j);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Affine, Line};

    fn notched() -> Outline {
        Outline::polygon(
            &[
                (0., 0.),
                (10., 0.),
                (10., 5.),
                (20., 5.),
                (20., 0.),
                (30., 0.),
                (30., 20.),
                (0., 20.),
            ]
            .map(Point::from),
        )
        .unwrap()
    }

    #[test]
    fn inside_corners_are_told_whatever_the_sense() {
        for o in [notched(), notched().reversed(), notched().transformed(Affine::FLIP_X)] {
            let inside = o.inside_corners();
            assert_eq!(inside.len(), 2);
            assert!(
                inside.iter().all(|c| (c.angle_rad - std::f64::consts::FRAC_PI_2).abs() < 1e-9)
            );
            assert_eq!(o.corners().len(), 8);
            assert!(o.tightest_inside().is_none());
        }
    }

    #[test]
    fn the_extreme_inside_a_cubic_is_found() {
        // y = x² for x from -4 to 4 is a cubic too; its radius at the bottom is 1/2.
        let quad = kurbo::QuadBez::new((4., 16.), (0., -16.), (-4., 16.));
        let o = Outline::new(vec![
            PathSeg::Quad(quad),
            PathSeg::Line(Line::new((-4., 16.), (-9., 16.))),
            PathSeg::Line(Line::new((-9., 16.), (-9., -9.))),
            PathSeg::Line(Line::new((-9., -9.), (9., -9.))),
            PathSeg::Line(Line::new((9., -9.), (9., 16.))),
            PathSeg::Line(Line::new((9., 16.), (4., 16.))),
        ])
        .unwrap();
        let tight = o.tightest_inside().unwrap();
        assert!((tight.radius_mm - 0.5).abs() < 1e-9, "{tight:?}");
        assert!((tight.t - 0.5).abs() < 1e-6 && tight.segment == 0);
        assert!((o.curvature_at(0, 0.5) + 2.0).abs() < 1e-9);
    }
}
