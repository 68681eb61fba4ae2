//! What is asked of the maker: a path for a file, or yes or no.

use crate::action::{Action, ActionQueue};
use crate::state::{PathRequest, Prompt, Question};
use crate::theme::Palette;
use crate::widgets::{modal, width_up_to};
use egui::{Button, Key, RichText, TextEdit, Ui};
use std::path::PathBuf;

/// Shows what is asked. The answer goes out as an action; `None` comes back when it is done.
pub(super) fn ui(
    ui: &Ui,
    prompt: Prompt,
    palette: &Palette,
    actions: &mut ActionQueue,
) -> Option<Prompt> {
    match prompt {
        Prompt::Native(_) => Some(prompt),
        Prompt::Typed(request, mut text) => {
            let stays = path(ui, &request, &mut text, palette, actions);
            stays.then_some(Prompt::Typed(request, text))
        }
        Prompt::Question(question) => {
            let stays = confirm(ui, &question, palette, actions);
            stays.then_some(Prompt::Question(question))
        }
    }
}

fn path(
    ui: &Ui,
    request: &PathRequest,
    text: &mut String,
    palette: &Palette,
    actions: &mut ActionQueue,
) -> bool {
    let (question, confirm) = if request.purpose.writes() {
        ("Type a folder and a file name.", "Save")
    } else {
        ("Type its folder and name, or drop the file on the window.", "Open")
    };
    let prompt = TextPrompt {
        id: "ask for a path",
        title: request.purpose.title(),
        text: "",
        question,
        label: "Path",
        max_chars: usize::MAX,
        confirm,
    };
    let (stays, done) = text_prompt(ui, &prompt, text, palette);
    if done {
        actions.push(Action::PathChosen(request.purpose, PathBuf::from(text.trim())));
    }
    stays
}

/// A dialog that asks for a line of text.
pub(super) struct TextPrompt<'a> {
    pub(super) id: &'a str,
    pub(super) title: &'a str,
    /// What it is about, if that needs a sentence.
    pub(super) text: &'a str,
    pub(super) question: &'a str,
    /// The field's name.
    pub(super) label: &'a str,
    pub(super) max_chars: usize,
    /// The button that takes what was typed.
    pub(super) confirm: &'a str,
}

/// Shows it: whether it stays open, and whether what was typed is taken.
pub(super) fn text_prompt(
    ui: &Ui,
    prompt: &TextPrompt<'_>,
    text: &mut String,
    palette: &Palette,
) -> (bool, bool) {
    let mut taken = false;
    let stays = modal(ui, prompt.id, width_up_to(ui, 460.0, 60.0), |ui| {
        ui.heading(prompt.title);
        if !prompt.text.is_empty() {
            ui.label(prompt.text);
        }
        let label = ui.label(RichText::new(prompt.question).color(palette.weak));
        let edit =
            TextEdit::singleline(text).char_limit(prompt.max_chars).desired_width(f32::INFINITY);
        let field = ui.add(edit).labelled_by(label.id).accessible_name(prompt.label);
        let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        if !entered && ui.memory(|memory| memory.focused().is_none()) {
            field.request_focus();
        }
        ui.add_space(6.0);
        let row = ui.horizontal(|ui| {
            let ready = !text.trim().is_empty();
            let clicked = ui.add_enabled(ready, Button::new(prompt.confirm)).clicked();
            taken = ready && (clicked || entered);
            ui.button("Cancel").clicked()
        });
        row.inner || taken
    });
    (stays, taken)
}

fn confirm(ui: &Ui, question: &Question, palette: &Palette, actions: &mut ActionQueue) -> bool {
    let (title, text, yes) = match question {
        Question::Quit => (
            "There is unsaved work",
            "If you quit now, changes since the last save are lost.".to_owned(),
            "Quit without saving",
        ),
        Question::CloseTab | Question::Start(_) | Question::Draw(_) | Question::Open(_) => (
            "There is unsaved work",
            "Changes since the last save would be lost.".to_owned(),
            "Discard changes",
        ),
        Question::SaveOver(_, path) => (
            "The file has changed on the disk",
            format!(
                "Another program has changed {} since it was read. Saving replaces that change.",
                path.display()
            ),
            "Save over it",
        ),
        Question::Replace(_, path) => (
            "This file already exists",
            format!("{} would be replaced.", path.display()),
            "Replace it",
        ),
        Question::ReplaceParts(_, _, files) => {
            let files: Vec<String> = files.iter().map(|path| path.display().to_string()).collect();
            let text = format!("Would be replaced: {}.", files.join(", "));
            ("Files of these names already exist", text, "Replace them")
        }
    };
    modal(ui, "ask yes or no", width_up_to(ui, 420.0, 60.0), |ui| {
        ui.heading(title);
        ui.label(RichText::new(text).color(palette.weak));
        ui.add_space(6.0);
        let row = ui.horizontal_wrapped(|ui| {
            let saves = *question == Question::Quit && ui.button("Save and quit").clicked();
            if saves {
                actions.push(Action::SaveAndQuit);
            }
            let confirmed = ui.button(yes).clicked();
            if confirmed {
                actions.push(Action::Confirm(question.clone()));
            }
            ui.button("Cancel").clicked() || saves || confirmed
        });
        row.inner
    })
}
