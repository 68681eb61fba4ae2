//! The bevel filed by hand: the centre line to scribe and the ladder of facets.

use crate::Shop;
use crate::tables::{Drill, Tables};
use knife::Knife;

/// Facets after the first one at 45°, as long as none are chosen (this program's choice).
pub const USUAL_FACETS: u32 = 4;
/// A drill is as thick as the stock when it is off by no more than this, mm.
const AS_THICK_MM: f64 = 0.05;

/// What the hand at the file needs of a flat bevel on both faces.
#[derive(Clone, Debug, PartialEq)]
pub struct FilingFigures {
    /// Heights over one face of the two lines that bound the edge, mm: t/2 − e/2 and t/2 + e/2
    /// with stock t and edge e.
    pub edge_lines_mm: [f64; 2],
    /// The drill on hand as thick as the stock: laid beside it on a flat plate, its point marks
    /// the middle. `None` when there is none.
    pub centre_drill: Option<String>,
    /// The facets, the one at 45° first; empty when the bevel is steeper than that itself.
    pub facets: Vec<Facet>,
}

/// One facet of the ladder, alike on both faces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facet {
    /// How far up from the edge it reaches, mm: the guide line to scribe.
    pub height_mm: f64,
    /// Its angle a side, degrees.
    pub angle_deg: f64,
    /// What it takes off a section of the blade on one face, mm², where the blade is at least as
    /// high as the facet.
    pub section_mm2: f64,
    /// The same as a share of what the whole bevel takes off there.
    pub share: f64,
}

/// Works out centre line and facets; `None` without bevels, or with an edge as thick as the bar.
pub(crate) fn figures(knife: &Knife, shop: &Shop, tables: &Tables) -> Option<FilingFigures> {
    let bevel = knife.bevel?;
    let (stock_mm, edge_mm) = (knife.bar.thickness_mm, bevel.edge_thickness_mm);
    let rise_mm = (stock_mm - edge_mm) / 2.0;
    (rise_mm > 0.0).then(|| FilingFigures {
        edge_lines_mm: [rise_mm, rise_mm + edge_mm],
        centre_drill: centre_drill(stock_mm, shop, tables),
        facets: facet_ladder(rise_mm, bevel.grind_height_mm, USUAL_FACETS),
    })
}

/// The facets from 45° a side down to the grind height, `count` of them after the first.
///
/// A facet that rises by r (half of stock less edge) over a height h stands at atan(r/h). From
/// 45° (h = r) the heights go up evenly, so that each takes off a triangle of the same base and
/// rise: r/2 times the step in height on each face. Empty when the bevel is steeper than 45°.
///
/// ```
/// let facets = reckon::facet_ladder(1.5, 21.5, 4);
/// assert_eq!(facets.len(), 5);
/// assert_eq!((facets[0].height_mm, facets[0].angle_deg), (1.5, 45.0));
/// assert!((facets[4].section_mm2 - 1.5 / 2.0 * 5.0).abs() < 1e-12);
/// ```
pub fn facet_ladder(rise_mm: f64, height_mm: f64, count: u32) -> Vec<Facet> {
    let is_ladder = rise_mm > 0.0 && height_mm > rise_mm && height_mm.is_finite() && count > 0;
    if !is_ladder {
        return Vec::new();
    }
    let whole_mm2 = rise_mm * height_mm / 2.0;
    let step_mm = (height_mm - rise_mm) / f64::from(count);
    (0..=count)
        .map(|k| {
            let height_mm = rise_mm + step_mm * f64::from(k);
            let section_mm2 = rise_mm / 2.0 * if k == 0 { rise_mm } else { step_mm };
            Facet {
                height_mm,
                angle_deg: rise_mm.atan2(height_mm).to_degrees(),
                section_mm2,
                share: section_mm2 / whole_mm2,
            }
        })
        .collect()
}

/// The drill on hand that is nearest to the stock's thickness, if it is as thick.
fn centre_drill(stock_mm: f64, shop: &Shop, tables: &Tables) -> Option<String> {
    let off = |drill: &Drill| (drill.diameter_mm - stock_mm).abs();
    shop.drills_on_hand(tables)
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .filter(|drill| off(drill) <= AS_THICK_MM)
        .map(|drill| drill.name.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, reckoned};
    use crate::shop::DrillSet;
    use crate::{reckon, tables::Tables};
    use knife::Bevel;
    use proptest::prelude::*;

    fn ground(grind_height_mm: f64, edge_thickness_mm: f64) -> Knife {
        let mut knife = blank();
        knife.bevel = Some(Bevel { plunge_x_mm: 90.0, grind_height_mm, edge_thickness_mm });
        knife
    }

    /// Machinery's Handbook, solution of right triangles: t 3.175, e 0.508, h 25.4 mm give
    /// 3.0052694° a side, and both sides of the bevel 33.8709 mm² of section.
    #[test]
    fn the_last_facet_is_the_handbooks_bevel() {
        let filing = reckoned(&ground(25.4, 0.508)).filing.unwrap();
        let last = filing.facets.last().unwrap();
        assert!((last.angle_deg - 3.005_269_4).abs() < 5e-8);
        assert!((last.height_mm - 25.4).abs() < 1e-12);
        let both_mm2: f64 = filing.facets.iter().map(|facet| 2.0 * facet.section_mm2).sum();
        assert!((both_mm2 - 33.8709).abs() < 5e-5, "{both_mm2}");
    }

    #[test]
    fn the_edges_lines_lie_evenly_about_the_middle_and_a_drill_finds_it() {
        // 1/8 in bar, 0.020 in edge: lines 0.0525 and 0.0725 in over a face, by hand.
        let filing = reckoned(&ground(25.4, 0.508)).filing.unwrap();
        assert!((filing.edge_lines_mm[0] / 25.4 - 0.0525).abs() < 1e-12);
        assert!((filing.edge_lines_mm[1] / 25.4 - 0.0725).abs() < 1e-12);
        assert_eq!(filing.centre_drill.as_deref(), Some("1/8"));
        let shop = Shop { drill_sets: vec![DrillSet::Number], ..Shop::default() };
        let tables = Tables::built_in();
        let filing = reckon(&ground(25.4, 0.508), &shop, tables).filing.unwrap();
        // No. 30 is 0.1285 in, No. 31 0.120 in: neither is 1/8 in thick.
        assert_eq!(filing.centre_drill, None);
    }

    #[test]
    fn a_bevel_steeper_than_45_degrees_or_an_edge_as_thick_as_the_bar_has_no_ladder() {
        assert!(reckoned(&ground(1.0, 0.5)).filing.unwrap().facets.is_empty());
        assert_eq!(reckoned(&ground(20.0, 3.175)).filing, None);
        assert_eq!(reckoned(&blank()).filing, None);
        for (rise, height, count) in [(f64::NAN, 9.0, 4), (1.0, f64::INFINITY, 4), (1.0, 9.0, 0)] {
            assert!(facet_ladder(rise, height, count).is_empty());
        }
    }

    proptest! {
        #[test]
        fn facets_take_off_alike_and_add_up_to_the_bevel(
            rise in 0.2..5.0f64, times in 1.01..60.0f64, count in 1..12u32,
        ) {
            let facets = facet_ladder(rise, rise * times, count);
            let sum: f64 = facets.iter().map(|facet| facet.share).sum();
            prop_assert!((sum - 1.0).abs() < 1e-9);
            for pair in facets.windows(2) {
                prop_assert!(pair[1].angle_deg < pair[0].angle_deg);
                // What lies between two facets, by the triangles over their heights.
                let between = rise * (pair[1].height_mm - pair[0].height_mm) / 2.0;
                prop_assert!((pair[1].section_mm2 - between).abs() < 1e-9);
                prop_assert!((pair[1].share - facets[1].share).abs() < 1e-9);
            }
        }
    }
}
