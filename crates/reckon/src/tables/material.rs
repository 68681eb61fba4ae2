//! Densities of what goes onto the steel: handles, pins, glue.

use super::read::{Row, TableError};
use super::{Provenance, Tables, is_same_name};

/// Set epoxy, by its name in the table of materials.
pub(crate) const GLUE: &str = "cured epoxy, unfilled";

/// What a material is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MaterialKind {
    /// Pins, bolsters, liners.
    Metal,
    /// Cloth, paper or glass laid up in resin.
    Laminate,
    /// Wood, at 12 % moisture.
    Wood,
    /// Bone, antler, horn.
    Natural,
    /// Glue.
    Adhesive,
}

/// A material and its density.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: MaterialKind,
    /// Density to reckon with, g/cm³.
    pub density_g_cm3: f64,
    /// The lowest density met with, g/cm³.
    pub low_g_cm3: f64,
    /// The highest density met with, g/cm³.
    pub high_g_cm3: f64,
    /// How the figures are known.
    pub origin: Provenance,
}

impl Material {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        let kind = match row.text("kind")? {
            "metal" => MaterialKind::Metal,
            "laminate" => MaterialKind::Laminate,
            "wood" => MaterialKind::Wood,
            "natural" => MaterialKind::Natural,
            "adhesive" => MaterialKind::Adhesive,
            _ => {
                return Err(row.fault("kind", "one of metal, laminate, wood, natural, adhesive"));
            }
        };
        let material = Self {
            name: row.text("name")?.to_owned(),
            kind,
            density_g_cm3: row.positive("density_g_cm3")?,
            low_g_cm3: row.positive("low_g_cm3")?,
            high_g_cm3: row.positive("high_g_cm3")?,
            origin: row.origin()?,
        };
        let range = material.low_g_cm3..=material.high_g_cm3;
        if !range.contains(&material.density_g_cm3) {
            return Err(row.fault("density_g_cm3", "between the lowest and the highest"));
        }
        Ok(material)
    }
}

impl Tables {
    /// The material of this name, whatever its case, spaces and hyphens.
    pub fn material(&self, name: &str) -> Option<&Material> {
        self.materials().iter().find(|material| is_same_name(&material.name, name))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_material_is_found_by_its_name() {
        let density = |name| Tables::built_in().material(name).map(|found| found.density_g_cm3);
        assert_eq!(density("Brass C26000"), Some(8.53));
        assert_eq!(density("glass epoxy g10"), Some(1.8));
        assert_eq!(density("cheese"), None);
    }

    /// Cartridge brass, 70 % copper and 30 % zinc by mass: denser than the plain mixture of its elements
    /// (8.96 and 7.14 g/cm³, from memory), as the alloy packs closer, and lighter than copper.
    #[test]
    fn brass_lies_where_its_elements_put_it() {
        let mixed = 1.0 / (0.7 / 8.96 + 0.3 / 7.14);
        let brass = Tables::built_in().material("brass C26000").unwrap().density_g_cm3;
        assert!((mixed..8.96).contains(&brass), "{brass} {mixed}");
        assert!(brass / mixed < 1.03, "{brass} {mixed}");
    }

    #[test]
    fn names_are_not_given_twice() {
        let tables = Tables::built_in();
        for material in tables.materials() {
            assert_eq!(tables.material(&material.name), Some(material));
        }
    }
}
