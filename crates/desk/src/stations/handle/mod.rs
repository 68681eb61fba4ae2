//! Handle: the scales, what holds them, and how they are shaped.

mod corners;
mod fit;
mod front;
mod grip;
mod materials;
mod pins;
mod under;

use super::{balance, section};
use crate::canvas::handles::DragHandle;
use crate::canvas::input::is_fine;
use crate::context::{CanvasContext, ViewContext};
use crate::state::SectionState;
use crate::widgets::{Form, belongs_to_handle};
use knife::limits::SCALE_THICKNESS_MM;
use knife::{Edit, Handle, Scales};
use kurbo::Point;
use units::LengthUnit;

/// A scale to begin with, mm thick (3/8 in, common practice, no source).
const THICK_MM: f64 = 9.525;

pub(crate) fn card(form: &mut Form<'_>, section: &mut SectionState) {
    let context = form.context;
    let Some(scales) = context.knife.scales else {
        let text = "Scales follow the tang from the butt to their front line.";
        form.missing("No scales yet", text, "Begin the scales", first(context).map(set));
        return grip::jimping(form);
    };
    form.heading("Dimensions");
    let caption = ("Front of scales", "Where the scales end towards the blade.");
    form.x(caption, scales.front_x_mm).edit(|mm| set(Scales { front_x_mm: mm, ..scales }));
    let tooltip = "Of one scale, unless thicknesses by position are given.";
    form.length(("Scale thickness", tooltip), scales.thickness_mm)
        .edit(|mm| set(Scales { thickness_mm: mm, ..scales }));
    materials::card(form);
    front::card(form);
    under::liners(form);
    under::bolsters(form);
    pins::card(form);
    corners::card(form);
    corners::thickness(form, scales);
    grip::scallops(form);
    grip::jimping(form);
    fit::card(form);
    form.ui.add_space(4.0);
    let tooltip = "Liners, bolsters, pins and shape stay as they are.";
    form.edit_button(("Remove the scales", tooltip), Edit::SetScales(None));
    form.readings("Whole knife", &[]);
    form.readings_of(at_the_foot, &["Front line", "Thickness"]);
    // The balance of the steel alone is of no use once that of the whole knife is known.
    let steel = ["As cut", "Taken off by grinding"];
    let balance = ["Centre of mass", "Behind the scale front", "Behind the front pin"];
    let whole = matches!(context.reckoning().whole, Some(Ok(_)));
    let except = if whole { [&steel[..], &balance[..]].concat() } else { steel.to_vec() };
    form.readings("Steel alone", &except);
    section::card(form, section);
}

/// Titles of the readings that stand in the part of the card they are of.
const IN_THEIR_PART: [&str; 6] =
    ["Glue", "Pins", "Jimping", "Scallops", "Shape of the handle", "Finger grooves"];

fn at_the_foot(title: &str) -> bool {
    belongs_to_handle(title) && title != "Whole knife" && !IN_THEIR_PART.contains(&title)
}

/// The whole handle with something of it changed.
fn handle_with(context: &ViewContext<'_>, change: impl FnOnce(&mut Handle)) -> Edit {
    let mut handle = context.knife.handle.clone();
    change(&mut handle);
    Edit::SetHandle(handle)
}

/// Reads a bare number for which nothing but a number makes sense.
fn read_number(text: &str, what: &str) -> Result<f64, String> {
    let number = text.trim().replace(',', ".").parse::<f64>().ok().filter(|n| n.is_finite());
    number.ok_or_else(|| format!("\"{text}\" isn't a number of {what}"))
}

/// Where the handle begins and where it ends at the butt, x in mm.
fn along(context: &ViewContext<'_>) -> Option<(f64, f64)> {
    let profile = context.reckoning().profile.as_ref()?;
    let butt = if profile.towards_butt > 0.0 { profile.bounds.x1 } else { profile.bounds.x0 };
    let middle = profile.bounds.center().x;
    Some((context.knife.scales.map_or(middle, |scales| scales.front_x_mm), butt))
}

fn set(scales: Scales) -> Edit {
    Edit::SetScales(Some(scales))
}

/// Scales to begin with: the front a little behind the plunge line, or at the middle.
fn first(context: &ViewContext<'_>) -> Option<Scales> {
    let profile = context.reckoning().profile.as_ref()?;
    let behind = profile.towards_butt * 6.0;
    let plunge = context.knife.bevel.map(|bevel| bevel.plunge_x_mm + behind);
    let front_x_mm = plunge.unwrap_or_else(|| profile.bounds.center().x);
    Some(Scales { front_x_mm, thickness_mm: THICK_MM })
}

pub(super) fn on_canvas(cx: &mut CanvasContext<'_>) {
    let context = cx.context;
    balance::mark(cx);
    let Some(scales) = context.knife.scales else { return };
    let Some(outline) = &context.reckoning().outline else { return };
    let front_mm = context.origin.to_local_x(scales.front_x_mm);
    let at = Point::new(scales.front_x_mm, outline.bounds().center().y);
    cx.drag_handle(
        &DragHandle::across("Front of scales", at),
        |from, by| set(Scales { front_x_mm: from.x + by.x, ..scales }),
        || format!("front of scales at {}", context.length(front_mm)),
    );
}

/// The face of a scale on the knife seen on edge, where y is the distance from the centre plane
/// and x that of the canvas above.
pub(super) fn on_edge(cx: &mut CanvasContext<'_>) {
    let context = cx.context;
    let Some(scales) = context.knife.scales else { return };
    // Where places along the handle are stated they alone count; they are typed on the card.
    if !context.knife.handle.shaping.thickness.is_empty() {
        return;
    }
    let Some(found) = &context.reckoning().scales else { return };
    let half_mm = context.knife.bar.thickness_mm / 2.0;
    let round_mm = match context.unit() {
        LengthUnit::Inch => 25.4 / 64.0,
        LengthUnit::Millimetre => 0.1,
    };
    let round_mm = round_mm * if is_fine(cx.ui) { 0.1 } else { 1.0 };
    let (bounds, z) = (found.outline.bounds(), half_mm + scales.thickness_mm);
    // Near the front; and however near the view is, within reach.
    let profile = context.reckoning().profile.as_ref();
    let share = if profile.is_none_or(|p| p.towards_butt > 0.0) { 0.25 } else { 0.75 };
    let seen_mm = cx.knife_view.view.seen().y1 - cx.knife_view.mm(9.0);
    let at = Point::new(bounds.x0 + bounds.width() * share, z);
    let handle = DragHandle::new("Scale face", at);
    cx.drag_handle(
        &DragHandle { shown: Point::new(at.x, z.min(seen_mm)), step_mm: Some(round_mm), ..handle },
        |from, by| {
            let thick_mm = ((from.y + by.y - half_mm) / round_mm).round() * round_mm;
            let (min, max) = (*SCALE_THICKNESS_MM.start(), *SCALE_THICKNESS_MM.end());
            set(Scales { thickness_mm: thick_mm.clamp(min, max), ..scales })
        },
        || format!("scale thickness {}", context.length(scales.thickness_mm)),
    );
}
