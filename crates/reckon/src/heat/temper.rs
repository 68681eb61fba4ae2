//! The temper that was chosen: its heat, the hardness it gives, or why that can't be told.

use super::steel::SteelHeat;
use knife::Temper;
use units::{LengthUnit, Temperature, show_number, show_temperature};

/// Heats that differ by less are one, °C.
const ROUNDING_C: f64 = 1e-6;

/// A chosen temper, worked out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tempering {
    /// The heats that do, °C, from and to; the same twice for a chosen heat.
    pub heats_c: (f64, f64),
    /// The band at the cooler of them, HRC: begin there, as a blade can be tempered again hotter.
    pub hrc: (f64, f64),
    /// The band over what an oven swings about that heat, HRC: what a blade can be counted on for.
    pub swing_hrc: (f64, f64),
    /// The tempering heats in which this steel loses toughness, °C, where those that do reach
    /// into them.
    pub brittle_c: Option<(f64, f64)>,
}

impl Tempering {
    /// Where it reaches into the heats in which the steel loses toughness.
    pub fn brittle(&self) -> Option<Brittle> {
        Some(Brittle { heats_c: self.heats_c, range_c: self.brittle_c? })
    }
}

/// A temper that lies, or may be led, where the steel loses toughness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Brittle {
    /// The tempering heats, °C.
    pub heats_c: (f64, f64),
    /// Those in which the steel loses toughness, °C.
    pub range_c: (f64, f64),
}

impl Brittle {
    /// What a heat stated without a table reaches into.
    pub(super) fn of_heat(heat_c: f64, steel: &SteelHeat) -> Option<Self> {
        let range_c = steel.brittle_c.filter(|range| reaches((heat_c, heat_c), *range))?;
        Some(Self { heats_c: (heat_c, heat_c), range_c })
    }

    /// Whether no heat of those that do lies below the range.
    pub fn is_all(&self) -> bool {
        self.heats_c.0 > self.range_c.0 + ROUNDING_C
    }
}

fn reaches(heats_c: (f64, f64), (low, high): (f64, f64)) -> bool {
    heats_c.1 > low + ROUNDING_C && heats_c.0 < high - ROUNDING_C
}

/// Why no heat or hardness can be told.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TemperError {
    /// The steel is in no table.
    #[error(
        "No table has {0}: take hardening and tempering from your steel maker's data sheet, or \
         add the steel to the shop with its source."
    )]
    NoSteel(String),
    /// The steel has no tempering points.
    #[error(
        "The tables have no tempering points for {0}: take them from your steel maker's data \
         sheet, or add the steel to the shop with its source."
    )]
    NoPoints(String),
    /// No table reaches this hardness.
    #[error(
        "No temper of the tables gives {} HRC: for {grade} they run from {} to {} HRC. Choose one \
         within that range.",
        show(*.hrc), show(.span.0), show(.span.1)
    )]
    OutOfBand {
        /// The steel.
        grade: String,
        /// The hardness wanted, HRC.
        hrc: f64,
        /// The hardness of the tables, HRC.
        span: (f64, f64),
    },
    /// No table covers this heat.
    #[error(
        "The tables for {grade} run from {} to {}; they say nothing about {}. Choose a temper \
         within that range.",
        heat(.span.0), heat(.span.1), heat(*.heat_c)
    )]
    OutOfTable {
        /// The steel.
        grade: String,
        /// The heat chosen, °C.
        heat_c: f64,
        /// The heats of the tables, °C.
        span: (f64, f64),
    },
    /// The temper lies where its source says not to.
    #[error(
        "Keep {grade} out of {} to {} when tempering ({source_words}). Choose another temper.",
        heat(.avoid.0), heat(.avoid.1)
    )]
    Avoid {
        /// The steel.
        grade: String,
        /// The heats to avoid, °C.
        avoid: (f64, f64),
        /// Who says so.
        source_words: String,
    },
}

fn show(hrc: f64) -> String {
    show_number(hrc, if hrc.fract() == 0.0 { 0 } else { 1 })
}

fn heat(celsius: f64) -> String {
    show_temperature(Temperature::celsius(celsius))
}

/// Works out a chosen temper.
///
/// # Errors
/// [`TemperError`]: no number is made up where the tables have none.
pub(super) fn tempering(
    chosen: Temper,
    grade: &str,
    steel: Option<&SteelHeat>,
    swing_c: f64,
) -> Result<Tempering, TemperError> {
    let steel = steel.ok_or_else(|| TemperError::NoSteel(named(grade)))?;
    let grade = || steel.grade.clone();
    let advice = steel.advice();
    let worked = |heats_c: (f64, f64), hrc: (f64, f64)| Tempering {
        heats_c,
        hrc,
        swing_hrc: advice.band_within(heats_c.0, swing_c).unwrap_or(hrc),
        brittle_c: steel.brittle_c.filter(|range| reaches(heats_c, *range)),
    };
    if steel.curve.is_empty() {
        return Err(TemperError::NoPoints(grade()));
    }
    let (Some(span), Some(hrc_span)) = (advice.heats_c(), advice.hrc()) else {
        return Err(TemperError::NoPoints(grade()));
    };
    let avoid = steel.avoid();
    let avoided = |ranged: &crate::tables::SourcedRange| TemperError::Avoid {
        grade: grade(),
        avoid: ranged.range,
        source_words: ranged.source.clone(),
    };
    match chosen {
        Temper::Heat(heat_c) => {
            let inside = |range: &(f64, f64)| (range.0..=range.1).contains(&heat_c);
            if let Some(ranged) = avoid.filter(|ranged| inside(&ranged.range)) {
                return Err(avoided(ranged));
            }
            let hrc = advice.at(heat_c);
            let hrc =
                hrc.ok_or_else(|| TemperError::OutOfTable { grade: grade(), heat_c, span })?;
            Ok(worked((heat_c, heat_c), hrc))
        }
        Temper::Hardness(hrc) => {
            let out = || TemperError::OutOfBand { grade: grade(), hrc, span: hrc_span };
            let all = advice.heats_for(hrc, None).ok_or_else(out)?;
            let heats_c = match avoid {
                None => all,
                Some(ranged) => {
                    advice.heats_for(hrc, Some(ranged.range)).ok_or_else(|| avoided(ranged))?
                }
            };
            let hrc = advice.at(heats_c.0).ok_or_else(out)?;
            Ok(worked(heats_c, hrc))
        }
    }
}

/// Heats as an oven is set, in the unit asked for first: to whole 5 °C or 10 °F, and how far it
/// may swing where they are one: `285 °C (540 °F), ± 5 °C`.
pub fn oven_setting(heats_c: (f64, f64), unit: LengthUnit) -> String {
    let f = |celsius: f64| Temperature::celsius(celsius).to_fahrenheit();
    let step = |value: f64, by: f64| show_number((value / by).round() * by, 0);
    let range = |low: f64, high: f64, by: f64, sign: &str| {
        let (low, high) = (step(low, by), step(high, by));
        if low == high { format!("{low} {sign}") } else { format!("{low}–{high} {sign}") }
    };
    let celsius = range(heats_c.0, heats_c.1, 5.0, "°C");
    let fahrenheit = range(f(heats_c.0), f(heats_c.1), 10.0, "°F");
    let (own, other, swing) = match unit {
        LengthUnit::Millimetre => (celsius, fahrenheit, "5 °C"),
        LengthUnit::Inch => (fahrenheit, celsius, "10 °F"),
    };
    let swing = if own.contains('–') { String::new() } else { format!(", ± {swing}") };
    format!("{own} ({other}){swing}")
}

/// A grade as sentences name it.
fn named(grade: &str) -> String {
    if grade.trim().is_empty() {
        "a steel without a name".to_owned()
    } else {
        grade.trim().to_owned()
    }
}
