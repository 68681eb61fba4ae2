//! What a maker finds on the shelf: pin stock and bars.

use super::read::{Row, TableError};
use super::{Provenance, Tables, is_same_name};
use units::LengthUnit;

/// A usual diameter of pin stock.
#[derive(Clone, Debug, PartialEq)]
pub struct PinStock {
    /// Nominal size as it is sold, such as `1/8 in` or `3 mm`.
    pub name: String,
    /// The system it is sold in.
    pub system: LengthUnit,
    /// Diameter, mm.
    pub diameter_mm: f64,
    /// Materials it is usually sold in, by their names in the table of materials.
    pub materials: Vec<String>,
    /// How the figure is known.
    pub origin: Provenance,
}

/// Which measure of a bar is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BarSide {
    /// Thickness.
    Thickness,
    /// Width.
    Width,
    /// Length.
    Length,
}

/// A usual thickness, width or length of a bar.
#[derive(Clone, Debug, PartialEq)]
pub struct BarSize {
    /// Which measure it is.
    pub side: BarSide,
    /// The system it is sold in.
    pub system: LengthUnit,
    /// Nominal size as it is sold, such as `1 1/2 in`.
    pub name: String,
    /// The size, mm.
    pub size_mm: f64,
    /// How the figure is known.
    pub origin: Provenance,
}

impl PinStock {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        Ok(Self {
            name: row.text("name")?.to_owned(),
            system: system_of(row)?,
            diameter_mm: row.positive("diameter_mm")?,
            materials: row.list("materials")?,
            origin: row.origin()?,
        })
    }
}

impl BarSize {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        let side = match row.text("side")? {
            "thickness" => BarSide::Thickness,
            "width" => BarSide::Width,
            "length" => BarSide::Length,
            _ => return Err(row.fault("side", "one of thickness, width, length")),
        };
        Ok(Self {
            side,
            system: system_of(row)?,
            name: row.text("name")?.to_owned(),
            size_mm: row.positive("mm")?,
            origin: row.origin()?,
        })
    }
}

pub(super) fn system_of(row: &Row<'_>) -> Result<LengthUnit, TableError> {
    match row.text("system")? {
        "inch" => Ok(LengthUnit::Inch),
        "metric" => Ok(LengthUnit::Millimetre),
        _ => Err(row.fault("system", "inch or metric")),
    }
}

impl Tables {
    /// The pin stock of this nominal size: `1/8 in`, `3mm`.
    pub fn pin_named(&self, name: &str) -> Option<&PinStock> {
        self.pin_stock().iter().find(|pin| is_same_name(&pin.name, name))
    }

    /// The usual sizes of one measure of a bar in one system, the smallest first.
    pub fn bar_sizes(&self, side: BarSide, system: LengthUnit) -> impl Iterator<Item = &BarSize> {
        self.bar_stock().iter().filter(move |size| size.side == side && size.system == system)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::MaterialKind;
    use units::parse_length;

    /// The size that a name tells, read by the reader of typed lengths.
    fn size_in_name_mm(name: &str) -> f64 {
        parse_length(name, LengthUnit::Millimetre).unwrap().to_mm()
    }

    #[test]
    fn sizes_are_what_their_names_tell() {
        let tables = Tables::built_in();
        for pin in tables.pin_stock() {
            assert!((size_in_name_mm(&pin.name) - pin.diameter_mm).abs() < 1e-9, "{pin:?}");
            assert!(!pin.materials.is_empty(), "{pin:?}");
            for name in &pin.materials {
                let material = tables.material(name);
                assert_eq!(material.map(|found| found.kind), Some(MaterialKind::Metal), "{name}");
            }
        }
        for size in tables.bar_stock() {
            assert!((size_in_name_mm(&size.name) - size.size_mm).abs() < 1e-9, "{size:?}");
            assert!(size.name.ends_with(size.system.symbol()), "{size:?}");
        }
    }

    #[test]
    fn every_measure_has_sizes_in_rising_order() {
        for side in [BarSide::Thickness, BarSide::Width, BarSide::Length] {
            for system in [LengthUnit::Inch, LengthUnit::Millimetre] {
                let sizes: Vec<_> = Tables::built_in().bar_sizes(side, system).collect();
                assert!(sizes.len() >= 5, "{side:?} {system:?}");
                assert!(sizes.is_sorted_by(|a, b| a.size_mm < b.size_mm), "{sizes:?}");
            }
        }
    }

    #[test]
    fn a_pin_is_found_by_its_size() {
        let pin = Tables::built_in().pin_named("1/8in");
        assert_eq!(pin.map(|pin| pin.diameter_mm), Some(3.175));
        assert_eq!(Tables::built_in().pin_named("7 mm"), None);
    }
}
