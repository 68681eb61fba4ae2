//! The front line of the scales, and lines parallel to it, across the tang.

use super::PiecePart;
use crate::ProfileFigures;
use knife::{FrontCurve, ScaleFront};
use kurbo::{Circle, CubicBez, Line, PathSeg, Point, Vec2};
use outline::{Outline, OutlinePoint};
use std::f64::consts::FRAC_PI_2;

/// An arc is written in cubics of no more than this each, radians: they leave the circle by less
/// than 1e-9 of its radius.
const ARC_STEP: f64 = 0.15;

/// An end that lies no farther from an outline lies on it, mm: rounding.
pub(crate) const ON_MM: f64 = 1e-6;

/// Why the front, or a bolster's line behind it, can't be laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ScaleLayoutError {
    /// No blank lies there.
    Off,
    /// The arc leaves the tang on one side or none.
    Narrow {
        /// Its radius, mm.
        radius_mm: f64,
        /// Half the width of the tang there, along the line's chord, mm.
        half_mm: f64,
    },
    /// A bolster takes all the room, or its line leaves the tang.
    Bolster(PiecePart),
    /// Its front or a joint can't be taken on over the overhang: the piece is sawn flush.
    Overhang(PiecePart),
    /// The bevel's line on the outer face leaves the foremost piece.
    Bevel {
        /// How far it lies behind the front line, mm.
        setback_mm: f64,
    },
}

/// Which part of what a line cuts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum CutSide {
    Ahead,
    Behind,
}

/// A line across the tang, not yet cut off at its sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Front {
    /// Where it crosses the middle.
    pub(crate) middle: Point,
    /// Unit vector square to it there, towards the butt.
    back: Vec2,
    /// Unit vector along it there, towards the spine.
    up: Vec2,
    curve: FrontCurve,
}

/// A line across an outline, from one side to the other.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct CrossCut {
    /// The line, from the spine's side to the edge's.
    pub(crate) run: Vec<PathSeg>,
    /// Where it begins, on the outline.
    upper: OutlinePoint,
    /// Where it ends.
    lower: OutlinePoint,
    back: Vec2,
    up: Vec2,
}

impl Front {
    /// Through the middle of the tang at a place.
    pub(crate) fn at(
        x_mm: f64,
        front: ScaleFront,
        outline: &Outline,
        profile: &ProfileFigures,
    ) -> Result<Self, ScaleLayoutError> {
        let line = Line::new((x_mm, 0.0), (x_mm, 1.0));
        let longest = |a: &(Point, Point), b: &(Point, Point)| {
            a.0.distance(a.1).total_cmp(&b.0.distance(b.1))
        };
        let chord = outline
            .inside_intervals(line)
            .into_iter()
            .max_by(longest)
            .ok_or(ScaleLayoutError::Off)?;
        let (sin, cos) = front.lean_deg.to_radians().sin_cos();
        let butt = Vec2::new(profile.towards_butt, 0.0);
        let spine = Vec2::new(0.0, if profile.edge_is_up { -1.0 } else { 1.0 });
        Ok(Self {
            middle: chord.0.midpoint(chord.1),
            back: cos * butt - sin * spine,
            up: cos * spine + sin * butt,
            curve: front.curve,
        })
    }

    /// The same line elsewhere.
    pub(crate) fn moved(self, by: Vec2) -> Self {
        Self { middle: self.middle + by, ..self }
    }

    /// The place so far behind its middle, square to it.
    pub(crate) fn parallel_at(&self, behind_mm: f64) -> Point {
        self.middle + behind_mm * self.back
    }

    /// The line everywhere so far behind this one, square to it; `None` where a round one has
    /// shrunk to nothing.
    pub(crate) fn parallel(self, behind_mm: f64) -> Option<Self> {
        let curve = match self.curve {
            FrontCurve::Straight => FrontCurve::Straight,
            FrontCurve::Round(mm) if mm <= behind_mm => return None,
            FrontCurve::Round(mm) => FrontCurve::Round(mm - behind_mm),
            FrontCurve::Hollow(mm) => FrontCurve::Hollow(mm + behind_mm),
        };
        Some(Self { middle: self.middle + behind_mm * self.back, curve, ..self })
    }

    /// The line cut off where it first leaves an outline on either side.
    pub(crate) fn across(&self, outline: &Outline) -> Result<CrossCut, ScaleLayoutError> {
        let (upper, lower) = self.ends(outline)?;
        let run = match self.curve {
            FrontCurve::Straight => vec![PathSeg::Line(Line::new(upper.at, lower.at))],
            FrontCurve::Round(mm) | FrontCurve::Hollow(mm) => {
                arc(self.centre(mm), mm, upper.at, lower.at)
            }
        };
        Ok(CrossCut { run, upper, lower, back: self.back, up: self.up })
    }

    fn ends(&self, outline: &Outline) -> Result<(OutlinePoint, OutlinePoint), ScaleLayoutError> {
        // How far along the line each place lies, the middle at 0.
        let chord = outline.crossings_with(Line::new(self.middle, self.middle + self.up));
        let straight: Vec<(f64, OutlinePoint)> = chord
            .iter()
            .map(|c| (c.along_mm, OutlinePoint { at: c.at, segment: c.segment, t: c.t }))
            .collect();
        let (radius_mm, places) = match self.curve {
            FrontCurve::Straight => (f64::INFINITY, straight.clone()),
            FrontCurve::Round(mm) | FrontCurve::Hollow(mm) => {
                let centre = self.centre(mm);
                let out = (self.middle - centre) / mm;
                let turn = |p: Point| (p - centre).dot(self.up).atan2((p - centre).dot(out));
                let found = outline.circle_crossings(Circle::new(centre, mm));
                let found = found.into_iter().map(|place| (turn(place.at), place));
                (mm, found.filter(|(turn, _)| turn.abs() < FRAC_PI_2).collect())
            }
        };
        let min = |a: &(f64, OutlinePoint), b: &(f64, OutlinePoint)| a.0.total_cmp(&b.0);
        let nearest = |places: &[(f64, OutlinePoint)]| {
            let upper =
                places.iter().filter(|(direction, _)| *direction > 0.0).copied().min_by(min);
            let lower =
                places.iter().filter(|(direction, _)| *direction <= 0.0).copied().max_by(min);
            Some((upper?.1, lower?.1))
        };
        if !outline.contains(self.middle) {
            return Err(ScaleLayoutError::Off);
        }
        nearest(&places).ok_or_else(|| {
            let half = nearest(&straight).map_or(0.0, |(a, b)| a.at.distance(b.at) / 2.0);
            ScaleLayoutError::Narrow { radius_mm, half_mm: half }
        })
    }

    /// Centre of the arc.
    fn centre(&self, radius_mm: f64) -> Point {
        match self.curve {
            FrontCurve::Hollow(_) => self.middle - radius_mm * self.back,
            _ => self.middle + radius_mm * self.back,
        }
    }
}

impl CrossCut {
    /// Whether the line, taken downwards, has what is behind it where the ring has its inside: to
    /// the left of a ring that turns left.
    fn behind_on_left(&self, outline: &Outline) -> bool {
        let left = if outline.signed_area() < 0.0 { -1.0 } else { 1.0 };
        (-self.up).cross(self.back) * left > 0.0
    }

    /// Whether both its ends lie on an outline.
    pub(crate) fn lies_on(&self, outline: &Outline) -> bool {
        [self.upper, self.lower].iter().all(|end| outline.nearest(end.at).distance_mm < ON_MM)
    }

    /// The same line lengthened square to the handle on both sides, to where it leaves a larger
    /// outline.
    pub(crate) fn widened(&self, outline: &Outline) -> Option<Self> {
        let beyond = |from: Point, direction: Vec2| {
            let crossings = outline.crossings_with(Line::new(from, from + direction));
            let first = crossings.into_iter().find(|c| c.along_mm > 0.0)?;
            Some(OutlinePoint { at: first.at, segment: first.segment, t: first.t })
        };
        let (upper, lower) = (beyond(self.upper.at, self.up)?, beyond(self.lower.at, -self.up)?);
        let mut run = vec![PathSeg::Line(Line::new(upper.at, self.upper.at))];
        run.extend(&self.run);
        run.push(PathSeg::Line(Line::new(self.lower.at, lower.at)));
        Some(Self { run, upper, lower, ..*self })
    }
}

/// The curves of an outline behind a line across it, without the line.
pub(crate) fn behind(outline: &Outline, across: &CrossCut) -> Vec<PathSeg> {
    if across.behind_on_left(outline) {
        outline.subpath(&across.lower, &across.upper)
    } else {
        outline.subpath(&across.upper, &across.lower)
    }
}

/// The part of an outline on one side of a line across it.
///
/// Its other curves are the outline's own. `None` when no area lies there.
pub(crate) fn cut(outline: &Outline, across: &CrossCut, side: CutSide) -> Option<Outline> {
    let mut segs;
    if across.behind_on_left(outline) == (side == CutSide::Behind) {
        segs = across.run.clone();
        segs.extend(outline.subpath(&across.lower, &across.upper));
    } else {
        segs = across.run.iter().rev().map(PathSeg::reverse).collect();
        segs.extend(outline.subpath(&across.upper, &across.lower));
    }
    Outline::new(segs).ok().filter(|part| part.area() > 0.0)
}

/// The arc about a centre from one place to another, the short way, in cubics whose handles are
/// 4/3 tan(θ/4) of the radius.
fn arc(centre: Point, radius_mm: f64, from: Point, to: Point) -> Vec<PathSeg> {
    let (a, b) = (from - centre, to - centre);
    let whole = a.cross(b).atan2(a.dot(b));
    let count = (whole.abs() / ARC_STEP).ceil().max(1.0);
    let step = whole / count;
    let handle = 4.0 / 3.0 * (step / 4.0).tan() * radius_mm;
    let start = a.atan2();
    let count = count as u32;
    // The ends are those given, so that they lie on the outline to the last bit.
    let place = |i: u32| match i {
        0 => from,
        i if i == count => to,
        i => centre + radius_mm * Vec2::from_angle(start + step * f64::from(i)),
    };
    let along = |i: u32| Vec2::from_angle(start + step * f64::from(i)).turn_90();
    let piece = |i: u32| {
        let (p, q) = (place(i), place(i + 1));
        PathSeg::Cubic(CubicBez::new(p, p + handle * along(i), q - handle * along(i + 1), q))
    };
    (0..count).map(piece).collect()
}
