//! Offers what an earlier run left unsaved.

use crate::command::{Commands, Wish};
use crate::recovery::Recoverable;
use crate::theme::{self, Palette, bold};
use egui::{RichText, Ui};

/// Shows the works that were left, if any.
pub(crate) fn ui(
    ui: &Ui,
    found: &[Recoverable],
    now_ms: u64,
    palette: &Palette,
    out: &mut Commands,
) {
    if found.is_empty() {
        return;
    }
    theme::sheet(ui, "recovering").show(ui.ctx(), |ui| {
        ui.set_width(480.0_f32.min(ui.ctx().content_rect().width() - 60.0));
        ui.heading("Unsaved work");
        let about = "Blankwright didn't close properly. These changes were kept.";
        ui.label(RichText::new(about).color(palette.weak));
        ui.add_space(6.0);
        for (i, work) in found.iter().enumerate() {
            ui.label(RichText::new(work.title()).font(bold(15.5)));
            let file = work.path.as_ref().map_or_else(String::new, |path| {
                let newer = if work.file_is_newer { ", which was written later" } else { "" };
                format!(" · of {}{newer}", path.display())
            });
            let told = format!("kept {}{file}", work.age(now_ms));
            ui.label(RichText::new(told).small().color(palette.weak));
            ui.horizontal(|ui| {
                if ui.button("Restore").clicked() {
                    out.push(Wish::TakeUp(i));
                }
                if ui.button("Discard").clicked() {
                    out.push(Wish::GiveUp(i));
                }
            });
            ui.add_space(4.0);
        }
        if ui.button("Not now").clicked() {
            out.push(Wish::Later);
        }
    });
}
