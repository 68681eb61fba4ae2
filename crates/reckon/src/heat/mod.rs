//! Heat, temper and finish: what follows for the fire, the oven and the abrasives.

mod curve;
mod ladder;
mod room;
mod steel;
mod stone;
mod temper;

pub use curve::{Series, TemperCurve};
pub use ladder::{GritStep, Ladders, ladder};
pub use room::RoomFigures;
pub(crate) use room::{blade_mm, circle_mm};
pub use steel::{OwnSteel, SteelHeat};
pub use stone::{StoneFigures, StoneStep};
pub use temper::{TemperFault, Tempering};

use crate::solid::Field;
use crate::tables::{Practice, Tables};
use crate::{BevelFigures, MassFigures, ProfileFigures, SharpeningFigures, Shop};
use knife::Knife;
use outline::Outline;

/// What follows for the fire, the oven and the abrasives.
#[derive(Clone, Debug, PartialEq)]
pub struct HeatFigures {
    /// What is known of the steel; `None` when neither shop nor tables know the grade.
    pub steel: Option<SteelHeat>,
    /// How far the hardening heat lies above iron's Curie point, °C, from and to; negative below.
    pub above_curie_c: Option<(f64, f64)>,
    /// The chosen temper, or why nothing can be told of it; `None` as long as none is chosen.
    pub temper: Option<Result<Tempering, TemperFault>>,
    /// From tip to plunge line, mm, or to the heel.
    pub blade_mm: Option<f64>,
    /// That length over the stock's thickness.
    pub slenderness: Option<f64>,
    /// Oil for the quench, litres: the ground steel's mass times the practice's share, when the
    /// steel is quenched in oil.
    pub oil_l: Option<f64>,
    /// The shop's forge, quench tank and oven, as far as it knows them.
    pub rooms: Vec<RoomFigures>,
    /// The grits, rung by rung.
    pub ladders: Ladders,
    /// Setting the angle at the stone.
    pub stone: Option<StoneFigures>,
}

/// What the figures are worked out from.
pub(crate) struct Given<'a> {
    pub knife: &'a Knife,
    pub shop: &'a Shop,
    pub tables: &'a Tables,
    pub lies: Option<(&'a Outline, &'a ProfileFigures)>,
    pub mass: Option<&'a MassFigures>,
    pub bevel: Option<&'a BevelFigures>,
    pub field: Option<&'a Field>,
    pub sharpening: Option<&'a SharpeningFigures>,
}

pub(crate) fn figures(given: &Given<'_>) -> HeatFigures {
    let Given { knife, shop, tables, .. } = *given;
    let steel = SteelHeat::of(&knife.bar.grade, shop, tables);
    let figure = |key: &str| tables.practice(key).map(|row: &Practice| row.range.0);
    let harden_c = steel.as_ref().and_then(SteelHeat::harden_c);
    let above_curie_c =
        harden_c.zip(figure("curie")).map(|((low, high), curie)| (low - curie, high - curie));
    let temper = knife.treatment.temper;
    let temper = temper.map(|t| temper::tempering(t, &knife.bar.grade, steel.as_ref()));
    let blade_mm = given.lies.and_then(|_| blade_mm(knife));
    let is_oil = steel.as_ref().and_then(SteelHeat::quench).is_some_and(|quench| quench.is_oil());
    let ground_kg = given.mass.and_then(MassFigures::ground_g).map(|grams| grams / 1000.0);
    HeatFigures {
        above_curie_c,
        temper,
        blade_mm,
        slenderness: blade_mm.map(|long| long / knife.bar.thickness_mm),
        oil_l: ground_kg.zip(figure("oil-share")).filter(|_| is_oil).map(|(kg, share)| kg * share),
        rooms: given.lies.map_or_else(Vec::new, |(_, p)| room::figures(knife, p, shop)),
        ladders: ladder::figures(knife, tables),
        stone: stone::figures(given, figure("stone-length")),
        steel,
    }
}

#[cfg(test)]
mod tests;
