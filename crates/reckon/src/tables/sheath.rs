//! What sheaths are made of and with, as it is sold.

use super::read::{Row, TableError};
use super::stock::system_of;
use super::{Provenance, Tables};
use units::LengthUnit;

/// What is sold in these sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheathStockKind {
    /// Leather, by its thickness.
    Leather,
    /// Thread, by its diameter.
    Thread,
    /// Awls, punches and irons, by the distance of their holes.
    Pitch,
    /// Thermoplastic sheet, by its thickness.
    Sheet,
    /// Eyelets, by the hole for their barrel.
    Eyelet,
    /// Belts, by their width.
    Belt,
    /// Belt clips, by the distance of their holes.
    Clip,
}

/// A usual size of something that a sheath is made of or with.
#[derive(Clone, Debug, PartialEq)]
pub struct SheathStock {
    /// What it is.
    pub kind: SheathStockKind,
    /// The system it is sold in.
    pub system: LengthUnit,
    /// Its size as it is sold, such as `8 oz` or `3 mm`.
    pub name: String,
    /// That size, mm.
    pub size_mm: f64,
    /// How the figure is known.
    pub origin: Provenance,
}

impl SheathStockKind {
    /// Every kind, in the order of the table.
    pub const ALL: [Self; 7] = [
        Self::Leather,
        Self::Thread,
        Self::Pitch,
        Self::Sheet,
        Self::Eyelet,
        Self::Belt,
        Self::Clip,
    ];

    /// What is sold, in words.
    pub fn label(self) -> &'static str {
        match self {
            Self::Leather => "Leather, thickness",
            Self::Thread => "Thread, diameter",
            Self::Pitch => "Awls, punches and irons, hole to hole",
            Self::Sheet => "Thermoplastic sheet, thickness",
            Self::Eyelet => "Eyelets, hole",
            Self::Belt => "Belts, width",
            Self::Clip => "Belt clips, hole to hole",
        }
    }

    fn key(self) -> &'static str {
        match self {
            Self::Leather => "leather",
            Self::Thread => "thread",
            Self::Pitch => "pitch",
            Self::Sheet => "sheet",
            Self::Eyelet => "eyelet",
            Self::Belt => "belt",
            Self::Clip => "clip",
        }
    }
}

impl SheathStock {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        let text = row.text("kind")?;
        let kind = SheathStockKind::ALL.into_iter().find(|kind| kind.key() == text);
        Ok(Self {
            kind: kind.ok_or_else(|| {
                row.fault("kind", "one of leather, thread, pitch, sheet, eyelet, belt, clip")
            })?,
            system: system_of(row)?,
            name: row.text("name")?.to_owned(),
            size_mm: row.positive("mm")?,
            origin: row.origin()?,
        })
    }
}

impl Tables {
    /// The usual sizes of one kind, as the table lists them: those of one system, or of both.
    pub fn sheath_sizes(
        &self,
        kind: SheathStockKind,
        system: Option<LengthUnit>,
    ) -> impl Iterator<Item = &SheathStock> {
        let own = move |row: &&SheathStock| {
            row.kind == kind && system.is_none_or(|system| system == row.system)
        };
        self.sheath_stock().iter().filter(own)
    }

    /// What a thickness of leather is called, where it is one that is sold by the ounce.
    pub fn leather_ounces(&self, thickness_mm: f64) -> Option<&str> {
        const SAME_MM: f64 = 0.02;
        let mut ounces = self.sheath_sizes(SheathStockKind::Leather, Some(LengthUnit::Inch));
        let found = ounces.find(|row| (row.size_mm - thickness_mm).abs() <= SAME_MM)?;
        Some(&found.name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_what_their_names_tell() {
        for row in Tables::built_in().sheath_stock() {
            let size_in_name_mm = match row.name.split_once(' ') {
                // An ounce is a sixty-fourth of an inch.
                Some((n, "oz")) => n.parse::<f64>().unwrap() * 25.4 / 64.0,
                Some((n, "to the inch")) => 25.4 / n.parse::<f64>().unwrap(),
                _ => units::parse_length(&row.name, LengthUnit::Millimetre).unwrap().to_mm(),
            };
            assert!((size_in_name_mm - row.size_mm).abs() < 1e-6, "{row:?}");
            assert!(row.origin.source.starts_with("common practice, no source"), "{row:?}");
        }
        let tables = Tables::built_in();
        for kind in SheathStockKind::ALL {
            assert!(tables.sheath_sizes(kind, None).count() >= 4, "{kind:?}");
        }
        assert_eq!(tables.leather_ounces(3.175), Some("8 oz"));
        assert_eq!(tables.leather_ounces(3.3), None);
    }
}
