//! Packing outlines into a strip by their true shapes, as short as a bounded search finds.
//!
//! Each outline is grown by half the gap; two of them then lie the gap apart when the grown
//! ones touch. For two grown shapes at given heights the ways along the strip at which they
//! overlap are found exactly, from their sections between the heights of their corners; each
//! shape slides to the nearest free way. A beam search lays the shapes one after another in
//! several orders, each way round and at several heights across the strip; the best laying is
//! then bettered by changing one thing at a time. Layings by boxes are among those begun from,
//! so that the result is never longer than those.

mod beam;
mod local_search;
mod no_fit;
mod oriented_shape;

use crate::Outline;
use kurbo::Affine;

/// A shape and the ways it may be laid.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// Its outline, in its own plane.
    pub outline: Outline,
    /// The ways it may be laid; none means as it is.
    pub orientations: Vec<Orientation>,
}

/// One way to lay a shape: first mirrored or not, then turned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Orientation {
    /// Whether it is mirrored (x kept, y turned over) before the turn.
    pub mirrored: bool,
    /// Turn, radians counter-clockwise.
    pub turn_rad: f64,
}

impl Orientation {
    /// Takes the shape's own plane to the laid one, but for a shift.
    pub fn transform(self) -> Affine {
        let mirror = if self.mirrored { Affine::FLIP_Y } else { Affine::IDENTITY };
        Affine::rotate(self.turn_rad) * mirror
    }
}

/// The strip: x along it from 0, y across it from 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// Its length, mm; infinite when only the length needed is asked.
    pub length_mm: f64,
    /// Its width, mm.
    pub width_mm: f64,
    /// Clear room along its sides and ends, mm.
    pub margin_mm: f64,
    /// Least distance between two shapes, mm.
    pub gap_mm: f64,
}

/// How long to search.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Most placings tried, but for a first laying, which is always made. The same number
    /// gives the same result.
    pub max_steps: u64,
    /// Layings followed up side by side, at least one.
    pub beam_width: usize,
    /// Whether the result is pushed together once more by finer polygons.
    pub fine: bool,
}

impl Default for Effort {
    /// About half a second on a usual machine.
    fn default() -> Self {
        Self { max_steps: 60_000, beam_width: 8, fine: true }
    }
}

/// How far a search has come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// Placings tried.
    pub steps: u64,
    /// Shapes laid by the best laying so far.
    pub placed: usize,
    /// Its length, mm.
    pub length_mm: f64,
}

/// A shape laid in the strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PackedItem {
    /// Which of those wanted.
    pub item: usize,
    /// The way it is laid.
    pub orientation: Orientation,
    /// Takes the shape's own plane to the strip.
    pub transform: Affine,
}

/// What came of packing.
#[derive(Clone, Debug, PartialEq)]
pub struct Packing {
    /// The shapes laid, from left to right.
    pub placed: Vec<PackedItem>,
    /// Which of those wanted found no room.
    pub unplaced: Vec<usize>,
    /// Length of strip taken, both margins included, mm; 0 when nothing was laid.
    pub length_mm: f64,
    /// Placings tried.
    pub steps: u64,
    /// Whether a shape was too intricate to be laid closer than by its convex hull.
    pub coarse: bool,
}

/// Packs shapes into a strip. `items` tells for each item which shape it is. When not all find
/// room, as much area as possible is laid. `keep_going` is asked now and then, and may stop the
/// search; the best laying so far is then given.
pub fn pack(
    shapes: &[Shape],
    items: &[usize],
    strip: &Strip,
    effort: Effort,
    keep_going: &mut dyn FnMut(Progress) -> bool,
) -> Packing {
    let mut search = beam::Search::new(shapes, items, strip, effort, keep_going);
    let best = search.best();
    let best = if effort.fine { search.compacted_finely(shapes, &best) } else { best };
    let found = search.packing(&best);
    Packing { steps: search.steps(), ..found }
}

#[cfg(test)]
mod tests;
