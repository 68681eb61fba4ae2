//! How the materials of a handle look on the screen (this program's own choice: what each is
//! known by, dark enough that lines on it are seen).

use super::Palette;
use egui::Color32;
use knife::Handle;
use reckon::PiecePart;
use reckon::tables::{MaterialKind, Tables};

/// The colour of a material by the beginning of its name in small letters.
#[rustfmt::skip]
const COLORS: &[(&str, u32)] = &[
    ("brass", 0xcf_ae_5f), ("copper", 0xc0_78_50), ("phosphor bronze", 0xb8_86_4e),
    ("nickel silver", 0xbd_bc_b2), ("nickel", 0xb5_b6_b6), ("carbon steel", 0x9c_a1_a7),
    ("stainless steel", 0xb3_b8_bd), ("aluminium", 0xc6_ca_cd), ("titanium", 0x93_92_96),
    ("glass-epoxy", 0x6f_85_4e), ("canvas phenolic", 0x71_5a_37), ("linen phenolic", 0x7d_5f_33),
    ("paper phenolic", 0x5b_3f_28), ("stabilised wood", 0x94_6a_45), ("bone", 0xd9_cf_b4),
    ("antler", 0xb6_a0_7c), ("horn", 0x4a_40_37), ("black walnut", 0x5d_43_30),
    ("black cherry", 0x96_58_36), ("sugar maple", 0xc8_a6_78), ("white oak", 0xa9_87_5a),
    ("northern red oak", 0xa8_7c_57), ("shagbark hickory", 0xb3_8d_60), ("white ash", 0xbf_a4_7a),
    ("yellow birch", 0xbb_95_66), ("beech", 0xb2_85_5c), ("persimmon", 0x7a_5b_40),
    ("black locust", 0x9a_83_43), ("east indian rosewood", 0x54_30_2b), ("ebony", 0x2e_28_25),
    ("lignum vitae", 0x5c_55_30), ("african blackwood", 0x33_28_29), ("cocobolo", 0x8a_3f_24),
    ("desert ironwood", 0x60_3d_24),
];

/// The colours of a handle's parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct HandleColors {
    /// The left and the right scale.
    pub(crate) scales: [Color32; 2],
    pub(crate) front_bolster: Color32,
    pub(crate) rear_bolster: Color32,
    pub(crate) pins: Color32,
}

impl HandleColors {
    /// Those of a handle; what isn't chosen looks like wood, or like brass.
    pub(crate) fn of(handle: &Handle, palette: &Palette) -> Self {
        let colour = |name: Option<&str>, usual| name.map_or(usual, |name| named(name, palette));
        let left = colour(handle.scales.as_deref(), palette.wood);
        let bolster = |bolster: &Option<knife::Bolster>| {
            let name = bolster.as_ref().and_then(|bolster| bolster.material.as_deref());
            colour(name, palette.pin)
        };
        Self {
            scales: [left, colour(handle.right_scale.as_deref(), left)],
            front_bolster: bolster(&handle.front_bolster),
            rear_bolster: bolster(&handle.rear_bolster),
            pins: colour(handle.pins.as_deref(), palette.pin),
        }
    }

    /// That of a piece on the right or the left side.
    pub(crate) fn of_piece(&self, part: PiecePart, is_right: bool) -> Color32 {
        match part {
            PiecePart::FrontBolster => self.front_bolster,
            PiecePart::Scale => self.scales[usize::from(is_right)],
            PiecePart::RearBolster => self.rear_bolster,
        }
    }
}

/// The colour of a material; one that isn't known here looks like others of its kind.
fn named(name: &str, palette: &Palette) -> Color32 {
    let lower = name.trim().to_lowercase();
    let known = COLORS.iter().find(|(start, _)| lower.starts_with(start));
    if let Some((_, hex)) = known {
        let [_, r, g, b] = hex.to_be_bytes();
        return Color32::from_rgb(r, g, b);
    }
    match Tables::built_in().material(name).map(|material| material.kind) {
        Some(MaterialKind::Metal) => palette.metal,
        _ => palette.wood,
    }
}

#[cfg(test)]
mod tests {
    use super::super::ColorTheme;
    use super::*;

    #[test]
    fn every_material_of_the_table_looks_its_own_way() {
        let palette = ColorTheme::Dark.palette();
        let solid = Tables::built_in().materials().iter();
        let solid = solid.filter(|material| material.kind != MaterialKind::Adhesive);
        for material in solid {
            let known =
                COLORS.iter().any(|(start, _)| material.name.to_lowercase().starts_with(start));
            assert!(known, "{} has no colour", material.name);
        }
        let mut handle = Handle { scales: Some("ebony".into()), ..Handle::default() };
        let both = HandleColors::of(&handle, palette).scales;
        assert_eq!(both[0], both[1]);
        handle.right_scale = Some("bone".into());
        let each = HandleColors::of(&handle, palette).scales;
        assert!(each[0] == both[0] && each[1] != both[1]);
        let plain = HandleColors::of(&Handle::default(), palette);
        assert_eq!((plain.scales[0], plain.pins), (palette.wood, palette.pin));
    }
}
