//! Raw offset curves: the offset of every segment, joined up, crossings and all.
//!
//! Every point of the raw curve lies within the distance of the source and every point of the
//! true offset lies on it; that is all [`trim`](super::trim) needs. Where the source turns
//! away from the offset side an arc joins the ends, where it turns towards it a straight jump
//! does.

use kurbo::{CubicBez, Line, ParamCurve, PathSeg, Point, Vec2};

use super::bounds::Bounds;
use super::chain::GridPoint;
use super::flatten::{right_of, tangent_at};
use super::hairs::Zones;
use super::strip::arc_step;
use super::thread::{LOOSE, Thread, grid_point};

/// Below this square length, in grid steps, a handle's direction is looked at more closely.
pub(super) const SHORTEST2: f64 = 1e-6;
/// The turn, in radians, that is taken for none: what the rounding of coordinates makes of it.
const STRAIGHT: f64 = 1e-10;
/// The widest gap, in tolerances, between offset ends that are made one.
const MOST_JUMP: f64 = 0.5;
/// How often a chord of an arc is cut up again for its zone.
const DEEPEST_ARC: u32 = 3;
/// A source ring as chords and its raw offset curve, both on the grid.
pub(super) struct Raw {
    pub(super) source: Vec<GridPoint>,
    pub(super) curve: Vec<GridPoint>,
}

impl Raw {
    /// The raw curve at a distance (to the right if positive) of a ring of segments, all in
    /// grid steps, within the tolerance and that of the zones. None if the ring comes to
    /// nothing.
    pub(super) fn around(
        segs: impl Iterator<Item = PathSeg>,
        distance: f64,
        tolerance: f64,
        zones: &Zones,
    ) -> Option<Self> {
        let mut walk = Walk::new(distance, tolerance, zones);
        let mut start: Option<(Point, Vec2)> = None;
        let mut before: Option<Vec2> = None;
        // Segments are looked at where they lie: copies of what was just written cost waits.
        for seg in segs {
            let raised;
            let (cubic, tangents) = match &seg {
                PathSeg::Line(l) => (None, line_tangents(l, before)),
                PathSeg::Cubic(c) => (Some(c), cubic_tangents(c, before)),
                PathSeg::Quad(q) => {
                    raised = q.raise();
                    (Some(&raised), cubic_tangents(&raised, before))
                }
            };
            let Some((from, to)) = tangents else { continue };
            match before {
                // Smooth, and by far the most frequent.
                Some(tangent) if tangent == from => {}
                Some(tangent) => walk.join(seg.start(), tangent, from),
                None => {
                    let at = seg.start();
                    start = Some((at, from));
                    walk.source.add(at);
                    walk.curve.add(walk.offset(at, from));
                }
            }
            match cubic {
                Some(c) => walk.cubic(c, from, to),
                None => walk.straight(seg.end(), to),
            }
            before = Some(to);
        }
        let ((at, first), last) = (start?, before?);
        walk.join(at, last, first);
        walk.into_raw()
    }
}

/// The unit tangent where a segment starts this way; the one before again where that goes on.
#[inline]
fn start_tangent(way: Vec2, before: Option<Vec2>) -> Option<Vec2> {
    match before {
        Some(tangent) if goes_on(tangent, way) => Some(tangent),
        _ => unit(way),
    }
}

/// Unit tangents at both ends; none for a segment that is but a point.
#[inline]
fn line_tangents(l: &Line, before: Option<Vec2>) -> Option<(Vec2, Vec2)> {
    start_tangent(l.p1 - l.p0, before).map(|way| (way, way))
}

/// The same for a cubic, also where handles have no length.
#[inline]
fn cubic_tangents(c: &CubicBez, before: Option<Vec2>) -> Option<(Vec2, Vec2)> {
    if c.p0 == c.p3 && c.p0 == c.p1 && c.p0 == c.p2 {
        return None;
    }
    let from = start_tangent(c.p1 - c.p0, before).unwrap_or_else(|| tangent_at(c, 0.0));
    Some((from, unit(c.p3 - c.p2).unwrap_or_else(|| tangent_at(c, 1.0))))
}

/// Whether a way keeps to a tangent but for rounding.
fn goes_on(tangent: Vec2, way: Vec2) -> bool {
    let along = tangent.dot(way);
    tangent.cross(way).abs() <= STRAIGHT * along && along > SHORTEST2
}

/// A vector's direction unless it is too short to have one, in grid steps.
pub(super) fn unit(v: Vec2) -> Option<Vec2> {
    let length2 = v.hypot2();
    (length2 > SHORTEST2).then(|| v * (1.0 / length2.sqrt()))
}

/// A source ring on its way to a raw curve.
pub(super) struct Walk<'a> {
    pub(super) distance: f64,
    pub(super) tolerance: f64,
    zones: &'a Zones,
    /// The turn of one chord of the arc about a corner.
    arc_step: f64,
    source: Thread,
    curve: Thread,
}

impl<'a> Walk<'a> {
    pub(super) fn new(distance: f64, tolerance: f64, zones: &'a Zones) -> Self {
        Self {
            distance,
            tolerance,
            zones,
            arc_step: arc_step(distance, tolerance),
            source: Thread::new(tolerance, 512),
            curve: Thread::new(tolerance, 768),
        }
    }

    /// What was walked, closed; none if it comes to nothing.
    pub(super) fn into_raw(self) -> Option<Raw> {
        Some(Raw { source: self.source.close()?, curve: self.curve.close()? })
    }

    pub(super) fn offset(&self, p: Point, tangent: Vec2) -> Point {
        p + right_of(tangent) * self.distance
    }

    /// Whether the tolerance is the same everywhere.
    #[inline]
    pub(super) fn is_even(&self) -> bool {
        self.zones.is_even()
    }

    /// The tolerance that holds for a chord of the raw curve.
    #[inline]
    pub(super) fn tolerance_for(&self, a: Point, b: Point) -> f64 {
        if self.zones.is_even() {
            return self.tolerance;
        }
        self.zones.tolerance(Bounds::of(grid_point(a), grid_point(b)))
    }

    /// Whether the offset of what lies between these points is to be as fine as anywhere.
    #[inline]
    pub(super) fn is_even_about(&self, points: [Point; 4]) -> bool {
        if self.zones.is_even() {
            return true;
        }
        let [a, b, c, d] = points.map(grid_point);
        let reach = self.distance.abs().ceil() as i32;
        self.zones.is_coarse(Bounds::of(a, b).with(Bounds::of(c, d)).grown(reach))
    }

    /// A straight chord, or as good as that, to a point.
    pub(super) fn straight(&mut self, p: Point, tangent: Vec2) {
        self.source.add_loose(p);
        self.add_loose(self.offset(p, tangent));
    }

    /// A chord of a curve.
    #[inline]
    pub(super) fn chord(&mut self, p: Point, q: Point) {
        self.source.add(p);
        self.curve.add(q);
    }

    /// Adds the end of a chord of the raw curve that strays hardly at all.
    fn add_loose(&mut self, q: Point) {
        if self.tolerance_for(self.curve.end(), q) < self.tolerance {
            self.curve.add(q);
        } else {
            self.curve.add_loose(q);
        }
    }

    /// From the offset end at a corner to the start of the offset of what follows.
    pub(super) fn join(&mut self, corner: Point, from: Vec2, to: Vec2) {
        let (sine, cosine) = (from.cross(to) * self.distance.signum(), from.dot(to));
        let gap = sine.abs() * self.distance.abs();
        if cosine > 0.0 && gap < 0.5 {
            return;
        }
        if cosine > 0.0 && gap < self.tolerance * MOST_JUMP && sine < 0.0 {
            // The two offsets cross just about in the middle of the jump.
            let between = from + to;
            return self.curve.amend(self.offset(corner, between / between.hypot2().sqrt()));
        }
        if cosine > 0.0 && sine > 0.0 && sine < self.arc_step * LOOSE {
            return self.add_loose(self.offset(corner, to));
        }
        // About a turn straight back the arc is right either way: it stays near the corner.
        if sine > 0.0 || cosine < -0.999_999 {
            let turn = sine.atan2(cosine).rem_euclid(std::f64::consts::TAU);
            self.arc(corner, from, turn, self.arc_step, 0);
        }
        self.curve.add(self.offset(corner, to));
    }

    /// An arc about a corner, without its end: chords of a step or less, in zones of a part
    /// of that.
    fn arc(&mut self, corner: Point, from: Vec2, turn: f64, step: f64, depth: u32) {
        let parts = (turn / step).ceil().max(1.0);
        let part = turn / parts;
        let (s, c) = (self.distance.signum() * part).sin_cos();
        let mut v = from;
        for i in 1..=parts as u32 {
            let next = Vec2::new(v.x * c - v.y * s, v.x * s + v.y * c);
            let end = self.offset(corner, next);
            if !self.zones.is_even() && depth < DEEPEST_ARC {
                let finer =
                    arc_step(self.distance, self.tolerance_for(self.offset(corner, v), end));
                if finer < part {
                    self.arc(corner, v, part, finer, depth + 1);
                }
            }
            if f64::from(i) < parts {
                self.curve.add(end);
            }
            v = next;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    fn raw(path: &str, distance: f64, tolerance: f64) -> Raw {
        let path = kurbo::BezPath::from_svg(path).unwrap();
        Raw::around(path.segments(), distance, tolerance, &Zones::none(tolerance)).unwrap()
    }

    fn corners(ring: &[GridPoint]) -> Vec<(i32, i32)> {
        ring.iter().map(|p| (p.x, p.y)).collect()
    }

    const SQUARE: &str = "M0 0 L10000 0 L10000 10000 L0 10000 Z";

    #[test]
    fn inward_sides_keep_their_length_and_jump() {
        let raw = raw(SQUARE, -2000.0, 10.0);
        assert_eq!(corners(&raw.source), [(0, 0), (10_000, 0), (10_000, 10_000), (0, 10_000)]);
        let curve = corners(&raw.curve);
        assert_eq!(curve[..3], [(0, 2000), (10_000, 2000), (8000, 0)]);
        assert_eq!(curve.len(), 8);
    }

    #[test]
    fn outward_corners_have_arcs_within_the_tolerance() {
        let raw = raw(SQUARE, 2000.0, 10.0);
        for p in &raw.curve {
            let clamp = |u: i32| f64::from(u) - f64::from(u).clamp(0.0, 10_000.0);
            assert!((clamp(p.x).hypot(clamp(p.y)) - 2000.0).abs() < 1.0, "{p:?}");
        }
        // A quarter turn in steps whose sagitta is 10 on a radius of 2000: 0.2 radians.
        assert_eq!(raw.curve.len(), 4 * 9);
    }

    #[test]
    fn a_notch_keeps_its_walls_and_loops_at_its_corners() {
        let notched = "M0 0 L10000 0 L10000 9000 L6000 9000 L6000 5000 L4000 5000 L4000 9000 \
                       L0 9000 Z";
        let curve = corners(&raw(notched, 500.0, 10.0).curve);
        // The floor of the notch, 500 up, from wall to wall.
        assert!(curve.windows(2).any(|w| w == [(6000, 5500), (4000, 5500)]), "{curve:?}");
    }

    #[test]
    fn zones_are_walked_more_finely() {
        let path = kurbo::BezPath::from_svg(SQUARE).unwrap();
        let mut zones = Zones::none(64.0);
        // About the arc at the corner (10000, 10000).
        let corners = (GridPoint::new(10_500, 10_500), GridPoint::new(11_900, 11_900));
        assert!(zones.refine(vec![Bounds::of(corners.0, corners.1)]));
        let fine = Raw::around(path.segments(), 2000.0, 64.0, &zones).unwrap();
        let coarse = raw(SQUARE, 2000.0, 64.0);
        let count = |raw: &Raw, high: bool| {
            raw.curve.iter().filter(|p| (p.x > 10_000 && p.y > 10_000) == high).count()
        };
        assert!(count(&fine, true) > 3 * count(&coarse, true));
        assert_eq!(count(&fine, false), count(&coarse, false));
    }
}
