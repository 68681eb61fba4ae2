//! The dated copies of this knife as small pictures: compare with one, or go back to it.

use crate::action::{Action, ActionQueue};
use crate::canvas::thumbnail;
use crate::command::Command;
use crate::state::{Ghost, Thumbnails};
use crate::theme::Palette;
use crate::widgets::{modal, width_up_to};
use egui::{RichText, ScrollArea, Ui, vec2};

/// Shows them; whether they stay open.
pub(super) fn ui(
    ui: &Ui,
    files: &Thumbnails,
    palette: &Palette,
    actions: &mut ActionQueue,
) -> bool {
    let tall = ui.ctx().content_rect().height() - 240.0;
    modal(ui, "versions", width_up_to(ui, 640.0, 60.0), |ui| {
        ui.heading("Versions");
        let mut done = false;
        if files.versions.is_empty() {
            let text = "There is no version yet. Save a version keeps a dated copy in a folder beside \
                        the file.";
            ui.label(RichText::new(text).color(palette.weak));
        }
        let area = ScrollArea::vertical().max_height(tall).auto_shrink([false, true]);
        let area = area.min_scrolled_height(tall);
        area.show(ui, |ui| {
            ui.horizontal_wrapped(|ui| {
                for file in &files.versions {
                    done |= version(ui, file, palette, actions);
                }
            });
        });
        ui.add_space(6.0);
        ui.horizontal(|ui| {
            let close = ui.button("Close").clicked();
            if ui.button("Save a version").clicked() {
                actions.run(Command::SaveVersion);
                actions.run(Command::Versions);
            }
            close || done
        })
        .inner
    })
}

/// One version; whether something was done with it.
fn version(
    ui: &mut Ui,
    file: &crate::state::Thumbnail,
    palette: &Palette,
    actions: &mut ActionQueue,
) -> bool {
    let mut done = false;
    ui.push_id(&file.path, |ui| {
        ui.vertical(|ui| {
            ui.set_width(190.0);
            let texts = (file.name.as_str(), file.knife.name.trim());
            let tile = thumbnail::tile(ui, vec2(190.0, 112.0), texts, palette, |painter, rect| {
                thumbnail::paint(painter, rect, &file.knife, &file.outline, palette);
            });
            let ghost = || Box::new(Ghost::new(&file.name, file.knife.clone()));
            if tile.on_hover_text("Show it under this knife.").clicked() {
                actions.push(Action::ShowGhost(ghost()));
                done = true;
            }
            ui.horizontal(|ui| {
                if ui.button("Compare").clicked() {
                    actions.push(Action::ShowGhost(ghost()));
                    done = true;
                }
                let tooltip = "Go back to this version, as one step that can be undone.";
                if ui.button("Go back to it").on_hover_text(tooltip).clicked() {
                    let label = format!("Go back to {}", file.name);
                    actions.push(Action::Restore(label, Box::new(file.knife.clone())));
                    done = true;
                }
            });
        });
    });
    done
}
