//! What the maker is doing just now, as plain data by subject: lost on quitting, never undone.
//! Nothing here knows how it is shown.

mod camera;
mod dialogs;
mod drawing;
mod form;
mod holes;
mod picture;
mod picture_edges;
mod plane;
mod pointer;
mod print;
mod selection;
mod station;
mod toasts;
mod tracing;
mod view;

pub use camera::{Camera, View};
pub(crate) use dialogs::PICTURES;
pub use dialogs::{Acceptance, Dialog, Dialogs, PathRequest, Prompt, Purpose, Question, ShopPage};
pub use drawing::{DrawTool, NotClosed};
pub use form::FormState;
pub(crate) use form::{FieldEdit, FieldEdits};
pub use holes::{HoleTool, NextHole, ReliefChoice};
pub use picture::PictureState;
pub use plane::Plane;
pub use pointer::PointerState;
pub use print::{PrintState, ProofReadings};
pub use selection::Selection;
pub use station::Station;
pub(crate) use toasts::Toast;
pub use toasts::Toasts;
pub(crate) use tracing::PictureTexture;
pub use tracing::{SquaringChoice, Tracing, UseOf};
pub use view::{SectionState, ViewRequest, ViewState};

/// What the maker is doing just now.
#[derive(Default)]
pub struct Session {
    /// The station chosen.
    pub station: Station,
    /// What the canvas and the Paper station look at.
    pub view: ViewState,
    /// Where the pointer is and what it drags.
    pub pointer: PointerState,
    /// The parts selected.
    pub selection: Selection,
    /// Where the cross-section is.
    pub section: SectionState,
    /// What the Holes station is about to add.
    pub holes: HoleTool,
    /// The outline being drawn.
    pub drawing: DrawTool,
    /// The picture under the blank.
    pub picture: PictureState,
    /// What is to be printed.
    pub print: PrintState,
    /// What is typed and expanded on cards.
    pub form: FormState,
    /// What is open over the desk.
    pub dialogs: Dialogs,
    /// Short messages.
    pub toasts: Toasts,
    /// Whether the window may close.
    pub quit: bool,
}

impl Session {
    /// Whether the drawing takes the canvas at Profile: it has begun and the knife has no outline.
    pub fn is_drawing(&self, knife: &knife::Knife) -> bool {
        self.station == Station::Profile && self.drawing.takes_canvas(knife)
    }
}
