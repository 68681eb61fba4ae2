//! The `strips` sheet: paper strips at true arc length, to wrap along an edge of the handle or
//! along the spine, so that their ticks put scallops and notches where they belong.

mod notes;
mod strip;

#[cfg(test)]
mod tests;

pub use notes::strips_notes;

use knife::{Knife, OutlineSide};
use kurbo::Affine;
use marks::Drawing;
use reckon::{Reckoning, ScallopRow, scale_thickness_mm};
use strip::Strip;

/// Between two strips, mm: room for scissors.
const APART_MM: f64 = 8.0;
/// A strip is at least so broad, mm: room for its words between the ticks.
const MIN_BREADTH_MM: f64 = 18.0;
/// A strip goes on so far behind its last tick, mm.
const BEHIND_MM: f64 = 12.0;
/// The strip for the jimping begins so far ahead of its first tick, mm.
const AHEAD_MM: f64 = 12.0;

/// Whether there is anything to make a strip for.
pub fn has_strips(reckoning: &Reckoning) -> bool {
    reckoning.jimping.is_some() || reckoning.scallops.is_some()
}

/// A strip for each edge that gets scallops, the spine's first, and one for the jimping.
pub fn strips_sheet(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let mut drawing = Drawing::new();
    let mut y = 0.0;
    for strip in strips(knife, reckoning) {
        y -= strip.breadth_mm;
        drawing.extend(strip.drawn(knife.unit).moved(Affine::translate((0.0, y))));
        y -= APART_MM;
    }
    drawing
}

fn strips(knife: &Knife, reckoning: &Reckoning) -> Vec<Strip> {
    let mut strips = Vec::new();
    if let Some(scallops) = &reckoning.scallops {
        let breadth_mm = handle_mm(knife, reckoning).max(MIN_BREADTH_MM);
        let one = |name: &'static str, row: &ScallopRow| Strip {
            name,
            lay: "this end on the scales' front corner",
            breadth_mm,
            ahead_mm: 0.0,
            behind_mm: BEHIND_MM,
            ticks_mm: row.places.iter().map(|place| place.along_mm).collect(),
        };
        let rows = [
            one("UPPER EDGE (spine)", &scallops.upper),
            one("LOWER EDGE (belly)", &scallops.lower),
        ];
        strips.extend(rows.into_iter().filter(|strip| !strip.ticks_mm.is_empty()));
    }
    if let (Some(jimping), Some(stated)) = (&reckoning.jimping, knife.handle.jimping) {
        let towards_butt = reckoning.profile.as_ref().map_or(1.0, |p| p.towards_butt);
        let name = match stated.side {
            OutlineSide::Spine => "JIMPING (spine)",
            OutlineSide::Edge => "JIMPING (edge's side)",
        };
        // Ticks run from the front on, however the marks were stated.
        let from_front = (stated.to_x_mm - stated.from_x_mm) * towards_butt >= 0.0;
        let whole = jimping.notches.last().map_or(0.0, |notch| notch.along_mm);
        let mut ticks_mm: Vec<f64> = jimping
            .notches
            .iter()
            .map(|notch| if from_front { notch.along_mm } else { whole - notch.along_mm })
            .collect();
        ticks_mm.sort_by(f64::total_cmp);
        strips.push(Strip {
            name,
            lay: if from_front {
                "tick 1 on the first mark"
            } else {
                "last tick on the first mark"
            },
            breadth_mm: MIN_BREADTH_MM,
            ahead_mm: AHEAD_MM,
            behind_mm: BEHIND_MM,
            ticks_mm,
        });
    }
    strips
}

/// Thickness of the handle where its scales are thickest, mm.
fn handle_mm(knife: &Knife, reckoning: &Reckoning) -> f64 {
    let rows = reckoning.scallops.iter().flat_map(|s| s.upper.places.iter().chain(&s.lower.places));
    let scale_mm =
        rows.filter_map(|place| scale_thickness_mm(knife, place.at.x)).fold(0.0_f64, f64::max);
    knife.bar.thickness_mm + 2.0 * (knife.handle.under_scale_mm() + scale_mm)
}
