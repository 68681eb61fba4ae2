//! What goes into forge, quench tank and oven, and how much room is left.

use crate::ProfileFigures;
use crate::shop::{Chamber, FlatPiece, Shop};
use knife::Knife;
use std::f64::consts::PI;

/// From tip to plunge line along x, mm, or to the heel.
pub(crate) fn blade_mm(knife: &Knife) -> Option<f64> {
    let profile = &knife.profile;
    let at = |id| profile.node(id).map(|node| node.at.x);
    let tip = profile.tip.and_then(at)?;
    let end = knife.bevel.map(|bevel| bevel.plunge_x_mm).or(profile.heel.and_then(at))?;
    Some((end - tip).abs())
}

/// The blank or its blade in one chamber of the shop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChamberFit {
    /// Which: forge, quench tank or oven.
    pub name: &'static str,
    /// Its inside.
    pub chamber: Chamber,
    /// Its volume, litres.
    pub litres: f64,
    /// What has to go in, mm: of a forge the section only, of a tank the blade, of an oven all.
    pub piece: FlatPiece,
    /// Whether it goes in with the shop's clearance.
    pub fits: bool,
    /// Room around the section, mm: half of what a bore, or a box's longer side, has over the
    /// circle around width and thickness; negative when it doesn't go in level.
    pub circle_mm: f64,
    /// What its length has over the piece's, mm; negative when the piece is longer.
    pub spare_mm: f64,
}

/// The circle around a piece's width and thickness, mm.
pub(crate) fn circle_mm(piece: FlatPiece) -> f64 {
    piece.width_mm.hypot(piece.thickness_mm)
}

pub(super) fn figures(knife: &Knife, profile: &ProfileFigures, shop: &Shop) -> Vec<ChamberFit> {
    let clearance_mm = shop.limits.chamber_clearance_mm;
    let whole = FlatPiece {
        length_mm: profile.length_mm,
        width_mm: profile.width_mm,
        thickness_mm: knife.bar.thickness_mm,
    };
    let blade = FlatPiece { length_mm: blade_mm(knife).unwrap_or(whole.length_mm), ..whole };
    let rooms = [
        ("forge", shop.forge, blade),
        ("quench tank", shop.quench_tank, blade),
        ("oven", shop.oven, whole),
    ];
    let room = |(name, chamber, piece): (&'static str, Option<Chamber>, FlatPiece)| {
        let chamber = chamber?;
        let goes_in = match name {
            "forge" => chamber.fits_section(piece, clearance_mm),
            _ => chamber.fits(piece, clearance_mm),
        };
        let (wide_mm, area_mm2) = match chamber {
            Chamber::Box { width_mm, height_mm, .. } => {
                (width_mm.max(height_mm), width_mm * height_mm)
            }
            Chamber::Round { diameter_mm, .. } => (diameter_mm, PI * diameter_mm.powi(2) / 4.0),
        };
        Some(ChamberFit {
            name,
            chamber,
            litres: area_mm2 * chamber.length_mm() / 1e6,
            piece,
            fits: goes_in,
            circle_mm: (wide_mm - circle_mm(piece)) / 2.0,
            spare_mm: chamber.length_mm() - piece.length_mm,
        })
    };
    rooms.into_iter().filter_map(room).collect()
}
