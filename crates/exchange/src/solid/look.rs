//! What a part is made of, and how that looks: colours chosen for the screen by eye, none of the
//! trade's figures.

use knife::{Finish, Knife};
use reckon::tables::{MaterialKind, Tables};

/// A part's material.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// Its name, as the maker chose it.
    pub name: String,
    /// How it looks.
    pub look: Look,
}

/// How a material looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Its colour, red, green, blue.
    pub color: [u8; 3],
    /// How much it shines, from 0 to 1.
    pub shine: f64,
    /// How narrow its highlights are: the exponent of Phong's formula.
    pub polish: i32,
    /// What runs through it or over it.
    pub grain: Grain,
}

/// What runs through a material or over it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grain {
    /// Nothing.
    Plain,
    /// Fine scratches along the knife.
    Brushed,
    /// Scratches in all directions.
    Tumbled,
    /// Growth rings of wood, along the knife.
    Wood,
    /// A weave of cloth.
    Weave,
    /// Layers laid up parallel to the faces.
    Layers,
    /// Clouds, as in horn or bone.
    Clouds,
}

const STEEL: [u8; 3] = [178, 184, 190];
const WOOD: [u8; 3] = [128, 86, 54];

/// Colours by a part of a material's name; the first that fits counts.
const COLORS: &[(&str, [u8; 3])] = &[
    ("brass", [201, 166, 84]),
    ("copper", [190, 112, 78]),
    ("bronze", [176, 120, 72]),
    ("nickel silver", [196, 190, 178]),
    ("aluminium", [200, 203, 207]),
    ("titanium", [150, 148, 146]),
    ("canvas", [92, 84, 62]),
    ("linen", [70, 62, 50]),
    ("paper", [58, 46, 40]),
    ("g-10", [38, 42, 44]),
    ("walnut", [92, 62, 44]),
    ("cherry", [150, 84, 54]),
    ("maple", [205, 172, 128]),
    ("oak", [170, 132, 88]),
    ("hickory", [176, 134, 92]),
    ("ash", [196, 166, 124]),
    ("birch", [200, 170, 126]),
    ("beech", [188, 146, 106]),
    ("rosewood", [82, 44, 36]),
    ("ebony", [38, 32, 30]),
    ("blackwood", [44, 34, 32]),
    ("lignum", [86, 88, 54]),
    ("cocobolo", [136, 66, 40]),
    ("ironwood", [96, 60, 38]),
    ("locust", [156, 124, 66]),
    ("stabilised", [70, 92, 104]),
    ("bone", [226, 214, 188]),
    ("antler", [196, 174, 142]),
    ("horn", [70, 56, 46]),
];

/// The blade's steel with its finish.
pub(super) fn steel(knife: &Knife) -> Material {
    let (shine, polish, grain) = match knife.treatment.finish {
        None | Some(Finish::Satin) => (0.22, 18, Grain::Brushed),
        Some(Finish::Stonewash) => (0.12, 8, Grain::Tumbled),
        Some(Finish::Etched) => (0.08, 6, Grain::Plain),
        Some(Finish::Mirror) => (0.60, 60, Grain::Plain),
    };
    let color = match knife.treatment.finish {
        Some(Finish::Etched) => [112, 116, 120],
        Some(Finish::Stonewash) => [150, 155, 160],
        _ => STEEL,
    };
    let grade = knife.bar.grade.trim();
    let name = if grade.is_empty() { "steel" } else { grade };
    Material { name: name.to_owned(), look: Look { color, shine, polish, grain } }
}

/// A material of the handle by its name; `usual` stands for one that isn't chosen.
pub(super) fn material(name: Option<&str>, usual: MaterialKind, tables: &Tables) -> Material {
    let known = name.and_then(|name| tables.material(name));
    let kind = known.map_or(usual, |material| material.kind);
    let lower = name.unwrap_or_default().to_lowercase();
    let color = COLORS.iter().find(|(part, _)| lower.contains(part)).map(|(_, color)| *color);
    let (plain, shine, polish, grain) = match kind {
        MaterialKind::Metal => (STEEL, 0.28, 24, Grain::Brushed),
        MaterialKind::Laminate if lower.contains("g-10") => ([38, 42, 44], 0.15, 12, Grain::Layers),
        MaterialKind::Laminate => ([70, 62, 50], 0.12, 10, Grain::Weave),
        MaterialKind::Wood => (WOOD, 0.15, 10, Grain::Wood),
        MaterialKind::Natural => ([226, 214, 188], 0.25, 16, Grain::Clouds),
        MaterialKind::Adhesive => ([200, 190, 160], 0.2, 12, Grain::Plain),
    };
    let named = match (name, kind) {
        (Some(name), _) => name.to_owned(),
        (None, MaterialKind::Metal) => "metal, not chosen yet".to_owned(),
        (None, _) => "handle material, not chosen yet".to_owned(),
    };
    Material { name: named, look: Look { color: color.unwrap_or(plain), shine, polish, grain } }
}
