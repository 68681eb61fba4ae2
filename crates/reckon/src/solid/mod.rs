//! The knife as a solid: its thickness everywhere, and what follows from it.

mod blade;
mod face;
mod field;
mod filed;
mod sections;
mod slices;
mod taper;

pub(crate) use blade::shape;
pub use face::{Face, FaceShape};
pub use field::{BevelSurface, Field, HalfThickness, Plunge, Sides, Top};
pub use filed::filed_mm3;
pub use sections::Sections;
pub use slices::{Slice, Slices};
pub use taper::Taper;
pub(crate) use taper::{taper, tapered};
