//! Curves as pairs of circular arcs, for machines that know no other.
//!
//! K. M. Bolton, "Biarc curves", Computer-Aided Design 7 (1975): two arcs with a common tangent
//! where they meet, from one end of a curve to the other, each tangent to it there. Of the family
//! the one is taken whose two control polygons are equally long.

use crate::bulge;
use kurbo::{
    BezPath, CubicBez, ParamCurve, ParamCurveDeriv, ParamCurveNearest, PathEl, PathSeg, Point, Vec2,
};

/// Halvings of one curve: no tolerance that makes sense asks for more.
const DEEPEST: u32 = 12;
/// Places at which a fit is compared with the curve.
const SAMPLES: u32 = 24;
/// Places on each cubic of an arc at which it is compared with the curve in its turn.
const SAMPLES_BACK: u32 = 8;
/// How exactly the nearest place of a curve is found for that, mm.
const NEAR_MM: f64 = 1e-6;
/// Shorter than this a direction is none, mm.
const NOTHING_MM: f64 = 1e-9;

/// A corner of a polyline and how the way bends from it to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bulged {
    /// The corner.
    pub at: Point,
    /// Tangent of a quarter of the angle that the arc to the next corner turns by; positive
    /// counter-clockwise, 0 for a straight line.
    pub bulge: f64,
}

/// A segment as arcs within a tolerance, mm: corners with the bulge of the way onward from each;
/// the segment's end is not among them.
pub fn arcs(seg: &PathSeg, tolerance_mm: f64) -> Vec<Bulged> {
    let mut found = Vec::new();
    match seg {
        PathSeg::Line(line) => found.push(Bulged { at: line.p0, bulge: 0.0 }),
        _ => fit(seg.to_cubic(), tolerance_mm, DEEPEST, &mut found),
    }
    found
}

fn fit(curve: CubicBez, tolerance_mm: f64, halvings: u32, found: &mut Vec<Bulged>) {
    let chord = Arc { from: curve.p0, to: curve.p3, bulge: 0.0 };
    if stray(&curve, &[chord]) <= tolerance_mm.min(STRAIGHT_MM) {
        found.push(Bulged { at: curve.p0, bulge: 0.0 });
        return;
    }
    let pair = biarc(&curve);
    match pair {
        Some(pair) if halvings == 0 || pair_fits(&curve, &pair, tolerance_mm) => {
            found.extend(pair.map(|arc| Bulged { at: arc.from, bulge: arc.bulge }));
        }
        None if halvings == 0 => found.push(Bulged { at: curve.p0, bulge: 0.0 }),
        _ => {
            let (first, second) = curve.subdivide();
            fit(first, tolerance_mm, halvings - 1, found);
            fit(second, tolerance_mm, halvings - 1, found);
        }
    }
}

/// A curve as near to its chord is written as a straight line, mm.
const STRAIGHT_MM: f64 = 1e-4;

/// The two arcs from a curve's start to its end.
fn biarc(curve: &CubicBez) -> Option<[Arc; 2]> {
    let (t0, t1) = (direction(curve, 0.0)?, direction(curve, 1.0)?);
    let (v, t) = (curve.p3 - curve.p0, t0 + t1);
    // |v − d t| = 2 d: both control polygons as long as each other.
    let (along, spread) = (v.dot(t), t.hypot2() - 4.0);
    let under = (along * along - spread * v.hypot2()).max(0.0).sqrt() + along;
    if under <= NOTHING_MM {
        return None;
    }
    let d = v.hypot2() / under;
    let joint = (curve.p0 + t0 * d).midpoint(curve.p3 - t1 * d);
    let (first, second) = (joint - curve.p0, curve.p3 - joint);
    if first.hypot() < NOTHING_MM || second.hypot() < NOTHING_MM || !joint.is_finite() {
        return None;
    }
    // The angle between tangent and chord is half of what an arc turns by.
    let half = |a: Vec2, b: Vec2| (a.cross(b).atan2(a.dot(b)) / 2.0).tan();
    Some([
        Arc { from: curve.p0, to: joint, bulge: half(t0, first) },
        Arc { from: joint, to: curve.p3, bulge: half(second, t1) },
    ])
}

/// The direction of a curve at one of its ends, where a handle may lie on its node.
fn direction(curve: &CubicBez, t: f64) -> Option<Vec2> {
    let way = curve.deriv().eval(t).to_vec2();
    if way.hypot() > NOTHING_MM {
        return Some(way.normalize());
    }
    let near =
        if t < 0.5 { curve.eval(1e-3) - curve.p0 } else { curve.p3 - curve.eval(1.0 - 1e-3) };
    (near.hypot() > NOTHING_MM * NOTHING_MM).then(|| near.normalize())
}

/// One arc, or a straight line where its bulge is nought.
#[derive(Clone, Copy, Debug)]
struct Arc {
    from: Point,
    to: Point,
    bulge: f64,
}

impl Arc {
    /// How far a point lies from it, mm.
    fn distance(&self, p: Point) -> f64 {
        let chord = self.to - self.from;
        let ends = p.distance(self.from).min(p.distance(self.to));
        let length = chord.hypot();
        if length < NOTHING_MM {
            return ends;
        }
        // Straight, or so nearly that its circle is beyond all numbers.
        if self.bulge.abs() < 1e-9 {
            let share = (p - self.from).dot(chord) / (length * length);
            let foot = self.from + chord * share.clamp(0.0, 1.0);
            return p.distance(foot);
        }
        let middle = self.from.midpoint(self.to);
        // From the chord's middle to the circle's: half chord × (1 − b²) / 2b, to its left.
        let off = (1.0 - self.bulge * self.bulge) / (4.0 * self.bulge);
        let centre = middle + chord.turn_90() * off;
        let radius = centre.distance(self.from);
        let (from, to) = (self.from - centre, p - centre);
        let turned = from.cross(to).atan2(from.dot(to));
        let whole = 4.0 * self.bulge.atan();
        let around = std::f64::consts::TAU;
        let turned =
            if whole > 0.0 { turned.rem_euclid(around) } else { -(-turned).rem_euclid(around) };
        if turned.abs() <= whole.abs() { (to.hypot() - radius).abs() } else { ends }
    }
}

/// How far a curve strays from arcs, mm.
fn stray(curve: &CubicBez, arcs: &[Arc]) -> f64 {
    let off = |i: u32| {
        let p = curve.eval(share(i, SAMPLES));
        arcs.iter().map(|arc| arc.distance(p)).fold(f64::INFINITY, f64::min)
    };
    (1..SAMPLES).map(off).fold(0.0, f64::max)
}

/// Whether a curve strays from a pair of arcs by no more than the tolerance, mm, and they from it:
/// where a curve turns within a hair, arcs may run wide between two places of it.
fn pair_fits(curve: &CubicBez, pair: &[Arc; 2], tolerance_mm: f64) -> bool {
    let is_near = |p: Point| curve.nearest(p, NEAR_MM).distance_sq <= tolerance_mm * tolerance_mm;
    let lies_on_curve = |arc: &Arc| {
        let mut path = BezPath::from_vec(vec![PathEl::MoveTo(arc.from)]);
        bulge::append(&mut path, arc.from, arc.to, arc.bulge);
        path.segments()
            .all(|seg| (1..SAMPLES_BACK).all(|i| is_near(seg.eval(share(i, SAMPLES_BACK)))))
    };
    stray(curve, pair) <= tolerance_mm && pair.iter().all(lies_on_curve)
}

fn share(i: u32, of: u32) -> f64 {
    f64::from(i) / f64::from(of)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape;
    use proptest::prelude::*;

    /// The curve that corners with bulges describe, as cubics.
    fn drawn(corners: &[Bulged], end: Point) -> BezPath {
        let mut path = BezPath::new();
        path.move_to(corners[0].at);
        for (i, corner) in corners.iter().enumerate() {
            let to = corners.get(i + 1).map_or(end, |next| next.at);
            bulge::append(&mut path, corner.at, to, corner.bulge);
        }
        path
    }

    #[test]
    fn a_quarter_circle_is_one_pair_of_arcs_of_its_radius() {
        let circle =
            kurbo::Arc::new((0.0, 0.0), (10.0, 10.0), 0.0, std::f64::consts::FRAC_PI_2, 0.0);
        let seg = circle.to_path(0.1).segments().next().unwrap();
        let found = arcs(&seg, 0.0045);
        assert_eq!(found.len(), 2);
        // By hand: each turns by 45°, so its bulge is tan 11.25°.
        let wanted = 11.25_f64.to_radians().tan();
        assert!(found.iter().all(|corner| (corner.bulge - wanted).abs() < 1e-3), "{found:?}");
    }

    #[test]
    fn straight_curves_are_lines() {
        let seg = PathSeg::Cubic(CubicBez::new((0.0, 0.0), (3.0, 1.0), (6.0, 2.0), (9.0, 3.0)));
        assert_eq!(arcs(&seg, 0.0045), vec![Bulged { at: Point::ORIGIN, bulge: 0.0 }]);
    }

    /// Curves with these handles between the origin and 60 mm to the right of it, in arcs.
    fn assert_near(x1: f64, y1: f64, x2: f64, y2: f64) {
        let curve = CubicBez::new((0.0, 0.0), (x1, y1), (x2, y2), (60.0, 0.0));
        let seg = PathSeg::Cubic(curve);
        let corners = arcs(&seg, 0.0045);
        if corners.len() >= 400 {
            return;
        }
        let path = drawn(&corners, curve.p3);
        for i in 0..=200 {
            let p = curve.eval(share(i, 200));
            let off = path.segments().map(|s| s.nearest(p, 1e-9).distance_sq.sqrt());
            assert!(off.fold(f64::INFINITY, f64::min) <= 0.005);
        }
        for back in path.segments() {
            for i in 0..=8 {
                let p = back.eval(share(i, 8));
                assert!(seg.nearest(p, 1e-9).distance_sq.sqrt() <= 0.005);
            }
        }
    }

    /// A handle of 1.5 mm that points away: the curve turns round within a hair of its start.
    #[test]
    fn arcs_do_not_run_wide_where_a_curve_turns_within_a_hair() {
        assert_near(
            -0.33676105696997227,
            -1.4376379839966407,
            5.338608037622431,
            23.26037335986859,
        );
    }

    proptest! {
        #[test]
        fn arcs_keep_to_the_curve_both_ways(
            x1 in -30.0..30.0_f64, y1 in -30.0..30.0_f64,
            x2 in -30.0..30.0_f64, y2 in -30.0..30.0_f64,
        ) {
            assert_near(x1, y1, x2, y2);
        }
    }
}
