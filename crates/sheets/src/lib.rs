//! The sheets: which there are, which share a page, and how a printer's error is corrected.
//!
//! The command line and the desk's Paper station print by the same code; neither a window nor a
//! file is known here. A knife's sheets come from [`printing::sheets`], [`sharing::lay_out`] puts
//! them on pages, and [`printer_trim`] turns what was measured on a proof into a printer's correction.

mod bare;
mod date;
mod mat;
pub mod printer_trim;
pub mod printing;
mod request;
pub mod sharing;

pub use bare::{AROUND_MM, bare_drawing, bare_svg, drawing_window};
pub use date::{InvalidDate, check_date};
pub use mat::{MAT, mat_drawing, mat_sheet};
pub use request::PrintRequest;
pub use sharing::Sharing;
