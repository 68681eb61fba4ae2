//! Where the plunge line stands.

use crate::profile::{Edge, ProfileFigures, end_tangent};
use knife::Bevel;
use kurbo::{Line, ParamCurve, PathSeg, Point, Rect, Vec2};
use outline::Outline;

/// Where the plunge line stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlungeFrame {
    /// Its foot on the outline, on the edge's side.
    pub foot: Point,
    /// Unit way along it, towards the spine.
    pub up: Vec2,
    /// Unit way square to it, towards the tip.
    pub ahead: Vec2,
}

impl PlungeFrame {
    /// The plunge line as it was stated.
    pub(crate) fn of(bevel: &Bevel, outline: &Outline, profile: &ProfileFigures) -> Self {
        let (x, bounds) = (bevel.plunge_x_mm, profile.bounds);
        let across = Line::new((x, bounds.y0 - 1.0), (x, bounds.y1 + 1.0));
        let crossings = outline.crossings_with(across);
        let (foot, y, spineward) = if profile.edge_is_up {
            (crossings.last(), bounds.y1, -1.0)
        } else {
            (crossings.first(), bounds.y0, 1.0)
        };
        let foot = foot.map_or(Point::new(x, y), |crossing| crossing.at);
        let (sin, cos) = bevel.plunge_lean_deg.to_radians().sin_cos();
        Self {
            foot,
            up: Vec2::new(profile.towards_butt * sin, spineward * cos),
            ahead: Vec2::new(-profile.towards_butt * cos, spineward * sin),
        }
    }

    /// How far a place lies ahead of the plunge line, towards the tip, mm.
    pub fn ahead_of(&self, p: Point) -> f64 {
        (p - self.foot).dot(self.ahead)
    }

    /// The edge, run on straight behind the heel along its tangent there, so far that every place
    /// ahead of the plunge has its nearest on it.
    pub(crate) fn run_on(&self, edge: &Edge, bounds: Rect) -> Vec<PathSeg> {
        /// A little farther than it takes, mm.
        const MORE_MM: f64 = 1.0;
        let mut segs = edge.segs.clone();
        let Some(last) = segs.last() else { return segs };
        let (heel, direction) = (last.end(), end_tangent(*last));
        // The blade ahead of the plunge lies within these corners.
        let corners = [(bounds.x0, bounds.y0), (bounds.x1, bounds.y0), (bounds.x1, bounds.y1)];
        let corners = corners.into_iter().chain([(bounds.x0, bounds.y1)]).map(Point::from);
        let ahead = corners.filter(|p| self.ahead_of(*p) >= 0.0);
        let on_plunge =
            [bounds.y0, bounds.y1].map(|y| self.foot + self.up * ((y - self.foot.y) / self.up.y));
        let along = ahead.chain(on_plunge).map(|p| (p - heel).dot(direction)).fold(0.0, f64::max);
        let on = PathSeg::Line(Line::new(heel, heel + direction * (along + MORE_MM)));
        if on.end().is_finite() && on.start() != on.end() {
            segs.push(on);
        }
        segs
    }
}
