//! The `plan` sheet: the knife alone at true size with running dimensions from its origin, the view
//! on its edge under it, and its title block. The `offsets` sheet: tables from which another maker
//! can draw it again.

mod block;
mod figures;
mod offsets;

#[cfg(test)]
mod tests;

use super::blank::blank_alone;
use super::drilling::ordinates::{self, Axis, Side, Station};
use super::drilling::stations::{first, second};
use super::{dimension, dimension_text, edge_on_level, measured};
use knife::{Knife, PartId};
use kurbo::{Affine, Point, Vec2};
use marks::{Drawing, HAlign, Label, Mark, Pen, VAlign, lettering};
use reckon::{ProfileFigures, Reckoning};

/// White between the dimensions and the view on edge, mm.
const APART_MM: f64 = 9.0;
/// Height of a view's name, mm.
const NAME_MM: f64 = 3.0;
/// The overall dimension's line lies this far above the blank, mm.
const OVERALL_MM: f64 = 10.0;
/// An origin farther than this from the blank isn't drawn, mm.
const ORIGIN_NEAR_MM: f64 = 12.0;
/// Nearer than this two stations are one, mm.
const SAME_MM: f64 = 0.005;

/// The knife at 1:1 in its own plane, dimensioned, and under it the view on its edge.
pub fn plan_sheet(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let mut drawing = Drawing::new();
    let Some(profile) = &reckoning.profile else { return drawing };
    drawing.extend(blank_alone(knife, reckoning));
    along(&mut drawing, knife, reckoning, profile);
    up(&mut drawing, knife, reckoning, profile);
    let bounds = profile.bounds;
    let (from, to) = (Point::new(bounds.x0, bounds.y1), Point::new(bounds.x1, bounds.y1));
    let text = dimension_text(profile.length_mm, knife.unit);
    drawing.extend(dimension(from, to, Vec2::new(0.0, OVERALL_MM), &text));
    for found in reckoning.dimensions.iter().flatten() {
        drawing.extend(measured(found, knife.unit));
    }
    on_edge(&mut drawing, knife, reckoning, profile);
    drawing
}

/// Short lines for beside the drawing.
pub fn plan_notes(knife: &Knife, reckoning: &Reckoning) -> Vec<String> {
    let mut notes = vec![
        format!("Coordinates {}: {}.", reckoning.origin.from_phrase(), directions(reckoning)),
        "Check the printed length before you trace.".to_owned(),
    ];
    let stops = reckoning.stops();
    if stops > 0 {
        notes.push(format!("{stops} of the findings say stop: see the profile sheet first."));
    }
    let own = knife.notes.split_whitespace().collect::<Vec<_>>().join(" ");
    if !own.is_empty() {
        notes.push(super::drills::shortened(&own, 200));
    }
    notes
}

/// The plan's title block.
pub fn title_block(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    block::title(knife, reckoning)
}

/// What stands on the plan where there is room, each kept whole: making and holes. All of it is on
/// the `offsets` sheet.
pub fn plan_tables(knife: &Knife, reckoning: &Reckoning) -> Vec<Drawing> {
    let mut tables = vec![figures::table(knife, reckoning)];
    tables.extend(figures::holes(knife, reckoning));
    tables
}

/// The tables from which another maker can draw the knife again, each kept whole: offsets of the
/// outline, holes, making.
pub fn offset_tables(knife: &Knife, reckoning: &Reckoning) -> Vec<Drawing> {
    let mut tables: Vec<Drawing> = offsets::table(knife, reckoning).into_iter().collect();
    tables.extend(figures::holes(knife, reckoning));
    tables.push(figures::table(knife, reckoning));
    tables
}

/// Which ways coordinates grow, in words.
fn directions(reckoning: &Reckoning) -> &'static str {
    let towards_butt = reckoning.profile.as_ref().map_or(1.0, |profile| profile.towards_butt);
    match (towards_butt * reckoning.origin.x_sign > 0.0, towards_butt > 0.0) {
        (true, _) => "x towards the butt, y up",
        (false, true) => "x to the right, y up",
        (false, false) => "x towards the tip, y up",
    }
}

/// Whether the butt lies to the right.
fn butt_is_right(profile: &ProfileFigures) -> bool {
    profile.towards_butt > 0.0
}

/// Where running dimensions begin, unless that lies far from the blank.
fn in_sight(at: f64, (low, high): (f64, f64)) -> Option<f64> {
    (low - ORIGIN_NEAR_MM..=high + ORIGIN_NEAR_MM).contains(&at).then_some(at)
}

fn rows(mm: f64, knife: &Knife, name: &str) -> Vec<String> {
    let mut rows = vec![first(mm, knife.unit), second(mm, knife.unit)];
    rows.extend((!name.is_empty()).then(|| name.to_owned()));
    rows
}

/// Running dimensions along the knife: lines, holes, butt.
fn along(drawing: &mut Drawing, knife: &Knife, reckoning: &Reckoning, profile: &ProfileFigures) {
    let (bounds, origin) = (profile.bounds, &reckoning.origin);
    let (tip, butt) =
        if butt_is_right(profile) { (bounds.x0, bounds.x1) } else { (bounds.x1, bounds.x0) };
    let mut stations = Vec::new();
    let mut add = |at: f64, from: Option<f64>, name: &str, part| {
        let rows = rows(origin.to_local_x(at), knife, name);
        stations.push(Station { at, from, rows, name: name.to_owned(), fixed: false, part });
    };
    if origin.to_local_x(tip).abs() > SAME_MM {
        add(tip, None, "tip", Some(PartId::Profile));
    }
    add(butt, None, "butt", Some(PartId::Profile));
    if let Some(bevel) = knife.bevel {
        add(bevel.plunge_x_mm, None, "plunge", Some(PartId::Plunge));
    }
    if let Some(scales) = knife.scales {
        add(scales.front_x_mm, None, "scales", Some(PartId::Scales));
    }
    for hole in &reckoning.holes {
        let name = format!("hole {}", hole.number);
        add(hole.at.x, None, &name, Some(PartId::Hole(hole.id)));
    }
    let axis = Axis {
        side: Side::Below,
        base: bounds.y0,
        span: (bounds.x0, bounds.x1),
        room: (bounds.x0 - 8.0, bounds.x1 + 8.0),
        origin: in_sight(origin.at.x, (bounds.x0, bounds.x1)),
        direction: origin.x_sign,
    };
    let _ = ordinates::draw(drawing, &axis, stations);
}

/// Running dimensions up and down from the origin: the blank's lowest line, holes, spine.
fn up(drawing: &mut Drawing, knife: &Knife, reckoning: &Reckoning, profile: &ProfileFigures) {
    let (bounds, origin) = (profile.bounds, &reckoning.origin);
    let mut stations: Vec<Station> = Vec::new();
    let mut add = |at: f64, name: &str, part| {
        let rows = rows(origin.to_local_y(at), knife, name);
        // Spine and belly are told whatever lies beside them.
        let fixed = name.is_empty();
        stations.push(Station { at, from: None, rows, name: name.to_owned(), fixed, part });
    };
    for end in [bounds.y0, bounds.y1] {
        if origin.to_local_y(end).abs() > SAME_MM {
            add(end, "", Some(PartId::Profile));
        }
    }
    let mut message: Vec<f64> = Vec::new();
    for hole in &reckoning.holes {
        // Holes in one line are told once.
        if message.iter().all(|y| (y - hole.at.y).abs() > 0.005) {
            message.push(hole.at.y);
            let level = reckoning.holes.iter().filter(|h| (h.at.y - hole.at.y).abs() <= 0.005);
            let numbers: Vec<String> = level.map(|hole| hole.number.to_string()).collect();
            let what = if numbers.len() == 1 { "hole" } else { "holes" };
            add(hole.at.y, &format!("{what} {}", numbers.join(", ")), Some(PartId::Hole(hole.id)));
        }
    }
    let right = butt_is_right(profile);
    let axis = Axis {
        side: if right { Side::Right } else { Side::Left },
        base: if right { bounds.x1 } else { bounds.x0 },
        span: (bounds.y0, bounds.y1),
        room: (bounds.y0 - 12.0, bounds.y1 + 12.0),
        origin: in_sight(origin.at.y, (bounds.y0, bounds.y1)),
        direction: 1.0,
    };
    let _ = ordinates::draw(drawing, &axis, stations);
}

/// The view on the edge, under all that is drawn, with its thickness.
fn on_edge(drawing: &mut Drawing, knife: &Knife, reckoning: &Reckoning, profile: &ProfileFigures) {
    let view = edge_on_level(knife, reckoning);
    let Some(own) = view.bounds() else { return };
    let half_mm = knife.bar.thickness_mm / 2.0;
    let middle = foot(drawing) - APART_MM - own.y1;
    let by = Affine::translate((0.0, middle));
    let (x, out) =
        if butt_is_right(profile) { (profile.bounds.x1, 10.0) } else { (profile.bounds.x0, -10.0) };
    drawing.extend(view.moved(by));
    let (from, to) = (Point::new(x, middle - half_mm), Point::new(x, middle + half_mm));
    drawing.extend(dimension(from, to, Vec2::new(out, 0.0), ""));
    // A unit a row, clear of the extension lines' ends.
    let across = if out > 0.0 { HAlign::Start } else { HAlign::End };
    for (text, up) in rows(knife.bar.thickness_mm, knife, "").into_iter().zip([0.7, -0.7]) {
        let at = Point::new(x + out * 1.35, middle + up * NAME_MM);
        let label = Label::new(text, at, NAME_MM).anchored(across, VAlign::Middle);
        drawing.text(Pen::Dimension, label);
    }
    let at = Point::new(profile.bounds.x0, middle + own.y0 - 2.5);
    let label = Label::new("On its edge", at, NAME_MM).anchored(HAlign::Start, VAlign::Top);
    drawing.text(Pen::Lettering, label);
}

/// The lowest place of a drawing, its lettering among it.
fn foot(drawing: &Drawing) -> f64 {
    let labels = drawing.items.iter().filter_map(|item| match &item.mark {
        Mark::Text(label) => Some(lettering::corners(label)),
        _ => None,
    });
    let lettered = labels.flatten().map(|corner| corner.y).fold(f64::MAX, f64::min);
    drawing.bounds().map_or(lettered, |bounds| bounds.y0.min(lettered))
}
