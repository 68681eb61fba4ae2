//! The scales in the stable JSON of `numbers`.

use crate::{Block, Reckoning, ScalePiece};
use knife::{FrontCurve, HoleId, Knife};
use serde_json::{Value, json};

pub(super) fn scales(knife: &Knife, reckoning: &Reckoning) -> Option<Value> {
    let (stated, figures) = (knife.scales?, reckoning.scales.as_ref()?);
    let front = knife.handle.front;
    let (curve, radius_mm) = match front.curve {
        FrontCurve::Straight => ("straight", None),
        FrontCurve::Round(mm) => ("round", Some(mm)),
        FrontCurve::Hollow(mm) => ("hollow", Some(mm)),
    };
    Some(json!({
        "front_x_mm": stated.front_x_mm,
        "thickness_mm": stated.thickness_mm,
        "length_mm": figures.length_mm,
        "area_mm2": figures.area_mm2,
        "front": {
            "curve": curve,
            "radius_mm": radius_mm,
            "lean_deg": front.lean_deg,
            "bevel_deg": figures.bevel_deg,
            "setback_mm": figures.setback_mm,
        },
        "overhang_mm": knife.handle.overhang_mm(),
        "allowance_mm": knife.handle.allowance_mm(),
        "grain_deg": knife.handle.grain_deg,
        "pieces": figures.pieces.iter().map(|one| piece(knife, one)).collect::<Vec<_>>(),
        "book": figures.book.as_ref().map(|book| json!({
            "block_mm": block(book.block),
            "kerf_mm": book.kerf_mm,
            "kerf_of": book.kerf_of,
            "flat_mm": book.flat_mm,
        })),
    }))
}

fn piece(knife: &Knife, piece: &ScalePiece) -> Value {
    let (flush, sawn) = (piece.outline.bounds(), piece.waste.bounds());
    let number = |id: &HoleId| knife.holes.iter().position(|hole| hole.id == *id).map(|i| i + 1);
    json!({
        "part": piece.part.words(),
        "length_mm": flush.width(),
        "width_mm": flush.height(),
        "bounds_mm": [flush.x0, flush.y0, flush.x1, flush.y1],
        "area_mm2": piece.area_mm2,
        "sawn_bounds_mm": [sawn.x0, sawn.y0, sawn.x1, sawn.y1],
        "sawn_area_mm2": piece.waste.area(),
        "block_mm": block(piece.block),
        "holes": piece.holes.iter().filter_map(number).collect::<Vec<_>>(),
    })
}

fn block(block: Block) -> Value {
    json!([block.length_mm, block.width_mm, block.thickness_mm])
}
