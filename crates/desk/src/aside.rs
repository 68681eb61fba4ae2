//! Setting a finding aside, for a reason that is kept in the blank.

use crate::command::Commands;
use crate::session::Session;
use crate::theme::{self, Palette};
use egui::{Button, Key, RichText, TextEdit, Ui};
use reckon::Finding;

/// A finding that is being set aside, and the reason as typed so far.
#[derive(Clone, Debug)]
pub struct Aside {
    finding: Finding,
    reason: String,
}

/// What the button at a finding says.
pub(crate) fn words(finding: &Finding) -> &'static str {
    if finding.set_aside.is_some() { "Stop accepting" } else { "Accept…" }
}

/// The button at a finding: sets it aside, or takes it up again.
pub(crate) fn button(ui: &mut Ui, finding: &Finding, session: &mut Session, out: &mut Commands) {
    if finding.set_aside.is_some() {
        let about = "It counts as a problem again.";
        if ui.button(words(finding)).on_hover_text(about).clicked() {
            out.edit(finding.restore_edit());
        }
        return;
    }
    let about = "Give the reason why this is acceptable; it is kept in the blank and printed, but no longer stops.";
    if ui.button(words(finding)).on_hover_text(about).clicked() {
        session.aside = Some(Aside { finding: finding.clone(), reason: String::new() });
    }
}

/// Asks for the reason.
pub(crate) fn ui(ui: &Ui, session: &mut Session, palette: &Palette, out: &mut Commands) {
    let Some(mut aside) = session.aside.take() else { return };
    let mut over = false;
    let modal = theme::sheet(ui, "aside").show(ui.ctx(), |ui| {
        ui.set_width(460.0_f32.min(ui.ctx().content_rect().width() - 60.0));
        ui.heading("Accept a problem");
        ui.label(&aside.finding.sentence);
        let label = ui.label(
            RichText::new("Why is this acceptable? The reason is printed on the sheets.")
                .color(palette.weak),
        );
        let field = ui
            .add(
                TextEdit::singleline(&mut aside.reason)
                    .char_limit(knife::limits::REASON_CHARS)
                    .desired_width(f32::INFINITY),
            )
            .labelled_by(label.id)
            .accessible_name("Reason");
        let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        if !entered && ui.memory(|memory| memory.focused().is_none()) {
            field.request_focus();
        }
        ui.add_space(6.0);
        ui.horizontal(|ui| {
            let ready = !aside.reason.trim().is_empty();
            let pressed = ui.add_enabled(ready, Button::new("Accept it")).clicked();
            if ready && (pressed || entered) {
                out.edit(aside.finding.set_aside_edit(&aside.reason));
                over = true;
            }
            over |= ui.button("Cancel").clicked();
        });
    });
    session.aside = (!over && !modal.should_close()).then_some(aside);
}
