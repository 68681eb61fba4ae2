//! The `bevels` sheet: the blade at true size with plunge, grind, swedge and guide lines, under it
//! the blade on edge; beside it what to scribe for the edge, and a gauge to cut out for each facet.
//! The `sections` sheet: the blade cut through, and the ladder of facets.

mod blade;
mod gauges;
mod notes;
mod sections;
mod stations;
mod tables;

#[cfg(test)]
mod tests;

pub use notes::bevel_notes;

use knife::{GroundSides, Knife};
use kurbo::Affine;
use marks::Drawing;
use reckon::{ProfileFigures, Reckoning};
use units::LengthUnit;

/// Height of the sheet's lettering, mm.
const LETTER_MM: f64 = 2.5;

/// The blade with everything to scribe on it, in the knife's plane; seen from its other face,
/// and so mirrored along, when only that one is ground.
pub fn bevel_sheet(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    BladeView::of(knife, reckoning).map_or_else(Drawing::new, |view| blade::drawn(&view))
}

/// What stands beside the blade, each to be kept whole: gauges, and what to scribe for the edge.
pub fn bevel_inserts(knife: &Knife, reckoning: &Reckoning) -> Vec<Drawing> {
    let Some(view) = BladeView::of(knife, reckoning) else { return Vec::new() };
    let mut inserts = gauges::drawn(&view);
    inserts.extend(tables::centre_line(&view));
    inserts
}

/// The blade's sections and the ladder of facets with what each takes off, each to be kept whole.
pub fn bevel_sections(knife: &Knife, reckoning: &Reckoning) -> Vec<Drawing> {
    let Some(view) = BladeView::of(knife, reckoning) else { return Vec::new() };
    let mut sections = sections::drawn(&view);
    sections.extend(tables::facets(&view));
    sections
}

/// The knife as the sheet sees it.
struct BladeView<'a> {
    knife: &'a Knife,
    reckoning: &'a Reckoning,
    profile: &'a ProfileFigures,
    /// From the knife's plane to the sheet's: itself, or mirrored along.
    to_sheet: Affine,
    /// +1 when the butt lies towards +x on the sheet, −1 when towards −x.
    towards_butt: f64,
    /// Whether the left face is seen.
    left_is_seen: bool,
}

impl<'a> BladeView<'a> {
    fn of(knife: &'a Knife, reckoning: &'a Reckoning) -> Option<Self> {
        let profile = reckoning.profile.as_ref()?;
        let left = (profile.towards_butt > 0.0) != profile.edge_is_up;
        let sides = knife.bevel.map(|bevel| bevel.sides);
        let hidden = matches!(
            (sides, left),
            (Some(GroundSides::Left), false) | (Some(GroundSides::Right), true)
        );
        Some(Self {
            knife,
            reckoning,
            profile,
            to_sheet: if hidden { Affine::FLIP_X } else { Affine::IDENTITY },
            towards_butt: profile.towards_butt * if hidden { -1.0 } else { 1.0 },
            left_is_seen: left != hidden,
        })
    }

    /// A small length in the maker's unit: `1.33 mm`, `0.052 in`.
    fn fine(&self, mm: f64) -> String {
        units::show_decimal(mm, self.knife.unit, (2, 3))
    }

    /// The same without its unit.
    fn figure(&self, mm: f64) -> String {
        match self.knife.unit {
            LengthUnit::Millimetre => units::show_number(mm, 2),
            LengthUnit::Inch => units::show_number(mm / 25.4, 3),
        }
    }

    /// The name of the one face that is ground; `None` when both are.
    fn ground_face(&self) -> Option<&'static str> {
        match self.knife.bevel?.sides {
            GroundSides::Both => None,
            GroundSides::Left => Some("left"),
            GroundSides::Right => Some("right"),
        }
    }
}

#[expect(clippy::cast_precision_loss, reason = "a handful")]
fn count(n: usize) -> f64 {
    n as f64
}
