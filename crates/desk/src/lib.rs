//! The desk: the editor on egui.
//!
//! A frame goes: [`Desk::logic`] refreshes what follows from the knife, once a revision;
//! [`Desk::ui`] reads, paints and queues actions; [`Desk::act`] applies them. It depends on no
//! window: files and the clock reach it through a [`Host`], and paths from the window's dialogs
//! through [`PathRequest`].
//!
//! ```
//! let mut desk = desk::Desk::new(desk::Settings::default());
//! desk.logic();
//! assert!(desk.derived.reckoning.outline.is_some(), "a finished blank lies on its bar");
//! ```
//!
//! Its modules stand in layers, each of which uses only those before it: `state` and the other
//! plain data, `context`, `widgets`, `canvas`, `stations`, `panels` and `dialogs`, and the
//! [`Desk`] itself.

mod action;
mod beside;
mod canvas;
mod command;
mod context;
mod derived;
mod desk;
mod dialogs;
mod document;
mod figures;
mod ghost;
mod panels;
pub mod recovery;
mod settings;
pub mod shaded;
mod shop_file;
mod stamp;
mod state;
mod stations;
mod text;
mod theme;
mod widgets;
mod worker;

pub use action::{Action, ActionQueue};
pub use command::{COMMANDS, Command, CommandInfo, Menu, shortcut_text};
pub use derived::Derived;
pub use desk::Desk;
pub use document::{Document, OpenError};
pub use host::{FileError, FileLock, FileProblem, Host, MemoryHost};
pub use settings::Settings;
pub use stamp::DiskStamp;
pub use state::{
    Acceptance, BarPlan, Camera, CutWay, Dialog, Dialogs, DrawTool, DxfImport, ExportState,
    Fairing, FindingsState, FormState, Ghost, HoleTool, ManualReader, MeasureKind, MeasureTool,
    NextHole, NotClosed, PathRequest, Pen, PictureState, Plane, PointerState, PrintState, Prompt,
    ProofReadings, Purpose, Question, ReliefChoice, SectionState, Selection, Session, ShopPage,
    SquaringChoice, Station, Thumbnails, Toasts, Tools, Tracing, TurnState, UseOf, View,
    ViewRequest, ViewState,
};
pub use theme::ColorTheme;
