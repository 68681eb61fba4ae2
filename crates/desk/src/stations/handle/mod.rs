//! Handle: the scales, what holds them, and how they are shaped.

mod corners;
mod fit;
mod front;
mod grip;
mod materials;
mod pins;
mod under;

use super::readings::{of_the_handle, readings};
use super::{fold, heading, not_yet, place_along};
use crate::canvas::handles::{self, Grip};
use crate::canvas::{self, Hands, Read, hover, step_mm};
use crate::command::Commands;
use crate::field::Field;
use crate::section;
use crate::session::Session;
use egui::Ui;
use knife::limits::SCALE_THICKNESS_MM as MOST;
use knife::{Edit, Handle, Scales};
use kurbo::Point;
use units::LengthUnit;

/// A scale to begin with, mm thick (3/8 in, common practice, no source).
const THICK_MM: f64 = 9.525;

pub(super) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    let Some(scales) = read.knife.scales else {
        let words = (
            "No scales yet",
            "Scales follow the tang from the butt to their front line.",
            "Begin the scales",
        );
        not_yet(ui, words, first(read).map(set), read, out);
        grip::jimping(ui, read, session, out);
        return;
    };
    heading(ui, "Dimensions", p);
    let field = ("Front of scales", "Where the scales end towards the blade.");
    if let Some(mm) = place_along(ui, read, session, field, scales.front_x_mm) {
        out.edit(set(Scales { front_x_mm: mm, ..scales }));
    }
    let field = ("Scale thickness", "Of one scale, where no places along the handle are stated.");
    if let Some(mm) = session.drafts.length(ui, p, field, scales.thickness_mm, unit) {
        out.edit(set(Scales { thickness_mm: mm, ..scales }));
    }
    materials::ui(ui, read, session, out);
    front::ui(ui, read, session, out);
    under::liners(ui, read, session, out);
    under::bolsters(ui, read, session, out);
    pins::ui(ui, read, session, out);
    corners::ui(ui, read, session, out);
    corners::thickness(ui, read, scales, session, out);
    grip::scallops(ui, read, session, out);
    grip::jimping(ui, read, session, out);
    fit::ui(ui, read, session, out);
    ui.add_space(4.0);
    let about = "Liners, bolsters, pins and shape stay as they are.";
    if ui.button("Remove the scales").on_hover_text(about).clicked() {
        out.edit(Edit::SetScales(None));
    }
    readings(ui, read, |title| title == "Whole knife", &[]);
    readings(ui, read, at_the_foot, &["Front line", "Thickness"]);
    // The balance of the steel alone is of no use once that of the whole knife is known.
    let steel = ["As cut", "Taken off by grinding"];
    let balance = ["Centre of mass", "Behind the scale front", "Behind the front pin"];
    let whole = matches!(read.derived.reckoning.whole, Some(Ok(_)));
    let leave = if whole { [&steel[..], &balance[..]].concat() } else { steel.to_vec() };
    readings(ui, read, |title| title == "Steel alone", &leave);
    section::card(ui, read, session);
}

/// Titles of the readings that stand in the part of the card they are of.
const IN_THEIR_PART: [&str; 6] =
    ["Glue", "Pins", "Jimping", "Scallops", "Shape of the handle", "Finger notches"];

fn at_the_foot(title: &str) -> bool {
    of_the_handle(title) && title != "Whole knife" && !IN_THEIR_PART.contains(&title)
}

/// The whole handle with something of it changed.
fn handle_with(read: &Read<'_>, change: impl FnOnce(&mut Handle)) -> Edit {
    let mut handle = read.knife.handle.clone();
    change(&mut handle);
    Edit::SetHandle(handle)
}

/// A field for a length that has a usual: emptied, it goes back to the usual.
fn usual_length(
    ui: &mut Ui,
    read: &Read<'_>,
    session: &mut Session,
    (name, about): (&str, &str),
    (stated_mm, usual_mm): (Option<f64>, f64),
) -> Option<Option<f64>> {
    let unit = read.knife.unit;
    let usual = units::write_length(usual_mm, unit);
    let about = format!("{about} Emptied, it is the usual {usual}.");
    let value = units::write_length(stated_mm.unwrap_or(usual_mm), unit);
    let field = Field { name, about: &about, value, width: 104.0 };
    session.drafts.field(ui, read.palette, field, |text| {
        if text.trim().is_empty() {
            return Ok(None);
        }
        units::parse_length(text, unit).map(|mm| Some(mm.to_mm())).map_err(|e| e.to_string())
    })
}

/// A field for an angle that may be left open: emptied, it is.
fn open_angle(
    ui: &mut Ui,
    read: &Read<'_>,
    session: &mut Session,
    (name, about): (&str, &str),
    stated_deg: Option<f64>,
) -> Option<Option<f64>> {
    let value = stated_deg.map_or_else(String::new, |deg| units::show_angle(deg, 1));
    let field = Field { name, about, value, width: 104.0 };
    session.drafts.field(ui, read.palette, field, |text| {
        if text.trim().is_empty() {
            return Ok(None);
        }
        units::parse_angle(text).map(|deg| Some(deg.to_degrees())).map_err(|e| e.to_string())
    })
}

/// Reads a bare number for which nothing but a number makes sense.
fn read_number(text: &str, what: &str) -> Result<f64, String> {
    let number = text.trim().replace(',', ".").parse::<f64>().ok().filter(|n| n.is_finite());
    number.ok_or_else(|| format!("\"{text}\" isn't a number of {what}"))
}

/// Where the handle begins and where it ends at the butt, x in mm.
fn along(read: &Read<'_>) -> Option<(f64, f64)> {
    let profile = read.derived.reckoning.profile.as_ref()?;
    let butt = if profile.towards_butt > 0.0 { profile.bounds.x1 } else { profile.bounds.x0 };
    let front = read.knife.scales.map_or(profile.bounds.center().x, |scales| scales.front_x_mm);
    Some((front, butt))
}

fn set(scales: Scales) -> Edit {
    Edit::SetScales(Some(scales))
}

/// Scales to begin with: the front a little behind the plunge line, or at the middle.
fn first(read: &Read<'_>) -> Option<Scales> {
    let profile = read.derived.reckoning.profile.as_ref()?;
    let behind = profile.towards_butt * 6.0;
    let front_x_mm = read
        .knife
        .bevel
        .map_or_else(|| profile.bounds.center().x, |bevel| bevel.plunge_x_mm + behind);
    Some(Scales { front_x_mm, thickness_mm: THICK_MM })
}

pub(super) fn on_canvas(hands: &mut Hands<'_>) {
    super::balance::mark(hands);
    let Some(scales) = hands.read.knife.scales else { return };
    let Some(outline) = &hands.read.derived.reckoning.outline else { return };
    let (unit, front_mm) = (hands.read.knife.unit, hands.read.origin.to_local_x(scales.front_x_mm));
    let at = Point::new(scales.front_x_mm, outline.bounds().center().y);
    handles::grip(
        hands,
        &Grip::across("Front of scales", at, step_mm(unit)),
        |from, by| set(Scales { front_x_mm: from.x + by.x, ..scales }),
        || format!("scale front at {}", hover::length(front_mm, unit)),
    );
}

/// The face of a scale on the knife seen on edge, where y is the distance from the centre plane
/// and x that of the canvas above.
pub(crate) fn on_edge(hands: &mut Hands<'_>) {
    let Some(scales) = hands.read.knife.scales else { return };
    // Where places along the handle are stated they alone count; they are typed on the card.
    if !hands.read.knife.handle.shaping.thickness.is_empty() {
        return;
    }
    let Some(found) = &hands.read.derived.reckoning.scales else { return };
    let (unit, half_mm) = (hands.read.knife.unit, hands.read.knife.bar.thickness_mm / 2.0);
    let round_mm = match unit {
        LengthUnit::Inch => 25.4 / 64.0,
        LengthUnit::Millimetre => 0.1,
    };
    let round_mm = round_mm * if canvas::is_fine(hands.ui) { 0.1 } else { 1.0 };
    let (bounds, z) = (found.outline.bounds(), half_mm + scales.thickness_mm);
    // Near the front; and however near the view is, within reach.
    let profile = hands.read.derived.reckoning.profile.as_ref();
    let share = if profile.is_none_or(|p| p.towards_butt > 0.0) { 0.25 } else { 0.75 };
    let seen_mm = hands.sight.view.seen().y1 - hands.sight.mm(9.0);
    let at = Point::new(bounds.x0 + bounds.width() * share, z);
    let grip = Grip::new("Scale face", at, round_mm);
    handles::grip(
        hands,
        &Grip { shown: Point::new(at.x, z.min(seen_mm)), ..grip },
        |from, by| {
            let thick_mm = ((from.y + by.y - half_mm) / round_mm).round() * round_mm;
            set(Scales { thickness_mm: thick_mm.clamp(*MOST.start(), *MOST.end()), ..scales })
        },
        || format!("scale thickness {}", hover::length(scales.thickness_mm, unit)),
    );
}
