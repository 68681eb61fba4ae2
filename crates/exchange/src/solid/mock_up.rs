//! The knife to hold before any steel is cut: printed in one piece, or in halves that lie flat.

use super::handle::{Grip, Whole};
use super::look;
use super::net::{Body, Region};
use super::parts::{Part, Source};
use super::shape;
use super::steel::{Steel, solid};
use super::{Mesh, SolidFault};
use knife::{GroundSides, HoleKind, Knife};
use kurbo::Point;
use reckon::Reckoning;
use reckon::tables::{MaterialKind, Tables};

/// What everybody who prints a knife should know.
pub const PRINTED_NOTE: &str = "A printed blade is for the hand, not for cutting: its edge and tip can still scratch and \
     break off, so keep it from children.";

/// Room between pieces laid out to be printed, mm.
const APART_MM: f64 = 5.0;

/// How a mock-up is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MockUp {
    /// All of it in one piece, without holes but those that stay open.
    OnePiece,
    /// Halves of blade and handle, each lying on its flat inner face, with holes for the pins that
    /// hold them together.
    Halves,
}

/// A mock-up's pieces, each within the chord tolerance, mm.
///
/// # Errors
/// [`SolidFault`]: why there is no such solid; without scales there is no handle to hold.
pub fn mock_up(
    knife: &Knife,
    reckoning: &Reckoning,
    tables: &Tables,
    how: MockUp,
    chord_mm: f64,
) -> Result<Vec<Part>, SolidFault> {
    let source = Source::of(knife, reckoning, chord_mm)?;
    let grip = source.grip().ok_or(SolidFault::NoScales)?;
    match how {
        MockUp::OnePiece => Ok(vec![one_piece(&source, &grip)?]),
        MockUp::Halves => halves(&source, &grip, tables),
    }
}

fn one_piece(source: &Source<'_>, grip: &Grip<'_>) -> Result<Part, SolidFault> {
    let Source { knife, reckoning, outline, chord_mm, .. } = *source;
    let whole = Whole::of(grip).ok_or(SolidFault::NoScales)?;
    let pins = reckoning.fit.iter().flat_map(|fit| &fit.pins);
    let bores: Vec<kurbo::Circle> = pins
        .clone()
        .filter_map(|pin| match pin.kind {
            reckon::PinKind::Tube { bore_mm } => Some(kurbo::Circle::new(pin.at, bore_mm / 2.0)),
            _ => None,
        })
        .collect();
    let is_filled = |id| pins.clone().any(|pin| pin.hole == id);
    let through = knife.holes.iter().filter(|hole| outline.contains(hole.at));
    // Under the scales relief holes don't show, and pins fill theirs.
    let open = through.filter(|hole| {
        let is_covered = grip.scales.outline.contains(hole.at);
        !is_filled(hole.id) && (!is_covered || hole.kind == HoleKind::Thong)
    });
    let jimping = reckoning.jimping.as_ref();
    let holes = open.map(knife::Hole::circle).chain(bores);
    let region = shape::blank_region(outline, jimping, holes, chord_mm);
    let lines = whole.lines(outline.bounds(), chord_mm);
    Ok(Part {
        name: "mock-up".to_owned(),
        material: look::steel(knife),
        mesh: solid(&whole, &region, &lines, chord_mm)?,
    })
}

fn halves(source: &Source<'_>, grip: &Grip<'_>, tables: &Tables) -> Result<Vec<Part>, SolidFault> {
    let Source { knife, chord_mm, .. } = *source;
    let mut pieces: Vec<(String, bool, Mesh)> = Vec::new();
    let is_even = knife.bevel.is_none_or(|bevel| bevel.sides == GroundSides::Both);
    if is_even {
        for side in ["left", "right"] {
            let is_upper = source.is_upper(side);
            let half = Half { steel: source.steel, is_upper };
            let mesh = half.mesh(&source.blank(), source, chord_mm)?;
            pieces.push((format!("{side} half of the blade"), is_upper, mesh));
        }
    } else {
        // Ground on one side the blade has a flat face to lie on.
        let ground_left = knife.bevel.is_some_and(|bevel| bevel.sides == GroundSides::Left);
        let is_upper = ground_left == source.steel.left_is_up;
        pieces.push(("blade".to_owned(), is_upper, source.blade()?));
    }
    for side in ["left", "right"] {
        let is_upper = source.is_upper(side);
        pieces.push((
            format!("{side} half of the handle"),
            is_upper,
            grip.half(is_upper, chord_mm)?,
        ));
    }
    let mut y_mm = 0.0;
    let mut parts = Vec::new();
    for (name, is_upper, mesh) in pieces {
        let material = if name.contains("handle") {
            look::material(knife.handle.scales.as_deref(), MaterialKind::Wood, tables)
        } else {
            look::steel(knife)
        };
        let mesh = lay_flat(&mesh, is_upper, &mut y_mm);
        parts.push(Part { name, material, mesh });
    }
    Ok(parts)
}

/// A piece lying on its inner face, beside those laid before it.
fn lay_flat(mesh: &Mesh, is_upper: bool, y_mm: &mut f64) -> Mesh {
    // Turned over about its length where its inner face looks up.
    let turned = mesh.moved(|[x, y, z]| if is_upper { [x, y, z] } else { [x, -y, -z] });
    let Some((low, high)) = turned.bounds_mm() else { return turned };
    let by = *y_mm - low[1];
    *y_mm += high[1] - low[1] + APART_MM;
    turned.moved(|[x, y, z]| [x - low[0], y + by, z - low[2]])
}

/// What lies of the steel on one side of its centre plane.
struct Half<'a> {
    steel: Steel<'a>,
    is_upper: bool,
}

impl Half<'_> {
    fn mesh(
        &self,
        region: &Region,
        source: &Source<'_>,
        chord_mm: f64,
    ) -> Result<Mesh, SolidFault> {
        solid(self, region, &self.steel.lines(source.outline.bounds()), chord_mm)
    }
}

impl Body for Half<'_> {
    fn cell(&self, p: Point) -> u32 {
        self.steel.cell(p)
    }

    fn heights(&self, p: Point, cell: u32) -> (f64, f64) {
        let face_mm = self.steel.face_mm(p, cell, self.is_upper);
        if self.is_upper { (0.0, face_mm) } else { (-face_mm, 0.0) }
    }
}
