//! A steel that stands in no table.

use crate::tables::Quench;

/// A steel of the maker's own, with where its figures come from.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnSteel {
    /// Its grade.
    pub grade: String,
    /// Density, g/cm³.
    pub density_g_cm3: Option<f64>,
    /// Hardening heat, °C, from and to.
    pub harden_c: Option<(f64, f64)>,
    /// What it is quenched in.
    pub quench: Option<Quench>,
    /// Hardness as quenched, HRC, from and to.
    pub quenched_hrc: Option<(f64, f64)>,
    /// Tempers in °C, and the hardness after each in HRC, from and to.
    pub temper: Vec<(f64, f64, f64)>,
    /// Where the figures come from.
    pub source: String,
}
