//! Every step by its name, to go back to one or forward again.

use crate::action::{Action, ActionQueue};
use crate::theme::Palette;
use crate::widgets::{modal, width_up_to};
use egui::{RichText, ScrollArea, Ui};
use knife::History;

/// Shows the steps, the newest first; whether they stay open.
pub(super) fn ui(ui: &Ui, history: &History, palette: &Palette, actions: &mut ActionQueue) -> bool {
    let tall = ui.ctx().content_rect().height() - 240.0;
    modal(ui, "history", width_up_to(ui, 420.0, 60.0), |ui| {
        ui.heading("History");
        let text = "Click a step to go back to it, or forward again. Nothing is lost until another \
                    change is made.";
        ui.label(RichText::new(text).color(palette.weak));
        let now = history.past().len();
        let future: Vec<&str> = history.future().map(|step| step.label.as_str()).collect();
        let area = ScrollArea::vertical().max_height(tall).auto_shrink([false, true]);
        let area = area.min_scrolled_height(tall);
        area.show(ui, |ui| {
            let labels = std::iter::once("As opened")
                .chain(history.past().iter().map(|step| step.label.as_str()))
                .chain(future.iter().copied());
            let labels: Vec<&str> = labels.collect();
            for (i, label) in labels.iter().enumerate().rev() {
                let name = format!("{i}  {label}");
                let colour = if i > now { palette.weak } else { palette.text };
                let row = ui.push_id(i, |ui| {
                    ui.selectable_label(i == now, RichText::new(name).color(colour))
                });
                if row.inner.clicked() && i != now {
                    actions.push(Action::GoToStep(i));
                }
            }
        });
        ui.add_space(6.0);
        ui.button("Close").clicked()
    })
}
