//! Short messages that come and go, and stay while the pointer is on them.

use crate::theme::Palette;
use egui::{Align2, Area, Frame, Order, RichText, Stroke, Ui};

/// How long a message stays, seconds, and longer for a long one.
const STAYS_S: f64 = 4.0;
/// How long each of its signs is worth, seconds.
const SIGN_S: f64 = 0.05;

/// The messages shown.
#[derive(Default)]
pub struct Notices {
    shown: Vec<(String, Option<f64>)>,
}

impl Notices {
    /// Shows a message; the same one is not shown twice.
    pub fn say(&mut self, words: impl Into<String>) {
        let words = capitalised(words.into());
        self.shown.retain(|(known, _)| *known != words);
        self.shown.push((words, None));
        if self.shown.len() > 4 {
            self.shown.remove(0);
        }
    }

    /// The latest message.
    pub fn latest(&self) -> Option<&str> {
        self.shown.last().map(|(words, _)| words.as_str())
    }

    pub(crate) fn ui(&mut self, ui: &Ui, above: egui::Rect, palette: &Palette) {
        let now = ui.input(|input| input.time);
        for (words, since) in &mut self.shown {
            since.get_or_insert(now);
            #[expect(clippy::cast_precision_loss, reason = "a sentence")]
            let left = since.unwrap_or(now) + STAYS_S + SIGN_S * words.len() as f64 - now;
            if left > 0.0 {
                let wait = std::time::Duration::from_secs_f64(left);
                ui.ctx().request_repaint_after(wait);
            }
        }
        #[expect(clippy::cast_precision_loss, reason = "a sentence")]
        self.shown.retain(|(words, since)| {
            since.unwrap_or(now) + STAYS_S + SIGN_S * words.len() as f64 > now
        });
        if self.shown.is_empty() {
            return;
        }
        let mut dropped = None;
        Area::new(egui::Id::unique("notices"))
            .order(Order::Foreground)
            .pivot(Align2::CENTER_BOTTOM)
            .fixed_pos(above.center_bottom() - egui::vec2(0.0, 14.0))
            .show(ui.ctx(), |ui| {
                ui.set_max_width((above.width() - 40.0).clamp(160.0, 560.0));
                for (i, (words, _)) in self.shown.iter().enumerate() {
                    let response = Frame::new()
                        .fill(palette.tag)
                        .stroke(Stroke::new(1.0, palette.accent))
                        .corner_radius(8)
                        .inner_margin(egui::Margin::symmetric(14, 9))
                        .show(ui, |ui| ui.label(RichText::new(words).color(palette.tag_text)))
                        .response
                        .interact(egui::Sense::click());
                    if response.clicked() {
                        dropped = Some(i);
                    }
                }
            });
        if let Some(i) = dropped {
            self.shown.remove(i);
        }
    }
}

/// The words with their first letter large.
pub(crate) fn sentence_start(words: &str) -> String {
    let mut signs = words.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

/// The sentence as the window shows it: its first letter large, a stop at its end.
pub(crate) fn capitalised(words: String) -> String {
    let mut told = sentence_start(&words);
    if !told.is_empty() && !told.ends_with(['.', '…', '?', '!']) {
        told.push('.');
    }
    told
}
