//! What is left over to trim, saw and file, and the grain.

use super::{fold, handle_with, open_angle, usual_length};
use crate::canvas::Read;
use crate::command::Commands;
use crate::session::Session;
use egui::Ui;
use knife::{USUAL_ALLOWANCE_MM, USUAL_OVERHANG_MM, USUAL_PROUD_MM};

pub(super) fn ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let handle = &read.knife.handle;
    let about = "What scales, blocks and pins are longer than they end up, and the grain.";
    if !fold(ui, "Trim allowance", about, "", session, read.palette) {
        return;
    }
    let field = ("Overhang", "What the scales stand over the tang until they are trimmed flush.");
    let stated = (handle.overhang_mm, USUAL_OVERHANG_MM);
    if let Some(mm) = usual_length(ui, read, session, field, stated) {
        out.edit(handle_with(read, |handle| handle.overhang_mm = mm));
    }
    let field = ("Block allowance", "What a rough block is larger than its scale on every side.");
    let stated = (handle.allowance_mm, USUAL_ALLOWANCE_MM);
    if let Some(mm) = usual_length(ui, read, session, field, stated) {
        out.edit(handle_with(read, |handle| handle.allowance_mm = mm));
    }
    let field = ("Pin overhang", "What each pin stands out of each scale until it is filed flush.");
    let stated = (handle.proud_mm, USUAL_PROUD_MM);
    if let Some(mm) = usual_length(ui, read, session, field, stated) {
        out.edit(handle_with(read, |handle| handle.proud_mm = mm));
    }
    let field = (
        "Grain",
        "On the left scale's outer face, from the handle's length, counter-clockwise with the tip \
         to the left and the edge down. Emptied, there is none to mind.",
    );
    if let Some(deg) = open_angle(ui, read, session, field, handle.grain_deg) {
        out.edit(handle_with(read, |handle| handle.grain_deg = deg));
    }
}
