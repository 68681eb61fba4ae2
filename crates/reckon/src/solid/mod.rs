//! The knife as a solid: its thickness everywhere, and what follows from it.

mod blade;
mod face;
mod field;
mod filed;
mod sections;
mod slices;

pub(crate) use blade::{shape, taper};
pub use face::{Face, FaceShape};
pub(crate) use field::tapered;
pub use field::{BevelSurface, Field, HalfThickness, Plunge, Sides, Taper, Top};
pub use filed::filed_mm3;
pub use sections::Sections;
pub use slices::{Slice, Slices};
