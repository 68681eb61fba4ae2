//! The sheet of keys, made from the table of commands.

use crate::command::{Menu, TABLE, shortcut_text};
use crate::session::Session;
use crate::theme::{self, Palette, bold, figures};
use egui::{RichText, ScrollArea, Ui};

/// The ways of the pointer.
const POINTER: &[(&str, &str)] = &[
    ("Wheel, pinch", "Zoom where the pointer is"),
    ("Shift + wheel, two fingers", "Pan"),
    ("Middle button or Space + drag", "Pan"),
    ("Click", "Select a node, a hole or a segment"),
    ("Shift + click", "Add to the selection, or take out of it"),
    ("Drag over the bench", "Select what lies in the box"),
    ("Double-click on the outline", "Add a node there"),
    ("Double-click on the blade", "Add a point to a grind line of your own"),
    ("Click on the knife on edge", "Pin the cross-section there"),
    ("Shift + drag", "Straight along or across"),
    ("Tab, Shift + Tab", "To the next or the last thing; Space selects it"),
    ("Arrow keys", "Nudge by 1/64 in or 0.5 mm"),
    ("Shift + arrow keys", "Ten times as far"),
    ("Ctrl + arrow keys", "A tenth as far"),
    ("Ctrl + drag", "Freely, sticking to nothing"),
];

/// Shows the sheet.
pub(crate) fn ui(ui: &Ui, session: &mut Session, palette: &Palette) {
    if !session.keys {
        return;
    }
    let screen = ui.ctx().content_rect();
    let modal = theme::sheet(ui, "keys").show(ui.ctx(), |ui| {
        ui.set_width((screen.width() - 80.0).min(640.0));
        ui.heading("Keyboard shortcuts");
        ScrollArea::vertical()
            .auto_shrink([false, true])
            .max_height(screen.height() - 190.0)
            .min_scrolled_height(screen.height() - 190.0)
            .show(ui, |ui| {
                part(ui, "Pointer", POINTER.iter().map(|(a, b)| ((*a).to_owned(), *b)), palette);
                let drawing = crate::draw::hand::POINTER;
                let rows = drawing.iter().map(|(a, b)| ((*a).to_owned(), *b));
                part(ui, "Drawing an outline", rows, palette);
                for menu in
                    [Menu::Stations, Menu::File, Menu::Edit, Menu::Work, Menu::View, Menu::Help]
                {
                    let rows = TABLE.iter().filter(|row| row.menu == menu);
                    let keyed = rows.filter_map(|row| {
                        let key = shortcut_text(ui.ctx(), row.shortcut.as_ref()?);
                        let also = row.also.as_ref().map(|also| shortcut_text(ui.ctx(), also));
                        let keys = also.map_or(key.clone(), |also| format!("{key}  or  {also}"));
                        Some((keys, row.label))
                    });
                    let keyed: Vec<_> = keyed.collect();
                    part(ui, menu.name(), keyed.into_iter(), palette);
                }
            });
        ui.add_space(4.0);
        if ui.button("Close").clicked() {
            session.keys = false;
        }
    });
    if modal.should_close() {
        session.keys = false;
    }
}

fn part<'a>(
    ui: &mut Ui,
    title: &str,
    rows: impl Iterator<Item = (String, &'a str)>,
    palette: &Palette,
) {
    ui.add_space(8.0);
    ui.label(RichText::new(title).font(bold(15.5)).color(palette.accent));
    ui.spacing_mut().interact_size.y = 20.0;
    egui::Grid::new(title).num_columns(2).min_col_width(210.0).spacing([20.0, 4.0]).show(
        ui,
        |ui| {
            for (keys, what) in rows {
                ui.label(RichText::new(keys).font(figures(14.5)));
                ui.label(what);
                ui.end_row();
            }
        },
    );
}
