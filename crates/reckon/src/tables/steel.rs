//! Steels by their standard grades.

use super::read::{Row, TableError};
use super::{Provenance, Tables, is_same_name};

/// What family a steel is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SteelKind {
    /// Plain carbon steel.
    Carbon,
    /// Low-alloy steel.
    Alloy,
    /// Tool steel.
    Tool,
    /// Stainless steel.
    Stainless,
}

/// A steel.
#[derive(Clone, Debug, PartialEq)]
pub struct Steel {
    /// The grade's standard name, such as `SAE 1084`.
    pub grade: String,
    /// Other names it is found under: short forms, and near equivalents by EN name and number.
    pub other_names: Vec<String>,
    /// Its family.
    pub kind: SteelKind,
    /// Density, g/cm³.
    pub density_g_cm3: f64,
    /// How the density is known.
    pub origin: Provenance,
    /// Its composition in mass %, in words; may be empty.
    pub composition: String,
    /// How the composition is known.
    pub composition_origin: Provenance,
    /// A near grade whose tempering table is worth holding beside its own.
    pub compare: Option<String>,
}

impl Steel {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        let kind = match row.text("kind")? {
            "carbon" => SteelKind::Carbon,
            "alloy" => SteelKind::Alloy,
            "tool" => SteelKind::Tool,
            "stainless" => SteelKind::Stainless,
            _ => return Err(row.fault("kind", "one of carbon, alloy, tool, stainless")),
        };
        Ok(Self {
            grade: row.text("grade")?.to_owned(),
            other_names: row.list("other_names")?,
            kind,
            density_g_cm3: row.positive("density_g_cm3")?,
            origin: row.origin()?,
            composition: row.text("composition")?.to_owned(),
            composition_origin: Provenance {
                source: row.text("composition_source")?.to_owned(),
                confidence: row.text("composition_confidence")?.to_owned(),
            },
            compare: Some(row.text("compare")?.to_owned()).filter(|name| !name.is_empty()),
        })
    }
}

impl Tables {
    /// The steel of this grade, whatever its case and spaces: `SAE 1084`, `sae1084`, `1084`, `1.2842`.
    pub fn steel(&self, grade: &str) -> Option<&Steel> {
        let is_other =
            |steel: &&Steel| steel.other_names.iter().any(|name| is_same_name(name, grade));
        let mut steels = self.steels().iter();
        steels
            .find(|steel| is_same_name(&steel.grade, grade))
            .or_else(|| self.steels().iter().find(is_other))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_grade_is_found_whatever_its_case_and_spaces() {
        let grade = |name| Tables::built_in().steel(name).map(|steel| steel.grade.as_str());
        for name in ["SAE 1084", "sae1084", "1084", " SAE-1084 "] {
            assert_eq!(grade(name), Some("SAE 1084"), "{name:?}");
        }
        assert_eq!(grade("o1"), Some("AISI O1"));
        assert_eq!(grade("100cr6"), Some("SAE 52100"));
        assert_eq!(grade("1.2842"), Some("90MnCrV8"));
        assert_eq!(grade(""), None);
        assert_eq!(grade("unobtainium"), None);
    }

    #[test]
    fn every_name_leads_to_its_own_row() {
        let tables = Tables::built_in();
        for steel in tables.steels() {
            for name in steel.other_names.iter().chain([&steel.grade]) {
                assert_eq!(tables.steel(name), Some(steel), "{name}");
            }
        }
    }

    /// Bounds: iron is 7.87 g/cm³ (CRC Handbook of Chemistry and Physics); hardenable steels lie below
    /// it, high chromium ones by up to 3 %.
    #[test]
    fn densities_are_those_of_steel() {
        for steel in Tables::built_in().steels() {
            assert!((7.6..=7.87).contains(&steel.density_g_cm3), "{steel:?}");
        }
    }
}
