//! Plane geometry of closed outlines: measures, distances, offsets, contacts.
//!
//! One plane, millimetres, y up, `f64`. Outlines are closed paths of straight lines and
//! cubic Béziers ([`Outline`]). This crate knows no word of the trade: it would serve a
//! leather pattern as well as a blank.

mod closed;
mod offset;

pub use closed::{Outline, OutlineFault};
pub use kurbo;
pub use offset::{FURTHEST_OFFSET_MM, OFFSET_TOLERANCE_MM, open_offset};
