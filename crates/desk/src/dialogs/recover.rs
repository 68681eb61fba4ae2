//! Offers what an earlier run left unsaved.

use crate::action::{Action, ActionQueue};
use crate::recovery::Recoverable;
use crate::theme::{Palette, bold};
use crate::widgets::{modal, width_up_to};
use egui::{RichText, Ui};

/// Shows the works that were left.
pub(super) fn ui(
    ui: &Ui,
    found: &[Recoverable],
    now_ms: u64,
    palette: &Palette,
    actions: &mut ActionQueue,
) {
    modal(ui, "recovering", width_up_to(ui, 480.0, 60.0), |ui| {
        ui.heading("Unsaved work");
        let text = "Blankwright didn't close properly. These changes were kept.";
        ui.label(RichText::new(text).color(palette.weak));
        ui.add_space(6.0);
        for (i, work) in found.iter().enumerate() {
            ui.label(RichText::new(work.title()).font(bold(15.5)));
            let file = work.path.as_ref().map_or_else(String::new, |path| {
                let newer = if work.file_is_newer { ", which is newer" } else { "" };
                format!(" · of {}{newer}", path.display())
            });
            let drawn = match work.drawing.len() {
                0 => String::new(),
                1 => ", an outline begun with 1 point".to_owned(),
                n => format!(", an outline begun with {n} points"),
            };
            let text = format!("kept {}{file}{drawn}", work.age(now_ms));
            ui.label(RichText::new(text).small().color(palette.weak));
            ui.horizontal(|ui| {
                if ui.button("Restore").clicked() {
                    actions.push(Action::Recover(i));
                }
                if ui.button("Discard").clicked() {
                    actions.push(Action::Discard(i));
                }
            });
            ui.add_space(4.0);
        }
        if ui.button("Not now").clicked() {
            actions.push(Action::Dismiss);
        }
        false
    });
}
