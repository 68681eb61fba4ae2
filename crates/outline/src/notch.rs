//! Cutting a round notch into an outline.

use crate::along::OutlinePoint;
use crate::nearest::{Nearest, each_foot, nearest_on};
use crate::outline::Outline;
use crate::round::{RoundError, arc};
use crate::segment::{self, cubic};
use kurbo::{ParamCurve, PathSeg, Point, Vec2};

/// A place nearer than this to a node is that node, in millimetres.
const AT_NODE_MM: f64 = 1e-6;
/// The circle may come this near to the rest of the outline, in millimetres: more is rounding.
const CLEAR_MM: f64 = 1e-6;
/// Halvings in search of the largest rounding of the lips: to a thousandth.
const LIP_HALVINGS: u32 = 10;

/// A round notch: part of a circle that reaches into the material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Notch {
    /// Diameter of the circle, in millimetres.
    pub diameter_mm: f64,
    /// How deep it reaches, square to the outline at its place, in millimetres: half the
    /// diameter puts the circle's centre on the outline.
    pub depth_mm: f64,
    /// Radius of the rounding of its two outer corners, in millimetres; 0 leaves them sharp.
    pub lip_radius_mm: f64,
}

/// Why a notch can't be cut as asked.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NotchError {
    /// A size is not a number above 0, or the depth is as much as the diameter.
    #[error(
        "a notch needs a diameter above 0 mm, a depth between 0 mm and the diameter, and a lip \
         radius of 0 mm or more"
    )]
    BadSize,
    /// There is no such segment.
    #[error("there is no stretch {segment}: the outline has {count}")]
    NoSegment {
        /// The segment asked for.
        segment: usize,
        /// How many there are.
        count: usize,
    },
    /// The circle meets the outline again somewhere else.
    #[error(
        "a notch of {diameter_mm:.2} mm, {depth_mm:.2} mm deep, meets the outline again at \
         x {x:.1}, y {y:.1} mm; make it smaller or shallower, or move it", x = at.x, y = at.y
    )]
    MeetsOutline {
        /// Its diameter, in millimetres.
        diameter_mm: f64,
        /// Its depth, in millimetres.
        depth_mm: f64,
        /// Where on the outline, deepest in the circle.
        at: Point,
    },
    /// The whole outline lies in the circle.
    #[error("a notch of {diameter_mm:.2} mm is larger than the whole outline; make it smaller")]
    TakesAll {
        /// Its diameter, in millimetres.
        diameter_mm: f64,
    },
    /// Its outer corners can't be rounded by so much.
    #[error(
        "the corners of this notch can't be rounded by {asked_mm:.3} mm: at most \
         {largest_mm:.3} mm fits"
    )]
    Lip {
        /// The radius asked for, in millimetres.
        asked_mm: f64,
        /// The largest that fits, in millimetres, rounded down a little.
        largest_mm: f64,
    },
}

/// The outline between two places inside the circle: where it enters it and where it leaves.
struct Mouth {
    enters: OutlinePoint,
    leaves: OutlinePoint,
}

impl Outline {
    /// The outline with a round notch at parameter `t` of a segment: a true circular arc
    /// whose deepest point lies `depth_mm` inside, square to the outline at its place (at a
    /// corner: square to the mean of both directions). It may span several stretches; what
    /// lies in the circle goes. It is written as cubics of at most 30°, which hold the radius
    /// to 0.03 %. Nodes that stay keep their exact places.
    ///
    /// Closed form on a straight stretch: with radius r and depth d the area lost is the
    /// circular segment's, r² acos((r − d)/r) − (r − d) √(2rd − d²).
    ///
    /// # Errors
    /// [`NotchError`] if the circle meets any other part of the outline or the lips don't fit.
    pub fn notched(&self, segment: usize, t: f64, notch: Notch) -> Result<Self, NotchError> {
        let count = self.segs().len();
        if segment >= count {
            return Err(NotchError::NoSegment { segment, count });
        }
        if !notch.is_sound() {
            return Err(NotchError::BadSize);
        }
        let sharp = self.with_sharp_notch(segment, t.clamp(0.0, 1.0), notch)?;
        if notch.lip_radius_mm <= 0.0 {
            return Ok(sharp.0);
        }
        let asked_mm = notch.lip_radius_mm;
        self.with_lips(&sharp, asked_mm).map_err(|max_mm| {
            let (mut low, mut high) = (0.0, max_mm.min(asked_mm));
            for _ in 0..LIP_HALVINGS {
                let mid = 0.5 * (low + high);
                if self.with_lips(&sharp, mid).is_ok() { low = mid } else { high = mid }
            }
            NotchError::Lip { asked_mm, largest_mm: low }
        })
    }

    /// The outline with a sharp-cornered notch, and its two outer corners.
    fn with_sharp_notch(
        &self,
        segment: usize,
        t: f64,
        notch: Notch,
    ) -> Result<(Self, [Point; 2]), NotchError> {
        let radius_mm = notch.diameter_mm / 2.0;
        let at = self.point_at(segment, t);
        let centre = at + (notch.depth_mm - radius_mm) * self.inward(segment, t);
        let reversed = self.reversed();
        let mirror = self.segs().len() - 1;
        let takes_all = NotchError::TakesAll { diameter_mm: notch.diameter_mm };
        let leaves = self.leaves(segment, t, centre, radius_mm).ok_or(takes_all)?;
        let back =
            reversed.leaves(mirror - segment, 1.0 - t, centre, radius_mm).ok_or(takes_all)?;
        let enters = OutlinePoint { segment: mirror - back.segment, t: 1.0 - back.t, ..back };
        let rest = self.rest(&Mouth { enters, leaves }, (segment, t)).ok_or(takes_all)?;
        if let Some(at) = deepest_overlap(&rest, centre, radius_mm) {
            let Notch { diameter_mm, depth_mm, .. } = notch;
            return Err(NotchError::MeetsOutline { diameter_mm, depth_mm, at });
        }
        Ok(self.closed_by_arc(rest, centre, radius_mm))
    }

    /// Unit direction into the material at a place.
    fn inward(&self, segment: usize, t: f64) -> Vec2 {
        let count = self.segs().len();
        let on = |i: usize, t: f64| self.tangent_at(i % count, t);
        let along = if t <= 0.0 {
            on(segment + count - 1, 1.0) + on(segment, 0.0)
        } else if t >= 1.0 {
            on(segment, 1.0) + on(segment + 1, 0.0)
        } else {
            on(segment, t)
        };
        // Straight back at a spike's point: into the spike.
        let along =
            if along.hypot() > 1e-9 { along.normalize() } else { on(segment, 0.0).turn_90() };
        self.sense() * along.turn_90()
    }

    /// The first place from here on where the outline leaves a circle that holds the start.
    fn leaves(
        &self,
        segment: usize,
        t: f64,
        centre: Point,
        radius_mm: f64,
    ) -> Option<OutlinePoint> {
        let count = self.segs().len();
        for step in 0..=count {
            let on = (segment + step) % count;
            let from = if step == 0 { t } else { 0.0 };
            if let Some(t) = leaves(&self.segs()[on], from, centre, radius_mm) {
                return Some(OutlinePoint { at: self.segs()[on].eval(t), segment: on, t });
            }
        }
        None
    }

    /// What stays of the outline, from where it leaves the circle round to where it enters;
    /// each piece with the node at which it starts, if it is whole at its start.
    fn rest(&self, mouth: &Mouth, at: (usize, f64)) -> Option<Vec<(PathSeg, Option<usize>)>> {
        let count = self.segs().len();
        let Mouth { enters, leaves } = mouth;
        let lost =
            (leaves.segment + count - at.0) % count + (at.0 + count - enters.segment) % count;
        if lost > count || (lost == count && leaves.t >= enters.t) {
            return None;
        }
        let mut rest = vec![];
        let mut push = |on: usize, from: f64, to: f64| {
            let whole = self.segs()[on];
            let piece = if from <= 0.0 && to >= 1.0 { whole } else { whole.subsegment(from..to) };
            if segment::control_length_mm(&piece) > AT_NODE_MM {
                rest.push((piece, (from <= 0.0).then_some(on)));
            }
        };
        let (from, to) = (self.at_node(leaves), self.at_node(enters));
        if leaves.segment == enters.segment && leaves.t < enters.t {
            push(leaves.segment, from, to);
        } else {
            push(leaves.segment, from, 1.0);
            let mut on = (leaves.segment + 1) % count;
            while on != enters.segment {
                push(on, 0.0, 1.0);
                on = (on + 1) % count;
            }
            push(on, 0.0, to);
        }
        (!rest.is_empty()).then_some(rest)
    }

    /// A place's parameter; the node's own where it lies at one.
    fn at_node(&self, place: &OutlinePoint) -> f64 {
        let seg = &self.segs()[place.segment];
        if place.at.distance(seg.start()) < AT_NODE_MM {
            0.0
        } else if place.at.distance(seg.end()) < AT_NODE_MM {
            1.0
        } else {
            place.t
        }
    }

    fn closed_by_arc(
        &self,
        rest: Vec<(PathSeg, Option<usize>)>,
        centre: Point,
        radius_mm: f64,
    ) -> (Self, [Point; 2]) {
        let (from, to) = (rest[rest.len() - 1].0.end(), rest[0].0.start());
        let first = rest.iter().enumerate().filter_map(|(i, piece)| Some((piece.1?, i))).min();
        let mut ring: Vec<PathSeg> = rest.into_iter().map(|piece| piece.0).collect();
        ring.extend(arc(centre, radius_mm, from, to, -self.sense()));
        ring.rotate_left(first.map_or(0, |(_, i)| i));
        (self.with_segs(ring), [from, to])
    }

    /// A bitten outline with both outer corners rounded; else a radius that is surely too large.
    fn with_lips(&self, sharp: &(Self, [Point; 2]), lip_radius_mm: f64) -> Result<Self, f64> {
        let (mut shape, corners) = (sharp.0.clone(), sharp.1);
        for (i, corner) in corners.into_iter().enumerate() {
            let node = shape.nodes().position(|node| node == corner).ok_or(lip_radius_mm)?;
            shape = match shape.round_corner(node, lip_radius_mm) {
                Ok(rounded) => rounded,
                Err(RoundError::NoCorner { .. }) => shape,
                // The most of the second corner holds only beside the first one's rounding.
                Err(RoundError::TooLarge { largest_mm, .. }) if i == 0 => return Err(largest_mm),
                Err(_) => return Err(lip_radius_mm),
            };
        }
        let sound = shape.contacts().len() <= self.contacts().len();
        if sound { Ok(shape) } else { Err(lip_radius_mm) }
    }
}

impl Notch {
    fn is_sound(&self) -> bool {
        let Self { diameter_mm, depth_mm, lip_radius_mm } = *self;
        let finite = [diameter_mm, depth_mm, lip_radius_mm].iter().all(|v| v.is_finite());
        finite && depth_mm > 0.0 && depth_mm < diameter_mm && lip_radius_mm >= 0.0
    }
}

/// The first parameter after `from` at which a segment goes out of a circle.
fn leaves(seg: &PathSeg, from: f64, centre: Point, radius_mm: f64) -> Option<f64> {
    let outside = |t: f64| seg.eval(t).distance(centre) > radius_mm;
    // Between these the distance to the centre only grows or only falls.
    let mut turns = vec![1.0];
    each_foot(&cubic(seg), centre, &mut |t| turns.push(t));
    turns.sort_by(f64::total_cmp);
    let mut last = from;
    for turn in turns.into_iter().filter(|turn| *turn > from) {
        if outside(turn) {
            let (mut low, mut high) = (last, turn);
            for _ in 0..60 {
                let mid = 0.5 * (low + high);
                if outside(mid) { high = mid } else { low = mid }
            }
            return Some(high);
        }
        last = turn;
    }
    None
}

/// Where pieces of an outline lie deepest inside a circle, if they do.
fn deepest_overlap(
    rest: &[(PathSeg, Option<usize>)],
    centre: Point,
    radius_mm: f64,
) -> Option<Point> {
    let mut near = Nearest { at: centre, distance_mm: f64::INFINITY, segment: 0, t: 0.0 };
    for (i, (piece, _)) in rest.iter().enumerate() {
        nearest_on(piece, i, centre, &mut near);
    }
    (near.distance_mm < radius_mm - CLEAR_MM).then_some(near.at)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn plate() -> Outline {
        Outline::polygon(&[(0., 0.), (100., 0.), (100., 30.), (0., 30.)].map(Point::from)).unwrap()
    }

    fn notch(diameter_mm: f64, depth_mm: f64) -> Notch {
        Notch { diameter_mm, depth_mm, lip_radius_mm: 0.0 }
    }

    /// Area of the circular segment of radius r and rise d (closed form).
    fn circular_segment(r: f64, d: f64) -> f64 {
        r * r * ((r - d) / r).acos() - (r - d) * (2.0 * r * d - d * d).sqrt()
    }

    #[test]
    fn closed_form_on_a_straight_stretch() {
        for outline in [plate(), plate().reversed()] {
            for (diameter_mm, depth_mm) in [(8.0, 4.0), (22.0, 8.8), (10.0, 1.0), (10.0, 7.5)] {
                let segment = outline.nearest(Point::new(40.0, 0.0)).segment;
                let cut = outline.notched(segment, 0.4, notch(diameter_mm, depth_mm)).unwrap();
                let lost = outline.area() - cut.area();
                let wanted = circular_segment(diameter_mm / 2.0, depth_mm);
                assert!((lost / wanted - 1.0).abs() < 1e-5, "{lost} {wanted}");
                let tight = cut.tightest_inside().unwrap();
                let off = tight.radius_mm / (diameter_mm / 2.0) - 1.0;
                assert!(off.abs() < 1e-3, "{off}");
                assert!(cut.contacts().is_empty());
                assert_eq!(cut.signed_area() > 0.0, outline.signed_area() > 0.0);
                let deepest = outline.point_at(segment, 0.4) + Vec2::new(0.0, depth_mm);
                assert!(cut.nearest(deepest).distance_mm < 1e-4);
                assert_eq!(cut.nodes().next(), outline.nodes().next(), "node 0 stays node 0");
            }
        }
        // Half a disc, by the elementary formula.
        let half = plate().notched(0, 0.5, notch(8.0, 4.0)).unwrap();
        assert!((plate().area() - half.area() - PI * 16.0 / 2.0).abs() < 1e-4);
        let deepest = half.nearest(Point::new(50.0, 4.0)).distance_mm;
        assert!(deepest < 1e-4, "{deepest}");
    }

    #[test]
    fn a_notch_over_a_square_corner_takes_three_quarters_of_nothing_else() {
        // The circle's centre on the side, 1 mm before the corner: what is lost is the part of
        // the half disc left of the side x = 100 (a half disc less half a circular segment).
        let cut = plate().notched(0, 0.99, notch(8.0, 4.0)).unwrap();
        let wanted = PI * 8.0 - circular_segment(4.0, 3.0) / 2.0;
        assert!((plate().area() - cut.area() - wanted).abs() < 1e-4);
        assert!(cut.nodes().all(|node| node != Point::new(100.0, 0.0)), "the corner is gone");
        assert!(cut.contacts().is_empty());
        // At the corner itself, square to the mean of both sides: a quarter disc.
        let cut = plate().notched(1, 0.0, notch(8.0, 4.0)).unwrap();
        assert!((plate().area() - cut.area() - PI * 4.0).abs() < 1e-4);
    }

    #[test]
    fn lips_are_rounded_by_their_radius() {
        let sharp = plate().notched(0, 0.5, notch(8.0, 4.0)).unwrap();
        let lips = Notch { lip_radius_mm: 0.5, ..notch(8.0, 4.0) };
        let cut = plate().notched(0, 0.5, lips).unwrap();
        assert!(cut.area() < sharp.area() && cut.corners().len() == 4);
        // Sharp right-angled lips: centre of the lip's arc at height −0.5 inside the side and
        // 4.5 from the notch's centre, so its foot on the side lies at √(4.5² − 0.5²).
        let foot = 50.0 + (4.5_f64.powi(2) - 0.25).sqrt();
        assert!(cut.nodes().any(|node| (node - Point::new(foot, 0.0)).hypot() < 1e-4));
        let wide = Notch { lip_radius_mm: 400.0, ..lips };
        let Err(NotchError::Lip { largest_mm, .. }) = plate().notched(0, 0.5, wide) else {
            panic!("taken")
        };
        assert!(largest_mm > 5.0 && largest_mm < 400.0, "{largest_mm}");
        let fits = Notch { lip_radius_mm: largest_mm, ..lips };
        assert!(plate().notched(0, 0.5, fits).is_ok());
    }

    #[test]
    fn what_does_not_fit_is_refused_with_its_reason() {
        let met = plate().notched(0, 0.5, notch(61.0, 30.5));
        let Err(NotchError::MeetsOutline { at, .. }) = met else { panic!("{met:?}") };
        assert!((at - Point::new(50.0, 30.0)).hypot() < 1e-9);
        assert!(plate().notched(0, 0.5, notch(400.0, 200.0)).is_err());
        assert!(plate().notched(0, 0.5, notch(2000.0, 1000.0)).is_err());
        for bad in [notch(0.0, 0.0), notch(4.0, 4.0), notch(f64::NAN, 1.0), notch(4.0, -1.0)] {
            assert_eq!(plate().notched(0, 0.5, bad), Err(NotchError::BadSize));
        }
        assert!(matches!(
            plate().notched(4, 0.5, notch(4.0, 2.0)),
            Err(NotchError::NoSegment { .. })
        ));
        // The slot's far side lies in the circle although no material would be cut there.
        let slot = [(0., 0.), (40., 0.), (40., 20.), (42., 20.), (42., 0.), (80., 0.), (80., 30.)];
        let slot = Outline::polygon(&slot.map(Point::from)).unwrap();
        assert!(slot.notched(1, 0.5, notch(3.0, 1.0)).is_ok_and(|cut| cut.area() < slot.area()));
        assert!(slot.notched(1, 0.5, notch(8.0, 1.0)).is_err());
    }

    #[test]
    fn a_notch_next_to_a_node_leaves_no_sliver() {
        let cut = plate().notched(0, 0.04, notch(8.0, 4.0)).unwrap();
        assert!(cut.segs().iter().all(|seg| segment::control_length_mm(seg) > 1e-6));
        assert!(cut.nodes().any(|node| node == Point::ORIGIN));
    }
}
