//! Views of a knife: builders that turn it and what was worked out from it into marks.
//!
//! The marks themselves, with pens and lettering, are the crate `marks`, which knows no knife.

mod part;
pub mod views;

pub use part::{MarkPart, part_of};
