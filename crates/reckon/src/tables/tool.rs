//! Tools that reach into inside curves, and saws.

use super::read::{Row, TableError};
use super::{Provenance, Tables};

/// What kind of tool reaches into an inside curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InsideKind {
    /// A round file, such as a saw-chain file.
    Round,
    /// A round needle file.
    Needle,
    /// The back of a half-round file.
    HalfRound,
    /// A sanding drum or spindle.
    Drum,
    /// A dowel with abrasive paper wrapped around it.
    Dowel,
}

impl InsideKind {
    /// Every kind.
    pub const ALL: [Self; 5] =
        [Self::Round, Self::Needle, Self::HalfRound, Self::Drum, Self::Dowel];
    /// The words for them, in the same order.
    pub const LABELS: &'static [&'static str] =
        &["round file", "round needle file", "half-round file", "drum", "dowel"];

    /// In words: `round file`.
    pub fn label(self) -> &'static str {
        let at = Self::ALL.iter().position(|kind| *kind == self);
        at.and_then(|at| Self::LABELS.get(at)).copied().unwrap_or_default()
    }

    /// Whether it wears paper, which adds to its radius.
    pub fn takes_abrasive_paper(self) -> bool {
        matches!(self, Self::Drum | Self::Dowel)
    }
}

/// A tool that reaches into inside curves, as it is sold.
#[derive(Clone, Debug, PartialEq)]
pub struct InsideToolRow {
    /// What kind it is.
    pub kind: InsideKind,
    /// What it is called.
    pub name: String,
    /// Nominal diameter, mm; of a half-round file, twice the radius of its back.
    pub diameter_mm: f64,
    /// The metric diameter it is sold as, mm.
    pub sold_as_mm: f64,
    /// Thickness of the paper around it, mm; 0 for a file.
    pub paper_mm: f64,
    /// Whether a shop that says nothing is taken to have it.
    pub usual: bool,
    /// How the figures are known.
    pub origin: Provenance,
}

/// A saw and the width of its cut.
#[derive(Clone, Debug, PartialEq)]
pub struct SawRow {
    /// What it is called.
    pub name: String,
    /// Width of the cut, mm.
    pub kerf_mm: f64,
    /// Whether a shop that says nothing is taken to have it.
    pub usual: bool,
    /// How the figure is known.
    pub origin: Provenance,
}

impl InsideToolRow {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        let kind = InsideKind::LABELS.iter().position(|word| Ok(*word) == row.text("kind"));
        let kind = kind.and_then(|at| InsideKind::ALL.get(at).copied());
        let paper = row.text("paper_mm")?.parse::<f64>();
        let paper = paper.ok().filter(|mm| (0.0..10.0).contains(mm));
        Ok(Self {
            kind: kind.ok_or_else(|| row.fault("kind", "a kind of tool for inside curves"))?,
            name: row.text("name")?.to_owned(),
            diameter_mm: row.positive("diameter_mm")?,
            sold_as_mm: row.positive("sold_as_mm")?,
            paper_mm: paper.ok_or_else(|| row.fault("paper_mm", "a thickness, or 0"))?,
            usual: usual(row)?,
            origin: row.origin()?,
        })
    }
}

impl SawRow {
    pub(super) fn from_row(row: &Row<'_>) -> Result<Self, TableError> {
        Ok(Self {
            name: row.text("name")?.to_owned(),
            kerf_mm: row.positive("kerf_mm")?,
            usual: usual(row)?,
            origin: row.origin()?,
        })
    }
}

fn usual(row: &Row<'_>) -> Result<bool, TableError> {
    match row.text("usual")? {
        "yes" => Ok(true),
        "no" => Ok(false),
        _ => Err(row.fault("usual", "yes or no")),
    }
}

impl Tables {
    /// The file, drum or dowel of the table that leaves the largest radius not over `radius_mm`:
    /// what to get for an inside curve.
    pub fn tool_for_inside(&self, radius_mm: f64) -> Option<&InsideToolRow> {
        let reach_mm = |tool: &InsideToolRow| tool.diameter_mm / 2.0 + tool.paper_mm;
        let tools = self.inside_tools().iter().filter(|tool| reach_mm(tool) <= radius_mm);
        tools.max_by(|a, b| reach_mm(a).total_cmp(&reach_mm(b)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The half-round's back by the formula for a circular segment (Machinery's Handbook,
    /// "Segments of Circles"): r = (w² + 4h²)/(8h).
    #[test]
    fn the_half_rounds_back_is_the_circle_through_its_section() {
        let tools = Tables::built_in().inside_tools();
        let half = tools.iter().find(|tool| tool.kind == InsideKind::HalfRound).unwrap();
        let (w, h) = (21.0_f64, 6.0);
        assert!((half.diameter_mm / 2.0 - (w * w + 4.0 * h * h) / (8.0 * h)).abs() < 0.05);
    }

    #[test]
    fn files_wear_no_paper_and_sizes_are_near_those_sold() {
        for tool in Tables::built_in().inside_tools() {
            assert_eq!(tool.paper_mm > 0.0, tool.kind.takes_abrasive_paper(), "{tool:?}");
            // Files differ by up to 0.13 mm between nominal and sold, dowels by up to 1 mm.
            let max = if tool.kind == InsideKind::Dowel { 1.0 } else { 0.14 };
            assert!((tool.diameter_mm - tool.sold_as_mm).abs() <= max, "{tool:?}");
        }
    }

    /// Tool radius is half its diameter: r 2.0 takes the 5/32 in file (r 1.984), not the 11/64.
    #[test]
    fn the_largest_tool_that_goes_into_a_curve_is_named() {
        let name = |r| Tables::built_in().tool_for_inside(r).map(|tool| tool.name.as_str());
        assert_eq!(name(2.0), Some("5/32 in round file"));
        assert_eq!(name(2.4), Some("3/16 in round file"));
        assert_eq!(name(1.0), None);
    }
}
