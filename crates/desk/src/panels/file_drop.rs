//! Files dropped on the window, and what is said while they are held over it.

use crate::action::{Action, ActionQueue};
use crate::theme::{Palette, bold};
use egui::{Align2, Id, LayerId, Order, Stroke, StrokeKind, Ui};
use std::path::PathBuf;

/// Takes what was dropped; says what may be dropped while something is held over the window.
pub(crate) fn watch(ui: &Ui, palette: &Palette, actions: &mut ActionQueue) {
    let (held, dropped) = ui.input(|input| {
        let dropped = input.raw.dropped_files.iter();
        let paths: Vec<PathBuf> = dropped.map(|file| file.path().to_owned()).collect();
        (!input.raw.hovered_files.is_empty(), paths)
    });
    if !dropped.is_empty() {
        actions.push(Action::FilesDropped(dropped));
    } else if held {
        let painter = ui.ctx().layer_painter(LayerId::new(Order::Tooltip, Id::unique("held over")));
        let all = ui.ctx().content_rect();
        let edge = Stroke::new(3.0, palette.accent);
        painter.rect(all.shrink(8.0), 10.0, palette.tag, edge, StrokeKind::Inside);
        let text = "Drop a blank to open it, or an SVG drawing or a picture to take its outline";
        painter.text(all.center(), Align2::CENTER_CENTER, text, bold(24.0), palette.tag_text);
    }
}
