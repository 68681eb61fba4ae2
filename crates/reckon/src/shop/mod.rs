//! The maker's shop: what is owned, and the limits to work by.

mod chamber;
pub mod file;
mod limits;
mod own_steel;
mod tool;
pub mod trim;

pub use chamber::{Chamber, FlatPiece, rectangle_fits};
pub use limits::{LIMITS, LimitRow, LimitUnit, Limits};
pub use own_steel::OwnSteel;
pub use tool::{BarOnHand, DrillSet, InsideTool, PinOnHand, Printer, Saw};
pub use trim::Trim;

use crate::tables::{Drill, Tables};
use units::DrillName;

/// What the maker owns and works by.
///
/// A shop that says nothing has every drill of the table, the files, drums, dowels and saws that
/// the tables call usual, and the limits' defaults; of anything else nothing is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Shop {
    /// What it is called; may be empty.
    pub name: String,
    /// Whole sets of drills on hand.
    pub drill_sets: Vec<DrillSet>,
    /// Single drills on hand besides.
    pub drills: Vec<DrillName>,
    /// Files, drums and dowels that reach into inside curves.
    pub inside_tools: Vec<InsideTool>,
    /// Saws.
    pub saws: Vec<Saw>,
    /// Pin stock on hand; empty when nothing is known of it.
    pub pins: Vec<PinOnHand>,
    /// Bars on hand; empty when nothing is known of them.
    pub bars: Vec<BarOnHand>,
    /// Steels of the maker's own, each with its source; they go before those of the tables.
    pub steels: Vec<OwnSteel>,
    /// Papers on hand, by name; empty when nothing is known of them.
    pub papers: Vec<String>,
    /// Printers, each with the trim measured for it.
    pub printers: Vec<Printer>,
    /// The inside of the oven.
    pub oven: Option<Chamber>,
    /// The inside of the forge's chamber.
    pub forge: Option<Chamber>,
    /// The inside of the quench tank, up to the oil's level.
    pub quench_tank: Option<Chamber>,
    /// The limits that findings measure against.
    pub limits: Limits,
}

impl Default for Shop {
    fn default() -> Self {
        let tables = Tables::built_in();
        let usual = tables.inside_tools().iter().filter(|row| row.usual);
        let saws = tables.saws().iter().filter(|row| row.usual);
        Self {
            name: String::new(),
            drill_sets: DrillSet::ALL.to_vec(),
            drills: Vec::new(),
            inside_tools: usual.map(InsideTool::from).collect(),
            saws: saws.map(Saw::from).collect(),
            pins: Vec::new(),
            bars: Vec::new(),
            steels: Vec::new(),
            papers: Vec::new(),
            printers: Vec::new(),
            oven: None,
            forge: None,
            quench_tank: None,
            limits: Limits::default(),
        }
    }
}

impl Shop {
    /// Whether this drill is on hand.
    pub fn has_drill(&self, drill: DrillName) -> bool {
        self.drill_sets.iter().any(|set| set.contains(drill)) || self.drills.contains(&drill)
    }

    /// The drills on hand, as the table has them.
    pub fn drills_on_hand<'t>(&self, tables: &'t Tables) -> impl Iterator<Item = &'t Drill> {
        tables.drills().iter().filter(|drill| self.has_drill(drill.name))
    }

    /// The narrowest saw cut, mm; `None` without a saw.
    pub fn min_kerf_mm(&self) -> Option<f64> {
        self.saws.iter().map(|saw| saw.kerf_mm).min_by(f64::total_cmp)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shop_that_says_nothing_has_what_is_usual() {
        let (shop, tables) = (Shop::default(), Tables::built_in());
        assert_eq!(shop.drills_on_hand(tables).count(), tables.drills().len());
        assert!(shop.inside_tools.len() >= 10);
        assert_eq!(shop.min_kerf_mm(), Some(1.0));
        for row in LIMITS {
            let usual = (row.get)(&shop.limits);
            assert!(row.range.contains(&usual), "{}", row.key);
            assert!(row.source.len() > 15 && !row.label.is_empty(), "{}", row.key);
        }
    }

    #[test]
    fn limits_that_belong_together_are_kept_in_order() {
        let mut limits = Limits { edge_stop_diameters: 2.0, ..Limits::default() };
        limits.keep_in_order("edge_stop_diameters");
        assert_eq!((limits.edge_stop_diameters, limits.edge_care_diameters), (2.0, 2.0));
        limits.edge_care_diameters = 1.2;
        limits.keep_in_order("edge_care_diameters");
        assert_eq!((limits.edge_stop_diameters, limits.edge_care_diameters), (1.2, 1.2));
        limits.keep_in_order("tip_width_mm");
        assert_eq!(limits.edge_stop_diameters, 1.2);
    }

    #[test]
    fn drills_are_those_of_the_sets_and_the_single_ones() {
        let number_30 = DrillName::number(30).unwrap();
        let five_mm = DrillName::metric(5.0).unwrap();
        let shop =
            Shop { drill_sets: vec![DrillSet::Fraction], drills: vec![five_mm], ..Shop::default() };
        assert!(!shop.has_drill(number_30) && shop.has_drill(five_mm));
        // 1/16 to 1/2 by 64ths, and the one metric drill.
        assert_eq!(shop.drills_on_hand(Tables::built_in()).count(), 29 + 1);
    }
}
