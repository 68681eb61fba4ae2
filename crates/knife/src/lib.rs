//! The knife as its maker decided it: plain data, edits, undo and the file format.
//!
//! Ground state only: nothing here is worked out from anything else here, and nothing reads
//! files or draws. Plane of the knife: x along the knife from tip to butt, y from edge (down)
//! to spine (up); millimetres. (An outline taken from elsewhere may run the other way; its
//! marked tip tells.)
//!
//! ```
//! use knife::{Edit, History, file, starter};
//!
//! let mut history = History::new(starter("drop-point").expect("it is shipped").knife());
//! history.edit(&Edit::Rename("Heron".into()))?;
//! let reopened = file::open(&file::save(history.knife())).expect("what was saved opens");
//! assert_eq!(reopened.knife.name, "Heron");
//! history.undo();
//! assert_ne!(history.knife().name, "Heron");
//! # Ok::<(), knife::Refusal>(())
//! ```

mod aside;
mod bar;
mod bevel;
mod chain_drilling;
mod dimension;
mod edit;
pub mod file;
mod format;
mod handle;
mod history;
mod hole;
mod knife;
pub mod limits;
mod origin;
mod part;
mod picture;
mod profile;
mod refusal;
mod scales;
mod sheath;
mod starters;
pub mod svg_import;
mod treatment;

pub use aside::{SetAside, Severity};
pub use bar::{Bar, Placement, Reference, ReferenceEdge, ReferenceEnd};
pub use bevel::{
    Bevel, FiledAmount, Filing, FilingTrial, Grind, GrindLine, GroundSides, Sharpening, Swedge,
    Taper,
};
pub use chain_drilling::ChainDrilling;
pub use dimension::{Anchor, Boundary, Dimension};
pub use edit::{Alignment, Edit, HandleSide, ReliefRow};
pub use handle::{
    Bolster, Corner, Fixing, FrontCurve, Groove, Handle, Jimping, Liners, OutlineSide, Pitch,
    ScaleFront, ScallopSpacing, Scallops, Shaping, ThicknessAt, USUAL_ALLOWANCE_MM,
    USUAL_BEVEL_DEG, USUAL_GLUE_MM, USUAL_OVERHANG_MM, USUAL_PROUD_MM,
};
pub use history::{History, Step};
pub use hole::{Hole, HoleKind};
pub use knife::Knife;
pub use origin::Origin;
pub use part::{HoleId, NodeId, PartId};
pub use picture::{Picture, PicturePlacement};
pub use profile::{Node, NodeKind, Profile};
pub use refusal::Refusal;
pub use scales::Scales;
pub use sheath::{
    BeltLoop, FormedSheath, Hand, LeatherSheath, Sheath, SheathBody, SheathKind, ThumbRamp,
    USUAL_NEUTRAL,
};
pub use starters::{STARTERS, Starter, starter};
pub use treatment::{Finish, Heating, Temper, Treatment};
