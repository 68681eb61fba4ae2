//! The `profile` sheet: the blank at true size, to trace and cut.

use super::blank::{lies_beside, placed_bounds, stretch};
use super::drills::{drill_list, shortened};
use super::hole_names::{NameDetail, hole_names_above, named};
use super::template::{fold_line, scissor_line};
use super::{Callout, Extent, blank_on_bar, callouts, dimension, dimension_text};
use knife::{Knife, PartId};
use kurbo::{Affine, Point};
use marks::{Drawing, HAlign, Label, Pen, VAlign};
use reckon::Reckoning;

/// An end of the bar nearer to the blank than twice this is drawn; else the bar breaks off, mm.
const AROUND_MM: f64 = 4.0;
/// Row of names above the bar, mm.
const NAME_ROW_MM: f64 = 7.0;
/// The overall dimension's line below the bar, mm: its figure stands clear of the scissor line
/// (ISO 129-1 asks for 10 from a part's outline, from memory; the outline lies inside the bar).
const DIMENSION_MM: f64 = 11.0;
/// The bar's name stands so far below that line, mm.
const BELOW_MM: f64 = 2.5;
/// A dimension line beyond the bar's broken end needs less, mm.
const BEYOND_MM: f64 = 9.5;
/// So many findings are told whole, so many at all; the rest is only counted on the sheet.
const FINDINGS_TOLD: (usize, usize) = (1, 8);
/// More findings set aside than this are only counted on the sheet.
const ASIDES_TOLD: usize = 3;
/// Longer notes are cut short on the sheet, characters.
const NOTES_CHARS: usize = 280;
/// Height of the bar's name, mm.
const NAME_MM: f64 = 2.5;

/// The blank on its bar at 1:1, with the names of holes and lines and overall dimensions. All
/// names stand in one row, so that a usual blank lies level on a small sheet of paper.
pub fn profile_sheet(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let extent = Extent::Around(AROUND_MM);
    let mut drawing = blank_on_bar(knife, reckoning, extent);
    let Some(bounds) = placed_bounds(knife, reckoning) else { return drawing };
    let (top, bottom) = if lies_beside(knife, reckoning) {
        (bounds.y1, bounds.y0)
    } else {
        (bounds.y1.max(knife.bar.width_mm), bounds.y0.min(0.0))
    };
    let to_bar = knife.bar.placement.bar_from_knife();
    drawing.extend(scissor_line(reckoning, to_bar));
    drawing.extend(fold_line(reckoning, to_bar));
    let room = named(reckoning, room_mm(knife, reckoning));
    let mut names = hole_names_above(reckoning, room, top);
    names.extend(line_names(knife, reckoning, top));
    drawing.extend(callouts(names, top + NAME_ROW_MM));
    overall(&mut drawing, knife, reckoning, bottom);
    bar_name(&mut drawing, knife, reckoning, extent, bottom);
    drawing
}

/// Short lines for beside the drawing: what to mind when cutting by this sheet.
pub fn profile_notes(knife: &Knife, reckoning: &Reckoning) -> Vec<String> {
    let mut notes = vec![
        "Cut along the dashed scissor line, stick the template on the steel, centre-punch the holes \
         through it, cut outside the full line and file to it."
        .to_owned(),
    ];
    if let Some(mm) = knife.traced_mm {
        let words = "Traced from a picture, ±";
        notes.push(format!(
            "{words}{}. Check what matters on the real thing.",
            units::show_mm(mm, 2)
        ));
    }
    let drills = drill_list(reckoning, knife.unit);
    if !drills.is_empty() {
        notes.push(format!("Drills: {drills}."));
    }
    let filed = match (&reckoning.jimping, &reckoning.scallops) {
        (Some(_), Some(_)) => "Notches at the edge: jimping. Arcs: scallops, in the scales only",
        (Some(_), None) => "Notches at the edge: jimping",
        (None, Some(_)) => "Arcs at the edges: scallops, in the scales only",
        (None, None) => "",
    };
    if !filed.is_empty() {
        notes.push(format!("{filed}. Mark them with the strips."));
    }
    if named(reckoning, room_mm(knife, reckoning)) == NameDetail::Not {
        notes.push("There are too many holes to number here.".to_owned());
    }
    for (i, finding) in reckoning.open_findings().enumerate().take(FINDINGS_TOLD.1) {
        let words = if i < FINDINGS_TOLD.0 { &finding.sentence } else { &finding.short };
        notes.push(format!("{}: {words}", finding.severity.label().to_uppercase()));
    }
    let more = reckoning.open_findings().count().saturating_sub(FINDINGS_TOLD.1);
    if more > 0 {
        notes
            .push(format!("And {more} more: whoever has the file sees them by blankwright check."));
    }
    let asides = reckoning.findings.iter().filter(|finding| finding.set_aside.is_some());
    let count = asides.clone().count();
    for finding in asides.take(ASIDES_TOLD) {
        // The reason first: a long sentence is cut short.
        let reason = finding.set_aside.as_deref().unwrap_or_default();
        let show = format!("ACCEPTED ({reason}): {}", finding.sentence);
        notes.push(shortened(&show, NOTES_CHARS));
    }
    if count > ASIDES_TOLD {
        notes.push(format!("And {} more accepted.", count - ASIDES_TOLD));
    }
    let own = knife.notes.split_whitespace().collect::<Vec<_>>().join(" ");
    if !own.is_empty() {
        notes.push(shortened(&own, NOTES_CHARS));
    }
    notes.push(
        "Clamp the work, wear eye protection; filings and cut edges are sharp, keep dust \
         out of your lungs. Rules on making and carrying knives differ: check those where you are."
            .to_owned(),
    );
    notes
}

/// How long a row of names may be: the drawn stretch of the bar, mm.
fn room_mm(knife: &Knife, reckoning: &Reckoning) -> f64 {
    let (from, to) = stretch(knife, reckoning, Extent::Around(AROUND_MM));
    to - from
}

/// Names of lines. Their leaders stop at the bar's edge, `top`, but for the two that would point
/// at nothing there.
fn line_names(knife: &Knife, reckoning: &Reckoning, top: f64) -> Vec<Callout> {
    let to_edge = |at: Point| Point::new(at.x, top);
    let bar_from_knife = knife.bar.placement.bar_from_knife();
    let mut names = Vec::new();
    if let Some(bevel) = &reckoning.bevel {
        if let Some(line) = bevel.plunge {
            names.push(Callout {
                at: to_edge(higher(bar_from_knife * line.p0, bar_from_knife * line.p1)),
                text: "plunge line".to_owned(),
                part: Some(PartId::Plunge),
            });
        }
        if let Some(at) = bevel.grind.iter().max_by_key(|g| g.elements().len()).and_then(middle) {
            names.push(Callout {
                at: bar_from_knife * at,
                text: "grind line".to_owned(),
                part: Some(PartId::GrindLine),
            });
        }
    }
    if let Some(line) = reckoning.scales.as_ref().map(reckon::ScaleFigures::front_ends) {
        names.push(Callout {
            at: to_edge(higher(bar_from_knife * line.p0, bar_from_knife * line.p1)),
            text: "scale front".to_owned(),
            part: Some(PartId::Scales),
        });
    }
    if let Some(at) = highest(reckoning, bar_from_knife) {
        names.push(Callout { at, text: "cut line".to_owned(), part: Some(PartId::Profile) });
    }
    names
}

/// Where the outline reaches highest on the bar.
fn highest(reckoning: &Reckoning, to_bar: Affine) -> Option<Point> {
    let outline = reckoning.outline.as_ref()?.transformed(to_bar);
    outline.nodes().max_by(|a, b| a.y.total_cmp(&b.y))
}

fn higher(a: Point, b: Point) -> Point {
    if a.y > b.y { a } else { b }
}

fn middle(path: &kurbo::BezPath) -> Option<Point> {
    let elements = path.elements();
    elements.get(elements.len() / 2).and_then(kurbo::PathEl::end_point)
}

/// A knife turned further than this from the bar's length gets its overall sizes in words, deg.
const MAX_TURN_DEG: f64 = 10.0;

/// Overall length below and width beyond the bar's right end, both along the knife's own axes,
/// whichever way the knife lies.
fn overall(drawing: &mut Drawing, knife: &Knife, reckoning: &Reckoning, below_y: f64) {
    let Some(profile) = &reckoning.profile else { return };
    let placement = knife.bar.placement;
    let show = |mm| dimension_text(mm, knife.unit);
    let (length, width) = (show(profile.length_mm), show(profile.width_mm));
    let askew_deg = (placement.turn_deg + 90.0).rem_euclid(180.0) - 90.0;
    if askew_deg.abs() > MAX_TURN_DEG {
        let (from, _) = stretch(knife, reckoning, Extent::Around(AROUND_MM));
        let words = format!("overall {length} long, {width} wide");
        let at = Point::new(from + 8.0, below_y - DIMENSION_MM + 4.5);
        let label = Label::new(words, at, NAME_MM).anchored(HAlign::Start, VAlign::Top);
        drawing.text(Pen::Dimension, label);
        return;
    }
    let corner = |x: f64, y: f64| placement.bar_from_knife() * Point::new(x, y);
    let box_mm = profile.bounds;
    let upright = (placement.turn_deg + 90.0).rem_euclid(360.0) < 180.0;
    // The sides of the knife's box that lie lowest and rightmost on the bar.
    let (left, right, low, high) = if upright {
        (box_mm.x0, box_mm.x1, box_mm.y0, box_mm.y1)
    } else {
        (box_mm.x1, box_mm.x0, box_mm.y1, box_mm.y0)
    };
    let down = (corner(right, low) - corner(right, high)).normalize();
    let out = (corner(right, low) - corner(left, low)).normalize();
    let (from, to) = (corner(left, low), corner(right, low));
    let clear = (from.y.max(to.y) - below_y).max(0.0) + DIMENSION_MM;
    drawing.extend(dimension(from, to, down * clear, &format!("overall {length}")));
    let (from, to) = (corner(right, low), corner(right, high));
    let (_, end) = stretch(knife, reckoning, Extent::Around(AROUND_MM));
    let clear = (end - from.x.min(to.x)).max(0.0) + BEYOND_MM;
    drawing.extend(dimension(from, to, out * clear, &width));
}

fn bar_name(
    drawing: &mut Drawing,
    knife: &Knife,
    reckoning: &Reckoning,
    extent: Extent,
    bottom: f64,
) {
    let bar = &knife.bar;
    let size = |mm: f64| units::write_length(mm, knife.unit);
    let (from, _) = stretch(knife, reckoning, extent);
    let text = format!("bar {} × {}, {}", size(bar.width_mm), size(bar.thickness_mm), bar.grade);
    let at = Point::new(from + 8.0, bottom - DIMENSION_MM - BELOW_MM);
    let label = Label::new(text, at, NAME_MM).anchored(HAlign::Start, VAlign::Top);
    drawing.text(Pen::Lettering, label);
}
