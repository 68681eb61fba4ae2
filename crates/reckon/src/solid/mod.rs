//! The knife as a solid: its thickness everywhere, and what follows from it.

mod blade;
mod columns;
mod face;
mod field;
mod filed;
mod sections;

pub(crate) use blade::{shape, taper};
pub use columns::{Column, Columns};
pub use face::{Face, Shape};
pub(crate) use field::tapered;
pub use field::{Field, Ground, Halves, Plunge, Sides, Taper, Top};
pub use filed::filed_mm3;
pub use sections::Sections;
