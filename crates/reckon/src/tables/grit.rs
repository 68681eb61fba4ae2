//! Abrasive grits by their average size, and the finishes they lead to.

use super::read::{Row, TableError};
use super::{Provenance, Tables, is_same_name};

/// How a grit is numbered: the two systems part above about 220.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GritSystem {
    /// FEPA P, ISO 6344: `P400`.
    P,
    /// CAMI, ANSI B74.18, plain numbers: `400`.
    Plain,
}

/// One grit.
#[derive(Clone, Debug, PartialEq)]
pub struct Grit {
    /// Its system.
    pub system: GritSystem,
    /// Its name: `P400` or `400`.
    pub name: String,
    /// Average size of its grains, µm.
    pub um: f64,
    /// The same by a second table, where that differs, µm.
    pub second_um: Option<f64>,
    /// Whether it is one that shops usually have.
    pub usual: bool,
    /// How the figure is known.
    pub origin: Provenance,
}

/// A finish and the grit it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Finish {
    /// Its name.
    pub name: String,
    /// Size of the last grit, µm, from the finest to the coarsest that does.
    pub um: (f64, f64),
    /// How the last strokes go.
    pub words: String,
    /// How it is known.
    pub origin: Provenance,
}

impl Grit {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        let system = match row.text("system")? {
            "P" => GritSystem::P,
            "plain" => GritSystem::Plain,
            _ => return Err(row.fault("system", "one of P, plain")),
        };
        let second_um = match row.text("second_um")? {
            "" => None,
            _ => Some(row.positive("second_um")?),
        };
        Ok(Self {
            system,
            name: row.text("name")?.to_owned(),
            um: row.positive("um")?,
            second_um,
            usual: row.text("usual")? == "yes",
            origin: row.origin()?,
        })
    }
}

impl Finish {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        Ok(Self {
            name: row.text("name")?.to_owned(),
            um: (row.positive("low_um")?, row.positive("high_um")?),
            words: row.text("words")?.to_owned(),
            origin: row.origin()?,
        })
    }
}

impl Tables {
    /// All grits, each system from coarse to fine.
    pub fn grits(&self) -> &[Grit] {
        &self.grits
    }

    /// The grit of a system that is nearest to a size by ratio.
    pub fn nearest_grit(&self, system: GritSystem, um: f64) -> Option<&Grit> {
        let off = |grit: &&Grit| (grit.um / um).ln().abs();
        let own = self.grits.iter().filter(|grit| grit.system == system);
        own.min_by(|a, b| off(a).total_cmp(&off(b)))
    }

    /// The finish of this name.
    pub fn finish(&self, name: &str) -> Option<&Finish> {
        self.finishes.iter().find(|finish| is_same_name(&finish.name, name))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn um(name: &str) -> f64 {
        Tables::built_in().grits().iter().find(|grit| grit.name == name).unwrap().um
    }

    /// FEPA 43-1 / ISO 6344 (P60, P220, P400, P600, P1200, P2500) and ANSI B74.18 (60, 320, 400,
    /// 600) average sizes in µm.
    #[test]
    fn sizes_are_the_standards() {
        let expected = [
            ("P60", 269.0),
            ("P220", 68.0),
            ("P400", 35.0),
            ("P600", 25.8),
            ("P1200", 15.3),
            ("P2500", 8.4),
            ("60", 265.0),
            ("320", 36.0),
            ("400", 23.0),
            ("600", 16.0),
        ];
        for (name, size) in expected {
            assert_eq!(um(name), size, "{name}");
        }
    }

    #[test]
    fn each_system_runs_from_coarse_to_fine() {
        for system in [GritSystem::P, GritSystem::Plain] {
            let own = Tables::built_in().grits().iter().filter(|grit| grit.system == system);
            let sizes: Vec<f64> = own.map(|grit| grit.um).collect();
            assert!(sizes.len() > 20 && sizes.windows(2).all(|pair| pair[0] > pair[1]));
        }
    }

    /// The two systems are told apart: plain 400 is about P800, plain 600 about P1200.
    #[test]
    fn plain_numbers_and_p_numbers_part() {
        let tables = Tables::built_in();
        let p = |um| tables.nearest_grit(GritSystem::P, um).map(|grit| grit.name.as_str());
        assert_eq!(p(um("400")), Some("P800"));
        assert_eq!(p(um("600")), Some("P1200"));
        assert_eq!(p(um("320")), Some("P400"));
    }

    #[test]
    fn every_finish_ends_on_grits_of_the_table() {
        let tables = Tables::built_in();
        for finish in &tables.finishes {
            for size in [finish.um.0, finish.um.1] {
                let near = tables.nearest_grit(GritSystem::P, size).unwrap();
                assert_eq!(near.um, size, "{}", finish.name);
                assert!(finish.origin.source.contains(&near.name), "{}", finish.name);
            }
        }
    }
}
