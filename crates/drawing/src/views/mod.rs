//! One builder for each view of a knife.

mod blank;
mod callout;
mod dimension;
mod profile;

pub use blank::{Extent, blank_on_bar};
pub use callout::{Callout, callouts};
pub use dimension::{dimension, dimension_text};
pub use profile::{profile_notes, profile_sheet};
