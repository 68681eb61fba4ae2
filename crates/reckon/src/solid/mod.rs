//! The knife as a solid: its thickness everywhere, and what follows from it.

mod blade;
mod columns;
mod face;
mod field;

pub(crate) use blade::edge_run;
pub use columns::{Column, Columns};
pub use face::{Face, Shape};
pub use field::{Field, Ground, Halves, Plunge, Sides, Taper, Top};
