//! The list of materials: the stable JSON of `materials`.

use crate::MaterialLine;
use knife::Knife;
use schemars::JsonSchema;
use serde::Serialize;

/// What to have before the work begins (`blankwright materials --json`).
#[derive(Debug, Serialize, JsonSchema)]
pub struct Materials {
    /// Always `blankwright-materials`.
    format: &'static str,
    /// Always 1: fields are added, never renamed.
    version: u32,
    /// The blank's name.
    name: String,
    /// One entry for each material, in the order of the work.
    materials: Vec<Material>,
}

/// One material. A measure that does not apply is `null`.
#[derive(Debug, Serialize, JsonSchema)]
struct Material {
    /// What it becomes, such as `scales`.
    part: &'static str,
    /// Its name, once chosen.
    material: Option<String>,
    /// How many pieces.
    count: usize,
    /// Length of one piece; of rod and tube all of it, without saw cuts.
    length_mm: Option<f64>,
    /// Width of one piece.
    width_mm: Option<f64>,
    /// Thickness of one piece.
    thickness_mm: Option<f64>,
    /// Diameter; of a screw, its shank's.
    diameter_mm: Option<f64>,
    /// A tube's bore, or the diameter of a screw's heads.
    second_diameter_mm: Option<f64>,
    /// Volume to mix, ml.
    volume_ml: Option<f64>,
    /// Mass of all pieces together, g, where the density is known.
    mass_g: Option<f64>,
    /// What else there is to say, in words.
    note: String,
}

impl Materials {
    pub(super) fn of(knife: &Knife, lines: &[MaterialLine]) -> Self {
        Self {
            format: "blankwright-materials",
            version: 1,
            name: knife.name.clone(),
            materials: lines.iter().map(Material::of).collect(),
        }
    }
}

impl Material {
    fn of(line: &MaterialLine) -> Self {
        Self {
            part: line.part,
            material: line.material.clone(),
            count: line.count,
            length_mm: line.length_mm,
            width_mm: line.width_mm,
            thickness_mm: line.thickness_mm,
            diameter_mm: line.diameter_mm,
            second_diameter_mm: line.second_diameter_mm,
            volume_ml: line.volume_ml,
            mass_g: line.mass_g,
            note: line.note.clone(),
        }
    }
}
