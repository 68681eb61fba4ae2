//! How many usual bars would take all blanks, by length.

use super::Plan;
use crate::tables::{BarSide, Tables};
use knife::Knife;
use outline::packing::{self, Effort, Strip};

/// A quick look is enough to count bars.
const QUICK: Effort = Effort { max_steps: 1500, beam_width: 2, fine: false };
/// More bars than this of one length nobody buys for one batch.
const MAX_BARS: usize = 30;

/// How many bars of a usual length take all.
#[derive(Clone, Debug, PartialEq)]
pub struct StockBarCount {
    /// The length as it is sold, such as `36 in`.
    pub name: String,
    /// The length, mm.
    pub length_mm: f64,
    /// How many bars.
    pub bars: usize,
    /// Length left over of the last, mm.
    pub offcut_mm: f64,
}

/// The usual lengths of the first blank's own system of units that take all blanks, the
/// shortest first.
pub(super) fn counts(plan: &Plan, knives: &[&Knife], tables: &Tables) -> Vec<StockBarCount> {
    let Some(first) = knives.first() else { return Vec::new() };
    let mut counts: Vec<StockBarCount> = Vec::new();
    for size in tables.bar_sizes(BarSide::Length, first.unit) {
        let strip = Strip { length_mm: size.size_mm, ..plan.strip };
        let some = 2 * super::most_by_area(&plan.shapes, &strip) * plan.shapes.len();
        let mut left = plan.items.clone();
        let (mut bars, mut offcut_mm) = (0, 0.0);
        while !left.is_empty() && bars < MAX_BARS {
            // More than twice what the bar's steel is enough for need not be looked at.
            let rest = left.split_off(left.len().min(some));
            let found = packing::pack(&plan.shapes, &left, &strip, QUICK, &mut |_| true);
            if found.placed.is_empty() {
                break;
            }
            bars += 1;
            offcut_mm = (size.size_mm - found.length_mm).max(0.0);
            left = found.unplaced.iter().map(|item| left[*item]).chain(rest).collect();
        }
        // A longer bar of which as many are needed is no help.
        let fewer = counts.last().is_none_or(|last| bars < last.bars);
        if left.is_empty() && bars > 0 && fewer {
            let name = size.name.clone();
            counts.push(StockBarCount { name, length_mm: size.size_mm, bars, offcut_mm });
            if bars == 1 {
                break;
            }
        }
    }
    counts
}
