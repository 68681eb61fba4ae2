//! Taking a closed outline that was drawn elsewhere: SVG bytes in, profile and holes out.
//!
//! Everything is worked out in `f64` from the numbers as they are written, so an outline
//! keeps its area however far from the origin it lies. Coordinates are
//! millimetres with the drawing's own origin and scale, y turned up: a point typed as (5, 7)
//! in a drawing of millimetres becomes (5, −7). The viewBox gives the scale, never a shift. Only
//! an outline that lies more than a metre from the origin is brought to it.

mod arc;
mod choose;
mod fault;
mod length;
mod marks;
mod near;
mod page;
mod path;
mod remark;
mod ring;
mod round;
mod shape;
mod style;
mod to_knife;
mod tree;
mod walk;

pub use fault::ImportError;
pub use marks::{MarkGuess, guess_marks};
pub use remark::ImportWarning;
pub use walk::PathPiece;

use choose::Shown;
use kurbo::Circle;
use outline::Outline;
use units::LengthUnit;

/// The largest file that is read, bytes.
const MAX_BYTES: usize = 50_000_000;
/// The most line and curve segments a drawing may hold.
const MAX_SEGMENTS: usize = 200_000;
/// Ends of paths no farther apart than this are made to meet, mm.
const MEET_MM: f64 = 0.01;
/// How far the cubics that stand for an arc may stray from it, mm: a hundredth of what would
/// show in the ninth digit of a blank's area.
const ARC_MM: f64 = 1e-8;
/// An outline with a longest side below this was drawn in another unit, mm.
const MIN_LENGTH_MM: f64 = 5.0;
/// An outline with a longest side above this was drawn in another unit, mm.
const MAX_LENGTH_MM: f64 = 3000.0;
/// Beyond this distance from the origin `f64` no longer holds a ten-thousandth of a
/// micrometre, mm.
const FARTHEST_MM: f64 = 1e9;

/// An outline of which every point lies farther from the origin is brought to it, mm: nobody
/// measures from there, and a blank's file ends at 10 km.
const NEAR_MM: f64 = 1000.0;

/// What a drawing gave.
#[derive(Clone, Debug, PartialEq)]
pub struct ImportedOutline {
    /// The largest closed ring of the drawing, mm, y up.
    pub outline: Outline,
    /// The round rings whose centres lie inside the outline, in the order of the drawing, mm.
    pub holes: Vec<Circle>,
    /// The unit in which the drawing states its size; millimetres when it states none.
    pub unit: LengthUnit,
    /// What was left out or adjusted.
    pub warnings: Vec<ImportWarning>,
}

/// Takes the profile and the holes from an SVG drawing.
///
/// The closed ring of the largest area is the outline. A ring is closed by its own closing
/// command, or when its ends, or the ends of several paths in turn, meet within 0.01 mm.
/// Circles, and rings within 0.02 mm or 0.5 % of a circle, whose centres lie inside the
/// outline are holes, if they are no wider than a hole may be. Zero-length segments are dropped, arcs and quadratics become cubics;
/// nothing else about the shape is changed.
///
/// # Errors
/// [`ImportError`], one plain sentence, when the bytes are not such a drawing.
pub fn import_svg(bytes: &[u8]) -> Result<ImportedOutline, ImportError> {
    let text = tree::text(bytes)?;
    let doc = tree::parse(&text)?;
    let root = tree::root(&doc)?;
    let page = page::Page::of(root)?;
    let drawn = walk::walk(&doc, &page)?;
    choose::choose(Shown {
        pieces: drawn.pieces,
        gap_mm: MEET_MM,
        sheet_mm: page.sheet_mm,
        unit: page.unit,
        warnings: page.warnings,
        skipped: drawn.skipped,
    })
}

/// Takes the profile and the holes from stretches of path in millimetres, y up, as another kind of
/// drawing gave them, by the rules of [`import_svg`]; ends within `gap_mm` are made to meet. `unit`
/// is the one a person would read the drawing in.
///
/// # Errors
/// [`ImportError`], one plain sentence, when they make no outline.
pub fn import_pieces(
    pieces: Vec<PathPiece>,
    unit: LengthUnit,
    gap_mm: f64,
) -> Result<ImportedOutline, ImportError> {
    let segments: usize = pieces.iter().map(|piece| piece.segs.len()).sum();
    if segments > MAX_SEGMENTS {
        return Err(ImportError::TooManySegments);
    }
    let (warnings, skipped) = (Vec::new(), walk::SkippedCounts::default());
    choose::choose(Shown { pieces, gap_mm, sheet_mm: None, unit, warnings, skipped })
}
