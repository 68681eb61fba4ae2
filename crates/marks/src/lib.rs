//! Marks on a plane: what the screen shows, the paper prints and the SVG carries.
//!
//! A [`Drawing`] is plain data in millimetres, y up, at true size. It knows no knife, page, pixel,
//! colour or font file: screen and paper differ only in a table from pen to stroke.
//!
//! ```
//! use marks::{Drawing, Label, Pen, kurbo::Point};
//!
//! let mut drawing = Drawing::new();
//! drawing.line(Pen::Cut, Point::ORIGIN, Point::new(100.0, 0.0));
//! drawing.text(Pen::Lettering, Label::new("100 mm", Point::new(40.0, 2.0), 3.0));
//! assert_eq!(drawing.bounds().unwrap().width(), 100.0);
//! ```

mod flow;
mod item;
mod label;
pub mod lettering;
mod pen;

pub use flow::{Bullet, Insert, Paragraph, TextFlow, TextLine};
pub use item::{Drawing, Item, Mark};
pub use kurbo;
pub use label::{FontFace, HAlign, Label, VAlign};
pub use pen::Pen;
