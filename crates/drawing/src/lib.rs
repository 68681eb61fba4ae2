//! Marks on a plane: what the screen shows, the paper prints and the SVG carries.
//!
//! A [`Drawing`] is plain data in millimetres, y up, at true size. It knows no page, no pixel,
//! no colour and no font file: screen and paper differ only in a table from pen to stroke.

mod flow;
mod item;
mod label;
pub mod lettering;
mod pen;
pub mod views;

pub use flow::{Bullet, Insert, Paragraph, TextFlow, TextLine};
pub use item::{Drawing, Item, Mark};
pub use knife::PartId;
pub use kurbo;
pub use label::{FontFace, HAlign, Label, VAlign};
pub use pen::Pen;
