//! The tables of the trade: drills, papers, steels, pin and bar stock, densities, tools.
//!
//! The figures stand in `assets/*.csv`, each row with its source and how far it is to be trusted; they
//! are built into the program.
//!
//! ```
//! let tables = reckon::tables::Tables::built_in();
//! assert_eq!(tables.drill("No. 30").map(|drill| drill.diameter_mm), Some(3.2639));
//! ```

mod drill;
mod grit;
mod hand;
mod hardening;
mod material;
mod paper;
mod practice;
mod read;
mod sheath;
mod steel;
mod stock;
mod tool;

pub use drill::{Drill, PinDrill};
pub use grit::{Finish, Grit, GritSystem};
pub use hand::{Hand, HandSize};
pub use hardening::{Degrees, Hardening, Quench, SourcedRange, TemperPoint};
pub(crate) use material::GLUE;
pub use material::{Material, MaterialKind};
pub use paper::Paper;
pub use practice::{Caution, Practice};
pub use read::TableError;
pub(crate) use read::{Row, rows};
pub use sheath::{SheathStock, SheathStockKind};
pub use steel::{Steel, SteelKind};
pub use stock::{BarSide, BarSize, PinStock};
pub use tool::{InsideKind, InsideToolRow, SawRow};

use std::sync::LazyLock;

static BUILT_IN: LazyLock<Tables> = LazyLock::new(|| {
    let texts = TableTexts {
        drills: include_str!("../../../../assets/drills.csv"),
        papers: include_str!("../../../../assets/papers.csv"),
        steels: include_str!("../../../../assets/steels.csv"),
        pin_stock: include_str!("../../../../assets/pin_stock.csv"),
        materials: include_str!("../../../../assets/materials.csv"),
        bar_stock: include_str!("../../../../assets/bar_stock.csv"),
        inside_tools: include_str!("../../../../assets/inside_tools.csv"),
        saws: include_str!("../../../../assets/saws.csv"),
        hardening: include_str!("../../../../assets/steel_hardening.csv"),
        temper: include_str!("../../../../assets/steel_temper.csv"),
        grits: include_str!("../../../../assets/grits.csv"),
        finishes: include_str!("../../../../assets/finishes.csv"),
        practices: include_str!("../../../../assets/practice.csv"),
        cautions: include_str!("../../../../assets/cautions.csv"),
        sheath_stock: include_str!("../../../../assets/sheath_stock.csv"),
        hands: include_str!("../../../../assets/hands.csv"),
    };
    Tables::from_texts(&texts).expect("the built-in tables can be read: a test reads them all")
});

/// How a table's figure is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Provenance {
    /// Where the figure comes from: a standard, what was read, or `common practice, no source`.
    pub source: String,
    /// How far to trust it, from `high` to `low`.
    pub confidence: String,
}

/// All tables of the trade.
#[derive(Clone, Debug, PartialEq)]
pub struct Tables {
    drills: Vec<Drill>,
    papers: Vec<Paper>,
    steels: Vec<Steel>,
    pin_stock: Vec<PinStock>,
    materials: Vec<Material>,
    bar_stock: Vec<BarSize>,
    inside_tools: Vec<InsideToolRow>,
    saws: Vec<SawRow>,
    hardening: Vec<Hardening>,
    temper: Vec<TemperPoint>,
    grits: Vec<Grit>,
    finishes: Vec<Finish>,
    practices: Vec<Practice>,
    cautions: Vec<Caution>,
    sheath_stock: Vec<SheathStock>,
    hands: Vec<Hand>,
}

/// The tables as CSV texts, each with a line of headings; see `assets/` for the columns.
#[derive(Clone, Copy, Debug)]
pub struct TableTexts<'a> {
    /// `name,inch,mm,source,confidence`
    pub drills: &'a str,
    /// `name,width_mm,height_mm,source,confidence`
    pub papers: &'a str,
    /// `grade,other_names,kind,density_g_cm3,source,confidence,composition,composition_source,
    /// composition_confidence,compare`
    pub steels: &'a str,
    /// `name,system,diameter_mm,materials,source,confidence`
    pub pin_stock: &'a str,
    /// `name,kind,density_g_cm3,low_g_cm3,high_g_cm3,source,confidence`
    pub materials: &'a str,
    /// `side,system,name,mm,source,confidence`
    pub bar_stock: &'a str,
    /// `kind,name,diameter_mm,sold_as_mm,paper_mm,usual,source,confidence`
    pub inside_tools: &'a str,
    /// `name,kerf_mm,usual,source,confidence`
    pub saws: &'a str,
    /// `grade,low,high,unit,quench,…,remark,soak_…,avoid_…,source,confidence`, a row for each source
    pub hardening: &'a str,
    /// `grade,condition,temperature,unit,low_hrc,high_hrc,source,confidence`
    pub temper: &'a str,
    /// `system,name,um,second_um,usual,source,confidence`
    pub grits: &'a str,
    /// `name,low_um,high_um,words,source,confidence`
    pub finishes: &'a str,
    /// `key,words,low,high,unit,source,confidence`
    pub practices: &'a str,
    /// `key,sentence,source,confidence`
    pub cautions: &'a str,
    /// `kind,system,name,mm,source,confidence`
    pub sheath_stock: &'a str,
    /// `name,whose,length_mm,breadth_mm,index_mm,source,confidence`
    pub hands: &'a str,
}

impl Tables {
    /// The tables that come with the program.
    pub fn built_in() -> &'static Self {
        &BUILT_IN
    }

    /// Reads tables from texts.
    ///
    /// # Errors
    /// [`TableError`], which names the table, the line and the column at fault.
    pub fn from_texts(texts: &TableTexts<'_>) -> Result<Self, TableError> {
        Ok(Self {
            drills: rows("drills", texts.drills, Drill::from_row)?,
            papers: rows("papers", texts.papers, Paper::from_row)?,
            steels: rows("steels", texts.steels, Steel::from_row)?,
            pin_stock: rows("pin_stock", texts.pin_stock, PinStock::from_row)?,
            materials: rows("materials", texts.materials, Material::from_row)?,
            bar_stock: rows("bar_stock", texts.bar_stock, BarSize::from_row)?,
            inside_tools: rows("inside_tools", texts.inside_tools, InsideToolRow::from_row)?,
            saws: rows("saws", texts.saws, SawRow::from_row)?,
            hardening: rows("steel_hardening", texts.hardening, Hardening::from_row)?,
            temper: rows("steel_temper", texts.temper, TemperPoint::from_row)?,
            grits: rows("grits", texts.grits, Grit::from_row)?,
            finishes: rows("finishes", texts.finishes, Finish::from_row)?,
            practices: rows("practice", texts.practices, Practice::from_row)?,
            cautions: rows("cautions", texts.cautions, Caution::from_row)?,
            hands: rows("hands", texts.hands, Hand::from_row)?,
            sheath_stock: rows("sheath_stock", texts.sheath_stock, SheathStock::from_row)?,
        })
    }

    /// All drills, series by series.
    pub fn drills(&self) -> &[Drill] {
        &self.drills
    }

    /// All papers.
    pub fn papers(&self) -> &[Paper] {
        &self.papers
    }

    /// All steels.
    pub fn steels(&self) -> &[Steel] {
        &self.steels
    }

    /// The usual diameters of pin stock.
    pub fn pin_stock(&self) -> &[PinStock] {
        &self.pin_stock
    }

    /// Materials of handles, pins and glue.
    pub fn materials(&self) -> &[Material] {
        &self.materials
    }

    /// Files, drums and dowels that reach into inside curves.
    pub fn inside_tools(&self) -> &[InsideToolRow] {
        &self.inside_tools
    }

    /// Saws.
    pub fn saws(&self) -> &[SawRow] {
        &self.saws
    }

    /// What sheaths are made of and with, as it is sold.
    pub fn sheath_stock(&self) -> &[SheathStock] {
        &self.sheath_stock
    }

    /// The usual thicknesses, widths and lengths of bars.
    pub fn bar_stock(&self) -> &[BarSize] {
        &self.bar_stock
    }
}

/// Whether two names are the same but for case, spaces, hyphens and underscores.
pub(crate) fn is_same_name(a: &str, b: &str) -> bool {
    let letters = |text: &str| -> String {
        let is_kept = |c: &char| !c.is_whitespace() && !matches!(c, '-' | '_');
        text.chars().filter(is_kept).flat_map(char::to_lowercase).collect()
    };
    letters(a) == letters(b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_tables_can_be_read_and_every_row_tells_its_source() {
        let tables = Tables::built_in();
        assert_eq!(tables.drills().len(), 286);
        assert_eq!(tables.papers().len(), 13);
        let origins = (tables.drills().iter().map(|row| &row.origin))
            .chain(tables.papers().iter().map(|row| &row.origin))
            .chain(tables.steels().iter().map(|row| &row.origin))
            .chain(tables.pin_stock().iter().map(|row| &row.origin))
            .chain(tables.materials().iter().map(|row| &row.origin))
            .chain(tables.bar_stock().iter().map(|row| &row.origin))
            .chain(tables.inside_tools().iter().map(|row| &row.origin))
            .chain(tables.saws().iter().map(|row| &row.origin))
            .chain(tables.steels().iter().map(|row| &row.composition_origin))
            .chain(tables.hardening.iter().map(|row| &row.origin))
            .chain(tables.temper.iter().map(|row| &row.origin))
            .chain(tables.grits.iter().map(|row| &row.origin))
            .chain(tables.finishes.iter().map(|row| &row.origin))
            .chain(tables.practices.iter().map(|row| &row.origin))
            .chain(tables.cautions.iter().map(|row| &row.origin))
            .chain(tables.hands.iter().map(|row| &row.origin))
            .chain(tables.sheath_stock.iter().map(|row| &row.origin));
        for origin in origins {
            assert!(origin.source.len() > 8, "{origin:?}");
            let is_known = |word| matches!(word, "high" | "medium" | "low");
            assert!(origin.confidence.split('-').all(is_known), "{origin:?}");
        }
    }

    #[test]
    fn names_meet_across_case_and_spaces() {
        assert!(is_same_name("SAE 1084", "sae1084"));
        assert!(is_same_name("glass-epoxy G-10", "Glass Epoxy G10"));
        assert!(!is_same_name("SAE 1084", "SAE 1080"));
    }
}
