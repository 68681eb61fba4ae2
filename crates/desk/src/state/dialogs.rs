//! What is open over the desk.

use super::{BarPlan, DxfImport, ManualReader, Tracing};
use crate::recovery::Recoverable;
use exchange::export::ExportFormat;
use reckon::Finding;
use std::path::PathBuf;

/// What is open over the desk.
#[derive(Default)]
pub struct Dialogs {
    /// The dialog that is open, if any.
    pub open: Option<Dialog>,
    /// What is asked, above everything else.
    pub prompt: Option<Prompt>,
    /// Whether the window has dialogs of its own for choosing files.
    pub native: bool,
    /// Whether the welcome has been closed.
    pub welcomed: bool,
    /// The bar chosen for what is begun next, where one was.
    pub bar: Option<knife::Bar>,
    /// What an earlier run left unsaved: offered until it is dismissed.
    pub found: Vec<Recoverable>,
    /// When that was looked for, milliseconds since 1970.
    pub found_ms: u64,
}

impl Dialogs {
    /// Whether something lies over the desk and takes the keys.
    pub fn is_blocking(&self) -> bool {
        self.open.is_some() || self.prompt.is_some() || !self.found.is_empty()
    }
}

/// A dialog.
#[derive(Clone, Debug)]
pub enum Dialog {
    /// The bar for a new knife, and the ways to begin one.
    Begin(Box<knife::Bar>),
    /// The starters to choose from.
    Starters,
    /// The bar for a drawing of one's own.
    NewBar(knife::Bar),
    /// What this program is.
    About,
    /// The maker's settings.
    Preferences,
    /// Every step, to go back to one.
    History,
    /// Another knife under this one, and the differences.
    Compare,
    /// The dated copies.
    Versions,
    /// Several knives on one bar.
    PlanBar(Box<BarPlan>),
    /// The keyboard shortcuts.
    Shortcuts,
    /// A page of the manual.
    Manual(ManualReader),
    /// The screen is matched against a card.
    MatchScreen,
    /// A page of the shop.
    Shop(ShopPage),
    /// Heat and finish.
    Heat,
    /// A finding is accepted for a reason.
    Accept(Box<Acceptance>),
    /// A picture is traced.
    TracePicture(Box<Tracing>),
    /// The knife is exported.
    Export,
    /// A DXF drawing is imported.
    ImportDxf(Box<DxfImport>),
}

/// A finding that is being accepted, and the reason as typed so far.
#[derive(Clone, Debug)]
pub struct Acceptance {
    pub(crate) finding: Finding,
    pub(crate) reason: String,
}

/// One page of the shop.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ShopPage {
    /// Drills.
    #[default]
    Drills,
    /// Files, drums, dowels and saws.
    Tools,
    /// Pin stock and bars.
    Stock,
    /// Forge, quench tank and oven.
    Fire,
    /// Papers and printers.
    Printers,
    /// The limits that findings measure against.
    Limits,
}

/// What a path is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// A blank to open.
    Open,
    /// A drawing to take an outline from.
    ImportOutline,
    /// A picture to trace.
    TracePicture,
    /// A picture in place of the one under the blank.
    SwapPicture,
    /// A blank to show under this one.
    Compare,
    /// A blank to lay on the planned bar.
    AddToBar,
    /// A place to save the blank.
    Save,
    /// A place to save it before quitting.
    SaveAndQuit,
    /// A place for the PDF.
    Print,
    /// A place for the PDF with a printer's proof.
    Proof,
    /// A place for the PDF with the tracing mat.
    Mat,
    /// A place for an exported file.
    Export(ExportFormat),
}

impl Purpose {
    /// What the dialog is called.
    pub fn title(self) -> &'static str {
        match self {
            Self::Open => "Open a blank",
            Self::ImportOutline => "Import an outline",
            Self::TracePicture => "Trace a picture",
            Self::SwapPicture => "Replace the picture",
            Self::Compare => "Compare with a blank",
            Self::AddToBar => "Add a blank to the bar",
            Self::Save | Self::SaveAndQuit => "Save the blank",
            Self::Print => "Print to PDF",
            Self::Proof => "Print a proof",
            Self::Mat => "Print the tracing mat",
            Self::Export(_) => "Export",
        }
    }

    /// Whether something is to be written there.
    pub fn writes(self) -> bool {
        !matches!(
            self,
            Self::Open
                | Self::ImportOutline
                | Self::TracePicture
                | Self::SwapPicture
                | Self::Compare
                | Self::AddToBar
        )
    }

    /// What kind of file it is, and its endings without the point.
    pub fn kind(self) -> (&'static str, &'static [&'static str]) {
        match self {
            Self::Open | Self::Compare | Self::AddToBar | Self::Save | Self::SaveAndQuit => {
                ("Blanks", &["json"])
            }
            Self::ImportOutline => ("Vector drawings", &["svg", "dxf"]),
            Self::TracePicture | Self::SwapPicture => ("Pictures", PICTURES),
            Self::Print | Self::Proof | Self::Mat => ("PDF", &["pdf"]),
            Self::Export(ExportFormat::ThreeMf) => ("3MF", &["3mf"]),
            Self::Export(ExportFormat::Stl) => ("STL", &["stl"]),
            Self::Export(ExportFormat::Dxf) => ("DXF", &["dxf"]),
            Self::Export(ExportFormat::Svg) => ("SVG", &["svg"]),
        }
    }
}

/// The endings of pictures that can be traced.
pub(crate) const PICTURES: &[&str] = &["png", "jpg", "jpeg", "webp", "tif", "tiff", "bmp"];

/// A path that is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PathRequest {
    /// What for.
    pub purpose: Purpose,
    /// What is offered.
    pub offered: PathBuf,
}

/// A question with yes and no.
#[derive(Clone, Debug, PartialEq)]
pub enum Question {
    /// Unsaved work would be lost by quitting.
    Quit,
    /// Unsaved work would be lost by closing this tab.
    CloseTab,
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
    /// An export to a path with a file for each part would replace these.
    ReplaceParts(ExportFormat, PathBuf, Vec<PathBuf>),
}

/// What is asked.
#[derive(Clone, Debug, PartialEq)]
pub enum Prompt {
    /// A path that the window's own dialog is to ask for.
    Native(PathRequest),
    /// A path to be typed here.
    Typed(PathRequest, String),
    /// Yes or no.
    Question(Question),
}
