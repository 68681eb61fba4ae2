//! Figures on a card: a name, its figure, and how it was worked out when the pointer rests on it.

use super::heading;
use crate::canvas::{Read, hover};
use crate::theme::{Palette, figures};
use egui::{Align, FontId, Layout, Response, RichText, Ui};
use reckon::{Group, Reading, Value};
use units::LengthUnit;

/// The readings of the groups with these titles, but for those that stand on the card already.
pub(crate) fn readings(
    ui: &mut Ui,
    read: &Read<'_>,
    titles: impl Fn(&str) -> bool,
    leave: &[&str],
) {
    for group in read.derived.readings.iter().filter(|group| titles(&group.title)) {
        heading(ui, &group.title, read.palette);
        some(ui, read, group, |name| !leave.contains(&name));
    }
}

/// The groups that are told elsewhere than at the handle; of the rest, each goes with what it is
/// of, or stands at the foot of the card.
const NOT_OF_THE_HANDLE: [&str; 10] = [
    "Bar",
    "Profile",
    "Scribing",
    "Tang",
    "Bevels",
    "Filing by hand",
    "Sharpening",
    "Heat and finish",
    "Chain drilling",
    "Steel alone",
];

/// Whether the readings of this title belong to the handle.
pub(super) fn of_the_handle(title: &str) -> bool {
    !NOT_OF_THE_HANDLE.contains(&title) && !title.starts_with("Hole ")
}

/// Those readings of a group that are wanted.
pub(super) fn some(ui: &mut Ui, read: &Read<'_>, group: &Group, wanted: impl Fn(&str) -> bool) {
    column(ui, |ui| {
        for reading in group.readings.iter().filter(|reading| wanted(reading.name)) {
            let text = reading.text(read.knife.unit);
            let shown = brief(reading, read.knife.unit);
            let more = if text.starts_with(&shown) && !text.contains(" · ") {
                String::new()
            } else {
                format!("{text}. ")
            };
            let told = format!("{more}{}: {}.", reading.name, reading.explanation);
            row(ui, reading.name, &shown, 15.5, read.palette).on_hover_text(told);
        }
    });
}

/// Figures closer together than what is typed.
pub(crate) fn column(ui: &mut Ui, rows: impl FnOnce(&mut Ui)) {
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.spacing_mut().interact_size.y = 22.0;
        rows(ui);
    });
}

/// A figure without what the pointer is told besides: its value in the other unit.
fn brief(reading: &Reading, unit: LengthUnit) -> String {
    if let Value::Place(at) = reading.value {
        return format!("x {}, y {}", hover::short(at.x, unit), hover::short(at.y, unit));
    }
    let text = reading.text(unit);
    let Some((first, other)) = text.split_once(" · ") else { return text };
    // A text of more than one figure stays whole, and so do heats: ovens are set in either scale.
    let several = other.split(' ').count() > 2 || text.contains("°C");
    if several && matches!(reading.value, Value::Text(_)) { text } else { first.to_owned() }
}

/// A name on the left and its figure on the right. What has no room beside the name goes below
/// it: the nearest fraction, or all of it.
pub(crate) fn row(ui: &mut Ui, name: &str, value: &str, size: f32, palette: &Palette) -> Response {
    let wide = |text: &str, font: FontId| {
        ui.painter().layout_no_wrap(text.to_owned(), font, palette.text).size().x
    };
    let room =
        ui.available_width() - wide(name, FontId::proportional(size)) - ui.spacing().item_spacing.x;
    let fits = |text: &str| wide(text, figures(size)) <= room;
    let (beside, fraction, below) = match value.split_once(" (") {
        _ if fits(value) => (value, "", ""),
        Some((exact, fraction)) if fits(exact) => (exact, fraction.trim_end_matches(')'), ""),
        _ => ("", "", value),
    };
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.horizontal(|ui| {
            ui.label(RichText::new(name).size(size).color(palette.weak));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.label(RichText::new(beside).font(figures(size)));
            });
        });
        if !fraction.is_empty() {
            ui.with_layout(Layout::top_down(Align::Max), |ui| {
                ui.label(RichText::new(fraction).font(figures(13.0)).color(palette.weak));
            });
        }
        if !below.is_empty() {
            ui.label(RichText::new(below).font(figures(size)));
        }
    })
    .response
}
