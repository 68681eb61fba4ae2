//! The knife as its maker decided it: plain data, edits, undo and the file format.
//!
//! Ground state only: nothing here is worked out from anything else here, and nothing reads
//! files or draws. Plane of the knife: x along the knife from tip to butt, y from edge (down)
//! to spine (up); millimetres. (An outline taken from elsewhere may run the other way; its
//! marked tip tells.)

mod bar;
mod bevel;
mod hole;
pub mod intake;
mod knife;
mod part;
mod profile;
mod scales;

pub use bar::{Bar, Placement, Reference, ReferenceEdge, ReferenceEnd};
pub use bevel::Bevel;
pub use hole::{Hole, HoleKind};
pub use knife::Knife;
pub use part::{HoleId, NodeId, PartId};
pub use profile::{Node, Profile};
pub use scales::Scales;
