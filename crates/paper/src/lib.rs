//! Pages: drawings laid out at true size on real paper, and written as PDF, SVG and PNG.
//!
//! The way through: [`Sheet`]s (a drawing each, 1:1) go into [`lay_out`], which picks the way
//! round of the paper, turns or tiles what is too long, and adds rulers and a proof square; the
//! [`Page`]s that come out are drawings in the page's own frame (mm, origin at the lower left
//! corner, y up), which [`pdf()`], [`svg()`] and [`png()`] only write down. One millimetre is one
//! millimetre all the way; nothing here scales.
//!
//! ```
//! use marks::{Drawing, Pen, kurbo::Rect};
//! use paper::{Heading, Meta, Paper, PageSetup, Sheet, lay_out, pdf};
//!
//! let mut drawing = Drawing::new();
//! drawing.rect(Pen::Cut, Rect::new(0.0, 0.0, 200.0, 38.1));
//! let sheet = Sheet { key: "profile", title: "Profile".into(), drawing, notes: vec![], inserts: vec![], ..Sheet::default() };
//! let heading = Heading { name: "Heron".into(), ..Heading::default() };
//! let setup = PageSetup::new(Paper::named("letter")?, heading);
//! let pages = lay_out(&[sheet], &setup)?;
//! let bytes = pdf(&pages, &Meta { title: "Heron".into(), ..Meta::default() })?;
//! assert!(bytes.starts_with(b"%PDF-1.7"));
//! # Ok::<(), paper::PaperError>(())
//! ```

mod avoid_labels;
mod beside;
mod block;
mod clip;
mod compose;
mod corner;
mod curves;
mod error;
mod fit;
mod flow;
mod font;
mod frame;
mod hull;
mod joints;
mod layout;
mod longest;
mod map;
mod mixed;
mod number_format;
mod pack;
mod panel;
mod pdf;
mod pens;
mod place;
mod plan;
mod png;
mod proof;
mod roll;
mod ruler;
mod share;
mod sheet;
mod size;
mod svg;
mod tables;
mod template;
mod text;
mod tile;
mod tiling;
mod title;
mod together;
mod trim;

pub use clip::clip;
pub use error::PaperError;
pub use font::bytes as font_bytes;
pub use hull::extent;
pub use layout::{check_room, lay_out, lay_out_all_that_fit, lay_out_shared};
pub use longest::{Longest, longest};
pub use number_format::number;
pub use pdf::{Meta, pdf};
pub use pens::{Stroke, stroke};
pub use png::{picture_png, png};
pub use proof::{KEY as PROOF, Proof, proof, sheet as proof_sheet, sides as proof_sides};
pub use ruler::{MM_PER_INCH, PROOF_MM};
pub use share::{MAX_SHARED, SharedGroup, SharedSheets, is_large, share};
pub use sheet::{Heading, Page, PageSetup, Sheet};
pub use size::Paper;
pub use svg::svg;
