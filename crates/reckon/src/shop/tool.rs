//! What stands in a shop: drills, files, drums, saws, stock and printers.

use super::Trim;
use crate::tables::{InsideKind, InsideToolRow, SawRow};
use units::DrillName;

/// A whole set of drills.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DrillSet {
    /// `#1` to `#80`.
    Number,
    /// `A` to `Z`.
    Letter,
    /// Fractions of an inch.
    Fraction,
    /// Millimetres.
    Metric,
}

impl DrillSet {
    /// Every set.
    pub const ALL: [Self; 4] = [Self::Number, Self::Letter, Self::Fraction, Self::Metric];
    /// The words for them, in the same order.
    pub const LABELS: &'static [&'static str] = &["number", "letter", "fraction", "metric"];

    /// Whether a drill belongs to it.
    pub fn contains(self, drill: DrillName) -> bool {
        self == match drill {
            DrillName::Number(_) => Self::Number,
            DrillName::Letter(_) => Self::Letter,
            DrillName::Fraction { .. } => Self::Fraction,
            DrillName::Metric { .. } => Self::Metric,
        }
    }
}

/// A file, drum or dowel on hand that reaches into inside curves.
#[derive(Clone, Debug, PartialEq)]
pub struct InsideTool {
    /// What kind it is.
    pub kind: InsideKind,
    /// What the maker calls it.
    pub name: String,
    /// Nominal diameter, mm; of a half-round file, twice the radius of its back.
    pub diameter_mm: f64,
    /// The diameter as measured, mm: files differ from their nominal size by a tenth or so.
    pub measured_mm: Option<f64>,
    /// Thickness of the paper around it, mm.
    pub paper_mm: f64,
}

impl InsideTool {
    /// The radius that it leaves, mm: half its diameter, and the paper's thickness.
    pub fn radius_mm(&self) -> f64 {
        self.measured_mm.unwrap_or(self.diameter_mm) / 2.0 + self.paper_mm
    }
}

impl From<&InsideToolRow> for InsideTool {
    fn from(row: &InsideToolRow) -> Self {
        Self {
            kind: row.kind,
            name: row.name.clone(),
            diameter_mm: row.diameter_mm,
            measured_mm: None,
            paper_mm: row.paper_mm,
        }
    }
}

/// A saw on hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Saw {
    /// What the maker calls it.
    pub name: String,
    /// Width of its cut, mm.
    pub kerf_mm: f64,
}

impl From<&SawRow> for Saw {
    fn from(row: &SawRow) -> Self {
        Self { name: row.name.clone(), kerf_mm: row.kerf_mm }
    }
}

/// Pin stock on hand.
#[derive(Clone, Debug, PartialEq)]
pub struct PinOnHand {
    /// Its material, by the table's name or the maker's own.
    pub material: String,
    /// Diameter, mm; measured, if it was.
    pub diameter_mm: f64,
}

/// Bars on hand.
#[derive(Clone, Debug, PartialEq)]
pub struct BarOnHand {
    /// Grade by its standard name.
    pub grade: String,
    /// Width, mm.
    pub width_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Length, mm.
    pub length_mm: f64,
    /// How many.
    pub count: u32,
    /// What a metre of it costs, in the maker's own money, where that is known.
    pub price_per_m: Option<f64>,
}

/// A printer and the trim measured for it.
#[derive(Clone, Debug, PartialEq)]
pub struct Printer {
    /// What it is called, as `--trim` names it.
    pub name: String,
    /// What makes its sheets come true, once measured.
    pub trim: Option<Trim>,
}
