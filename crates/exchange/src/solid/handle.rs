//! Scales, bolsters and liners: what lies on the steel, and how its outer face is shaped.

use super::net::{Body, Region, holds};
use super::shape::{self, carried_on, outline_chord_mm};
use super::steel::{Steel, solid};
use super::{Mesh, SolidFault};
use knife::{Corner, HoleKind, Knife};
use kurbo::{Circle, Point, Rect};
use outline::Polyline;
use reckon::{Reckoning, ScaleFigures, ScallopFigures, scale_thickness_mm};

/// What is left standing where a corner or a scallop goes deeper than its scale is thick, mm.
const LEFT_MM: f64 = 0.02;
/// Bit of a body's cells from which on recesses have theirs; plunges have those below.
const FIRST_RECESS: u32 = 8;
/// So many recesses have cells of their own.
const MAX_RECESSES: usize = 23;

fn square_mm(knife: &Knife, x_mm: f64) -> f64 {
    scale_thickness_mm(knife, x_mm).unwrap_or_default()
}

/// The shape of the handle's outer faces.
pub(super) struct Grip<'a> {
    pub(super) steel: Steel<'a>,
    pub(super) knife: &'a Knife,
    pub(super) scales: &'a ScaleFigures,
    rim: Polyline,
    front: Option<(Polyline, f64)>,
    scallops: Option<&'a ScallopFigures>,
    /// The scallops of both rows, by growing x.
    drums: Vec<Drum>,
}

/// A drum that cuts a scallop.
struct Drum {
    at: Point,
    /// 1 where its long edge is the upper one, else −1.
    up: f64,
    /// Thickness of the scale there, mm.
    square_mm: f64,
}

impl<'a> Grip<'a> {
    /// `None` without scales.
    pub(super) fn of(knife: &'a Knife, reckoning: &'a Reckoning, steel: Steel<'a>) -> Option<Self> {
        let (scales, blank) = (reckoning.scales.as_ref()?, reckoning.outline.as_ref()?);
        let tan = scales.bevel_deg.to_radians().tan();
        let front = if tan > 0.0 { carried_on(&scales.front).map(|run| (run, tan)) } else { None };
        let rim = Polyline::new(blank.segs(), 2e-3)?;
        let scallops = reckoning.scallops.as_ref();
        let rows = scallops.iter().flat_map(|scallops| [&scallops.upper, &scallops.lower]);
        let mut drums: Vec<Drum> = rows
            .flat_map(|row| row.places.iter().map(|place| (place.at, row.up)))
            .map(|(at, up)| Drum { at, up, square_mm: square_mm(knife, at.x) })
            .collect();
        drums.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
        Some(Self { steel, knife, scales, rim, front, scallops, drums })
    }

    /// Thickness of a scale or a bolster at a place, shaped as it is, mm.
    pub(super) fn thickness_mm(&self, p: Point) -> f64 {
        let square_mm = square_mm(self.knife, p.x);
        let left_mm = (square_mm - self.corner_mm(p)).min(self.under_drums_mm(p));
        let left_mm = left_mm.max(LEFT_MM.min(square_mm));
        match &self.front {
            Some((front, tan)) => left_mm.min(front.distance(p) / tan),
            None => left_mm,
        }
    }

    /// What a chamfer or a round takes off the face at a place, mm.
    fn corner_mm(&self, p: Point) -> f64 {
        let Some(corner) = self.knife.handle.shaping.corner else { return 0.0 };
        let (over_mm, _) = corner.reach_mm();
        let in_mm = self.rim.distance(p);
        let short_mm = over_mm - in_mm;
        if short_mm <= 0.0 {
            return 0.0;
        }
        match corner {
            Corner::Chamfer { angle_deg, .. } => short_mm * angle_deg.to_radians().tan(),
            Corner::Round(radius) => {
                radius - (radius * radius - short_mm * short_mm).max(0.0).sqrt()
            }
        }
    }

    /// What the scallops' drums leave standing at a place, mm; endless beside them. Seen along the
    /// handle a drum cuts a flat at the angle from the face, deepest in the middle.
    fn under_drums_mm(&self, p: Point) -> f64 {
        let Some(scallops) = self.scallops else { return f64::INFINITY };
        let radius = scallops.stated.drum_mm / 2.0;
        let (sin, cos) = scallops.stated.angle_deg.to_radians().sin_cos();
        let first = self.drums.partition_point(|drum| drum.at.x <= p.x - radius);
        let near = self.drums[first..].iter().take_while(|drum| drum.at.x < p.x + radius);
        let left_mm = near.map(|drum| {
            let beside_mm = p.x - drum.at.x;
            let risen_mm = radius - (radius * radius - beside_mm * beside_mm).sqrt();
            let in_mm = drum.up * (drum.at.y - p.y);
            drum.square_mm + (sin * in_mm - (scallops.stated.depth_mm - risen_mm)) / cos
        });
        left_mm.fold(f64::INFINITY, f64::min)
    }

    /// The outer face above the centre plane, on the side of +z or of −z, mm.
    pub(super) fn outer_mm(&self, p: Point, cell: u32, is_upper: bool) -> f64 {
        let under_mm = self.knife.handle.under_scale_mm();
        self.steel.face_mm(p, cell, is_upper) + under_mm + self.thickness_mm(p)
    }

    /// Lines along which the outer face bends: where its corner begins, and so along it that a
    /// round is followed; the front's bevel; the scallops' rims.
    pub(super) fn lines(&self, chord_mm: f64) -> Vec<Vec<Point>> {
        let bounds = self.scales.outline.bounds().inflate(1.0, 1.0);
        let mut lines = self.steel.lines(bounds);
        let Ok(rim) = outline::Outline::polygon(self.rim.points()) else { return lines };
        for in_mm in self.corner_steps(chord_mm) {
            for ring in rim.offset_with(-in_mm, outline_chord_mm(chord_mm)) {
                let mut points = ring.polyline(outline_chord_mm(chord_mm));
                points.extend(points.first().copied());
                // The ring has many more corners than its shape needs.
                let points = outline::simplify_polyline(&points, outline_chord_mm(chord_mm));
                lines.extend(shape::within(&points, bounds));
            }
        }
        if let Some(front) = &self.scales.outer_front {
            lines.extend(
                Polyline::new(front, outline_chord_mm(chord_mm)).map(|run| run.points().to_vec()),
            );
        }
        if let Some(scallops) = self.scallops {
            let rows = [&scallops.upper, &scallops.lower].into_iter();
            let places = rows.flat_map(|row| row.places.iter().map(move |place| (row, place)));
            let rims = places.map(|(row, place)| {
                shape::flattened(
                    &scallops.rim(row, place, &self.scales.outline),
                    outline_chord_mm(chord_mm),
                )
            });
            lines.extend(rims.filter(|rim| rim.len() > 1));
        }
        lines
    }

    /// Distances from the rim at which a corner is followed, mm.
    fn corner_steps(&self, chord_mm: f64) -> Vec<f64> {
        match self.knife.handle.shaping.corner {
            None => Vec::new(),
            Some(Corner::Chamfer { width_mm, .. }) => vec![width_mm],
            Some(Corner::Round(radius)) => {
                // Sagitta of a chord: r (1 − cos(turn / 2)).
                let turn = 2.0 * (1.0 - chord_mm / 5.0 / radius).clamp(0.0, 1.0).acos();
                let steps = (std::f64::consts::FRAC_PI_2 / turn).ceil().clamp(2.0, 40.0);
                (1..=steps as u32)
                    .map(|i| f64::from(i) / steps * std::f64::consts::FRAC_PI_2)
                    .map(|turned| radius * (1.0 - turned.cos()))
                    .collect()
            }
        }
    }

    /// Holes that go through scales, bolsters and liners.
    pub(super) fn holes(&self) -> impl Iterator<Item = Circle> {
        let through = self.knife.holes.iter().filter(|hole| hole.kind != HoleKind::Relief);
        through.filter(|hole| self.scales.outline.contains(hole.at)).map(knife::Hole::circle)
    }

    /// A liner of one side.
    pub(super) fn liner(&self, is_upper: bool, chord_mm: f64) -> Result<Mesh, SolidFault> {
        let handle = &self.knife.handle;
        let layer = Layer {
            grip: self,
            is_upper,
            from_mm: handle.glue_mm(),
            to_mm: Some(handle.glue_mm() + handle.liner_mm()),
            recesses: Vec::new(),
        };
        self.layer(&layer, &self.scales.outline, chord_mm)
    }

    /// A scale or a bolster of one side.
    pub(super) fn piece(
        &self,
        outline: &outline::Outline,
        recesses: &[(Circle, f64)],
        is_upper: bool,
        chord_mm: f64,
    ) -> Result<Mesh, SolidFault> {
        let recess = |(circle, deep_mm): &(Circle, f64)| {
            let thick_mm = square_mm(self.knife, circle.center.x);
            Recess { rim: shape::circle(*circle, chord_mm), floor_mm: thick_mm - deep_mm }
        };
        let layer = Layer {
            grip: self,
            is_upper,
            from_mm: self.knife.handle.under_scale_mm(),
            to_mm: None,
            recesses: recesses.iter().take(MAX_RECESSES).map(recess).collect(),
        };
        self.layer(&layer, outline, chord_mm)
    }

    /// One side of the handle in one piece, from the steel to the outer face.
    pub(super) fn half(&self, is_upper: bool, chord_mm: f64) -> Result<Mesh, SolidFault> {
        let layer = Layer { grip: self, is_upper, from_mm: 0.0, to_mm: None, recesses: Vec::new() };
        self.layer(&layer, &self.scales.outline, chord_mm)
    }

    fn layer(
        &self,
        layer: &Layer<'_>,
        outline: &outline::Outline,
        chord_mm: f64,
    ) -> Result<Mesh, SolidFault> {
        let region = Region {
            outer: vec![outline.polyline(outline_chord_mm(chord_mm))],
            cuts: self.holes().map(|hole| shape::circle(hole, chord_mm)).collect(),
        };
        let bounds: Rect = outline.bounds().inflate(1.0, 1.0);
        let all =
            if layer.to_mm.is_some() { self.steel.lines(bounds) } else { self.lines(chord_mm) };
        let mut lines: Vec<Vec<Point>> =
            all.iter().flat_map(|line| shape::within(line, bounds)).collect();
        lines.extend(
            layer
                .recesses
                .iter()
                .map(|recess| recess.rim.iter().chain(recess.rim.first()).copied().collect()),
        );
        solid(layer, &region, &lines, chord_mm)
    }
}

/// A flat-bottomed hole in a scale's face.
struct Recess {
    rim: Vec<Point>,
    /// Above the scale's glue face, mm.
    floor_mm: f64,
}

/// What lies between two distances from the steel on one side.
struct Layer<'a> {
    grip: &'a Grip<'a>,
    is_upper: bool,
    /// From the steel's face, mm.
    from_mm: f64,
    /// To so far from it, mm; without it to the handle's outer face.
    to_mm: Option<f64>,
    recesses: Vec<Recess>,
}

impl Body for Layer<'_> {
    fn cell(&self, p: Point) -> u32 {
        let of_steel = self.grip.steel.cell(p);
        (FIRST_RECESS..)
            .zip(&self.recesses)
            .fold(of_steel, |bits, (i, recess)| bits | (u32::from(holds(&recess.rim, p)) << i))
    }

    fn heights(&self, p: Point, cell: u32) -> (f64, f64) {
        let steel_mm = self.grip.steel.face_mm(p, cell, self.is_upper);
        let inner_mm = steel_mm + self.from_mm;
        let mut outer_mm = match self.to_mm {
            Some(to_mm) => steel_mm + to_mm,
            None => self.grip.outer_mm(p, cell, self.is_upper),
        };
        for (i, recess) in (FIRST_RECESS..).zip(&self.recesses) {
            if cell >> i & 1 == 1 {
                outer_mm = outer_mm.min(inner_mm + recess.floor_mm);
            }
        }
        if self.is_upper { (inner_mm, outer_mm) } else { (-outer_mm, -inner_mm) }
    }
}

/// The whole knife as one body: steel ahead of the scales, the handle behind their front.
pub(super) struct Whole<'a> {
    pub(super) grip: &'a Grip<'a>,
    front: Polyline,
    /// A place behind the front line.
    behind: Point,
    /// The handle with a little room round it.
    room: Vec<Point>,
}

/// Bit of the cells behind the front line.
const BEHIND: u32 = 31;

impl<'a> Whole<'a> {
    pub(super) fn of(grip: &'a Grip<'a>) -> Option<Self> {
        let scales = &grip.scales;
        let room = scales.outline.offset(0.1).first()?.polyline(0.01);
        Some(Self {
            grip,
            front: carried_on(&scales.front)?,
            behind: scales.outline.centroid(),
            room,
        })
    }

    /// Lines along which the faces break or bend.
    pub(super) fn lines(&self, bounds: Rect, chord_mm: f64) -> Vec<Vec<Point>> {
        let mut lines = self.grip.lines(chord_mm);
        lines.extend(self.grip.steel.lines(bounds));
        let near = self.grip.scales.front_path();
        let near = kurbo::Shape::bounding_box(&near).inflate(1.0, 1.0);
        lines.extend(
            shape::within(self.front.points(), near).into_iter().map(|line| shortened(&line, near)),
        );
        lines
    }
}

/// A line whose far ends are drawn in to a box a little round its middle.
fn shortened(line: &[Point], near: Rect) -> Vec<Point> {
    let long_mm = near.width() + near.height();
    let mut line = line.to_vec();
    let drawn_in = |end: Point, next: Point| {
        let way = end - next;
        if way.hypot() > 1.0 + long_mm { next + way.normalize() } else { end }
    };
    if let [first, second, ..] = line.as_mut_slice() {
        *first = drawn_in(*first, *second);
    }
    if let [.., before, last] = line.as_mut_slice() {
        *last = drawn_in(*last, *before);
    }
    line
}

impl Body for Whole<'_> {
    fn cell(&self, p: Point) -> u32 {
        let side = |p: Point| self.front.nearest(p).side_of(p);
        let is_behind = (side(p) - side(self.behind)).abs() < 1.0 && holds(&self.room, p);
        self.grip.steel.cell(p) | (u32::from(is_behind) << BEHIND)
    }

    fn heights(&self, p: Point, cell: u32) -> (f64, f64) {
        if cell >> BEHIND & 1 == 0 {
            return self.grip.steel.heights(p, cell);
        }
        (-self.grip.outer_mm(p, cell, false), self.grip.outer_mm(p, cell, true))
    }
}
