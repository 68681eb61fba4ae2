//! What a first start says: what is on the bench, and what to do with it.

use crate::command::{Command, Commands};
use crate::session::Session;
use crate::theme::{Palette, bold};
use egui::{Area, Frame, Id, Order, Rect, RichText, Stroke, Ui};

/// The ways to begin, as they are offered.
const BEGINNINGS: &[(&str, Command)] = &[
    ("Draw my own", Command::DrawOwn),
    ("Start from a knife", Command::New),
    ("Import outline…", Command::TakeOutline),
];

/// Shows the greeting until it is put away.
pub(crate) fn ui(
    ui: &Ui,
    canvas: Rect,
    session: &mut Session,
    palette: &Palette,
    out: &mut Commands,
) {
    if session.greeted || canvas.height() < 300.0 || canvas.width() < 420.0 {
        return;
    }
    Area::new(Id::unique("greeting"))
        .order(Order::Middle)
        .fixed_pos(canvas.min + egui::vec2(44.0, 40.0))
        .show(ui.ctx(), |ui| {
            Frame::new()
                .fill(palette.tag)
                .stroke(Stroke::new(1.0, palette.hair))
                .corner_radius(10)
                .inner_margin(egui::Margin::symmetric(16, 12))
                .show(ui, |ui| {
                    ui.set_max_width(380.0);
                    ui.label(RichText::new("A finished blank lies on its bar").font(bold(17.0)));
                    ui.label(
                        RichText::new(
                            "Drag its nodes, move its holes, then go to Paper and print it full \
                             size. The words along the top are the order of the work. Or begin \
                             with a shape of your own.",
                        )
                        .color(palette.weak),
                    );
                    ui.horizontal_wrapped(|ui| {
                        for (words, command) in BEGINNINGS {
                            if ui.button(*words).clicked() {
                                out.run(*command);
                                session.greeted = true;
                            }
                        }
                        if ui.button("Continue with this one").clicked() {
                            session.greeted = true;
                        }
                    });
                });
        });
    if session.grip.is_some() || !session.selection.is_empty() {
        session.greeted = true;
    }
}
