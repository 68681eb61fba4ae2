//! The desk: the editor on egui.
//!
//! A frame goes: [`Desk::logic`] renews what follows from the knife, once a revision;
//! [`Desk::ui`] reads, paints and queues wishes; [`Desk::act`] grants them. It depends on no
//! window: files and the clock reach it through a [`Host`], and the way to a path through
//! [`PathAsk`].

mod aside;
mod asking;
mod canvas;
mod command;
mod derived;
mod desk;
mod draw;
mod dropped;
mod edge_on;
mod field;
#[path = "canvas/figures.rs"]
pub mod figures;
mod findings;
mod greeting;
mod heat;
mod help;
mod keys;
mod matching;
mod menu;
mod new_bar;
mod notices;
mod open;
mod recovering;
pub mod recovery;
mod room;
mod section;
mod session;
mod settings;
pub mod shaded;
mod shop_card;
#[path = "canvas/snap.rs"]
pub mod snap;
mod stamp;
mod starters;
mod stations;
mod stiffness;
mod theme;

pub use aside::Aside;
pub use asking::{Ask, PathAsk, Purpose, Question};
pub use canvas::{Camera, Plane, View};
pub use command::{Command, Commands, Menu, Row, TABLE, Wish, shortcut_text};
pub use derived::Derived;
pub use desk::Desk;
pub use draw::{DrawTool, NotClosed};
pub use host::{FileError, FileLock, FileProblem, Host, MemoryHost};
pub use open::{Open, Opening};
pub use room::Room;
pub use session::{NextHole, Session, Station};
pub use settings::Settings;
pub use shop_card::ShopPage;
pub use stamp::{DiskStamp, OnDisk};
pub use stations::paper::Proofed;
pub use stations::relief::ReliefWish;
