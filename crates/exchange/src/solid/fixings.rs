//! Pins, tubes and screws, filed flush.

use super::handle::Grip;
use super::lattice::Lattice;
use super::net::{Body, Region};
use super::shape::{self, corners, equal_area_radius};
use super::steel::solid;
use super::{Mesh, SolidFault};
use kurbo::{Circle, Point, Rect, Vec2};
use reckon::{PinFigures, PinKind};
use std::f64::consts::PI;

/// From face to face of the handle, as that is shaped.
struct Through<'a>(&'a Grip<'a>);

impl Body for Through<'_> {
    fn cell(&self, p: Point) -> u32 {
        self.0.steel.cell(p)
    }

    fn heights(&self, p: Point, cell: u32) -> (f64, f64) {
        (-self.0.outer_mm(p, cell, false), self.0.outer_mm(p, cell, true))
    }
}

/// A pin, tube or screw as a closed mesh.
pub(super) fn fixing(grip: &Grip<'_>, pin: &PinFigures, chord_mm: f64) -> Result<Mesh, SolidFault> {
    let rim = |diameter_mm: f64| shape::circle(Circle::new(pin.at, diameter_mm / 2.0), chord_mm);
    let cuts = match pin.kind {
        PinKind::Screw { .. } => return screw(grip, pin, chord_mm),
        PinKind::Rod => Vec::new(),
        PinKind::Tube { bore_mm } => vec![rim(bore_mm)],
    };
    let region = Region { outer: vec![rim(pin.diameter_mm)], cuts };
    let around = Circle::new(pin.at, pin.diameter_mm / 2.0 + 1.0);
    let bounds = kurbo::Shape::bounding_box(&around);
    let lines = grip.lines(chord_mm);
    let near: Vec<Vec<Point>> = lines.iter().flat_map(|line| shape::within(line, bounds)).collect();
    solid(&Through(grip), &region, &near, chord_mm)
}

/// A shank with a head at either end, square to the knife's plane.
fn screw(grip: &Grip<'_>, pin: &PinFigures, chord_mm: f64) -> Result<Mesh, SolidFault> {
    let (low, high) = Through(grip).heights(pin.at, grip.steel.cell(pin.at));
    let (head, shank, deep) = (pin.scale_hole_mm(), pin.diameter_mm, pin.recess_mm());
    let rings = [
        (head, low),
        (head, low + deep),
        (shank, low + deep),
        (shank, high - deep),
        (head, high - deep),
        (head, high),
    ];
    let rings = rings.map(|(diameter, z)| (diameter / 2.0, z));
    turned(pin.at, &rings, corners(head / 2.0, chord_mm))
}

/// A body turned about an axis square to the knife's plane, from its lowest ring (radius and
/// height, mm) to its highest.
fn turned(at: Point, rings: &[(f64, f64)], corners: u32) -> Result<Mesh, SolidFault> {
    let lattice = Lattice::within(Rect::from_center_size(at, (200.0, 200.0)))?;
    let mut kept: Vec<(f64, f64)> = Vec::new();
    for ring in rings {
        // A step of no width or no height is none.
        if kept.last().is_none_or(|last| last != ring) {
            kept.push(*ring);
        }
    }
    let mut mesh = Mesh::default();
    for (radius, z) in &kept {
        let radius = equal_area_radius(*radius, corners);
        for i in 0..corners {
            let turn = 2.0 * PI * f64::from(i) / f64::from(corners);
            let p = lattice.fine(at + Vec2::from_angle(turn) * radius);
            mesh.points.push([p.x, p.y, lattice.mm(lattice.steps(*z))]);
        }
    }
    let rings = u32::try_from(kept.len()).unwrap_or(0);
    let at_ring = |ring: u32, i: u32| ring * corners + i % corners;
    for ring in 1..rings {
        for i in 0..corners {
            let [a, b] = [i, i + 1].map(|i| at_ring(ring - 1, i));
            let [c, d] = [i, i + 1].map(|i| at_ring(ring, i));
            mesh.triangles.extend([[a, b, d], [a, d, c]]);
        }
    }
    for i in 1..corners - 1 {
        mesh.triangles.push([at_ring(0, 0), at_ring(0, i + 1), at_ring(0, i)]);
        let top = rings - 1;
        mesh.triangles.push([at_ring(top, 0), at_ring(top, i), at_ring(top, i + 1)]);
    }
    if mesh.is_closed() { Ok(mesh) } else { Err(SolidFault::NotClosed) }
}
