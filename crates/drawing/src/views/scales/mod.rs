//! The `scales` sheet: the pair at true size, opened like a book about its spines, with what is
//! sawn, what is flush, the front's bevel, bolsters, holes and grain.

mod half;
mod notes;

#[cfg(test)]
mod tests;

pub use notes::scales_notes;

use half::Half;
use knife::Knife;
use kurbo::{Affine, Point, Rect};
use marks::{Drawing, Pen};
use reckon::{Reckoning, ScaleFigures};

/// Height of the sheet's lettering, mm.
const LETTER_MM: f64 = 2.5;
/// From the mirror line to what is sawn, mm: room for a row of words.
const GAP_MM: f64 = 6.5;
/// Row of names beyond each half, mm.
const NAME_ROW_MM: f64 = 6.0;
/// The mirror line goes so far past both halves, mm.
const PAST_MM: f64 = 3.0;
/// From the butt to the grain's arrow, mm.
const BESIDE_MM: f64 = 4.0;

/// Whether there are scales to draw.
pub fn has_scales(reckoning: &Reckoning) -> bool {
    reckoning.scales.is_some()
}

/// Left scale below, tip to the left and edge down, seen from outside; the right one above, its
/// image in the mirror line between their spines.
pub fn scales_sheet(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let mut drawing = Drawing::new();
    let Some(scales) = &reckoning.scales else { return drawing };
    let sawn = sawn_box(scales);
    let below = Affine::translate((0.0, -GAP_MM - sawn.y1)) * scales.left;
    let (from, to) = (sawn.x0 - PAST_MM, sawn.x1 + PAST_MM);
    drawing.line(Pen::Centre, Point::new(from, 0.0), Point::new(to, 0.0));
    let book = notes::opens_like_a_book(knife, reckoning);
    let half = |name, to_sheet, direction| Half {
        knife,
        reckoning,
        scales,
        name,
        to_sheet,
        direction,
        book,
    };
    for half in [half("LEFT SCALE", below, -1.0), half("RIGHT SCALE", Affine::FLIP_Y * below, 1.0)]
    {
        drawing.extend(half.drawn());
        drawing.extend(half.grain(sawn.x1));
    }
    drawing
}

/// The box around what is sawn of the left scale, seen from outside.
fn sawn_box(scales: &ScaleFigures) -> Rect {
    let boxes = scales.pieces.iter().map(|piece| piece.waste.transformed(scales.left).bounds());
    boxes.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
}
