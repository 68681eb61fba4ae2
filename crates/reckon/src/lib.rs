//! Everything worked out from a knife: figures, findings, and later layout and thickness.
//!
//! Pure: the same knife, shop and tables give the same answer. Plain data comes out; nothing
//! here draws, or knows a page or a screen.

mod bar;
mod bevel;
mod chain;
pub mod findings;
mod hole;
mod json;
mod nest;
mod profile;
mod reading;
mod reckoning;
#[cfg(test)]
mod sample;
mod scales;
pub mod shop;
pub mod tables;

pub use bar::{BarFigures, Margins, usual_bar};
pub use bevel::BevelFigures;
pub use chain::{ChainFigures, ChainRow, SawCut};
pub use findings::{Finding, Remedy, Severity};
pub use hole::{HoleFigures, NearestHole};
pub use json::{check_json, nest_json, numbers_json};
pub use nest::{MOST_BLANKS, Nest, NestBar, NestBlank, NestFault, NestWish, UsualBars, nest};
pub use profile::{Edge, ProfileFigures};
pub use reading::{Group, Reading, Value, readings};
pub use reckoning::{Reckoning, reckon};
pub use scales::ScaleFigures;
pub use shop::{Limits, Shop};
