//! Raw offset curves: the offset of every segment, joined up, crossings and all.
//!
//! Every point of the raw curve lies within the distance of the source and every point of the
//! true offset lies on it; that is all [`trim`](super::trim) needs. Where the source turns
//! away from the offset side an arc joins the ends, where it turns towards it a straight jump
//! does; between lines a mitre mostly does instead, as [`joint`](super::joint) tells. Curves
//! that are as good as straight are taken for lines.

use kurbo::{CubicBez, PathSeg, Point, Vec2};

use super::bounds::Bounds;
use super::chain::GridPoint;
use super::flat::Flatness;
use super::flatten::{right_of, tangent_at};
use super::hairs::Zones;
use super::joint::{Begin, Side};
use super::strip::arc_step;
use super::thread::{Thread, grid_point};

/// Below this square length, in grid steps, a handle's direction is looked at more closely.
pub(super) const SHORTEST2: f64 = 1e-6;
/// The turn, in radians, that is taken for none: what the rounding of coordinates makes of it.
const STRAIGHT: f64 = 1e-10;
/// The share of the tolerance that a curve may stray and still be taken for a line.
const AS_LINE: f64 = 1.0 / 64.0;

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
        segs: impl DoubleEndedIterator<Item = PathSeg> + Clone,
        distance: f64,
        tolerance: f64,
        zones: &Zones,
    ) -> Option<Self> {
        let mut walk = Walk::new(distance, tolerance, zones);
        let last = segs.clone().rev().find_map(|seg| walk.end_of(&seg));
        walk.last = last.filter(|side| side.straight > 0.0);
        for seg in segs {
            walk.segment(&seg);
        }
        let last = walk.before?;
        match walk.open {
            Some((at, first)) => walk.joint(at, last, Side::curve(first)),
            None => walk.settle_start(false),
        }
        walk.into_raw()
    }
}

/// The unit tangent where a segment starts this way; the one before again where that goes on.
#[inline]
fn start_tangent(way: Vec2, before: Option<Side>) -> Option<Vec2> {
    match before {
        Some(side) if goes_on(side.tangent, way) => Some(side.tangent),
        _ => unit(way),
    }
}

/// How a line leaves both its ends; none if it is but a point.
#[inline]
fn line_side(way: Vec2, before: Option<Side>) -> Option<Side> {
    let length2 = way.hypot2();
    if length2 <= SHORTEST2 {
        return None;
    }
    let straight = length2.sqrt();
    let tangent = match before {
        Some(side) if goes_on(side.tangent, way) => side.tangent,
        _ => way * (1.0 / straight),
    };
    Some(Side { tangent, straight })
}

/// How a curve leaves its ends, also where handles have no length.
#[inline]
fn cubic_ends(c: &CubicBez, before: Option<Side>) -> Option<(Side, Side)> {
    if c.p0 == c.p3 && c.p0 == c.p1 && c.p0 == c.p2 {
        return None;
    }
    let from = start_tangent(c.p1 - c.p0, before).unwrap_or_else(|| tangent_at(c, 0.0));
    let to = unit(c.p3 - c.p2).unwrap_or_else(|| tangent_at(c, 1.0));
    Some((Side::curve(from), Side::curve(to)))
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
    pub(super) zones: &'a Zones,
    /// The turn of one chord of the arc about a corner.
    pub(super) arc_step: f64,
    pub(super) source: Thread,
    pub(super) curve: Thread,
    /// How the offset of the line that is walked begins.
    pub(super) begin: Begin,
    /// The end of what was walked last.
    before: Option<Side>,
    /// The line that the ring ends with, if it does with one.
    last: Option<Side>,
    /// What is still to be joined once round, if the ring does not begin between lines.
    open: Option<(Point, Vec2)>,
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
            begin: Begin::default(),
            before: None,
            last: None,
            open: None,
        }
    }

    /// What was walked, closed; none if it comes to nothing.
    pub(super) fn into_raw(self) -> Option<Raw> {
        Some(Raw { source: self.source.close()?, curve: self.curve.close()? })
    }

    /// Walks a segment.
    // Segments are looked at where they lie: copies of what was just written cost waits.
    #[inline(always)]
    fn segment(&mut self, seg: &PathSeg) {
        match seg {
            PathSeg::Line(l) => self.line(l.p0, l.p1),
            PathSeg::Cubic(c) => self.curve(c),
            PathSeg::Quad(q) => self.curve(&q.raise()),
        }
    }

    #[inline(always)]
    fn line(&mut self, from: Point, to: Point) {
        let Some(side) = line_side(to - from, self.before) else { return };
        self.enter(from, side);
        self.source.add_loose(to);
        self.before = Some(side);
    }

    #[inline(always)]
    fn curve(&mut self, c: &CubicBez) {
        let flat = Flatness::of(c, self.distance);
        if self.is_line(flat) {
            return self.line(c.p0, c.p3);
        }
        let Some((from, to)) = cubic_ends(c, self.before) else { return };
        self.enter(c.p0, from);
        self.cubic(c, flat, from.tangent, to.tangent);
        self.before = Some(to);
    }

    /// Whether a curve is as good as a line, and so is its offset.
    #[inline]
    fn is_line(&self, flat: Flatness) -> bool {
        self.is_even() && flat.is_within(self.tolerance * AS_LINE)
    }

    /// How a ring that ends with this segment is closed; none if that is but a point.
    fn end_of(&self, seg: &PathSeg) -> Option<Side> {
        let c = seg.to_cubic();
        match seg {
            PathSeg::Line(l) => line_side(l.p1 - l.p0, None),
            _ if self.is_line(Flatness::of(&c, self.distance)) => line_side(c.p3 - c.p0, None),
            _ => cubic_ends(&c, None).map(|(_, to)| to),
        }
    }

    /// Goes on from what was walked last to what starts so at a place.
    #[inline(always)]
    fn enter(&mut self, at: Point, from: Side) {
        match self.before {
            // Smooth curves, by far the most frequent.
            Some(side) if side.is_curve_into(from) => {}
            Some(side) => self.joint(at, side, from),
            None => {
                self.source.add(at);
                match self.last {
                    Some(line) if from.straight > 0.0 => self.joint(at, line, from),
                    _ => {
                        self.open = Some((at, from.tangent));
                        self.curve.add(self.offset(at, from.tangent));
                    }
                }
            }
        }
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
    pub(super) fn add_loose(&mut self, q: Point) {
        if self.tolerance_for(self.curve.end(), q) < self.tolerance {
            self.curve.add(q);
        } else {
            self.curve.add_loose(q);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn raw(path: &str, distance: f64, tolerance: f64) -> Raw {
        let path = kurbo::BezPath::from_svg(path).unwrap();
        let segs: Vec<PathSeg> = path.segments().collect();
        Raw::around(segs.into_iter(), distance, tolerance, &Zones::none(tolerance)).unwrap()
    }

    fn corners(ring: &[GridPoint]) -> Vec<(i32, i32)> {
        ring.iter().map(|p| (p.x, p.y)).collect()
    }

    const SQUARE: &str = "M0 0 L10000 0 L10000 10000 L0 10000 Z";

    #[test]
    fn inward_sides_meet_in_their_mitres() {
        let raw = raw(SQUARE, -2000.0, 10.0);
        assert_eq!(corners(&raw.source), [(0, 0), (10_000, 0), (10_000, 10_000), (0, 10_000)]);
        let shrunk = [(2000, 2000), (8000, 2000), (8000, 8000), (2000, 8000)];
        assert_eq!(corners(&raw.curve), shrunk);
    }

    #[test]
    fn sides_shorter_than_the_reach_keep_their_length_and_jump() {
        // Its short sides are 1000 long, its walls meet them squarely: the reach is 2000.
        let bar = "M0 0 L10000 0 L10000 1000 L0 1000 Z";
        let curve = corners(&raw(bar, -2000.0, 10.0).curve);
        assert!(curve.windows(2).any(|w| w == [(0, 2000), (10_000, 2000)]), "{curve:?}");
    }

    #[test]
    fn hidden_sides_leave_a_point_a_corner() {
        // Outward, the floor of a round bay of radius 4000 lies beyond its centre.
        let place = |i: u32| Vec2::from_angle(-f64::from(i) * PI / 40.0) * 4000.0;
        let arc: String = (0..=40).map(|i| format!("L{} {}", place(i).x, place(i).y)).collect();
        let plate = format!("M-9000 -9000 L9000 -9000 L9000 0 {arc} L-9000 0 Z");
        let curve = corners(&raw(&plate, 6000.0, 10.0).curve);
        let inside = |p: &&(i32, i32)| f64::from(p.0).hypot(p.1.into()) < 2100.0;
        let count = curve.iter().filter(inside).count();
        assert!((20..=44).contains(&count), "{count}: {curve:?}");
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
    fn a_notch_s_walls_and_floor_meet_in_its_mitres() {
        let notched = "M0 0 L10000 0 L10000 9000 L6000 9000 L6000 5000 L4000 5000 L4000 9000 \
                       L0 9000 Z";
        let curve = corners(&raw(notched, 500.0, 10.0).curve);
        // The floor of the notch, 500 up, between the walls' own offsets.
        let floor = [(5500, 9000), (5500, 5500), (4500, 5500), (4500, 9000)];
        assert!(curve.windows(4).any(|w| w == floor), "{curve:?}");
    }

    #[test]
    fn zones_are_walked_more_finely() {
        let path = kurbo::BezPath::from_svg(SQUARE).unwrap();
        let mut zones = Zones::none(64.0);
        // About the arc at the corner (10000, 10000).
        let corners = (GridPoint::new(10_500, 10_500), GridPoint::new(11_900, 11_900));
        assert!(zones.refine(vec![Bounds::of(corners.0, corners.1)]));
        let segs: Vec<PathSeg> = path.segments().collect();
        let fine = Raw::around(segs.into_iter(), 2000.0, 64.0, &zones).unwrap();
        let coarse = raw(SQUARE, 2000.0, 64.0);
        let count = |raw: &Raw, high: bool| {
            raw.curve.iter().filter(|p| (p.x > 10_000 && p.y > 10_000) == high).count()
        };
        assert!(count(&fine, true) > 3 * count(&coarse, true));
        assert_eq!(count(&fine, false), count(&coarse, false));
    }
}
