//! What the maker is doing just now, as plain data by subject: lost on quitting, never undone.
//! Nothing here knows how it is shown.

mod camera;
mod dialogs;
mod drawing;
mod exporting;
mod findings;
mod form;
mod ghost;
mod holes;
mod manual;
mod measuring;
mod picture;
mod picture_edges;
mod plan;
mod plane;
mod pointer;
mod print;
mod selection;
mod station;
mod thumbnails;
mod toasts;
mod tools;
mod tracing;
mod turning;
mod view;

pub use camera::{Camera, View};
pub(crate) use dialogs::PICTURES;
pub use dialogs::{Acceptance, Dialog, Dialogs, PathRequest, Prompt, Purpose, Question, ShopPage};
pub use drawing::{DrawTool, NotClosed, Pen};
pub use exporting::{DxfImport, ExportState};
pub use findings::FindingsState;
pub use form::FormState;
pub(crate) use form::{FieldEdit, FieldEdits};
pub use ghost::Ghost;
pub use holes::{HoleTool, NextHole, ReliefChoice};
pub use manual::ManualReader;
pub use measuring::{MeasureKind, MeasureTool};
pub(crate) use measuring::{Pick, Wanted};
pub use picture::PictureState;
pub use plan::BarPlan;
pub(crate) use plan::MAX_PLANNED;
pub use plane::Plane;
pub use pointer::PointerState;
pub use print::{PrintState, ProofReadings};
pub use selection::Selection;
pub use station::Station;
pub(crate) use thumbnails::Thumbnail;
pub use thumbnails::Thumbnails;
pub(crate) use toasts::Toast;
pub use toasts::Toasts;
pub(crate) use tools::{Clipping, FairPreview, FairResult};
pub use tools::{Fairing, Tools};
pub(crate) use tracing::PictureTexture;
pub use tracing::{SquaringChoice, Tracing, UseOf};
pub use turning::{CutWay, TurnState};
pub(crate) use view::SETTLED_S;
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
    /// Tools that work at several stations.
    pub tools: Tools,
    /// The finished knife in the round.
    pub turning: TurnState,
    /// What is to be printed.
    pub print: PrintState,
    /// How it is exported.
    pub export: ExportState,
    /// What is typed and expanded on cards.
    pub form: FormState,
    /// Which findings are told at length.
    pub findings: FindingsState,
    /// Another knife shown under this one.
    pub ghost: Option<Ghost>,
    /// Small pictures of files.
    pub thumbnails: Thumbnails,
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
