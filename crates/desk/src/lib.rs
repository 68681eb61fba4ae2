//! The desk: the editor on egui. It depends on no window; files, dialogs and the clock reach
//! it through one [`Host`].

#[path = "canvas/figures.rs"]
pub mod figures;
mod host;
pub mod recovery;
mod room;
mod settings;
#[path = "canvas/snap.rs"]
pub mod snap;
mod stamp;

pub use host::{FileFault, FileProblem, Host, MemoryHost};
pub use room::Room;
pub use settings::Settings;
pub use stamp::{DiskStamp, OnDisk};
