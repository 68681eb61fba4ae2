//! The desk: the editor on egui.
//!
//! A frame goes: [`Desk::logic`] renews what follows from the knife, once a revision;
//! [`Desk::ui`] reads, paints and queues wishes; [`Desk::act`] grants them. It depends on no
//! window: files reach it through a [`Host`], and the way to a path through [`PathAsk`].

mod asking;
mod canvas;
mod command;
mod derived;
mod desk;
mod edge_on;
mod field;
mod findings;
mod greeting;
mod host;
mod keys;
mod matching;
mod menu;
mod notices;
mod open;
mod prefs;
pub mod printing;
mod session;
mod starters;
mod stations;
mod theme;

pub use asking::{Ask, PathAsk, Purpose, Question};
pub use canvas::{Camera, View};
pub use command::{Command, Commands, Menu, Row, TABLE, Wish, shortcut_text};
pub use derived::Derived;
pub use desk::Desk;
pub use host::{FileFault, FileProblem, Host, MemoryHost};
pub use open::{Open, Opening};
pub use prefs::Settings;
pub use session::{Session, Station};
pub use theme::Room;
