//! How steels harden and temper: ranges, quench and hardness, each as its own source tells it.

use super::read::{Row, TableError};
use super::{Provenance, Tables};
use units::Temperature;

/// The scale a source tells its temperatures in; they are shown in it first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Degrees {
    /// °C.
    Celsius,
    /// °F.
    Fahrenheit,
}

impl Degrees {
    /// So many degrees of this scale.
    pub fn temperature(self, value: f64) -> Temperature {
        match self {
            Self::Celsius => Temperature::celsius(value),
            Self::Fahrenheit => Temperature::fahrenheit(value),
        }
    }
}

/// What a steel is quenched in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quench {
    /// Fast oil.
    FastOil,
    /// Oil.
    Oil,
    /// Warm oil.
    WarmOil,
    /// Water or brine.
    Water,
    /// Still air, or between plates.
    Air,
}

impl Quench {
    /// Every quench.
    pub const ALL: [Self; 5] = [Self::FastOil, Self::Oil, Self::WarmOil, Self::Water, Self::Air];
    /// The words for them, in the same order.
    pub const LABELS: &'static [&'static str] = &["fast oil", "oil", "warm oil", "water", "air"];

    /// The word a person reads.
    pub fn label(self) -> &'static str {
        let at = Self::ALL.iter().position(|quench| *quench == self);
        at.and_then(|at| Self::LABELS.get(at)).copied().unwrap_or("")
    }

    /// Whether it is an oil.
    pub fn is_oil(self) -> bool {
        matches!(self, Self::FastOil | Self::Oil | Self::WarmOil)
    }
}

/// A range of something with where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct SourcedRange {
    /// From and to.
    pub range: (f64, f64),
    /// Where it comes from.
    pub source: String,
}

/// How one source hardens a steel.
#[derive(Clone, Debug, PartialEq)]
pub struct Hardening {
    /// The steel's grade.
    pub grade: String,
    /// Hardening heat, from and to.
    pub heat: (Temperature, Temperature),
    /// The scale the source tells it in.
    pub degrees: Degrees,
    /// What it is quenched in.
    pub quench: Quench,
    /// What the source takes instead, of thin sections or as it likes, where told.
    pub other_quench: Option<Quench>,
    /// Hardness as quenched, HRC, from and to, where told.
    pub quenched_hrc: Option<(f64, f64)>,
    /// What the source adds; may be empty.
    pub remark: String,
    /// How long it soaks, minutes, where told.
    pub soak_min: Option<SourcedRange>,
    /// Tempering heats to keep out of, °C, where told.
    pub avoid_c: Option<SourcedRange>,
    /// How the row is known.
    pub origin: Provenance,
}

/// One point of a tempering table.
#[derive(Clone, Debug, PartialEq)]
pub struct TemperPoint {
    /// The steel's grade.
    pub grade: String,
    /// How the source had hardened it.
    pub condition: String,
    /// The temper.
    pub heat: Temperature,
    /// Hardness after it, HRC, from and to.
    pub hrc: (f64, f64),
    /// How the row is known.
    pub origin: Provenance,
}

fn degrees(row: &Row<'_>) -> Result<Degrees, TableError> {
    match row.text("unit")? {
        "C" => Ok(Degrees::Celsius),
        "F" => Ok(Degrees::Fahrenheit),
        _ => Err(row.fault("unit", "one of C, F")),
    }
}

fn in_order(
    row: &Row<'_>,
    low: &'static str,
    high: &'static str,
) -> Result<(f64, f64), TableError> {
    let range = (row.positive(low)?, row.positive(high)?);
    if range.0 > range.1 { Err(row.fault(high, "no less than the lower")) } else { Ok(range) }
}

fn maybe(
    row: &Row<'_>,
    low: &'static str,
    high: &'static str,
) -> Result<Option<(f64, f64)>, TableError> {
    if row.text(low)?.is_empty() { Ok(None) } else { in_order(row, low, high).map(Some) }
}

impl Hardening {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        let degrees = degrees(row)?;
        let heat = in_order(row, "low", "high")?;
        let heat = (degrees.temperature(heat.0), degrees.temperature(heat.1));
        let quench = |column: &'static str| {
            let word = row.text(column)?;
            let found = Quench::ALL.into_iter().find(|quench| quench.label() == word);
            found.ok_or_else(|| row.fault(column, "one of fast oil, oil, warm oil, water, air"))
        };
        let other = row.text("other_quench")?.is_empty();
        let ranged = |range: Option<(f64, f64)>, source: &'static str| {
            let source = row.text(source)?.to_owned();
            Ok(range.map(|range| SourcedRange { range, source }))
        };
        let avoid = maybe(row, "avoid_low", "avoid_high")?.map(|(low, high)| {
            (degrees.temperature(low).to_celsius(), degrees.temperature(high).to_celsius())
        });
        Ok(Self {
            grade: row.text("grade")?.to_owned(),
            heat,
            degrees,
            quench: quench("quench")?,
            other_quench: if other { None } else { Some(quench("other_quench")?) },
            quenched_hrc: maybe(row, "quenched_low_hrc", "quenched_high_hrc")?,
            remark: row.text("remark")?.to_owned(),
            soak_min: ranged(maybe(row, "soak_low_min", "soak_high_min")?, "soak_source")?,
            avoid_c: ranged(avoid, "avoid_source")?,
            origin: row.origin()?,
        })
    }
}

impl TemperPoint {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        Ok(Self {
            grade: row.text("grade")?.to_owned(),
            condition: row.text("condition")?.to_owned(),
            heat: degrees(row)?.temperature(row.positive("temperature")?),
            hrc: in_order(row, "low_hrc", "high_hrc")?,
            origin: row.origin()?,
        })
    }
}

impl Tables {
    /// How its sources harden a grade, by its standard name.
    pub fn hardenings(&self, grade: &str) -> impl Iterator<Item = &Hardening> {
        self.hardening.iter().filter(move |row| row.grade == grade)
    }

    /// The points of a grade's tempering tables, by its standard name.
    pub fn temper_points(&self, grade: &str) -> impl Iterator<Item = &TemperPoint> {
        self.temper.iter().filter(move |row| row.grade == grade)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_of_a_steel_of_the_table() {
        let tables = Tables::built_in();
        let known = |grade: &str| tables.steels().iter().any(|steel| steel.grade == grade);
        assert!(tables.hardening.iter().all(|row| known(&row.grade)));
        assert!(tables.temper.iter().all(|row| known(&row.grade)));
        for steel in tables.steels() {
            assert!(tables.hardenings(&steel.grade).next().is_some(), "{}", steel.grade);
        }
    }

    /// Bounds: a martensite of 0.15 to 1.5 % carbon is no harder than 68 HRC and, tempered as here,
    /// no softer than 25; hardening lies above the eutectoid, 727 °C, and below 1150 °C (handbook
    /// figures of the iron-carbon diagram, from memory).
    #[test]
    fn figures_are_those_of_hardening() {
        let tables = Tables::built_in();
        for row in &tables.hardening {
            let (low, high) = (row.heat.0.to_celsius(), row.heat.1.to_celsius());
            assert!(low > 727.0 && high < 1150.0 && high - low < 110.0, "{row:?}");
            assert!(row.quenched_hrc.is_none_or(|(a, b)| a >= 50.0 && b <= 68.0), "{row:?}");
        }
        for point in &tables.temper {
            assert!((90.0..=705.0).contains(&point.heat.to_celsius()), "{point:?}");
            assert!(point.hrc.0 >= 25.0 && point.hrc.1 <= 67.0, "{point:?}");
        }
    }

    /// Values as the mill's and distributors' own published sheets print them.
    #[test]
    fn tempering_points_are_the_published_ones() {
        let at = |grade: &str, f: f64| -> Vec<(f64, f64)> {
            let heat = Temperature::fahrenheit(f);
            let rows = Tables::built_in().temper_points(grade);
            rows.filter(|row| row.heat == heat).map(|row| row.hrc).collect()
        };
        assert_eq!(at("SAE 1075", 400.0), [(59.0, 59.0)]);
        assert_eq!(at("SAE 1095", 600.0), [(55.0, 55.0)]);
        assert_eq!(at("SAE 1084", 400.0), [(61.0, 62.0)]);
        assert_eq!(at("SAE 1080", 500.0), [(55.0, 56.0)]);
        assert_eq!(at("AISI L6", 500.0), [(58.0, 58.0), (59.0, 59.0)], "two sheets differ");
        assert_eq!(at("AISI A2", 600.0), [(59.0, 59.0), (56.0, 56.0)], "two sheets differ");
        assert_eq!(at("AISI 440C", 400.0), [(59.0, 59.0), (56.0, 56.0)], "two sheets differ");
    }
}
