//! The desk: the editor on egui. It depends on no window; files, dialogs and the clock reach
//! it through one [`Host`].

mod host;

pub use host::{FileFault, FileProblem, Host, MemoryHost};
