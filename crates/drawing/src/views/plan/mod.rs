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
use super::reduced::scaled;
use super::{dimension, dimension_text, edge_on_level, measured};
use knife::{Knife, PartId};
use kurbo::{Affine, Point, Rect, Vec2};
use marks::{Drawing, HAlign, Label, Mark, Pen, VAlign, lettering};
use reckon::{Measured, ProfileFigures, Reckoning, WayAlong};

/// White between the dimensions and the view on edge, mm.
const APART_MM: f64 = 9.0;
/// Height of a view's name, mm.
const NAME_MM: f64 = 3.0;
/// Height of the words that a plan is reduced, mm.
const WARNING_MM: f64 = 4.0;
/// The overall dimension's line lies this far above the blank, mm.
const OVERALL_MM: f64 = 10.0;
/// An origin farther than this from the blank isn't drawn, mm.
const ORIGIN_NEAR_MM: f64 = 12.0;
/// Nearer than this two stations are one, mm.
const SAME_MM: f64 = 0.005;
/// The sheet that has every figure of which there is no room here.
const OTHERS_IN: &str = "offsets";
/// Longer notes of the maker's are cut short, characters.
const NOTES_CHARS: usize = 600;

/// The knife at 1:1 in its own plane, dimensioned, and under it the view on its edge.
pub fn plan_sheet(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    plan(knife, reckoning, 1)
}

/// The scales, 1 to so much, at which a plan is drawn where it doesn't go on one page at its true
/// size (ISO 5455), each with the length from which it may be needed, mm: a blank shorter than
/// that goes on any paper at the larger scale.
pub const PLAN_SCALES: [(u32, f64); 2] = [(2, 150.0), (5, 280.0)];

/// The same plan smaller by so much, its figures those of the knife. It says that it is reduced,
/// and nothing on it is cut by.
pub fn reduced_plan(knife: &Knife, reckoning: &Reckoning, scale: u32) -> Drawing {
    let mut drawing = plan(knife, reckoning, scale);
    let Some(top) = drawing.bounds() else { return drawing };
    let words = format!("REDUCED 1 : {scale} – NOT FOR TRACING OR MEASURING");
    let at = Point::new(top.x0, top.y1 + WARNING_MM + NAME_MM);
    let label = Label::new(words, at, WARNING_MM).bold();
    drawing.text(Pen::Lettering, label);
    drawing
}

fn plan(knife: &Knife, reckoning: &Reckoning, scale: u32) -> Drawing {
    let mut drawing = Drawing::new();
    let Some(profile) = &reckoning.profile else { return drawing };
    let view = View { knife, reckoning, profile, by: 1.0 / f64::from(scale) };
    drawing.extend(view.scaled(blank_alone(knife, reckoning)));
    along(&mut drawing, &view);
    up(&mut drawing, &view);
    let bounds = view.bounds();
    let (from, to) = (Point::new(bounds.x0, bounds.y1), Point::new(bounds.x1, bounds.y1));
    let text = dimension_text(profile.length_mm, knife.unit);
    drawing.extend(dimension(from, to, Vec2::new(0.0, OVERALL_MM), &text));
    for found in reckoning.dimensions.iter().flatten() {
        drawing.extend(measured(&view.measured(found), knife.unit));
    }
    on_edge(&mut drawing, &view);
    drawing
}

/// A knife and how large it is drawn.
struct View<'a> {
    knife: &'a Knife,
    reckoning: &'a Reckoning,
    profile: &'a ProfileFigures,
    /// What lengths are multiplied by on the drawing.
    by: f64,
}

impl View<'_> {
    fn bounds(&self) -> Rect {
        Affine::scale(self.by).transform_rect_bbox(self.profile.bounds)
    }

    fn scaled(&self, drawing: Drawing) -> Drawing {
        // At true size as it is: its cut line is a cut line.
        if self.by < 1.0 { scaled(&drawing, self.by, Pen::Blank) } else { drawing }
    }

    /// What was measured, its value as it is and its places where they are drawn.
    fn measured(&self, of: &Measured) -> Measured {
        let scale = Affine::scale(self.by);
        Measured {
            from: scale * of.from,
            to: scale * of.to,
            vertex: of.vertex.map(|vertex| scale * vertex),
            along: of.along.map(|way| WayAlong { middle: scale * way.middle, ..way }),
            ..of.clone()
        }
    }
}

/// Short lines for beside the drawing, of a plan drawn 1 to so much.
pub fn plan_notes(knife: &Knife, reckoning: &Reckoning, scale: u32) -> Vec<String> {
    let mut notes =
        vec![format!("Coordinates {}: {}.", reckoning.origin.from_phrase(), directions(reckoning))];
    notes.push(if scale == 1 {
        "Check the printed length before you trace.".to_owned()
    } else {
        "Drawn smaller than the knife, to go on one page: its figures are true, the drawing is only \
         to be read. The profile sheet is the template."
            .to_owned()
    });
    let stops = reckoning.stops();
    if stops > 0 {
        notes.push(format!("{stops} of the findings say stop: see the profile sheet first."));
    }
    let own = knife.notes.split_whitespace().collect::<Vec<_>>().join(" ");
    if !own.is_empty() {
        notes.push(super::drills::shortened(&own, NOTES_CHARS));
    }
    notes
}

/// The plan's title block, of a plan drawn 1 to so much.
pub fn title_block(knife: &Knife, reckoning: &Reckoning, scale: u32) -> Drawing {
    block::title(knife, reckoning, scale)
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
fn along(drawing: &mut Drawing, view: &View<'_>) {
    let View { knife, reckoning, profile, by } = *view;
    let (bounds, origin) = (profile.bounds, &reckoning.origin);
    let (tip, butt) =
        if butt_is_right(profile) { (bounds.x0, bounds.x1) } else { (bounds.x1, bounds.x0) };
    let mut stations = Vec::new();
    let mut add = |at: f64, from: Option<f64>, name: &str, part| {
        let rows = rows(origin.to_local_x(at), knife, name);
        let at = at * by;
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
    let bounds = view.bounds();
    let axis = Axis {
        side: Side::Below,
        base: bounds.y0,
        span: (bounds.x0, bounds.x1),
        room: (bounds.x0 - 8.0, bounds.x1 + 8.0),
        origin: in_sight(origin.at.x * by, (bounds.x0, bounds.x1)),
        direction: origin.x_sign,
        others_in: OTHERS_IN,
    };
    let _ = ordinates::draw(drawing, &axis, stations);
}

/// Running dimensions up and down from the origin: the blank's lowest line, holes, spine.
fn up(drawing: &mut Drawing, view: &View<'_>) {
    let View { knife, reckoning, profile, by } = *view;
    let (bounds, origin) = (profile.bounds, &reckoning.origin);
    let mut stations: Vec<Station> = Vec::new();
    let mut add = |at: f64, name: &str, part| {
        let rows = rows(origin.to_local_y(at), knife, name);
        // Spine and belly are told whatever lies beside them.
        let fixed = name.is_empty();
        let at = at * by;
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
    let bounds = view.bounds();
    let axis = Axis {
        side: if right { Side::Right } else { Side::Left },
        base: if right { bounds.x1 } else { bounds.x0 },
        span: (bounds.y0, bounds.y1),
        room: (bounds.y0 - 12.0, bounds.y1 + 12.0),
        origin: in_sight(origin.at.y * by, (bounds.y0, bounds.y1)),
        direction: 1.0,
        others_in: OTHERS_IN,
    };
    let _ = ordinates::draw(drawing, &axis, stations);
}

/// The view on the edge, under all that is drawn, with its thickness.
fn on_edge(drawing: &mut Drawing, view: &View<'_>) {
    let View { knife, reckoning, profile, by } = *view;
    let edge = view.scaled(edge_on_level(knife, reckoning));
    let Some(own) = edge.bounds() else { return };
    let half_mm = knife.bar.thickness_mm / 2.0 * by;
    let bounds = view.bounds();
    let middle = foot(drawing) - APART_MM - own.y1;
    let to_place = Affine::translate((0.0, middle));
    let (x, out) = if butt_is_right(profile) { (bounds.x1, 10.0) } else { (bounds.x0, -10.0) };
    drawing.extend(edge.moved(to_place));
    let (from, to) = (Point::new(x, middle - half_mm), Point::new(x, middle + half_mm));
    drawing.extend(dimension(from, to, Vec2::new(out, 0.0), ""));
    // A unit a row, clear of the extension lines' ends.
    let across = if out > 0.0 { HAlign::Start } else { HAlign::End };
    for (text, up) in rows(knife.bar.thickness_mm, knife, "").into_iter().zip([0.7, -0.7]) {
        let at = Point::new(x + out * 1.35, middle + up * NAME_MM);
        let label = Label::new(text, at, NAME_MM).anchored(across, VAlign::Middle);
        drawing.text(Pen::Dimension, label);
    }
    let at = Point::new(bounds.x0, middle + own.y0 - 2.5);
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
