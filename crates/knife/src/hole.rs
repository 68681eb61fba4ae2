//! Holes through the tang.

use crate::HoleId;
use kurbo::{Circle, Point};

/// What a hole is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HoleKind {
    /// Takes a handle pin.
    Pin,
    /// Lightens the tang and keys the glue; hidden under the scales.
    Relief,
    /// Takes a thong.
    Thong,
}

impl HoleKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Pin, Self::Relief, Self::Thong];

    /// In words: `pin hole`.
    pub fn label(self) -> &'static str {
        match self {
            Self::Pin => "pin hole",
            Self::Relief => "relief hole",
            Self::Thong => "lanyard hole",
        }
    }
}

/// A round hole.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Its stable name.
    pub id: HoleId,
    /// What the maker calls it; may be empty.
    pub name: String,
    /// What it is for.
    pub kind: HoleKind,
    /// Centre, mm in the knife's plane.
    pub at: Point,
    /// Diameter, mm.
    pub diameter_mm: f64,
    /// The drill by its designation (`#30`, `F`, `5/32`, `3.2 mm`), when one was chosen.
    pub drill: Option<String>,
    /// Diameter of the pin stock that goes in, mm, when one was chosen.
    pub pin_mm: Option<f64>,
}

impl Hole {
    /// The hole's circle in the knife's plane.
    pub fn circle(&self) -> Circle {
        Circle::new(self.at, self.diameter_mm / 2.0)
    }
}
