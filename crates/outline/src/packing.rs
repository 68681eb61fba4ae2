//! Packing outlines into a strip by their true shapes, as short as a bounded search finds.
//!
//! Each outline is grown by half the gap; two of them then lie the gap apart when the grown
//! ones touch. For two grown shapes at given heights the offsets along the strip at which they
//! overlap are found exactly, from their sections between the heights of their corners; each
//! shape slides to the nearest free offset. A beam search places the shapes one after another in
//! several orders, in each orientation and at several heights across the strip; a local search
//! then improves the best layout. Layouts of bounding boxes are among the starting points, so
//! the result is never longer than those.

mod beam;
mod local_search;
mod no_fit;
mod oriented_shape;

use crate::Outline;
use kurbo::Affine;

/// A shape and its allowed orientations.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// Its outline, in its own plane.
    pub outline: Outline,
    /// Its allowed orientations; none means as it is.
    pub orientations: Vec<Orientation>,
}

/// An orientation of a shape: first mirrored or not, then turned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Orientation {
    /// Whether it is mirrored (x kept, y turned over) before the turn.
    pub mirrored: bool,
    /// Turn, radians counter-clockwise.
    pub turn_rad: f64,
}

impl Orientation {
    /// From the shape's own plane to the strip's, but for a shift.
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
    /// Budget of placements tried; a first layout is always made. The same number gives the
    /// same result.
    pub max_steps: u64,
    /// Partial layouts kept side by side, at least one.
    pub beam_width: usize,
    /// Whether the result is compacted once more by finer polygons.
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
    /// Placements tried.
    pub steps: u64,
    /// Shapes placed in the best layout so far.
    pub placed: usize,
    /// Its length, mm.
    pub length_mm: f64,
}

/// A shape placed in the strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PackedItem {
    /// Which of the items.
    pub item: usize,
    /// Its orientation.
    pub orientation: Orientation,
    /// Takes the shape's own plane to the strip.
    pub transform: Affine,
}

/// The result of packing.
#[derive(Clone, Debug, PartialEq)]
pub struct Packing {
    /// The shapes placed, from left to right.
    pub placed: Vec<PackedItem>,
    /// Items that found no room.
    pub unplaced: Vec<usize>,
    /// Length of strip used, both margins included, mm; 0 when nothing was placed.
    pub length_mm: f64,
    /// Placements tried.
    pub steps: u64,
    /// Whether a shape was too intricate to be packed closer than by its convex hull.
    pub coarse: bool,
}

/// Packs shapes into a strip. `items` tells for each item which shape it is. When not all find
/// room, as much area as possible is placed. `keep_going` is called now and then and may stop
/// the search; the best layout so far is then returned.
pub fn pack(
    shapes: &[Shape],
    items: &[usize],
    strip: &Strip,
    effort: Effort,
    keep_going: &mut dyn FnMut(Progress) -> bool,
) -> Packing {
    let mut search = beam::Search::new(shapes, items, strip, effort, keep_going);
    search.run();
    local_search::local_search(&mut search, effort.max_steps);
    let best = search.found().clone();
    let best = if effort.fine { search.compacted_finely(shapes, &best) } else { best };
    let found = search.packing(&best);
    Packing { steps: search.steps(), ..found }
}

#[cfg(test)]
mod tests;
