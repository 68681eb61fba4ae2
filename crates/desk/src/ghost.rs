//! What follows from another knife that is shown under this one, renewed once a revision.

use crate::state::Ghost;
use knife::Knife;
use kurbo::{Affine, BezPath};
use reckon::tables::Tables;
use reckon::{Comparison, Reckoning, Shop, comparable, compare, reckon};

/// What follows from a ghost.
#[derive(Default)]
pub(crate) struct GhostFigures {
    /// The ghost as it is compared, and what it was made comparable for.
    other: Option<(Key, Knife, Reckoning)>,
    /// The comparison, and with which revision of this knife.
    compared: Option<(Option<u64>, Comparison)>,
}

/// What a ghost's figures hang on: its number, and this knife's unit and origin.
type Key = (u64, units::LengthUnit, knife::Origin);

impl GhostFigures {
    /// Works it out anew if the ghost or the knife has changed.
    pub(crate) fn refresh(
        &mut self,
        this: (&Knife, &Reckoning),
        revision: Option<u64>,
        ghost: Option<&Ghost>,
        shop: &Shop,
    ) {
        let Some(ghost) = ghost else {
            *self = Self::default();
            return;
        };
        let key = (ghost.number(), this.0.unit, this.0.origin);
        if self.other.as_ref().is_none_or(|(known, ..)| *known != key) {
            let other = comparable(this.0, &ghost.knife);
            let reckoning = reckon(&other, shop, Tables::built_in());
            self.other = Some((key, other, reckoning));
            self.compared = None;
        }
        let Some((_, other, reckoning)) = &self.other else { return };
        if self.compared.as_ref().is_none_or(|(at, _)| *at != revision) {
            self.compared = Some((revision, compare(this, (other, reckoning))));
        }
    }

    /// How the two differ.
    pub(crate) fn comparison(&self) -> Option<&Comparison> {
        self.compared.as_ref().map(|(_, comparison)| comparison)
    }

    /// Its outline and its holes in this knife's plane.
    pub(crate) fn paths(&self) -> Vec<BezPath> {
        let (Some((_, other, reckoning)), Some(comparison)) = (&self.other, self.comparison())
        else {
            return Vec::new();
        };
        let moved = Affine::translate(comparison.moved);
        let outline = reckoning.outline.iter().map(|outline| moved * outline.to_path());
        let circles = other.holes.iter().map(|hole| hole.circle());
        let holes = circles.map(|circle| moved * kurbo::Shape::to_path(&circle, 1e-2));
        outline.chain(holes).collect()
    }
}
