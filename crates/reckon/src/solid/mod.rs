//! The knife as a solid: its thickness everywhere, and what follows from it.

mod blade;
mod columns;
mod face;
mod field;

pub(crate) use blade::taper;
pub use columns::{Column, Columns, filed_mm3};
pub use face::{Face, Shape};
pub(crate) use field::tapered;
pub use field::{Field, Ground, Halves, Plunge, Sides, Taper, Top};
