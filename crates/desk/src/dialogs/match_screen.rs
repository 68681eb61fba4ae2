//! Matching the screen against a bank card, so that true size is true.

use crate::action::{Action, ActionQueue};
use crate::state::ViewRequest;
use crate::theme::Palette;
use crate::widgets::{modal, width_up_to};
use egui::{Rect, RichText, Sense, Slider, Stroke, StrokeKind, Ui, vec2};

/// Width and height of a card of size ID-1, mm (ISO/IEC 7810).
const CARD_MM: (f64, f64) = (85.60, 53.98);
/// An inch ruler's and a millimetre ruler's length that most people have, mm.
const RANGE: std::ops::RangeInclusive<f64> = 2.0..=12.0;

/// Shows the card; whether it stays open.
pub(super) fn ui(
    ui: &Ui,
    known: Option<f64>,
    palette: &Palette,
    actions: &mut ActionQueue,
) -> bool {
    let points = f64::from(ui.ctx().pixels_per_point());
    let mut dots = known.unwrap_or(96.0 / 25.4);
    modal(ui, "matching", width_up_to(ui, 460.0, 60.0), |ui| {
        ui.heading("Match the screen");
        let text = "Hold a bank card against the picture and move the slider until both are \
                    equally wide. Every such card is 85.60 mm wide (ISO/IEC 7810).";
        ui.label(RichText::new(text).color(palette.weak));
        ui.spacing_mut().slider_width = ui.available_width() - 90.0;
        let slider = Slider::new(&mut dots, RANGE).fixed_decimals(3).step_by(0.005);
        let label = ui.label("Pixels per millimetre");
        if ui.add(slider).labelled_by(label.id).changed() {
            actions.push(Action::SetPixelsPerMm(Some(dots)));
        }
        #[expect(clippy::cast_possible_truncation, reason = "screen points")]
        let size = vec2((CARD_MM.0 * dots / points) as f32, (CARD_MM.1 * dots / points) as f32);
        let room = vec2(ui.available_width().max(size.x), size.y + 16.0);
        let (rect, _) = ui.allocate_exact_size(room, Sense::hover());
        let card = Rect::from_min_size(rect.min + vec2(0.0, 8.0), size);
        let edge = Stroke::new(1.5, palette.text);
        ui.painter().rect(card, 8.0, palette.steel_high, edge, StrokeKind::Inside);
        let row = ui.horizontal(|ui| {
            let matches = ui.button("It matches").clicked();
            if matches {
                actions.push(Action::SetPixelsPerMm(Some(dots)));
                actions.push(Action::View(ViewRequest::TrueSize));
            }
            ui.button("Cancel").clicked() || matches
        });
        row.inner
    })
}
