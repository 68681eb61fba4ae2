//! What opens over the desk: dialogs, questions, and the work an earlier run left.

mod about;
mod accept;
mod begin;
mod compare;
mod export;
mod heat;
mod history;
mod import_dxf;
mod manual;
mod match_screen;
pub(crate) mod new_bar;
mod plan_bar;
mod preferences;
mod prompt;
mod recover;
mod shop;
mod shortcuts;
mod starters;
mod tracing;
mod versions;

use crate::action::ActionQueue;
use crate::context::ViewContext;
use crate::state::{Dialog, Session};
use crate::theme::Palette;
use crate::widgets::Form;
use egui::Ui;
use knife::History;

/// Shows whatever is open.
pub(crate) fn ui(
    ui: &mut Ui,
    context: &ViewContext<'_>,
    history: &History,
    session: &mut Session,
    actions: &mut ActionQueue,
) {
    let palette = context.palette;
    let dialogs = &mut session.dialogs;
    if !dialogs.found.is_empty() {
        recover::ui(ui, &dialogs.found, dialogs.found_ms, palette, actions);
    }
    if let Some(mut dialog) = dialogs.open.take() {
        if matches!(dialog, Dialog::Compare) {
            let stays = compare::ui(ui, context, session, actions);
            session.dialogs.open = stays.then_some(dialog);
            return prompts(ui, session, palette, actions);
        }
        let form = &mut Form { ui, context, state: &mut session.form, actions };
        let files = &session.thumbnails;
        let stays = match &mut dialog {
            Dialog::Begin(bar) => begin::ui(form, bar, files),
            Dialog::About => about::ui(form.ui, palette),
            Dialog::Preferences => preferences::ui(form.ui, context, form.actions),
            Dialog::History => history::ui(form.ui, history, palette, form.actions),
            Dialog::Versions => versions::ui(form.ui, files, palette, form.actions),
            Dialog::PlanBar(plan) => plan_bar::ui(form.ui, plan, context, form.state, form.actions),
            Dialog::Compare => false,
            Dialog::Starters => starters::ui(form.ui, palette, form.actions),
            Dialog::NewBar(bar) => new_bar::ui(form, bar),
            Dialog::Shortcuts => shortcuts::ui(form.ui, palette),
            Dialog::Manual(reader) => manual::ui(form.ui, reader, palette),
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
    prompts(ui, session, palette, actions);
}

/// What is asked above everything else.
fn prompts(ui: &Ui, session: &mut Session, palette: &Palette, actions: &mut ActionQueue) {
    if let Some(prompt) = session.dialogs.prompt.take() {
        session.dialogs.prompt = prompt::ui(ui, prompt, palette, actions);
    }
}
