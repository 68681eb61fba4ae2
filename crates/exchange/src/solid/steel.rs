//! The steel: its two faces are those of the thickness field.

use super::lattice::Lattice;
use super::net::{self, Body, Region};
use super::shape::{self, fineness};
use super::thicken::thicken;
use super::{Mesh, SolidFault};
use kurbo::{Circle, Point, Rect};
use outline::Outline;
use reckon::JimpingFigures;
use reckon::solid::Field;

/// Places on a plunge line are looked at so far to either side of it, mm.
const BESIDE_MM: f64 = 1e-6;
/// Grind lines are followed so closely, mm.
const LINE_MM: f64 = 5e-3;
/// Nets tried, each closer than the one before, until one closes.
const CLOSER: u32 = 5;

/// Triangles that are looked at for one part, over all rounds and nets. A sample's part takes a
/// third of it at the finest tolerance.
const MAX_TRIANGLES: usize = 1_000_000;

/// The steel between its faces.
#[derive(Clone, Copy)]
pub(super) struct Steel<'a> {
    pub(super) field: &'a Field,
    /// Whether the left face lies at +z. It is the one seen with the tip to the left and the edge
    /// down.
    pub(super) left_is_up: bool,
}

impl Steel<'_> {
    /// How far a face lies from the centre plane, mm: of the one at +z, or at −z.
    pub(super) fn face_mm(&self, p: Point, cell: u32, is_upper: bool) -> f64 {
        let halves = self.field.half_thickness(self.beside(p, cell));
        if is_upper == self.left_is_up { halves.left_mm } else { halves.right_mm }
    }

    /// A place on a plunge line moved off it, to the side that the cell lies on.
    fn beside(&self, mut p: Point, cell: u32) -> Point {
        for (i, plunge) in self.field.bevels.iter().map(|ground| ground.plunge).enumerate() {
            let Some(plunge) = plunge else { continue };
            let ahead_mm = plunge.ahead_of(p);
            let is_ahead = cell >> i & 1 == 1;
            if is_ahead && ahead_mm < BESIDE_MM {
                p += plunge.ahead * (BESIDE_MM - ahead_mm);
            } else if !is_ahead && ahead_mm > -BESIDE_MM {
                p -= plunge.ahead * (BESIDE_MM + ahead_mm);
            }
        }
        p
    }

    /// Lines along which the faces break or bend: plunge lines across all of the box, grind lines.
    pub(super) fn lines(&self, bounds: Rect) -> Vec<Vec<Point>> {
        let mut lines = Vec::new();
        let near = bounds.inflate(1.0, 1.0);
        let long_mm = near.width() + near.height();
        for ground in &self.field.bevels {
            if let Some(plunge) = ground.plunge {
                let middle = near.center() - plunge.ahead * plunge.ahead_of(near.center());
                let along = plunge.ahead.turn_90() * long_mm;
                lines.extend(clipped(middle - along, middle + along, near));
            }
            for kink in &ground.kinks {
                lines.extend(shape::within(
                    &outline::simplify_polyline(kink.points(), LINE_MM),
                    near,
                ));
            }
        }
        lines
    }
}

impl Body for Steel<'_> {
    fn cell(&self, p: Point) -> u32 {
        let plunges = self.field.bevels.iter().map(|ground| ground.plunge);
        (0..).zip(plunges).fold(0, |bits, (i, plunge)| {
            let is_ahead = plunge.is_some_and(|plunge| plunge.ahead_of(p) >= 0.0);
            bits | (u32::from(is_ahead) << i)
        })
    }

    fn heights(&self, p: Point, cell: u32) -> (f64, f64) {
        (-self.face_mm(p, cell, false), self.face_mm(p, cell, true))
    }
}

/// The stretch of a straight line within a box (Liang and Barsky 1984).
fn clipped(from: Point, to: Point, bounds: Rect) -> Option<Vec<Point>> {
    let way = to - from;
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (step, low, high) in [
        (way.x, bounds.x0 - from.x, bounds.x1 - from.x),
        (way.y, bounds.y0 - from.y, bounds.y1 - from.y),
    ] {
        if step == 0.0 {
            if low > 0.0 || high < 0.0 {
                return None;
            }
        } else {
            first = first.max((low / step).min(high / step));
            last = last.min((low / step).max(high / step));
        }
    }
    (first < last).then(|| vec![from + way * first, from + way * last])
}

/// The ground steel as a closed mesh: the outline with its jimping and its holes, between the two
/// faces of the field, within a chord tolerance in mm. `left_is_up` says whether the left face
/// lies at +z.
///
/// # Errors
/// [`SolidFault`]: why there is no such solid.
pub fn blade_mesh(
    field: &Field,
    outline: &Outline,
    jimping: Option<&JimpingFigures>,
    holes: &[Circle],
    left_is_up: bool,
    chord_mm: f64,
) -> Result<Mesh, SolidFault> {
    let steel = Steel { field, left_is_up };
    let region = shape::blank_region(outline, jimping, holes.iter().copied(), chord_mm);
    solid(&steel, &region, &steel.lines(outline.bounds()), chord_mm)
}

/// The mesh of a body over a region.
pub(super) fn solid(
    body: &dyn Body,
    region: &Region,
    lines: &[Vec<Point>],
    chord_mm: f64,
) -> Result<Mesh, SolidFault> {
    let bounds = net::bounds(region.outer.iter().flatten()).ok_or(SolidFault::NoOutline)?;
    let lattice = Lattice::within(bounds.inflate(2.0, 2.0))?;
    let mut fineness = fineness(chord_mm);
    let mut fault = SolidFault::NotClosed;
    let mut budget = MAX_TRIANGLES;
    for _ in 0..CLOSER {
        let net = net::cover(region, lines, fineness, lattice, body, &mut budget)?;
        match thicken(&net, lattice) {
            // Slivers where lines nearly meet fall differently on a net of another spacing.
            Err(SolidFault::NotClosed) => fineness.spacing_mm *= 0.8,
            done => return done,
        }
        fault = ground_away(&net).unwrap_or(fault);
    }
    Err(fault)
}

/// Where the faces meet, as in a hollow ground through the blade: two parts may then hang together
/// by an edge alone, which closes no solid.
fn ground_away(net: &net::Net) -> Option<SolidFault> {
    /// Less than this is no thickness, mm.
    const NONE_MM: f64 = 2e-3;
    let is_gone = |cell: &net::Cell, i: usize| cell.high_mm[i] - cell.low_mm[i] < NONE_MM;
    let gone = |cell: &net::Cell| (0..3).filter(|i| is_gone(cell, *i)).count();
    let cell = net.cells.iter().max_by_key(|cell| gone(cell))?;
    let corner = (0..3).find(|i| is_gone(cell, *i))?;
    let corner = net.points[cell.corners[corner]];
    Some(SolidFault::NoThickness { x_mm: corner.x, y_mm: corner.y })
}
