//! The scales in the stable JSON of `numbers`.

use super::{Bounds, bounds};
use crate::{Block, BookBlock, Reckoning, ScalePiece};
use knife::{FrontCurve, HoleId, Knife};
use schemars::JsonSchema;
use serde::Serialize;

/// The scales.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Scales {
    /// Where their front lies, as stated.
    front_x_mm: f64,
    /// Thickness of one, as stated.
    thickness_mm: f64,
    /// Their length.
    length_mm: f64,
    /// Area of one side, bolsters included.
    area_mm2: f64,
    /// Their front.
    front: Front,
    /// Left for trimming.
    overhang_mm: f64,
    /// Of rough blocks, on every side.
    allowance_mm: f64,
    /// Grain on the left scale's outside, counter-clockwise with the tip to the left and the
    /// edge down.
    grain_deg: Option<f64>,
    /// The pieces of one side, from the front to the butt.
    pieces: Vec<Piece>,
    /// The block for a book-matched pair; null when the two scales are of different materials.
    book: Option<Book>,
}

impl Scales {
    pub(super) fn of(knife: &Knife, reckoning: &Reckoning) -> Option<Self> {
        let (stated, figures) = (knife.scales?, reckoning.scales.as_ref()?);
        let front = knife.handle.front;
        let (curve, radius_mm) = match front.curve {
            FrontCurve::Straight => ("straight", None),
            FrontCurve::Round(mm) => ("round", Some(mm)),
            FrontCurve::Hollow(mm) => ("hollow", Some(mm)),
        };
        Some(Self {
            front_x_mm: stated.front_x_mm,
            thickness_mm: stated.thickness_mm,
            length_mm: figures.length_mm,
            area_mm2: figures.area_mm2,
            front: Front {
                curve,
                radius_mm,
                lean_deg: front.lean_deg,
                bevel_deg: figures.bevel_deg,
                setback_mm: figures.setback_mm,
            },
            overhang_mm: knife.handle.overhang_mm(),
            allowance_mm: knife.handle.allowance_mm(),
            grain_deg: knife.handle.grain_deg,
            pieces: figures.pieces.iter().map(|one| Piece::of(knife, one)).collect(),
            book: figures.book.as_ref().map(Book::of),
        })
    }
}

/// The front of the scales.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Front {
    /// `straight`, `round` or `hollow`.
    curve: &'static str,
    /// Its radius.
    radius_mm: Option<f64>,
    /// Its lean, positive when its end at the spine lies nearer to the butt.
    lean_deg: f64,
    /// Its bevel, back from square.
    bevel_deg: f64,
    /// From the front line to the bevel's line on the outer face.
    setback_mm: f64,
}

/// A scale or a bolster.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Piece {
    /// `front bolster`, `scale` or `rear bolster`.
    part: &'static str,
    /// Its length, flush with the tang.
    length_mm: f64,
    /// Its width, flush with the tang.
    width_mm: f64,
    /// Its box, flush with the tang.
    bounds_mm: Bounds,
    /// Its area, flush with the tang.
    area_mm2: f64,
    /// Its box with the overhang.
    sawn_bounds_mm: Bounds,
    /// Its area with the overhang.
    sawn_area_mm2: f64,
    /// Its rough block: length, width, thickness; along and across the handle the larger of the
    /// box flush with the tang with the allowance on all four sides, and the box with the overhang.
    block_mm: [f64; 3],
    /// The numbers of the pin and lanyard holes in it.
    holes: Vec<usize>,
}

impl Piece {
    pub(super) fn of(knife: &Knife, piece: &ScalePiece) -> Self {
        let (flush, sawn) = (piece.outline.bounds(), piece.waste.bounds());
        let number =
            |id: &HoleId| knife.holes.iter().position(|hole| hole.id == *id).map(|i| i + 1);
        Self {
            part: piece.part.label(),
            length_mm: flush.width(),
            width_mm: flush.height(),
            bounds_mm: bounds(flush),
            area_mm2: piece.area_mm2,
            sawn_bounds_mm: bounds(sawn),
            sawn_area_mm2: piece.waste.area(),
            block_mm: block(piece.block),
            holes: piece.holes.iter().filter_map(number).collect(),
        }
    }
}

/// The block for a book-matched pair.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Book {
    /// Length, width, thickness.
    block_mm: [f64; 3],
    /// The saw cut between the two.
    kerf_mm: f64,
    /// By which saw.
    kerf_of: String,
    /// Taken off each sawn face.
    flat_mm: f64,
}

impl Book {
    pub(super) fn of(book: &BookBlock) -> Self {
        Self {
            block_mm: block(book.block),
            kerf_mm: book.kerf_mm,
            kerf_of: book.kerf_of.clone(),
            flat_mm: book.flat_mm,
        }
    }
}

/// Length, width, thickness.
fn block(block: Block) -> [f64; 3] {
    [block.length_mm, block.width_mm, block.thickness_mm]
}
