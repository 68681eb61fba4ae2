//! The true offset of a closed outline: every point at a given distance, crossings removed.

mod convolution;
mod grid;
mod open;

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::IntOverlayOptions;
use i_overlay::core::simplify::Simplify;
use i_overlay::i_shape::int::shape::IntShapes;
use i_overlay::mesh::int::outline::offset::IntOutlineOffset;
use i_overlay::mesh::int::style::{IntLineJoin, IntOutlineStyle};
use kurbo::Shape;

use crate::Outline;
use grid::Grid;

pub use open::open_offset;

/// The tolerance of [`Outline::offset`], in millimetres: no point of the result is nearer to the
/// outline or further from it than the distance asked for by more than this.
///
/// A scriber's line is about 0.1 mm wide and what is asked of an offset here is 0.005 mm;
/// 0.002 mm leaves room for whatever is done with the result afterwards.
pub const OFFSET_TOLERANCE_MM: f64 = 0.002;

/// An outline of more nodes than this, and of more sides even when thinned within the tolerance, has
/// no offset: no tool follows so many corners, and the engine's work grows with their square.
pub const MAX_SIDES: usize = 1_500;

/// Distances outward beyond this are taken as this, in millimetres.
pub const FURTHEST_OFFSET_MM: f64 = 1e6;

impl Outline {
    /// The curve at a distance from this outline, outward if positive and inward if negative,
    /// whichever way the outline turns, at the tolerance [`OFFSET_TOLERANCE_MM`].
    ///
    /// See [`Outline::offset_with`].
    #[must_use]
    pub fn offset(&self, distance_mm: f64) -> Vec<Self> {
        self.offset_with(distance_mm, OFFSET_TOLERANCE_MM)
    }

    /// The boundary of everything within `distance_mm` of the region the outline encloses
    /// (outward), or of the part of that region further than `-distance_mm` from the outline
    /// (inward, negative). Corners are rounded where they stand out towards the offset side.
    ///
    /// The rings come largest first. Those that bound material from outside run
    /// counter-clockwise, those around a void clockwise: a bay closed by an outward offset
    /// leaves such a void. Inward, the result may fall apart into several rings or be empty.
    ///
    /// The rings are polygons, each point of which is at the distance asked for within
    /// `tolerance_mm`. A tolerance below 5e-4 mm is taken as that; it is also no finer than
    /// about 2e-8 of the outline's size, for the grid that crossings are worked out on, nor
    /// than 5e-6 of the distance. A tolerance that is no number means the house's own.
    ///
    /// An outline that crosses itself stands for the region around which it winds at all
    /// (non-zero rule); one that encloses nothing has no offset. At distance 0 a plain outline
    /// comes back with its curves, counter-clockwise and without segments of no length; one
    /// that touches or crosses itself comes back as the polygons of its region.
    /// An outline of more than [`MAX_SIDES`] nodes and sides gives no rings at another distance than 0. Nor
    /// does a distance that is not a number, as there is no such curve; outward
    /// distances are capped at [`FURTHEST_OFFSET_MM`].
    #[must_use]
    pub fn offset_with(&self, distance_mm: f64, tolerance_mm: f64) -> Vec<Self> {
        let distance_mm =
            if distance_mm > FURTHEST_OFFSET_MM { FURTHEST_OFFSET_MM } else { distance_mm };
        let Some(grid) = Grid::around(self.segs(), distance_mm, tolerance_mm) else {
            return Vec::new();
        };
        if distance_mm == 0.0 && self.contacts().is_empty() {
            return self.cleaned().into_iter().collect();
        }
        let max_sides = if distance_mm == 0.0 { usize::MAX } else { self.max_sides() };
        let Some(ring) = grid.ring(self, max_sides) else { return Vec::new() };
        let region = ring.simplify(FillRule::NonZero, IntOverlayOptions::default());
        let shapes =
            if distance_mm == 0.0 { region } else { offset_of(&region, &grid, distance_mm) };
        let mut rings: Vec<Self> = shapes
            .iter()
            .flatten()
            .filter_map(|ring| Self::polygon(&grid.smooth_ring(ring)).ok())
            .collect();
        rings.sort_by(|a, b| b.area().total_cmp(&a.area()));
        rings
    }

    /// Whether it has no offset because it has too many nodes and sides; see [`MAX_SIDES`].
    pub fn has_too_many_sides(&self) -> bool {
        self.max_sides() == MAX_SIDES
            && Grid::around(self.segs(), 1.0, OFFSET_TOLERANCE_MM)
                .is_some_and(|grid| grid.ring(self, MAX_SIDES).is_none())
    }

    /// What few nodes are drawn with may be as many sides as they take.
    fn max_sides(&self) -> usize {
        if self.segs().len() > MAX_SIDES { MAX_SIDES } else { usize::MAX }
    }

    /// The same curves, counter-clockwise, without segments that go nowhere.
    fn cleaned(&self) -> Option<Self> {
        let goes = |seg: &&kurbo::PathSeg| seg.bounding_box().size() != kurbo::Size::ZERO;
        let plain = Self::new(self.segs().iter().filter(goes).copied().collect()).ok()?;
        Some(if plain.signed_area() < 0.0 { plain.reversed() } else { plain })
    }
}

/// The offset of a region that doesn't cross itself, on its grid.
fn offset_of(region: &IntShapes<i32>, grid: &Grid, distance_mm: f64) -> IntShapes<i32> {
    if let [shape] = region.as_slice()
        && let [ring] = shape.as_slice()
    {
        return grid.around_ring(ring, distance_mm, &[]);
    }
    // Where regions lie in one another a disc may hold a ring of them, which counts as none.
    let join = IntLineJoin::Round(grid.arc(distance_mm));
    let style = IntOutlineStyle::new(grid.length(distance_mm)).line_join(join);
    grid.without_slivers(region.outline(&style).unwrap_or_default())
}
