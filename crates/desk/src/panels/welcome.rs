//! What a first start says: what is on the bench, and what to do with it.

use crate::action::ActionQueue;
use crate::canvas::thumbnail;
use crate::command::Command;
use crate::state::Thumbnails;
use crate::theme::{Palette, bold};
use egui::{Area, Frame, Id, Margin, Order, Rect, RichText, Stroke, Ui, vec2};

/// The ways to begin, as they are offered.
const BEGINNINGS: &[(&str, Command)] = &[
    ("Draw my own", Command::DrawNew),
    ("Start from a knife", Command::Starters),
    ("Trace a picture…", Command::TracePicture),
    ("Import outline…", Command::ImportOutline),
];

/// Shows the welcome until it is closed.
pub(crate) fn ui(
    ui: &Ui,
    canvas: Rect,
    (welcomed, files): (&mut bool, &Thumbnails),
    palette: &Palette,
    actions: &mut ActionQueue,
) {
    if *welcomed || canvas.height() < 300.0 || canvas.width() < 420.0 {
        return;
    }
    let area = Area::new(Id::unique("greeting")).order(Order::Middle);
    area.fixed_pos(canvas.min + vec2(44.0, 40.0)).show(ui.ctx(), |ui| {
        let frame = Frame::new().fill(palette.tag).stroke(Stroke::new(1.0, palette.hair));
        let frame = frame.corner_radius(10).inner_margin(Margin::symmetric(16, 12));
        frame.show(ui, |ui| {
            ui.set_max_width(400.0);
            ui.label(RichText::new("A finished blank lies on its bar").font(bold(17.0)));
            let text = "Drag its nodes, move its holes, then go to Paper and print it full \
                        size. The words along the top are the order of the work. Or begin \
                        with a shape of your own.";
            ui.label(RichText::new(text).color(palette.weak));
            ui.horizontal_wrapped(|ui| {
                for (label, command) in BEGINNINGS {
                    if ui.button(*label).clicked() {
                        actions.run(*command);
                        *welcomed = true;
                    }
                }
                *welcomed |= ui.button("Continue with this one").clicked();
            });
            if !files.recents.is_empty() && canvas.height() > 420.0 {
                ui.label(RichText::new("Recent files").color(palette.weak));
                *welcomed |= thumbnail::recents(ui, files, palette, actions);
            }
        });
    });
}
