//! What opens over the desk: dialogs, questions, and the work an earlier run left.

mod accept;
mod export;
mod heat;
mod import_dxf;
mod manual;
mod match_screen;
pub(crate) mod new_bar;
mod prompt;
mod recover;
mod shop;
mod shortcuts;
mod starters;
mod tracing;

use crate::action::ActionQueue;
use crate::context::ViewContext;
use crate::state::{Dialog, Session};
use crate::widgets::Form;
use egui::Ui;

/// Shows whatever is open.
pub(crate) fn ui(
    ui: &mut Ui,
    context: &ViewContext<'_>,
    session: &mut Session,
    actions: &mut ActionQueue,
) {
    let palette = context.palette;
    let dialogs = &mut session.dialogs;
    if !dialogs.found.is_empty() {
        recover::ui(ui, &dialogs.found, dialogs.found_ms, palette, actions);
    }
    if let Some(mut dialog) = dialogs.open.take() {
        let form = &mut Form { ui, context, state: &mut session.form, actions };
        let stays = match &mut dialog {
            Dialog::Starters => starters::ui(form.ui, palette, form.actions),
            Dialog::NewBar(bar) => new_bar::ui(form, bar),
            Dialog::Shortcuts => shortcuts::ui(form.ui, palette),
            Dialog::Manual(page) => manual::ui(form.ui, page, palette),
            Dialog::Shop(page) => shop::ui(form, page),
            Dialog::Heat => heat::ui(form),
            Dialog::TracePicture(tracing) => tracing::ui(form, tracing),
            Dialog::Export => {
                export::ui(form.ui, context, &mut session.export, form.state, form.actions)
            }
            Dialog::ImportDxf(import) => {
                import_dxf::ui(form.ui, context, import, form.state, form.actions)
            }
            Dialog::Accept(acceptance) => accept::ui(form.ui, acceptance, palette, form.actions),
            Dialog::MatchScreen => {
                let known = context.settings.pixels_per_mm;
                match_screen::ui(form.ui, known, palette, form.actions)
            }
        };
        session.dialogs.open = stays.then_some(dialog);
    }
    if let Some(prompt) = session.dialogs.prompt.take() {
        session.dialogs.prompt = prompt::ui(ui, prompt, palette, actions);
    }
}
