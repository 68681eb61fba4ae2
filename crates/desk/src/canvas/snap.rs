//! What a dragged point snaps to: bar edges, centre line, other nodes and holes, a typed grid.
//!
//! All in the plane of the canvas, millimetres: what is level or upright there is so on the screen.

use crate::state::Plane;
use knife::{HoleId, Knife, NodeId, PartId};
use kurbo::{Line, ParamCurve as _, ParamCurveNearest as _, Point};

/// Something a point can snap to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum SnapTarget {
    /// The bar's lower long edge.
    LowerEdge,
    /// The bar's upper long edge.
    UpperEdge,
    /// The bar's left end.
    LeftEnd,
    /// The bar's right end.
    RightEnd,
    /// The line along the middle of the bar.
    CentreLine,
    /// A node of the outline.
    Node(NodeId),
    /// A hole's centre, and its number from 1.
    Hole(HoleId, usize),
    /// A point of an outline that is being drawn, by its number from 1.
    Drawn(usize),
    /// An edge of the picture under the blank.
    PictureEdge,
    /// The typed grid.
    Grid,
}

/// One coordinate that snapped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SnapHit {
    /// To what.
    pub(crate) target: SnapTarget,
    /// Where that lies: a guide line may be drawn from here. On a line without a place of its
    /// own, the snapped place itself.
    pub(crate) from: Point,
}

/// A point after snapping, and what it snapped to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Snapped {
    /// The place, mm in the plane of the canvas.
    pub(crate) at: Point,
    /// What its x snapped to.
    pub(crate) x: Option<SnapHit>,
    /// What its y snapped to.
    pub(crate) y: Option<SnapHit>,
}

/// Everything a gesture can snap to. Made once when the gesture begins.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct SnapTargets {
    along: Vec<(f64, SnapTarget)>,
    up: Vec<(f64, SnapTarget)>,
    points: Vec<(Point, SnapTarget)>,
    /// The bar's lines where they run askew in the plane of the canvas.
    slanted: Vec<(Line, SnapTarget)>,
    grid: Option<Grid>,
}

/// A square grid: its pitch and one of its crossings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Grid {
    /// From one line to the next, mm; at 0 and what is no number there is none.
    pub(crate) pitch_mm: f64,
    /// Where it begins, in the plane of the canvas.
    pub(crate) origin: Point,
}

impl SnapTargets {
    /// What there is to snap to when `moving` is dragged (it doesn't snap to itself): the
    /// bar's edges, ends and centre line, every other node and hole, and the grid.
    pub(crate) fn of(knife: &Knife, moving: &[PartId], plane: Plane, grid: Option<Grid>) -> Self {
        let plane_from_knife = plane.plane_from_knife(knife);
        let nodes = knife.profile.nodes.iter();
        let nodes = nodes
            .filter(|node| !moving.contains(&PartId::Node(node.id)))
            .map(|node| (plane_from_knife * node.at, SnapTarget::Node(node.id)));
        let holes = knife.holes.iter().enumerate();
        let holes = holes
            .filter(|(_, hole)| !moving.contains(&PartId::Hole(hole.id)))
            .map(|(i, hole)| (plane_from_knife * hole.at, SnapTarget::Hole(hole.id, i + 1)));
        // A part that moves with its own plane (a whole knife) would snap to itself.
        let points = if moving.contains(&PartId::Profile) {
            Vec::new()
        } else {
            nodes.chain(holes).collect()
        };
        let grid = grid.filter(|grid| grid.pitch_mm.is_finite() && grid.pitch_mm > 1e-6);
        let mut targets = Self { points, grid, ..Self::default() };
        let plane_from_bar = plane.plane_from_bar(knife);
        for (line, target) in bar_lines(knife) {
            targets.take(plane_from_bar * line, target);
        }
        // A line across the knife snaps to what lies along it only.
        if moving.contains(&PartId::Profile) {
            targets.slanted.clear();
        }
        targets
    }

    /// Takes a line of the bar: as a level where it runs along an axis, else as it lies.
    fn take(&mut self, line: Line, target: SnapTarget) {
        let direction = line.p1 - line.p0;
        let level = 1e-9 * direction.hypot();
        if direction.x.abs() <= level {
            self.along.push((line.p0.x, target));
        } else if direction.y.abs() <= level {
            self.up.push((line.p0.y, target));
        } else {
            self.slanted.push((line, target));
        }
    }

    /// The same with the points of an outline that is being drawn, each with its number.
    #[must_use]
    pub(crate) fn with_points(mut self, points: impl Iterator<Item = (usize, Point)>) -> Self {
        self.points.extend(points.map(|(number, at)| (at, SnapTarget::Drawn(number))));
        self
    }

    /// The place that a wanted place snaps to. A node or hole within reach takes both its
    /// coordinates; else each coordinate snaps to the nearest line within reach (of equals a
    /// line of the bar before a node, a node before a hole); a coordinate that is still free
    /// goes to the grid when that is within reach. Without reach nothing snaps.
    pub(crate) fn snap(&self, wanted: Point, reach_mm: f64) -> Snapped {
        let free = Snapped { at: wanted, x: None, y: None };
        // Written so that what is no number snaps to nothing either.
        let sane = reach_mm > 0.0 && reach_mm.is_finite() && wanted.is_finite();
        if !sane {
            return free;
        }
        if let Some((at, target)) = self.point(wanted, reach_mm) {
            let hit = Some(SnapHit { target, from: at });
            return Snapped { at, x: hit, y: hit };
        }
        if let Some((at, target)) = self.on_slanted(wanted, reach_mm) {
            let hit = Some(SnapHit { target, from: at });
            return Snapped { at, x: hit, y: hit };
        }
        let x = nearest(&self.along, &self.points, wanted.x, reach_mm, |p| p.x);
        let y = nearest(&self.up, &self.points, wanted.y, reach_mm, |p| p.y);
        let x = x.or_else(|| self.on_grid(wanted.x, reach_mm, |p| p.x));
        let y = y.or_else(|| self.on_grid(wanted.y, reach_mm, |p| p.y));
        let at = Point::new(x.map_or(wanted.x, |x| x.0), y.map_or(wanted.y, |y| y.0));
        let hit =
            |c: (f64, SnapTarget, Option<Point>)| SnapHit { target: c.1, from: c.2.unwrap_or(at) };
        Snapped { at, x: x.map(hit), y: y.map(hit) }
    }

    /// The nearest node or hole within reach.
    fn point(&self, wanted: Point, reach_mm: f64) -> Option<(Point, SnapTarget)> {
        let near = self.points.iter().filter(|(at, _)| at.distance(wanted) <= reach_mm);
        near.min_by(|a, b| a.0.distance(wanted).total_cmp(&b.0.distance(wanted))).copied()
    }

    /// The foot on the nearest slanted line within reach.
    fn on_slanted(&self, wanted: Point, reach_mm: f64) -> Option<(Point, SnapTarget)> {
        let feet = self.slanted.iter().map(|(line, target)| {
            let foot = line.eval(line.nearest(wanted, 1e-9).t);
            (foot, *target)
        });
        let near = feet.filter(|(foot, _)| foot.distance(wanted) <= reach_mm);
        near.min_by(|a, b| a.0.distance(wanted).total_cmp(&b.0.distance(wanted)))
    }

    fn on_grid(
        &self,
        value: f64,
        reach_mm: f64,
        of: impl Fn(Point) -> f64,
    ) -> Option<(f64, SnapTarget, Option<Point>)> {
        let grid = self.grid?;
        let from = of(grid.origin);
        let line = from + ((value - from) / grid.pitch_mm).round() * grid.pitch_mm;
        ((line - value).abs() <= reach_mm).then_some((line, SnapTarget::Grid, None))
    }
}

/// The lines of the bar to snap to, in its plane.
fn bar_lines(knife: &Knife) -> [(Line, SnapTarget); 5] {
    let (length, width) = (knife.bar.length_mm, knife.bar.width_mm);
    let along = |y: f64| Line::new((0.0, y), (length, y));
    let up = |x: f64| Line::new((x, 0.0), (x, width));
    [
        (up(0.0), SnapTarget::LeftEnd),
        (up(length), SnapTarget::RightEnd),
        (along(0.0), SnapTarget::LowerEdge),
        (along(width), SnapTarget::UpperEdge),
        (along(width / 2.0), SnapTarget::CentreLine),
    ]
}

/// The nearest line or level of a point within reach.
fn nearest(
    lines: &[(f64, SnapTarget)],
    points: &[(Point, SnapTarget)],
    value: f64,
    reach_mm: f64,
    of: impl Fn(Point) -> f64,
) -> Option<(f64, SnapTarget, Option<Point>)> {
    let lines = lines.iter().map(|(at, target)| (*at, *target, None));
    let levels = points.iter().map(|(at, target)| (of(*at), *target, Some(*at)));
    let mut best: Option<(f64, SnapTarget, Option<Point>)> = None;
    for candidate in lines.chain(levels) {
        let off = (candidate.0 - value).abs();
        let nearer = best.is_none_or(|known| off < (known.0 - value).abs());
        if off <= reach_mm && nearer {
            best = Some(candidate);
        }
    }
    best
}

impl SnapTarget {
    /// What it is called: `the bar's centre line`, `node 3`.
    pub(crate) fn describe(self) -> String {
        match self {
            Self::LowerEdge => "the bar's lower edge".into(),
            Self::UpperEdge => "the bar's upper edge".into(),
            Self::LeftEnd => "the bar's left end".into(),
            Self::RightEnd => "the bar's right end".into(),
            Self::CentreLine => "the bar's centre line".into(),
            Self::Node(id) => format!("node {}", id.0),
            Self::Hole(_, number) => format!("hole {number}"),
            Self::Drawn(number) => format!("point {number}"),
            Self::PictureEdge => "the picture's edge".into(),
            Self::Grid => "the grid".into(),
        }
    }
}

impl Snapped {
    /// What it snapped to, as a tag says it: `on node 3`, `on the bar's centre line, above or
    /// below hole 2`; `None` when it is free.
    pub(crate) fn describe(&self) -> Option<String> {
        let on = |hit: &SnapHit, level: &str| match hit.target {
            SnapTarget::Node(_) | SnapTarget::Hole(..) | SnapTarget::Drawn(_) => {
                format!("{level} {}", hit.target.describe())
            }
            _ => format!("on {}", hit.target.describe()),
        };
        match (&self.x, &self.y) {
            (None, None) => None,
            (Some(x), Some(y)) if x.target == y.target => {
                Some(format!("on {}", x.target.describe()))
            }
            (x, y) => {
                let y = y.as_ref().map(|y| on(y, "level with"));
                let x = x.as_ref().map(|x| on(x, "straight above or below"));
                Some([y, x].into_iter().flatten().collect::<Vec<_>>().join(", "))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Vec2;
    use proptest::prelude::*;

    /// A bar of 300 × 40 with nodes at (10, 10), (200, 15), (200, 30) and a hole at (150, 21).
    fn knife() -> Knife {
        let mut knife = Knife::empty();
        knife.bar.width_mm = 40.0;
        knife.bar.length_mm = 300.0;
        knife.bar.placement.at = Point::new(10.0, 10.0);
        let corners = [(0., 0.), (190., 5.), (190., 20.)].map(Point::from);
        let outline = outline::Outline::polygon(&corners).unwrap();
        knife.profile = knife::Profile::from_outline(&outline);
        let hole = knife::Edit::AddHole {
            name: String::new(),
            kind: knife::HoleKind::Pin,
            at: Point::new(140.0, 11.0),
            diameter_mm: 3.0,
            drill: None,
            pin_mm: None,
        };
        hole.apply(&knife).unwrap()
    }

    fn grid(pitch_mm: f64) -> Grid {
        Grid { pitch_mm, origin: Point::ORIGIN }
    }

    fn snap(moving: &[PartId], grid_mm: Option<f64>, wanted: (f64, f64)) -> Snapped {
        SnapTargets::of(&knife(), moving, Plane::Bar, grid_mm.map(grid)).snap(wanted.into(), 1.5)
    }

    #[test]
    fn lines_of_the_bar_catch_one_coordinate() {
        let low = snap(&[], None, (80.3, 1.2));
        assert_eq!(low.at, Point::new(80.3, 0.0));
        assert_eq!(low.describe().unwrap(), "on the bar's lower edge");
        assert_eq!(snap(&[], None, (80.0, 19.2)).describe().unwrap(), "on the bar's centre line");
        let corner = snap(&[], None, (299.0, 39.0));
        assert_eq!(corner.at, Point::new(300.0, 40.0));
        assert_eq!(corner.describe().unwrap(), "on the bar's upper edge, on the bar's right end");
        assert_eq!(snap(&[], None, (80.3, 5.2)).describe(), None);
    }

    #[test]
    fn nodes_and_holes_catch_whole_or_by_their_level() {
        let on = snap(&[], None, (10.5, 10.9));
        assert_eq!((on.at, on.describe().unwrap().as_str()), (Point::new(10.0, 10.0), "on node 1"));
        let level = snap(&[], None, (60.0, 14.2));
        assert_eq!(level.at, Point::new(60.0, 15.0));
        assert_eq!(level.y.unwrap().from, Point::new(200.0, 15.0));
        assert_eq!(level.describe().unwrap(), "level with node 2");
        let above = snap(&[], None, (149.0, 30.9));
        assert_eq!(above.at, Point::new(150.0, 30.0));
        assert_eq!(above.describe().unwrap(), "level with node 3, straight above or below hole 1");
        // 21 (hole) and 20 (centre line): the nearer one.
        assert_eq!(snap(&[], None, (80.0, 20.8)).at.y, 21.0);
        assert_eq!(snap(&[], None, (80.0, 20.5)).at.y, 20.0, "of equals the bar's line");
    }

    #[test]
    fn what_moves_does_not_snap_to_itself() {
        let own = [PartId::Node(NodeId(1))];
        assert_eq!(snap(&own, None, (10.5, 10.9)).describe(), None);
        assert_eq!(snap(&[PartId::Profile], None, (60.0, 14.2)).describe(), None);
    }

    #[test]
    fn the_grid_takes_what_is_left_free() {
        let found = snap(&[], Some(5.0), (81.2, 5.9));
        assert_eq!(
            (found.at, found.describe().unwrap().as_str()),
            (Point::new(80.0, 5.0), "on the grid")
        );
        let mixed = snap(&[], Some(5.0), (81.2, 20.9));
        assert_eq!(mixed.describe().unwrap(), "level with hole 1, on the grid");
        for pitch in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(snap(&[], Some(pitch), (82.6, 5.9)).describe(), None);
        }
    }

    #[test]
    fn a_turned_blank_snaps_by_the_bars_plane() {
        let mut knife = knife();
        knife.bar.placement.turn_deg = 90.0;
        let targets = SnapTargets::of(&knife, &[], Plane::Bar, None);
        // Node 2 at (190, 5) of the knife lies at (10 − 5, 10 + 190) of the bar.
        assert!((targets.snap(Point::new(5.4, 100.0), 1.0).at.x - 5.0).abs() < 1e-9);
    }

    #[test]
    fn the_grid_begins_where_it_is_told_to() {
        let grid = Grid { pitch_mm: 5.0, origin: Point::new(2.0, -1.0) };
        let targets = SnapTargets::of(&knife(), &[], Plane::Knife, Some(grid));
        assert_eq!(targets.snap(Point::new(81.8, 23.6), 1.0).at, Point::new(82.0, 24.0));
    }

    #[test]
    fn the_bars_lines_catch_a_level_knife_too() {
        // Not turned: where they lie as seen from the knife, 10 lower and 10 to the left.
        let level = SnapTargets::of(&knife(), &[], Plane::Knife, None);
        assert_eq!(level.snap(Point::new(70.3, -9.2), 1.5).at, Point::new(70.3, -10.0));
        // Turned, they run askew; a place falls square onto them.
        let mut knife = knife();
        knife.bar.placement.turn_deg = 30.0;
        let targets = SnapTargets::of(&knife, &[], Plane::Knife, None);
        let on_edge = knife.bar.placement.bar_from_knife().inverse() * Point::new(120.0, 0.0);
        let near = on_edge + Vec2::from_angle(60f64.to_radians());
        let found = targets.snap(near, 1.5);
        assert!(found.at.distance(on_edge) < 1e-9, "{found:?}");
        assert_eq!(found.describe().unwrap(), "on the bar's lower edge");
    }

    proptest! {
        #[test]
        fn never_farther_than_the_reach_and_settled(
            x in -20.0..320.0f64, y in -10.0..50.0f64, reach in 0.0..4.0f64, grid in 0.0..6.0f64,
        ) {
            let targets = SnapTargets::of(&knife(), &[], Plane::Bar, Some(self::grid(grid)));
            let found = targets.snap(Point::new(x, y), reach);
            prop_assert!((found.at.x - x).abs() <= reach && (found.at.y - y).abs() <= reach);
            prop_assert_eq!(found.x.is_none() && found.y.is_none(), found.describe().is_none());
            for reach in [0.0, -1.0, f64::NAN, f64::INFINITY] {
                prop_assert_eq!(targets.snap(Point::new(x, y), reach).at, Point::new(x, y));
            }
        }
    }
}
