//! The head of the desk: menus made from the table, and the six stations as plain words.

use crate::Station;
use crate::command::{Command, Commands, Menu, Row, TABLE, Wish, shortcut_text};
use crate::open::Open;
use crate::session::Session;
use crate::theme::{Palette, bold};
use crate::{Purpose, Settings};
use egui::{Button, RichText, ScrollArea, Sense, Stroke, Ui, vec2};

/// What the menus need to know.
pub(crate) struct Told<'a> {
    pub(crate) open: &'a Open,
    pub(crate) settings: &'a Settings,
    pub(crate) palette: &'a Palette,
    pub(crate) enabled: &'a dyn Fn(Command) -> bool,
}

/// The row of menus, with the blank's name at its end.
pub(crate) fn bar(ui: &mut Ui, told: &Told<'_>, out: &mut Commands) {
    egui::MenuBar::new().ui(ui, |ui| {
        for menu in Menu::ALL {
            ui.menu_button(menu.name(), |ui| {
                ui.set_min_width(230.0);
                ui.spacing_mut().item_spacing.y = 1.0;
                // Between the row of menus and the window's foot; what is longer scrolls.
                let room = ui.ctx().content_rect().height() - 64.0;
                let rows = ScrollArea::vertical().max_height(room).min_scrolled_height(room);
                rows.show(ui, |ui| {
                    for row in TABLE.iter().filter(|row| row.menu == menu) {
                        entry(ui, row, told, out);
                        if row.command == Command::Open {
                            recents(ui, told, out);
                        }
                    }
                });
            });
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let dirty = told.open.is_dirty();
            if dirty {
                let about = "There is work that is not in the file yet.";
                ui.label(RichText::new("unsaved").small().color(told.palette.accent))
                    .on_hover_text(about);
            }
            let place = told
                .open
                .path()
                .map_or_else(|| "In no file yet.".to_owned(), |path| path.display().to_string());
            ui.add(egui::Label::new(RichText::new(told.open.title()).font(bold(15.5))).truncate())
                .on_hover_text(place);
        });
    });
}

fn entry(ui: &mut Ui, row: &Row, told: &Told<'_>, out: &mut Commands) {
    let history = told.open.history();
    let step = match row.command {
        Command::Undo => history.undo_label(),
        Command::Redo => history.redo_label(),
        _ => None,
    };
    let words = step.map_or_else(
        || row.label.to_owned(),
        |step| format!("{}: {}", row.label, step.to_lowercase()),
    );
    let mut button = Button::new(words);
    if let Some(key) = &row.shortcut {
        button = button.shortcut_text(shortcut_text(ui.ctx(), key));
    }
    let response = ui.add_enabled((told.enabled)(row.command), button);
    if response.on_hover_text(format!("{}.", row.tooltip)).clicked() {
        out.run(row.command);
        ui.close();
    }
}

fn recents(ui: &mut Ui, told: &Told<'_>, out: &mut Commands) {
    if told.settings.recents.is_empty() {
        return;
    }
    ui.menu_button("Recent files", |ui| {
        for path in &told.settings.recents {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            if ui.button(name).on_hover_text(path.display().to_string()).clicked() {
                out.push(Wish::Path(Purpose::Open, path.clone()));
                ui.close();
            }
        }
    });
}

/// The six stations.
pub(crate) fn stations(ui: &mut Ui, session: &Session, palette: &Palette, out: &mut Commands) {
    let narrow = ui.available_width() < 760.0;
    let (size, gap) = if narrow { (18.0, 14.0) } else { (24.0, 34.0) };
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = gap;
        for station in Station::ALL {
            word(ui, station, session.station == station, size, palette, out);
        }
    });
}

/// A station's name: lit and underlined when it is the one worked at.
fn word(ui: &mut Ui, station: Station, is: bool, size: f32, palette: &Palette, out: &mut Commands) {
    let font = bold(size);
    let galley = ui.painter().layout_no_wrap(station.name().to_owned(), font, palette.text);
    let (rect, response) = ui.allocate_exact_size(galley.size() + vec2(0.0, 8.0), Sense::click());
    response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Tab, true, is, station.name()));
    let colour = if is {
        palette.accent
    } else if response.hovered() || response.has_focus() {
        palette.text
    } else {
        palette.weak
    };
    ui.painter().galley_with_override_text_color(rect.min, galley, colour);
    if is {
        ui.painter().hline(rect.x_range(), rect.max.y - 2.0, Stroke::new(3.0, palette.accent));
    } else if response.has_focus() {
        ui.painter().hline(rect.x_range(), rect.max.y - 2.0, Stroke::new(1.0, palette.text));
    }
    let about = format!("{} ({})", station.about(), usize::from(station as u8) + 1);
    if response.on_hover_cursor(egui::CursorIcon::PointingHand).on_hover_text(about).clicked() {
        out.run(Command::Station(station));
    }
}
