//! The `drilling` sheet: the bar at true size with the blank in thin line, every hole with its
//! centre mark, number and drill, and running dimensions (ISO 129-1) from the bar's reference
//! end and edge; beside it the scribe table.

mod datum;
mod notes;
pub(super) mod ordinates;
pub(super) mod stations;
mod table;

#[cfg(test)]
mod tests;

pub use notes::drilling_notes;
pub use table::drilling_tables;

use super::Extent;
use super::blank::{bar, centre_mark, lies_beside, placed_bounds};
use super::callout::callouts_within;
use super::hole_names::{hole_names, named};
use crate::MarkPart as _;
use knife::{Knife, PartId, ReferenceEdge, ReferenceEnd};
use kurbo::{Circle, Rect, Shape};
use marks::{Drawing, Mark, Pen};
use reckon::Reckoning;

/// The bar is broken off this far beyond the blank, mm.
const BEYOND_MM: f64 = 2.5;
/// An end of the bar nearer to the blank than this is drawn, mm.
const NEAR_MM: f64 = 8.0;
/// The reference end is drawn from farther off, so that distances can be seen to start there, mm.
const REFERENCE_NEAR_MM: f64 = 40.0;
/// Row of hole names above the bar, mm; higher where the reference edge's words stand below it.
const NAME_ROW_MM: f64 = 6.0;
const NAME_ROW_ABOVE_WORDS_MM: f64 = 10.0;

/// What of the bar's plane the sheet shows.
#[derive(Clone, Copy, Debug)]
struct VisibleArea {
    /// Bar, blank and holes.
    body: Rect,
    /// Whether the bar's reference end is drawn.
    reference_end: bool,
    /// Where the row of hole names stands.
    names_y: f64,
}

/// The bar with the blank at 1:1 and its holes dimensioned.
pub fn drilling_sheet(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    sheet_with(knife, reckoning, true)
}

/// The same without the distances from the reference edge, which the table has too: shorter by
/// their column.
pub fn short_drilling_sheet(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    sheet_with(knife, reckoning, false)
}

fn sheet_with(knife: &Knife, reckoning: &Reckoning, heights: bool) -> Drawing {
    let mut drawing = Drawing::new();
    let Some(visible) = visible(knife, reckoning) else { return drawing };
    let extent = Extent::Between(visible.body.x0, visible.body.x1);
    bar(&mut drawing, knife, reckoning, extent);
    blank(&mut drawing, knife, reckoning);
    let names = hole_names(reckoning, named(reckoning, visible.body.width()));
    let taken: Vec<f64> = names.iter().map(|name| name.at.x).collect();
    let ends = (visible.body.x0, visible.body.x1 + BEYOND_MM);
    let names = callouts_within(names, visible.names_y, ends);
    stations::draw(&mut drawing, knife, reckoning, visible, heights);
    datum::draw(&mut drawing, knife, reckoning, visible, (&taken, &names));
    drawing.extend(names);
    drawing
}

/// Bar, blank and holes in the bar's plane; `None` without an outline.
fn visible(knife: &Knife, reckoning: &Reckoning) -> Option<VisibleArea> {
    let blank = placed_bounds(knife, reckoning)?;
    let on_bar = reckoning.holes.iter().fold(blank, |all, hole| {
        all.union(Circle::new(hole.on_bar, hole.diameter_mm / 2.0).bounding_box())
    });
    if lies_beside(knife, reckoning) {
        let body = on_bar.inflate(BEYOND_MM, 0.0);
        return Some(VisibleArea { body, reference_end: false, names_y: body.y1 + NAME_ROW_MM });
    }
    let length_mm = knife.bar.length_mm;
    let left = knife.bar.reference.end == ReferenceEnd::Left;
    let near = |is_reference: bool| if is_reference { REFERENCE_NEAR_MM } else { NEAR_MM };
    let from = if on_bar.x0 <= near(left) { on_bar.x0.min(0.0) } else { on_bar.x0 - BEYOND_MM };
    let to = if on_bar.x1 >= length_mm - near(!left) {
        on_bar.x1.max(length_mm)
    } else {
        on_bar.x1 + BEYOND_MM
    };
    let body = Rect::new(from, on_bar.y0.min(0.0), to, on_bar.y1.max(knife.bar.width_mm));
    let reference_end = if left { from <= 0.0 } else { to >= length_mm };
    let names = match knife.bar.reference.edge {
        ReferenceEdge::Lower => NAME_ROW_MM,
        ReferenceEdge::Upper => NAME_ROW_ABOVE_WORDS_MM,
    };
    Some(VisibleArea { body, reference_end, names_y: body.y1 + names })
}

/// The blank in thin line, its plunge line and scale front, and the holes with centre marks.
fn blank(drawing: &mut Drawing, knife: &Knife, reckoning: &Reckoning) {
    let bar_from_knife = knife.bar.placement.bar_from_knife();
    if let Some(line) = reckoning.bevel.as_ref().and_then(|bevel| bevel.plunge) {
        drawing.add_part(Pen::Bevel, (bar_from_knife * line).into(), PartId::Plunge);
    }
    if let Some(scales) = &reckoning.scales {
        let front = bar_from_knife * scales.front_path();
        drawing.add_part(Pen::Scale, Mark::Path(front), PartId::Scales);
    }
    if let Some(outline) = &reckoning.outline {
        let path = bar_from_knife * outline.to_path();
        drawing.add_part(Pen::Blank, Mark::Path(path), PartId::Profile);
    }
    for hole in &reckoning.holes {
        let circle = Circle::new(hole.on_bar, hole.diameter_mm / 2.0);
        for mark in centre_mark(circle) {
            drawing.add_part(Pen::Centre, mark, PartId::Hole(hole.id));
        }
        drawing.add_part(Pen::Hole, Mark::Circle(circle), PartId::Hole(hole.id));
    }
}
