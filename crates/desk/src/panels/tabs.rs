//! The knives that are open, as tabs; nothing while there is one.

use crate::action::{Action, ActionQueue};
use crate::theme::Palette;
use egui::{Button, RichText, Role, ScrollArea, Ui, WidgetInfo};

/// Shows the tabs in a row.
pub(crate) fn ui(
    ui: &mut Ui,
    (names, at): &(Vec<String>, usize),
    palette: &Palette,
    actions: &mut ActionQueue,
) {
    if names.len() < 2 {
        return;
    }
    ScrollArea::horizontal().id_salt("tabs").auto_shrink([false, true]).show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 2.0;
            for (i, name) in names.iter().enumerate() {
                ui.push_id(("tab", i), |ui| tab(ui, (i, name), i == *at, palette, actions));
            }
        });
    });
}

fn tab(
    ui: &mut Ui,
    (i, name): (usize, &str),
    is: bool,
    palette: &Palette,
    actions: &mut ActionQueue,
) {
    let colour = if is { palette.text } else { palette.weak };
    let shown = ui.selectable_label(is, RichText::new(name).color(colour));
    let spoken = format!("Knife {}: {name}", i + 1);
    shown.widget_info(|| WidgetInfo::selected(Role::Tab, true, is, &spoken));
    if shown.clicked() && !is {
        actions.push(Action::GoToTab(i));
    }
    let close = ui.add(Button::new(RichText::new("×").color(palette.weak)).frame(false));
    let spoken = format!("Close knife {}", i + 1);
    close.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
    if close.on_hover_text("Close this tab; unsaved work is asked about first.").clicked() {
        actions.push(Action::CloseTab(i));
    }
    ui.add_space(8.0);
}
