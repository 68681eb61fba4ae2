//! What is asked of the maker: a path for a file, or yes or no.

use crate::command::{Commands, Wish};
use crate::theme::{self, Palette};
use egui::{Key, RichText, TextEdit, Ui};
use std::path::PathBuf;

/// What a path is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// A blank to open.
    Open,
    /// A drawing to take an outline from.
    TakeOutline,
    /// A place to save the blank.
    Save,
    /// A place to save it before the desk is left.
    SaveAndLeave,
    /// A place for the PDF.
    Print,
    /// A place for the PDF with a printer's proof.
    Proof,
}

impl Purpose {
    /// What the dialog is called.
    pub fn title(self) -> &'static str {
        match self {
            Self::Open => "Open a blank",
            Self::TakeOutline => "Take an outline",
            Self::Save | Self::SaveAndLeave => "Save the blank",
            Self::Print => "Print to PDF",
            Self::Proof => "Print a proof",
        }
    }

    /// Whether something is to be written there.
    pub fn writes(self) -> bool {
        matches!(self, Self::Save | Self::SaveAndLeave | Self::Print | Self::Proof)
    }

    /// What kind of file it is, and its ending without the point.
    pub fn kind(self) -> (&'static str, &'static str) {
        match self {
            Self::Open | Self::Save | Self::SaveAndLeave => ("Blanks", "json"),
            Self::TakeOutline => ("Vector drawings", "svg"),
            Self::Print | Self::Proof => ("PDF", "pdf"),
        }
    }
}

/// A wish for a path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PathAsk {
    /// What for.
    pub purpose: Purpose,
    /// What is offered.
    pub offered: PathBuf,
}

/// A question with yes and no.
#[derive(Clone, Debug, PartialEq)]
pub enum Question {
    /// Unsaved work would be lost by leaving.
    Leave,
    /// Unsaved work would be lost by taking a starter.
    Start(&'static str),
    /// Unsaved work would be lost by drawing on this empty bar.
    Draw(Box<knife::Bar>),
    /// Unsaved work would be lost by opening this.
    Open(PathBuf),
    /// The file is not, or may not be, what this work was read from.
    SaveOver(Purpose, PathBuf),
    /// There is another file already.
    Replace(Purpose, PathBuf),
}

/// What is being asked.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// A path that the window's own dialog is to ask for.
    Native(PathAsk),
    /// A path to be typed here.
    Typed(PathAsk, String),
    /// Yes or no.
    Question(Question),
}

/// Shows what is asked. The answer goes out as a wish; `None` comes back when it is over.
pub(crate) fn ui(ui: &Ui, ask: Ask, palette: &Palette, out: &mut Commands) -> Option<Ask> {
    match ask {
        Ask::Native(_) => Some(ask),
        Ask::Typed(path, text) => typed(ui, path, text, palette, out),
        Ask::Question(question) => asked(ui, question, palette, out),
    }
}

fn typed(
    ui: &Ui,
    ask: PathAsk,
    mut text: String,
    palette: &Palette,
    out: &mut Commands,
) -> Option<Ask> {
    let mut over = false;
    let modal = theme::sheet(ui, "ask for a path").show(ui.ctx(), |ui| {
        ui.set_width(460.0_f32.min(ui.ctx().content_rect().width() - 60.0));
        ui.heading(ask.purpose.title());
        let about = if ask.purpose.writes() {
            "Type where to write it: a folder and a name."
        } else {
            "Type where it is, or drop the file on the window."
        };
        let label = ui.label(RichText::new(about).color(palette.weak));
        let field = ui
            .add(TextEdit::singleline(&mut text).desired_width(f32::INFINITY))
            .labelled_by(label.id)
            .accessible_name("Path");
        let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        if !entered && ui.memory(|memory| memory.focused().is_none()) {
            field.request_focus();
        }
        ui.add_space(6.0);
        ui.horizontal(|ui| {
            let word = if ask.purpose.writes() { "Save" } else { "Open" };
            let ready = !text.trim().is_empty();
            let pressed = ui.add_enabled(ready, egui::Button::new(word)).clicked();
            if ready && (pressed || entered) {
                out.push(Wish::Path(ask.purpose, PathBuf::from(text.trim())));
                over = true;
            }
            over |= ui.button("Cancel").clicked();
        });
    });
    (!over && !modal.should_close()).then_some(Ask::Typed(ask, text))
}

fn asked(ui: &Ui, question: Question, palette: &Palette, out: &mut Commands) -> Option<Ask> {
    let (title, about, yes) = match &question {
        Question::Leave => (
            "There is unsaved work",
            "If you quit now, changes since the last save are lost.".to_owned(),
            "Quit without saving",
        ),
        Question::Start(_) | Question::Draw(_) | Question::Open(_) => (
            "There is unsaved work",
            "Changes since the last save would be lost.".to_owned(),
            "Discard changes",
        ),
        Question::SaveOver(_, path) => (
            "The file has changed on the disk",
            format!(
                "{} is no longer what this work was read from: something else has written it \
                 since. Saving replaces that.",
                path.display()
            ),
            "Save over it",
        ),
        Question::Replace(_, path) => (
            "There is such a file already",
            format!("{} would be replaced.", path.display()),
            "Replace it",
        ),
    };
    let mut over = false;
    let modal = theme::sheet(ui, "ask yes or no").show(ui.ctx(), |ui| {
        ui.set_width(420.0_f32.min(ui.ctx().content_rect().width() - 60.0));
        ui.heading(title);
        ui.label(RichText::new(about).color(palette.weak));
        ui.add_space(6.0);
        ui.horizontal_wrapped(|ui| {
            if matches!(question, Question::Leave) && ui.button("Save and quit").clicked() {
                out.push(Wish::SaveAndLeave);
                over = true;
            }
            if ui.button(yes).clicked() {
                out.push(Wish::Yes(question.clone()));
                over = true;
            }
            over |= ui.button("Cancel").clicked();
        });
    });
    (!over && !modal.should_close()).then_some(Ask::Question(question))
}
