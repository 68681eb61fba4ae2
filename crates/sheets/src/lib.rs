//! The sheets: which there are, which share a page, and how a printer's error is corrected.
//!
//! The command line and the desk's Paper station print by the same code; neither a window nor a
//! file is known here. A knife's sheets come from [`printing::sheets`], [`sharing::lay_out`] puts
//! them on pages, and [`printer_trim`] turns what was measured on a proof into a printer's correction.
//!
//! ```
//! use reckon::{Shop, reckon, tables::Tables};
//! use sheets::printing;
//!
//! let knife = knife::starter("drop-point").expect("it is shipped").knife();
//! let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
//! let sheets = printing::default_sheets(&knife, &reckoning);
//! let pages = printing::pages(&knife, &sheets, "letter", None)?;
//! let bytes = printing::pdf(&knife, &pages, None)?;
//! assert!(bytes.starts_with(b"%PDF-1.7"));
//! # Ok::<(), paper::PaperError>(())
//! ```

mod bare;
mod date;
mod mat;
pub mod printer_trim;
pub mod printing;
mod request;
pub mod sharing;

pub use bare::{AROUND_MM, bare_drawing, bare_svg, drawing_window};
pub use date::{InvalidDate, check_date};
pub use mat::{MAT, mat_drawing, mat_pdf, mat_setup, mat_sheet};
pub use request::PrintRequest;
pub use sharing::Sharing;
