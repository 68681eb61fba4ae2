//! The `bar` sheet: blanks on their bar, chain-drill holes, saw cuts, stations.

mod nest;
mod reduced;

use super::blank::{Extent, blank_on_bar, placed_bounds, stretch};
use super::{Callout, callouts};
use crate::MarkPart as _;
use knife::{Knife, PartId, Reference, ReferenceEnd};
use kurbo::{BezPath, Circle, Line, Point, Vec2};
use marks::{Drawing, HAlign, Label, Mark, Pen, VAlign};
use reckon::{ChainFigures, Reckoning, SawCut};
use units::LengthUnit;

pub use nest::{nest_notes, nest_sheet};
pub use reduced::nest_overview;

/// An end of the bar nearer to the blank than twice this is drawn; else the bar breaks off, mm.
const AROUND_MM: f64 = 9.0;
/// Arms of the cross by which a hole of the chain is punched, mm.
const CROSS_MM: f64 = 1.2;
/// Length of the arrow head where a saw comes in, mm.
const POINTER_MM: f64 = 2.4;
/// Row of names above the bar, mm.
const NAME_ROW_MM: f64 = 6.0;
/// Row of stations below the bar, mm.
const STATION_ROW_MM: f64 = 7.0;
/// Height of the bar's name, mm.
const NAME_MM: f64 = 2.5;

/// One blank on its bar at 1:1 with its chain of holes, saw cuts and stations.
pub fn bar_sheet(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let extent = Extent::Around(AROUND_MM);
    let mut drawing = blank_on_bar(knife, reckoning, extent);
    let Some(bounds) = placed_bounds(knife, reckoning) else { return drawing };
    let bar = &knife.bar;
    let (from, to) = stretch(knife, reckoning, extent);
    if let Some(chain) = &reckoning.chain {
        drawing.extend(chain_marks(chain, (from, to)));
    }
    let stations = [bounds.x0, bounds.x1].map(|x| BarStation {
        x,
        y: bounds.y0.min(bar.width_mm),
        from_end_mm: from_end(x, bar.length_mm, bar.reference),
    });
    drawing.extend(station_row(&stations, bounds.y0.min(0.0), knife.unit));
    let size = |mm: f64| units::write_length(mm, knife.unit);
    let name = format!(
        "bar {} × {} × {}, {}; stations from the {} end",
        size(bar.width_mm),
        size(bar.thickness_mm),
        size(bar.length_mm),
        bar.grade,
        end_word(bar.reference),
    );
    let at = Point::new(from.max(bounds.x0), bar.width_mm.max(bounds.y1) + NAME_ROW_MM);
    drawing.text(Pen::Lettering, Label::new(name, at, NAME_MM));
    drawing
}

/// Short lines for beside the drawing.
pub fn bar_notes(knife: &Knife, reckoning: &Reckoning) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(chain) = &reckoning.chain {
        notes.extend(chain.describe(knife.unit));
    } else if reckoning.outline.is_some() {
        notes.push("No chain of holes can be drawn round this outline: saw it out.".to_owned());
    }
    if let (Some(profile), true) = (&reckoning.profile, knife.bar.width_mm > 0.0) {
        let share = profile.area_mm2 / (profile.length_mm * knife.bar.width_mm);
        notes.push(format!(
            "The blank is {} % of the bar along its length.",
            units::show_number(100.0 * share, 0)
        ));
    }
    notes.push(DRILLING_NOTE.to_owned());
    notes
}

/// What to mind at the drill and the saw.
pub(super) const DRILLING_NOTE: &str = "Stick the sheet on and centre-punch every cross through it. Clamp \
     the bar to drill and to saw, wear eye protection, no gloves or loose sleeves near a turning \
     drill; chips and sawn edges are sharp.";

/// Holes of a chain with crosses to punch, and saw cuts, within a stretch of the bar.
pub fn chain_marks(chain: &ChainFigures, (from, to): (f64, f64)) -> Drawing {
    let mut drawing = Drawing::new();
    let radius = chain.drilling.drill_mm / 2.0;
    for at in &chain.holes {
        let circle = Mark::Circle(Circle::new(*at, radius));
        drawing.add_part(Pen::Waste, circle, PartId::Bar);
        let arm = CROSS_MM.min(0.8 * radius);
        for direction in [Vec2::new(arm, 0.0), Vec2::new(0.0, arm)] {
            drawing.add_part(
                Pen::Waste,
                Line::new(*at - direction, *at + direction).into(),
                PartId::Bar,
            );
        }
    }
    for cut in &chain.cuts {
        if let Some(path) = slot(cut, (from, to)) {
            drawing.add_part(Pen::Waste, Mark::Path(path), PartId::Bar);
            let start = cut.from.x.max(from).min(to);
            if (start - cut.from.x).abs() < 1e-9 {
                let direction = (cut.to - cut.from).normalize();
                drawing.add_part(Pen::Waste, Mark::Fill(pointer(cut.from, direction)), PartId::Bar);
            }
        }
    }
    drawing
}

/// Both sides of a saw cut and its end, open where it comes in; only what lies in the stretch.
fn slot(cut: &SawCut, (from, to): (f64, f64)) -> Option<BezPath> {
    let direction = cut.to - cut.from;
    let mut start = cut.from;
    if direction.x.abs() > 1e-9 {
        let edge = start.x.max(from).min(to);
        start = cut.from + direction * ((edge - cut.from.x) / direction.x).clamp(0.0, 1.0);
    }
    if start == cut.to {
        return None;
    }
    let side = direction.normalize().turn_90() * (cut.kerf_mm / 2.0);
    let mut path = BezPath::new();
    path.move_to(start + side);
    path.line_to(cut.to + side);
    path.line_to(cut.to - side);
    path.line_to(start - side);
    Some(path)
}

/// A filled arrow head outside the bar that shows where a saw comes in.
fn pointer(at: Point, direction: Vec2) -> BezPath {
    let (back, side) = (at - direction * POINTER_MM, direction.turn_90() * (POINTER_MM / 3.0));
    let mut path = BezPath::new();
    path.move_to(at);
    path.line_to(back + side);
    path.line_to(back - side);
    path.close_path();
    path
}

/// A place along the bar told from the end from which the maker scribes.
struct BarStation {
    x: f64,
    y: f64,
    from_end_mm: f64,
}

fn from_end(x: f64, length_mm: f64, reference: Reference) -> f64 {
    match reference.end {
        ReferenceEnd::Left => x,
        ReferenceEnd::Right => length_mm - x,
    }
}

fn end_word(reference: Reference) -> &'static str {
    match reference.end {
        ReferenceEnd::Left => "left",
        ReferenceEnd::Right => "right",
    }
}

fn station_text(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => units::show_number(mm, 1),
        LengthUnit::Inch => units::show_inch(mm, 3),
    }
}

/// Stations in a row below the bar.
fn station_row(stations: &[BarStation], below_y: f64, unit: LengthUnit) -> Drawing {
    let wanted = stations.iter().map(|station| Callout {
        at: Point::new(station.x, station.y),
        text: station_text(station.from_end_mm, unit),
        part: Some(PartId::Bar),
    });
    callouts(wanted.collect(), below_y - STATION_ROW_MM)
}

/// A line of names in one height.
fn note(text: String, at: Point) -> Label {
    Label::new(text, at, NAME_MM).anchored(HAlign::Start, VAlign::Base)
}

#[cfg(test)]
mod tests;
