//! Which plane the canvas lies in: at the Bar station the bar's, elsewhere the knife's own, so
//! that rulers and coordinates run along the same axes however the blank is turned on the bar.

use crate::Station;
use knife::Knife;
use kurbo::Affine;

/// The plane whose axes are those of the canvas.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Plane {
    /// The bar lies level, the blank on it as it is turned.
    Bar,
    /// The knife lies level, the bar under it as it must be.
    #[default]
    Knife,
}

impl Plane {
    /// The plane of a station's canvas.
    pub fn of(station: Station) -> Self {
        if station == Station::Bar { Self::Bar } else { Self::Knife }
    }

    /// Takes a place of the knife's plane to this one.
    pub fn plane_from_knife(self, knife: &Knife) -> Affine {
        match self {
            Self::Bar => knife.bar.placement.bar_from_knife(),
            Self::Knife => Affine::IDENTITY,
        }
    }

    /// Takes a place of the bar's plane to this one.
    pub fn plane_from_bar(self, knife: &Knife) -> Affine {
        match self {
            Self::Bar => Affine::IDENTITY,
            Self::Knife => knife.bar.placement.bar_from_knife().inverse(),
        }
    }
}
