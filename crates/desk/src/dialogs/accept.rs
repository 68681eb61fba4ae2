//! Accepting a finding, for a reason that is kept in the blank.

use super::prompt::{TextPrompt, text_prompt};
use crate::action::ActionQueue;
use crate::state::Acceptance;
use crate::theme::Palette;
use egui::Ui;

/// Asks for the reason; whether it stays open.
pub(super) fn ui(
    ui: &Ui,
    acceptance: &mut Acceptance,
    palette: &Palette,
    actions: &mut ActionQueue,
) -> bool {
    let prompt = TextPrompt {
        id: "aside",
        title: "Accept a problem",
        text: &acceptance.finding.sentence,
        question: "Why is this acceptable? The reason is printed on the sheets.",
        label: "Reason",
        max_chars: knife::limits::REASON_CHARS,
        confirm: "Accept it",
    };
    let (stays, done) = text_prompt(ui, &prompt, &mut acceptance.reason, palette);
    if done {
        actions.edit(acceptance.finding.set_aside_edit(&acceptance.reason));
    }
    stays
}
