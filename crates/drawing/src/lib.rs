//! Views of a knife: builders that turn it and what was worked out from it into marks.
//!
//! The marks themselves, with pens and lettering, are the crate `marks`, which knows no knife.
//!
//! ```
//! use reckon::{Shop, reckon, tables::Tables};
//!
//! let knife = knife::starter("drop-point").expect("it is shipped").knife();
//! let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
//! let sheet = drawing::views::profile_sheet(&knife, &reckoning);
//! let blank = reckoning.profile.as_ref().expect("its outline is closed").length_mm;
//! assert!(sheet.bounds().expect("there are marks").width() >= blank, "drawn at 1:1");
//! ```

mod part;
pub mod views;

pub use part::{MarkPart, part_of};
