//! The six stations: each its card and what is worked on on the canvas.

mod bar;
mod bevels;
mod cutting;
mod handle;
mod holes;
pub(crate) mod paper;
mod profile;

use crate::Station;
use crate::canvas::{Read, Sight};
use crate::command::{Command, Commands, row_of};
use crate::session::Session;
use crate::theme::{Palette, bold, figures};
use egui::{Response, RichText, ScrollArea, Ui};

/// The card of the chosen station.
pub(crate) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    ui.label(RichText::new(session.station.name()).font(bold(26.0)));
    ui.label(RichText::new(session.station.about()).color(read.palette.weak));
    ui.add_space(6.0);
    ScrollArea::vertical().auto_shrink(false).id_salt(session.station.name()).show(ui, |ui| {
        match session.station {
            Station::Bar => bar::card(ui, read, session, out),
            Station::Profile => profile::card(ui, read, session, out),
            Station::Holes => holes::card(ui, read, session, out),
            Station::Bevels => bevels::card(ui, read, session, out),
            Station::Handle => handle::card(ui, read, session, out),
            Station::Paper => paper::card(ui, read, session, out),
        }
        ui.add_space(12.0);
    });
}

/// What the station works on, on the canvas.
pub(crate) fn on_canvas(
    ui: &Ui,
    read: &Read<'_>,
    ground: &Response,
    sight: &Sight,
    session: &mut Session,
    out: &mut Commands,
) {
    match session.station {
        Station::Bar => bar::on_canvas(ui, read, sight, session, out),
        Station::Profile => profile::on_canvas(ui, read, ground, sight, session, out),
        Station::Holes => holes::on_canvas(ui, read, ground, sight, session, out),
        Station::Bevels => bevels::on_canvas(ui, read, sight, session, out),
        Station::Handle => handle::on_canvas(ui, read, sight, session, out),
        Station::Paper => {}
    }
}

/// A heading inside a card.
pub(crate) fn heading(ui: &mut Ui, words: &str, palette: &Palette) {
    ui.add_space(10.0);
    ui.label(RichText::new(words).font(bold(15.5)).color(palette.accent));
    let line = ui.max_rect().x_range();
    let y = ui.cursor().min.y - 4.0;
    ui.painter().hline(line, y, egui::Stroke::new(1.0, palette.hair));
    ui.add_space(2.0);
}

/// The readings of a group, by its title.
pub(crate) fn readings(
    ui: &mut Ui,
    read: &Read<'_>,
    titles: impl Fn(&str) -> bool,
    leave: &[&str],
) {
    for group in read.derived.readings.iter().filter(|group| titles(&group.title)) {
        heading(ui, &group.title, read.palette);
        for reading in group.readings.iter().filter(|reading| !leave.contains(&reading.name)) {
            figure(ui, reading, read);
        }
    }
}

/// One reading: its name, its figure, and how it was worked out when the pointer rests on it.
fn figure(ui: &mut Ui, reading: &reckon::Reading, read: &Read<'_>) {
    let text = reading.text(read.knife.unit);
    let (first, second) = text.split_once(" · ").unwrap_or((&text, ""));
    let told = if second.is_empty() {
        format!("{}: {}.", reading.name, reading.how)
    } else {
        format!("{second}. {}: {}.", reading.name, reading.how)
    };
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.label(RichText::new(reading.name).color(read.palette.weak));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.add(egui::Label::new(RichText::new(first).font(figures(15.5))).truncate());
        });
    })
    .response
    .on_hover_text(told);
}

/// A button for a command of the table, told and enabled as in the menus.
pub(crate) fn button(ui: &mut Ui, command: Command, enabled: bool, out: &mut Commands) {
    let Some(row) = row_of(command) else { return };
    let mut told = format!("{}.", row.tooltip);
    if let Some(key) = &row.shortcut {
        told.push_str(&format!("  ({})", crate::shortcut_text(ui.ctx(), key)));
    }
    let response = ui.add_enabled(enabled, egui::Button::new(row.label));
    if response.on_hover_text(&told).on_disabled_hover_text(&told).clicked() {
        out.run(command);
    }
}

/// A quiet sentence.
pub(crate) fn quiet(ui: &mut Ui, words: &str, palette: &Palette) {
    ui.label(RichText::new(words).small().color(palette.weak));
}
