//! The knife as a solid: its thickness everywhere, and what follows from it.

mod columns;
mod face;
mod field;

pub use columns::{Column, Columns};
pub use face::{Face, Shape};
pub use field::{Field, Ground, Halves, Plunge, Sides, Taper, Top};
