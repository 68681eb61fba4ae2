//! What is kept between runs: never part of the knife, never undone.

use crate::Room;
use std::path::PathBuf;

/// The maker's settings.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Light or dark.
    pub room: Room,
    /// How large everything is drawn, 1 to 2.
    pub scale: f32,
    /// Screen dots to the millimetre, once matched against a ruler or a card.
    pub pixels_per_mm: Option<f64>,
    /// The last files, the newest first.
    pub recents: Vec<PathBuf>,
}

impl Default for Settings {
    fn default() -> Self {
        Self { room: Room::Dark, scale: 1.0, pixels_per_mm: None, recents: Vec::new() }
    }
}
