//! The whole document.

use crate::{Bar, Bevel, Hole, HoleId, Profile, Scales};
use units::LengthUnit;

/// A knife as its maker decided it.
#[derive(Clone, Debug, PartialEq)]
pub struct Knife {
    /// What it is called; printed on every sheet.
    pub name: String,
    /// The maker's notes.
    pub notes: String,
    /// The unit in which lengths are shown first.
    pub unit: LengthUnit,
    /// The bar it is cut from.
    pub bar: Bar,
    /// Its outline.
    pub profile: Profile,
    /// Its holes, in the order they were made.
    pub holes: Vec<Hole>,
    /// Its bevels, once decided.
    pub bevel: Option<Bevel>,
    /// Its scales, once decided.
    pub scales: Option<Scales>,
}

impl Knife {
    /// The hole of this name.
    pub fn hole(&self, id: HoleId) -> Option<&Hole> {
        self.holes.iter().find(|hole| hole.id == id)
    }
}
