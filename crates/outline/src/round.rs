//! Rounding a corner with a true tangent arc.

use crate::nearest::{Nearest, nearest_on};
use crate::outline::Outline;
use crate::segment::{self, cubic};
use crate::tolerance::SMOOTH_TURN_RAD;
use kurbo::{CubicBez, ParamCurve, ParamCurveArclen, PathSeg, Point, Vec2};
use std::f64::consts::{FRAC_PI_6, PI, TAU};

/// Why a corner can't be rounded as asked.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum RoundError {
    /// There is no such node.
    #[error("there is no node {node}: the outline has {count}")]
    NoNode {
        /// The node asked for.
        node: usize,
        /// How many there are.
        count: usize,
    },
    /// The outline runs smoothly through the node, or turns straight back at it.
    #[error("the outline has no corner at node {node}")]
    NoCorner {
        /// The node asked for.
        node: usize,
    },
    /// The radius is not a number above 0.
    #[error("the radius must be a number above 0 mm")]
    BadRadius,
    /// No arc of this radius touches both stretches beside the corner.
    #[error(
        "a radius of {asked_mm:.3} mm does not fit at node {node}: at most {largest_mm:.3} mm does"
    )]
    TooLarge {
        /// The node asked for.
        node: usize,
        /// The radius asked for, in millimetres.
        asked_mm: f64,
        /// The largest radius that fits, in millimetres, rounded down a little.
        largest_mm: f64,
    },
}

/// A smooth stretch from a corner on, its pieces running away from the corner.
struct SmoothRun {
    /// Index of the segment and the piece itself, which runs backward on the way back.
    pieces: Vec<(usize, CubicBez)>,
    /// The side of the centre of the arc, seen along the pieces: 1 left, −1 right.
    side: f64,
}

/// An arc that fits: its centre, and where it touches each stretch (piece, parameter).
struct FilletArc {
    centre: Point,
    back: (usize, f64),
    ahead: (usize, f64),
}

impl Outline {
    /// The outline with the corner at a node replaced by an arc of the given radius that is
    /// tangent to the stretches on both sides, straight or curved. The arc may reach past
    /// smooth nodes but not past the next corner; what lies between goes. It is written as
    /// cubics of at most 30°, which hold the radius to 0.03 %.
    ///
    /// # Errors
    /// [`RoundError`] if there is no such corner or the radius doesn't fit, with the largest
    /// that does.
    pub fn round_corner(&self, node: usize, radius_mm: f64) -> Result<Self, RoundError> {
        let count = self.segs().len();
        if node >= count {
            return Err(RoundError::NoNode { node, count });
        }
        if !(radius_mm.is_finite() && radius_mm > 0.0) {
            return Err(RoundError::BadRadius);
        }
        let corner = self.corner_at(node).ok_or(RoundError::NoCorner { node })?;
        let fit = |r: f64| {
            let (back, ahead) = self.smooth_runs(&corner, r);
            fit_fillet(&back, &ahead, r).map(|seat| (back, ahead, seat))
        };
        match fit(radius_mm) {
            Some((back, ahead, seat)) => {
                Ok(self.with_arc(&corner, &back, &ahead, &seat, radius_mm))
            }
            None => {
                let (mut low, mut high) = (0.0, radius_mm);
                for _ in 0..40 {
                    let mid = 0.5 * (low + high);
                    if fit(mid).is_some() { low = mid } else { high = mid }
                }
                Err(RoundError::TooLarge { node, asked_mm: radius_mm, largest_mm: low })
            }
        }
    }

    fn corner_at(&self, node: usize) -> Option<Turning> {
        let count = self.segs().len();
        let solid = |i: &usize| segment::start_direction(&cubic(&self.segs()[*i])).is_some();
        let before = (1..=count).map(|k| (node + count - k) % count).find(solid)?;
        let behind = (0..count).map(|k| (node + k) % count).find(solid)?;
        let turn_rad = self.turn_from_to(before, behind)?;
        (turn_rad.abs() > SMOOTH_TURN_RAD && turn_rad.abs() < PI - 1e-6).then_some(Turning {
            before,
            behind,
            turn_rad,
        })
    }

    fn turn_from_to(&self, before: usize, behind: usize) -> Option<f64> {
        let arrive = segment::end_direction(&cubic(&self.segs()[before]))?;
        let leave = segment::start_direction(&cubic(&self.segs()[behind]))?;
        Some(crate::curvature::turn(arrive, leave))
    }

    /// The smooth stretches on both sides of a corner, as far as an arc of this radius can
    /// need them.
    fn smooth_runs(&self, corner: &Turning, radius_mm: f64) -> (SmoothRun, SmoothRun) {
        let count = self.segs().len();
        let enough_mm = radius_mm * (6.0 + 3.0 * (0.5 * corner.turn_rad.abs()).tan());
        let side = corner.turn_rad.signum();
        let collect = |start: usize, back: bool| {
            let mut pieces: Vec<(usize, CubicBez)> = vec![];
            let (mut on, mut way_mm) = (start, 0.0);
            let mut last: Option<Vec2> = None;
            for _ in 0..count {
                let c = cubic(&self.segs()[on]);
                let piece = if back { CubicBez::new(c.p3, c.p2, c.p1, c.p0) } else { c };
                if let Some(leave) = segment::start_direction(&piece) {
                    let sharp = |l: Vec2| crate::curvature::turn(l, leave).abs() > SMOOTH_TURN_RAD;
                    if last.is_some_and(sharp) || way_mm > enough_mm {
                        break;
                    }
                    pieces.push((on, piece));
                    way_mm += piece.arclen(1e-3);
                    last = segment::end_direction(&piece);
                }
                on = if back { (on + count - 1) % count } else { (on + 1) % count };
            }
            pieces
        };
        (
            SmoothRun { pieces: collect(corner.before, true), side: -side },
            SmoothRun { pieces: collect(corner.behind, false), side },
        )
    }

    /// Puts the outline together again: the ring without what the arc replaces, and the arc.
    fn with_arc(
        &self,
        corner: &Turning,
        back: &SmoothRun,
        ahead: &SmoothRun,
        seat: &FilletArc,
        radius_mm: f64,
    ) -> Self {
        let count = self.segs().len();
        let (last, last_t) = (back.pieces[seat.back.0].0, 1.0 - seat.back.1);
        let (first, first_t) = (ahead.pieces[seat.ahead.0].0, seat.ahead.1);
        let mut ring: Vec<PathSeg> = vec![];
        let mut start = None;
        if first == last {
            ring.push(self.segs()[first].subsegment(first_t..last_t));
        } else {
            ring.push(self.segs()[first].subsegment(first_t..1.0));
            let mut on = (first + 1) % count;
            while on != last {
                if on == 0 {
                    start = Some(ring.len());
                }
                ring.push(self.segs()[on]);
                on = (on + 1) % count;
            }
            if last == 0 {
                start = Some(ring.len());
            }
            ring.push(self.segs()[last].subsegment(0.0..last_t));
        }
        let (from, to) = (ring[ring.len() - 1].end(), ring[0].start());
        let arc_at = ring.len();
        ring.extend(arc(seat.centre, radius_mm, from, to, corner.turn_rad.signum()));
        ring.rotate_left(start.unwrap_or(arc_at));
        self.with_segs(ring)
    }
}

/// A corner: the segments with some length beside it, and its turn to the left.
struct Turning {
    before: usize,
    behind: usize,
    turn_rad: f64,
}

/// Rolls a circle of the radius along the way back from the corner until it just touches the
/// stretch ahead.
fn fit_fillet(back: &SmoothRun, ahead: &SmoothRun, radius_mm: f64) -> Option<FilletArc> {
    const STEPS: usize = 24;
    for (k, (_, piece)) in back.pieces.iter().enumerate() {
        let mut from = 0.0;
        for step in 1..=STEPS {
            let to = step as f64 / STEPS as f64;
            if clearance(back.centre(piece, to, radius_mm)?, ahead, radius_mm).0 >= 0.0 {
                let (mut low, mut high) = (from, to);
                for _ in 0..60 {
                    let mid = 0.5 * (low + high);
                    let centre = back.centre(piece, mid, radius_mm)?;
                    if clearance(centre, ahead, radius_mm).0 >= 0.0 {
                        high = mid
                    } else {
                        low = mid
                    }
                }
                return refine_fillet(back, ahead, (k, high), radius_mm);
            }
            from = to;
        }
    }
    None
}

/// The seat with the circle touching the way back at a place, if it is a true one.
fn refine_fillet(
    back: &SmoothRun,
    ahead: &SmoothRun,
    at: (usize, f64),
    radius_mm: f64,
) -> Option<FilletArc> {
    let centre = back.centre(&back.pieces[at.0].1, at.1, radius_mm)?;
    let (gap, near) = clearance(centre, ahead, radius_mm);
    let (_, foot) = *ahead.pieces.get(near.segment)?;
    let along = segment::direction(&foot, near.t)?;
    let square = along.dot((centre - near.at).normalize()).abs() < 1e-6;
    let clear = clearance(centre, back, radius_mm).0 > -1e-6 * radius_mm.max(1.0);
    let crossed = back.pieces[at.0].0 == ahead.pieces[near.segment].0 && 1.0 - at.1 <= near.t;
    (gap.abs() < 1e-6 && square && clear && !crossed).then_some(FilletArc {
        centre,
        back: at,
        ahead: (near.segment, near.t),
    })
}

/// How far a circle's rim is off a stretch, and the nearest place (piece for segment).
fn clearance(centre: Point, stretch: &SmoothRun, radius_mm: f64) -> (f64, Nearest) {
    let mut near = Nearest { at: centre, distance_mm: f64::INFINITY, segment: 0, t: 0.0 };
    for (k, (_, piece)) in stretch.pieces.iter().enumerate() {
        nearest_on(&PathSeg::Cubic(*piece), k, centre, &mut near);
    }
    (near.distance_mm - radius_mm, near)
}

impl SmoothRun {
    fn centre(&self, piece: &CubicBez, t: f64, radius_mm: f64) -> Option<Point> {
        let along = segment::direction(piece, t)?;
        Some(piece.eval(t) + radius_mm * self.side * Vec2::new(-along.y, along.x))
    }
}

/// A circular arc as cubics of at most 30°, its ends exactly at `from` and `to`.
pub(crate) fn arc(
    centre: Point,
    radius_mm: f64,
    from: Point,
    to: Point,
    side: f64,
) -> Vec<PathSeg> {
    let start = (from - centre).atan2();
    let sweep = (side * ((to - centre).atan2() - start)).rem_euclid(TAU);
    let count = (sweep / FRAC_PI_6 - 1e-9).ceil().max(1.0) as usize;
    let step = side * sweep / count as f64;
    let handle = 4.0 / 3.0 * (0.25 * step).tan() * radius_mm;
    let at = |k: usize| match k {
        0 => from,
        k if k == count => to,
        k => centre + radius_mm * Vec2::from_angle(start + step * k as f64),
    };
    let along = |k: usize| {
        let out = Vec2::from_angle(start + step * k as f64);
        handle * Vec2::new(-out.y, out.x)
    };
    (0..count)
        .map(|k| {
            let (a, b) = (at(k), at(k + 1));
            PathSeg::Cubic(CubicBez::new(a, a + along(k), b - along(k + 1), b))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn notched() -> Outline {
        Outline::polygon(
            &[
                (0., 0.),
                (10., 0.),
                (10., 8.),
                (20., 8.),
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
    fn closed_form_square_corners() {
        let notched = notched();
        for node in 0..8 {
            let round = notched.round_corner(node, 3.0).unwrap();
            // A round tool of radius r leaves r²(1 − π/4) in a square inside corner.
            let left = 9.0 * (1.0 - PI / 4.0);
            let inside = node == 2 || node == 3;
            let change = round.area() - notched.area();
            assert!((change.abs() - left).abs() < 1e-4, "{node} {change}");
            assert_eq!(change > 0.0, inside, "{node}");
            if inside {
                let tight = round.tightest_inside().unwrap();
                assert!((tight.radius_mm / 3.0 - 1.0).abs() < 1e-3, "{tight:?}");
                assert_eq!(round.inside_corners().len(), 1);
            }
            assert!(round.contacts().is_empty());
        }
    }

    #[test]
    fn too_large_tells_the_largest() {
        let fault = notched().round_corner(2, 9.0);
        let Err(RoundError::TooLarge { largest_mm, .. }) = fault else { panic!("{fault:?}") };
        assert!((largest_mm - 8.0).abs() < 1e-6, "{largest_mm}");
        assert!(notched().round_corner(2, largest_mm - 1e-9).is_ok());
        assert_eq!(notched().round_corner(2, -1.0), Err(RoundError::BadRadius));
        assert!(matches!(notched().round_corner(9, 1.0), Err(RoundError::NoNode { .. })));
    }

    /// A lens of two curves with a sharp corner at each end, and a bite with inside corners.
    fn bitten() -> Outline {
        let path = kurbo::BezPath::from_svg(
            "M0 0 C 20 -14 60 -14 90 0 C 70 12 62 14 55 14 C 52 6 44 4 40 12 C 25 12 12 8 0 0 Z",
        )
        .unwrap();
        Outline::from_path(&path).unwrap()
    }

    #[test]
    fn corners_between_curves_get_a_true_tangent_arc() {
        let whole = bitten();
        for o in [whole.clone(), whole.reversed()] {
            let corners = o.corners();
            assert_eq!(corners.len(), 4);
            for corner in corners {
                for radius in [0.05, 0.5, 1.5] {
                    let round = o.round_corner(corner.node, radius).unwrap();
                    assert_eq!(round.corners().len(), 3, "{corner:?} {radius}");
                    assert!(round.contacts().is_empty());
                    assert_eq!(round.area() > o.area(), corner.turn_rad < 0.0);
                    let near = round.nearest(corner.at);
                    let bend = round.curvature_at(near.segment, near.t);
                    let sign = corner.turn_rad.signum();
                    assert!((sign * bend * radius - 1.0).abs() < 1e-3, "{corner:?} {bend}");
                }
            }
        }
    }

    #[test]
    fn nodes_along_the_stretches_change_nothing() {
        let plain = bitten();
        let mut cut = plain.clone();
        for t in [0.5, 0.9, 0.5, 0.97] {
            cut = cut.split_at(1, t);
        }
        let node = |o: &Outline| o.nodes().position(|p| p == Point::new(55., 14.)).unwrap();
        let (a, b) = (plain.round_corner(node(&plain), 2.0), cut.round_corner(node(&cut), 2.0));
        assert!((a.unwrap().area() - b.unwrap().area()).abs() < 1e-9);
    }
}
