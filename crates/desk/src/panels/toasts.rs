//! Short messages over the canvas, which stay while the pointer is on them.

use crate::state::{Toast, Toasts};
use crate::theme::Palette;
use egui::{Align2, Area, Frame, Margin, Order, RichText, Stroke, Ui};
use std::time::Duration;

/// How long a message stays, seconds, and longer for a long one.
const STAYS_S: f64 = 4.0;
/// How long each of its characters is worth, seconds.
const CHARACTER_S: f64 = 0.05;

/// Seconds for which a message still stays.
fn left_s(toast: &Toast, now: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a sentence")]
    let length = toast.message.len() as f64;
    toast.since.unwrap_or(now) + STAYS_S + CHARACTER_S * length - now
}

/// Shows the messages at the foot of `above`.
pub(crate) fn ui(ui: &Ui, toasts: &mut Toasts, above: egui::Rect, palette: &Palette) {
    let now = ui.input(|input| input.time);
    for toast in &mut toasts.shown {
        toast.since.get_or_insert(now);
        let left = left_s(toast, now);
        if left > 0.0 {
            ui.ctx().request_repaint_after(Duration::from_secs_f64(left));
        }
    }
    toasts.shown.retain(|toast| left_s(toast, now) > 0.0);
    if toasts.shown.is_empty() {
        return;
    }
    let mut clicked = None;
    Area::new(egui::Id::unique("notices"))
        .order(Order::Foreground)
        .pivot(Align2::CENTER_BOTTOM)
        .fixed_pos(above.center_bottom() - egui::vec2(0.0, 14.0))
        .show(ui.ctx(), |ui| {
            ui.set_max_width((above.width() - 40.0).clamp(160.0, 560.0));
            for (i, toast) in toasts.shown.iter().enumerate() {
                let text = RichText::new(&toast.message).color(palette.tag_text);
                let response = Frame::new()
                    .fill(palette.tag)
                    .stroke(Stroke::new(1.0, palette.accent))
                    .corner_radius(8)
                    .inner_margin(Margin::symmetric(14, 9))
                    .show(ui, |ui| ui.label(text))
                    .response
                    .interact(egui::Sense::click());
                if response.clicked() {
                    clicked = Some(i);
                }
            }
        });
    if let Some(i) = clicked {
        toasts.shown.remove(i);
    }
}
