//! The keyboard shortcuts, made from the table of commands.

use crate::command::{COMMANDS, Menu, shortcut_text};
use crate::panels::turning;
use crate::stations::drawing;
use crate::theme::{Palette, bold, figures};
use crate::widgets::{modal, width_up_to};
use egui::{Grid, RichText, ScrollArea, Ui};

/// What the pointer does.
const POINTER: &[(&str, &str)] = &[
    ("Wheel, pinch", "Zoom where the pointer is"),
    ("Shift + wheel, two fingers", "Pan"),
    ("Middle button or Space + drag", "Pan"),
    ("Right button", "Menu of what can be done there"),
    ("Click", "Select a node, a hole or a segment"),
    ("Shift + click", "Add to the selection, or remove from it"),
    ("Drag over the bench", "Select what lies in the box"),
    ("Drag the outline", "Bend that segment; a straight one moves with both its ends"),
    (
        "Drag the frame of a selection",
        "Scale it, or rotate it by its knob; with Shift scale \
                                       freely, or rotate in steps",
    ),
    ("Double-click on the outline", "Add a node there"),
    ("Double-click on the blade", "Add a point to a grind line of your own"),
    ("Click on the knife on edge", "Pin the cross-section there"),
    ("Shift + drag", "Straight along or across"),
    ("Tab, Shift + Tab", "Go to the next or previous item; Space selects it"),
    ("Arrow keys", "Nudge by 1/64 in or 0.5 mm"),
    ("Shift + arrow keys", "Ten times as far"),
    ("Ctrl + arrow keys", "A tenth as far"),
    ("Ctrl + drag", "Freely, without snapping"),
    ("Alt + F, E, W, V or H", "Open a menu"),
];

/// Shows them; whether they stay open.
pub(super) fn ui(ui: &Ui, palette: &Palette) -> bool {
    let tall = ui.ctx().content_rect().height() - 190.0;
    modal(ui, "keys", width_up_to(ui, 640.0, 80.0), |ui| {
        ui.heading("Keyboard shortcuts");
        let area = ScrollArea::vertical().auto_shrink([false, true]).max_height(tall);
        area.min_scrolled_height(tall).show(ui, |ui| {
            let owned = |(keys, what): &(&str, &'static str)| ((*keys).to_owned(), *what);
            part(ui, "Pointer", POINTER.iter().map(owned), palette);
            part(ui, "Drawing an outline", drawing::canvas::POINTER.iter().map(owned), palette);
            part(ui, "Knife in the round", turning::SHORTCUTS.iter().map(owned), palette);
            for menu in [Menu::Stations, Menu::File, Menu::Edit, Menu::Work, Menu::View, Menu::Help]
            {
                let rows = COMMANDS.iter().filter(|info| info.menu == menu);
                let keyed = rows.filter_map(|info| {
                    let key = shortcut_text(ui.ctx(), info.shortcut.as_ref()?);
                    let also = info.also.as_ref().map(|also| shortcut_text(ui.ctx(), also));
                    let keys = also.map_or(key.clone(), |also| format!("{key}  or  {also}"));
                    Some((keys, info.label))
                });
                let keyed: Vec<_> = keyed.collect();
                part(ui, menu.name(), keyed.into_iter(), palette);
            }
        });
        ui.add_space(4.0);
        ui.button("Close").clicked()
    })
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
    Grid::new(title).num_columns(2).min_col_width(210.0).spacing([20.0, 4.0]).show(ui, |ui| {
        for (keys, what) in rows {
            ui.label(RichText::new(keys).font(figures(14.5)));
            ui.label(what);
            ui.end_row();
        }
    });
}
