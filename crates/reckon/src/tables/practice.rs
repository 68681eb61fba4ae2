//! Figures of practice that belong to no other table, and cautions with their basis.

use super::read::{Row, TableError};
use super::{Provenance, Tables};
use units::{LengthUnit, Temperature};

/// A figure of practice.
#[derive(Clone, Debug, PartialEq)]
pub struct Practice {
    /// Its key.
    pub key: String,
    /// What it is.
    pub words: String,
    /// From and to, in its unit; the same twice for one figure.
    pub range: (f64, f64),
    /// Its unit.
    pub unit: String,
    /// How it is known.
    pub origin: Provenance,
}

/// A caution and what it rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Its key.
    pub key: String,
    /// What to mind; what is told in two units stands in braces, the metric one first:
    /// `{11 m|35 ft}`.
    sentence: String,
    /// The published basis, as the origin's source.
    pub origin: Provenance,
}

impl Practice {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        let number = |column: &'static str| match row.text(column)?.parse::<f64>() {
            Ok(value) if value.is_finite() && value >= 0.0 => Ok(value),
            _ => Err(row.fault(column, "a number of zero or more")),
        };
        Ok(Self {
            key: row.text("key")?.to_owned(),
            words: row.text("words")?.to_owned(),
            range: (number("low")?, number("high")?),
            unit: row.text("unit")?.to_owned(),
            origin: row.origin()?,
        })
    }
}

impl Practice {
    /// The lower end of a length, mm: its unit is mm or in.
    pub fn mm(&self) -> f64 {
        self.range.0 * if self.unit == "in" { 25.4 } else { 1.0 }
    }

    /// The range of a heat in °C: its unit is C or F, or a difference in either.
    pub fn heats_c(&self) -> (f64, f64) {
        let celsius = |value: f64| match self.unit.as_str() {
            "F" => Temperature::fahrenheit(value).to_celsius(),
            "F apart" => value / 1.8,
            _ => value,
        };
        (celsius(self.range.0), celsius(self.range.1))
    }
}

impl Caution {
    /// What to mind, a maker's own units first: `11 m (35 ft)`, or `35 ft (11 m)`.
    pub fn sentence_in(&self, unit: LengthUnit) -> String {
        let mut text = String::new();
        let mut rest = self.sentence.as_str();
        while let Some((before, pair, after)) = braced(rest) {
            let (metric, inch) = pair;
            let (own, other) = match unit {
                LengthUnit::Inch => (inch, metric),
                LengthUnit::Millimetre => (metric, inch),
            };
            text += &format!("{before}{own} ({other})");
            rest = after;
        }
        text + rest
    }

    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        Ok(Self {
            key: row.text("key")?.to_owned(),
            sentence: row.text("sentence")?.to_owned(),
            origin: row.origin()?,
        })
    }
}

/// What stands before the first pair in braces, its halves, and what stands after it.
fn braced(text: &str) -> Option<(&str, (&str, &str), &str)> {
    let (before, rest) = text.split_once('{')?;
    let (pair, after) = rest.split_once('}')?;
    Some((before, pair.split_once('|')?, after))
}

impl Tables {
    /// The figure of practice of this key.
    pub fn practice(&self, key: &str) -> Option<&Practice> {
        self.practices.iter().find(|row| row.key == key)
    }

    /// The caution of this key.
    pub fn caution(&self, key: &str) -> Option<&Caution> {
        self.cautions.iter().find(|row| row.key == key)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn a_caution_tells_the_makers_own_units_first() {
        let caution = Tables::built_in().caution("hot-work").unwrap();
        let (inch, mm) = (LengthUnit::Inch, LengthUnit::Millimetre);
        assert!(caution.sentence_in(inch).contains("for 35 ft (11 m),"));
        assert!(caution.sentence_in(mm).contains("for 11 m (35 ft),"));
        // Every brace is one of a pair.
        for row in &Tables::built_in().cautions {
            assert!(!row.sentence_in(mm).contains(['{', '}', '|']), "{}", row.key);
        }
    }

    #[test]
    fn keys_are_not_given_twice() {
        let tables = Tables::built_in();
        let keys: BTreeSet<&str> = tables.practices.iter().map(|row| row.key.as_str()).collect();
        assert_eq!(keys.len(), tables.practices.len());
        let keys: BTreeSet<&str> = tables.cautions.iter().map(|row| row.key.as_str()).collect();
        assert_eq!(keys.len(), tables.cautions.len());
    }

    /// CRC Handbook of Chemistry and Physics: the Curie temperature of iron is 1043 K.
    #[test]
    fn iron_loses_its_magnetism_where_the_handbook_says() {
        let curie = Tables::built_in().practice("curie").unwrap();
        assert!((curie.range.0 + 273.15 - 1043.0).abs() < 0.5);
        assert_eq!(Temperature::celsius(curie.range.0).to_fahrenheit(), 1418.0);
    }

    // What the table calls usual is what a handle without its own figure is worked out with.
    #[test]
    fn a_handles_usual_figures_are_the_tables() {
        let usual = |key: &str| Tables::built_in().practice(key).unwrap().range;
        assert_eq!(usual("pin-room"), (knife::USUAL_PROUD_MM, knife::USUAL_PROUD_MM));
        assert_eq!(usual("block-room"), (knife::USUAL_ALLOWANCE_MM, knife::USUAL_ALLOWANCE_MM));
    }

    #[test]
    fn a_fahrenheit_temper_is_the_celsius_one() {
        let usual = Tables::built_in().practice("temper-usual").unwrap();
        assert_eq!(Temperature::fahrenheit(usual.range.0).to_celsius(), 210.0);
    }
}
