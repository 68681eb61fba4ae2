//! Every part of a knife as a solid of its own, by its name and its material.

use super::fixings::fixing;
use super::handle::Grip;
use super::look::{self, Material};
use super::shape;
use super::steel::{Steel, solid};
use super::{MAX_PARTS, Mesh, SolidFault};
use knife::Knife;
use kurbo::Circle;
use outline::Outline;
use reckon::solid::Field;
use reckon::tables::{MaterialKind, Tables};
use reckon::{PiecePart, PinKind, Reckoning, ScalePiece};

/// How far a mesh may stray from the knife when nothing else is asked for, mm: finer than a
/// printer's layer (common practice, no source).
pub const USUAL_CHORD_MM: f64 = 0.05;

/// A part of the knife.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// What it is: `blade`, `left scale`, `pin 2`.
    pub name: String,
    /// What it is made of.
    pub material: Material,
    /// Its surface.
    pub mesh: Mesh,
}

/// What all parts are made from.
pub(super) struct Source<'a> {
    pub(super) knife: &'a Knife,
    pub(super) reckoning: &'a Reckoning,
    pub(super) outline: &'a Outline,
    pub(super) steel: Steel<'a>,
    pub(super) chord_mm: f64,
}

impl<'a> Source<'a> {
    pub(super) fn of(
        knife: &'a Knife,
        reckoning: &'a Reckoning,
        chord_mm: f64,
    ) -> Result<Self, SolidFault> {
        if !(0.005..=1.0).contains(&chord_mm) {
            return Err(SolidFault::Tolerance { chord_mm });
        }
        let outline = reckoning.outline.as_ref().ok_or(SolidFault::NoOutline)?;
        let (nodes, holes) = (outline.segs().len(), knife.holes.len());
        if nodes + 10 * holes > MAX_PARTS {
            return Err(SolidFault::TooIntricate { nodes, holes });
        }
        let field: &Field = reckoning.field.as_deref().ok_or(SolidFault::NoOutline)?;
        let profile = reckoning.profile.as_ref().ok_or(SolidFault::NoOutline)?;
        let left_is_up = (profile.towards_butt > 0.0) != profile.edge_is_up;
        let steel = Steel { field, left_is_up };
        Ok(Self { knife, reckoning, outline, steel, chord_mm })
    }

    /// The knife's holes in the steel, as they count for its mass.
    pub(super) fn holes(&self) -> impl Iterator<Item = Circle> {
        let holes = self.knife.holes.iter().filter(|hole| self.outline.contains(hole.at));
        holes.map(knife::Hole::circle)
    }

    pub(super) fn blade(&self) -> Result<Mesh, SolidFault> {
        let region = self.blank();
        solid(&self.steel, &region, &self.steel.lines(self.outline.bounds()), self.chord_mm)
    }

    pub(super) fn blank(&self) -> super::net::Region {
        let jimping = self.reckoning.jimping.as_ref();
        shape::blank_region(self.outline, jimping, self.holes(), self.chord_mm)
    }

    pub(super) fn grip(&self) -> Option<Grip<'a>> {
        Grip::of(self.knife, self.reckoning, self.steel)
    }

    /// Whether the side of this name lies at +z.
    pub(super) fn is_upper(&self, side: &str) -> bool {
        (side == "left") == self.steel.left_is_up
    }
}

/// Blade, scales, liners, bolsters, pins, tubes and screws, each as a closed mesh within the chord
/// tolerance, mm. The glue's thickness lies empty between them.
///
/// # Errors
/// [`SolidFault`]: why there is no such solid.
pub fn knife_parts(
    knife: &Knife,
    reckoning: &Reckoning,
    tables: &Tables,
    chord_mm: f64,
) -> Result<Vec<Part>, SolidFault> {
    let source = Source::of(knife, reckoning, chord_mm)?;
    let blade = source.blade()?;
    let mut parts =
        vec![Part { name: "blade".to_owned(), material: look::steel(knife), mesh: blade }];
    let Some(grip) = source.grip() else { return Ok(parts) };
    for side in ["left", "right"] {
        let is_upper = source.is_upper(side);
        if let Some(liners) = &knife.handle.liners {
            let name = liners.material.as_deref();
            parts.push(Part {
                name: format!("{side} liner"),
                material: look::material(name, MaterialKind::Laminate, tables),
                mesh: grip.liner(is_upper, chord_mm)?,
            });
        }
        for piece in &grip.scales.pieces {
            let recesses = recesses(reckoning, piece);
            parts.push(Part {
                name: format!("{side} {}", piece.part.label()),
                material: of_piece(knife, piece.part, side, tables),
                mesh: grip.piece(&piece.outline, &recesses, is_upper, chord_mm)?,
            });
        }
    }
    for pin in reckoning.fit.iter().flat_map(|fit| &fit.pins) {
        let name = knife.handle.pins.as_deref();
        parts.push(Part {
            name: format!("{} {}", pin.kind.label(), pin.number),
            material: look::material(name, MaterialKind::Metal, tables),
            mesh: fixing(&grip, pin, chord_mm)?,
        });
    }
    Ok(parts)
}

/// Recesses for screws' heads that reach into a piece, with their depths, mm.
fn recesses(reckoning: &Reckoning, piece: &ScalePiece) -> Vec<(Circle, f64)> {
    let pins = reckoning.fit.iter().flat_map(|fit| &fit.pins);
    let screws = pins.filter(|pin| matches!(pin.kind, PinKind::Screw { .. }));
    let heads = screws.map(|pin| (Circle::new(pin.at, pin.scale_hole_mm() / 2.0), pin.recess_mm()));
    let reaches =
        |circle: &Circle| piece.outline.contains(circle.center) || piece.outline.web(*circle) < 0.0;
    heads.filter(|(circle, deep_mm)| *deep_mm > 0.0 && reaches(circle)).collect()
}

fn of_piece(knife: &Knife, part: PiecePart, side: &str, tables: &Tables) -> Material {
    let handle = &knife.handle;
    let of = |bolster: &Option<knife::Bolster>| {
        let name = bolster.as_ref().and_then(|bolster| bolster.material.as_deref());
        look::material(name, MaterialKind::Metal, tables)
    };
    match part {
        PiecePart::FrontBolster => of(&handle.front_bolster),
        PiecePart::RearBolster => of(&handle.rear_bolster),
        PiecePart::Scale => {
            let right = handle.right_scale.as_deref().filter(|_| side == "right");
            look::material(right.or(handle.scales.as_deref()), MaterialKind::Wood, tables)
        }
    }
}
