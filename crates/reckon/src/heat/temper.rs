//! The temper that was chosen: its heat, the hardness it gives, or why that can't be told.

use super::steel::SteelHeat;
use knife::Temper;
use units::{Temperature, show_number, show_temperature};

/// A chosen temper, worked out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tempering {
    /// The heats that do, °C, from and to; the same twice for a chosen heat.
    pub heats_c: (f64, f64),
    /// The band at the cooler of them, HRC: begin there, as a blade can be tempered again hotter.
    pub hrc: (f64, f64),
}

/// Why no heat or hardness can be told.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TemperFault {
    /// The steel is in no table.
    #[error(
        "No table has {0}: take hardening and tempering from your steel maker's data sheet, or give \
         the steel to the shop with its source."
    )]
    NoSteel(String),
    /// The steel has no tempering points.
    #[error(
        "The tables have no tempering points for {0}: take them from your steel maker's data sheet, \
         or give the steel to the shop with its source."
    )]
    NoPoints(String),
    /// No table reaches this hardness.
    #[error(
        "No temper of the tables gives {} HRC: for {grade} they run from {} to {} HRC. Choose a \
         hardness among those.",
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
        "The tables for {grade} run from {} to {}; at {} nothing is told. Choose a temper among \
         those.",
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
/// [`TemperFault`]: no number is made up where the tables have none.
pub(super) fn tempering(
    wanted: Temper,
    grade: &str,
    steel: Option<&SteelHeat>,
) -> Result<Tempering, TemperFault> {
    let steel = steel.ok_or_else(|| TemperFault::NoSteel(named(grade)))?;
    let grade = || steel.grade.clone();
    let (Some(span), Some(hrc_span)) = (steel.curve.heats_c(), steel.curve.hrc()) else {
        return Err(TemperFault::NoPoints(grade()));
    };
    let avoid = steel.avoid();
    let avoided = |ranged: &crate::tables::Ranged| TemperFault::Avoid {
        grade: grade(),
        avoid: ranged.range,
        source_words: ranged.source.clone(),
    };
    match wanted {
        Temper::Heat(heat_c) => {
            let inside = |range: &(f64, f64)| (range.0..=range.1).contains(&heat_c);
            if let Some(ranged) = avoid.filter(|ranged| inside(&ranged.range)) {
                return Err(avoided(ranged));
            }
            let hrc = steel.curve.at(heat_c);
            let hrc =
                hrc.ok_or_else(|| TemperFault::OutOfTable { grade: grade(), heat_c, span })?;
            Ok(Tempering { heats_c: (heat_c, heat_c), hrc })
        }
        Temper::Hardness(hrc) => {
            let out = || TemperFault::OutOfBand { grade: grade(), hrc, span: hrc_span };
            let all = steel.curve.heats_for(hrc, None).ok_or_else(out)?;
            let heats_c = match avoid {
                None => all,
                Some(ranged) => {
                    steel.curve.heats_for(hrc, Some(ranged.range)).ok_or_else(|| avoided(ranged))?
                }
            };
            let hrc = steel.curve.at(heats_c.0).ok_or_else(out)?;
            Ok(Tempering { heats_c, hrc })
        }
    }
}

/// A grade as sentences name it.
fn named(grade: &str) -> String {
    if grade.trim().is_empty() {
        "a steel without a name".to_owned()
    } else {
        grade.trim().to_owned()
    }
}
