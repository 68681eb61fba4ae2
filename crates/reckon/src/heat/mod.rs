//! Heat, temper and finish: what follows for the fire, the oven and the abrasives.

mod chamber_fit;
mod curve;
mod ladder;
mod steel;
mod stone;
mod temper;

pub use chamber_fit::ChamberFit;
pub(crate) use chamber_fit::{blade_mm, circle_mm};
pub use curve::{Series, TemperCurve};
pub use ladder::{GritStep, Ladders, ladder};
pub use steel::SteelHeat;
pub use stone::{StoneFigures, StoneStep};
pub use temper::{Brittle, TemperError, Tempering, oven_setting};

use crate::context::{FigureContext, Inputs};
use crate::tables::{Practice, Tables};
use crate::{MassFigures, SharpeningFigures};
use knife::Temper;
use units::LengthUnit;

/// What follows for the fire, the oven and the abrasives.
#[derive(Clone, Debug, PartialEq)]
pub struct HeatFigures {
    /// What is known of the steel; `None` when neither shop nor tables know the grade.
    pub steel: Option<SteelHeat>,
    /// How far the hardening heat lies above iron's Curie point, °C, from and to; negative below.
    pub above_curie_c: Option<(f64, f64)>,
    /// The hardening heat that is judged by eye and magnet in an open forge, °C: what bladesmiths
    /// go above the Curie point, as far as it lies in the steel's own range and no hotter than any
    /// published one ends; that range alone where they don't meet. `None` for a steel that needs an oven.
    pub cue_c: Option<(f64, f64)>,
    /// What a chart of its temper shows: heats in °C, hardness in HRC; `None` without points.
    pub chart: Option<((f64, f64), (f64, f64))>,
    /// The chosen temper, or why nothing can be told of it; `None` as long as none is chosen.
    pub temper: Option<Result<Tempering, TemperError>>,
    /// From tip to plunge line, mm, or to the heel.
    pub blade_mm: Option<f64>,
    /// That length over the stock's thickness.
    pub slenderness: Option<f64>,
    /// Oil for the quench, litres: the ground steel's mass times the practice's share, when the
    /// steel is quenched in oil.
    pub oil_l: Option<f64>,
    /// The shop's forge, quench tank and oven, as far as it knows them.
    pub chambers: Vec<ChamberFit>,
    /// The grits, rung by rung.
    pub ladders: Ladders,
    /// Setting the angle at the stone.
    pub stone: Option<StoneFigures>,
}

impl HeatFigures {
    /// Whether the temper chosen lies, or may be led, where the steel loses toughness. A stated
    /// heat needs no tempering points for that.
    pub fn brittle(&self, chosen: Option<Temper>) -> Option<Brittle> {
        match (self.temper.as_ref()?, chosen) {
            (Ok(temper), _) => temper.brittle(),
            (Err(_), Some(Temper::Heat(heat_c))) => Brittle::of_heat(heat_c, self.steel.as_ref()?),
            (Err(_), _) => None,
        }
    }
}

/// What is known of the steel needs no outline; the rest needs a sound blank.
pub(crate) fn figures(
    Inputs { knife, shop, tables }: Inputs<'_>,
    blank: Option<&FigureContext<'_>>,
    mass: Option<&MassFigures>,
    sharpening: Option<&SharpeningFigures>,
) -> HeatFigures {
    let steel = SteelHeat::of(&knife.bar.grade, shop, tables);
    let figure = |key: &str| tables.practice(key).map(|row: &Practice| row.range.0);
    let harden_c = steel.as_ref().and_then(SteelHeat::harden_c);
    let above_curie_c =
        harden_c.zip(figure("curie")).map(|((low, high), curie)| (low - curie, high - curie));
    let temper = knife.treatment.temper;
    let swing_c = tables.practice("oven-swing-c").map_or(0.0, |row| row.heats_c().0);
    let temper = temper.map(|t| temper::tempering(t, &knife.bar.grade, steel.as_ref(), swing_c));
    let blade_mm = blank.and_then(|_| blade_mm(knife));
    let quenches = steel.as_ref().map_or_else(Vec::new, SteelHeat::quenches);
    let is_oil = quenches.iter().any(|quench| quench.is_oil());
    let ground_kg = mass.and_then(MassFigures::ground_g).map(|grams| grams / 1000.0);
    HeatFigures {
        above_curie_c,
        cue_c: steel.as_ref().and_then(|steel| cue_c(steel, tables)),
        chart: steel.as_ref().and_then(|steel| chart(steel, temper.as_ref(), tables)),
        temper,
        blade_mm,
        slenderness: blade_mm.map(|long| long / knife.bar.thickness_mm),
        oil_l: ground_kg.zip(figure("oil-share")).filter(|_| is_oil).map(|(kg, share)| kg * share),
        chambers: blank.map_or_else(Vec::new, |ctx| chamber_fit::figures(knife, ctx.profile, shop)),
        ladders: ladder::figures(knife, tables),
        stone: blank.and_then(|ctx| {
            stone::figures(ctx, sharpening, stone_row(knife.unit, tables).map(Practice::mm))
        }),
        steel,
    }
}

/// The practice's row for the length of a bench stone, in a unit's own round size.
pub(crate) fn stone_row(unit: LengthUnit, tables: &Tables) -> Option<&Practice> {
    tables.practice(match unit {
        LengthUnit::Inch => "stone-length-inch",
        LengthUnit::Millimetre => "stone-length",
    })
}

fn cue_c(steel: &SteelHeat, tables: &Tables) -> Option<(f64, f64)> {
    let (low, high) = steel.harden_c().filter(|_| !steel.needs_oven)?;
    let curie = tables.practice("curie")?.range.0;
    let (from, to) = tables.practice("hand-cue")?.heats_c();
    // Where published heats differ, no hotter than the most careful of them.
    let highs = steel.hardening.iter().map(|row| row.heat.1.to_celsius());
    let high = highs.fold(high, f64::min).max(low);
    let both = (low.max(curie + from), high.min(curie + to));
    Some(if both.0 <= both.1 { both } else { (low.max(curie).min(high), high) })
}

/// The heats in which blades of this steel are tempered, and the hardness its tables and the near
/// grade's have there; wider where a chosen temper or all points lie outside.
fn chart(
    steel: &SteelHeat,
    temper: Option<&Result<Tempering, TemperError>>,
    tables: &Tables,
) -> Option<((f64, f64), (f64, f64))> {
    let own = steel.curve.heats_c()?;
    let key = if steel.needs_oven { "temper-shown-oven" } else { "temper-shown" };
    let mut shown = tables.practice(key).map_or(own, Practice::heats_c);
    if own.0 > shown.1 || own.1 < shown.0 {
        shown = (own.0.min(shown.0), own.1.max(shown.1));
    }
    if let Some(Ok(temper)) = temper {
        shown = (shown.0.min(temper.heats_c.0), shown.1.max(temper.heats_c.1));
    }
    let curves = [Some(&steel.curve), steel.compare.as_ref().map(|(_, curve)| curve)];
    let bands = curves.into_iter().flatten().flat_map(|curve| {
        let inside = |heat: &f64| (shown.0..=shown.1).contains(heat);
        let heats = curve.stations_c().into_iter().filter(inside).chain([shown.0, shown.1]);
        heats.filter_map(|heat| curve.at(heat)).collect::<Vec<_>>()
    });
    Some((shown, curve::wide(bands)?))
}

#[cfg(test)]
mod tests;
