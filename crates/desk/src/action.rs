//! What a frame wants done when it is over: state changes by actions alone, never while painting.

use crate::command::Command;
use crate::settings::Settings;
use crate::state::{Ghost, Purpose, Question, Tracing, UseOf, ViewRequest};
use knife::Edit;
use std::path::PathBuf;

/// What a frame wants done when it is over.
#[derive(Clone, Debug)]
pub enum Action {
    /// Run a command of the table.
    Command(Command),
    /// Do edits as one step.
    Edit(Vec<Edit>),
    /// Begin a gesture.
    BeginGesture,
    /// Show these edits done to the knife as it was when the gesture began.
    Preview(Vec<Edit>),
    /// End the gesture as one step.
    CommitGesture,
    /// End the gesture and take its changes back.
    CancelGesture,
    /// Open a starter, by its key.
    OpenStarter(&'static str),
    /// Run a command that begins a knife, on this bar where one was chosen.
    BeginOn(Option<Box<knife::Bar>>, Command),
    /// Bring a tab to the front, by its place.
    GoToTab(usize),
    /// Close a tab, by its place.
    CloseTab(usize),
    /// Take these settings.
    SetSettings(Box<Settings>),
    /// Go to the knife as it was after so many steps.
    GoToStep(usize),
    /// Show another knife under this one.
    ShowGhost(Box<Ghost>),
    /// Read a blank file and show it under this one.
    GhostFromFile(PathBuf),
    /// Show no knife under this one.
    HideGhost,
    /// Go back to a knife as it was kept, as one step: its words and itself.
    Restore(String, Box<knife::Knife>),
    /// Begin a drawing on an empty bar.
    DrawOnBar(Box<knife::Bar>),
    /// Ask for a path for a purpose.
    AskPath(Purpose),
    /// Use the path chosen for a purpose.
    PathChosen(Purpose, PathBuf),
    /// Save the blank, then quit.
    SaveAndQuit,
    /// A question was answered with yes.
    Confirm(Question),
    /// The screen has so many dots to the millimetre.
    SetPixelsPerMm(Option<f64>),
    /// Move the view.
    View(ViewRequest),
    /// The grid's lines are so far apart, mm.
    SetGridPitch(f64),
    /// Print today's date.
    InsertToday,
    /// Files were dropped on the window.
    FilesDropped(Vec<PathBuf>),
    /// Recover the work an earlier run left, by its place in the list.
    Recover(usize),
    /// Discard the work an earlier run left, for good.
    Discard(usize),
    /// Leave all such work for the next start.
    Dismiss,
    /// Change the shop.
    SetShop(Box<reckon::Shop>),
    /// Put an imported outline, its holes and its name in place of those that are open.
    TakeOutline(Box<knife::Knife>),
    /// Use what the dialog found: its outline, the picture under the blank, or both.
    UseTracing(Box<Tracing>, UseOf),
    /// Square up, or trace again, the picture under the blank.
    SquareUp,
    /// Ask where an exported file is to go.
    AskExport(exchange::export::ExportFormat),
    /// Look for the picture under the blank again.
    FindPicture,
    /// Lay the blanks of the planned bar out by themselves.
    LayOutBar,
    /// Show a message.
    Toast(String),
}

/// The actions of a frame, in order.
#[derive(Debug, Default)]
pub struct ActionQueue {
    actions: Vec<Action>,
}

impl ActionQueue {
    /// Adds an action.
    pub fn push(&mut self, action: Action) {
        self.actions.push(action);
    }

    /// Adds a command of the table.
    pub fn run(&mut self, command: Command) {
        self.push(Action::Command(command));
    }

    /// Adds one edit as a step.
    pub fn edit(&mut self, edit: Edit) {
        self.push(Action::Edit(vec![edit]));
    }

    /// Shows edits of the gesture under way.
    pub fn preview(&mut self, edits: Vec<Edit>) {
        self.push(Action::Preview(edits));
    }

    /// Takes all actions out.
    pub(crate) fn take(&mut self) -> Vec<Action> {
        std::mem::take(&mut self.actions)
    }

    /// Whether there is nothing to do.
    pub fn is_empty(&self) -> bool {
        self.actions.is_empty()
    }
}
