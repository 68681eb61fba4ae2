//! The bevel filed by hand: the centre line to scribe and the ladder of facets.

use crate::context::FigureContext;
use crate::solid;
use crate::tables::{Drill, Tables};
use crate::{BevelFigures, Shop};
use knife::{FiledAmount, Grind, GroundSides};

/// Facets after the first one at 45°, as long as none are chosen (this program's choice).
pub const DEFAULT_FACETS: u32 = 4;
/// A drill is as thick as the stock when it is off by no more than this, mm.
const AS_THICK_MM: f64 = 0.05;

/// What the hand at the file needs.
#[derive(Clone, Debug, PartialEq)]
pub struct FilingFigures {
    /// Heights over one face of the two lines that bound the edge, mm: t/2 − e/2 and t/2 + e/2
    /// with stock t and edge e. Ground on one side, the edge lies at the other face: 0 and e over
    /// that.
    pub edge_lines_mm: [f64; 2],
    /// The drill on hand as thick as the stock: laid beside it on a flat plate, its point marks
    /// the middle. `None` when there is none.
    pub centre_drill: Option<String>,
    /// The facets of a flat bevel, the one at 45° first; empty when the bevel is steeper than
    /// that itself, hollow or convex.
    pub facets: Vec<Facet>,
    /// What the maker's own timed filing says of the rest.
    pub time: Option<FilingTime>,
}

/// One facet of the ladder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facet {
    /// How far up from the edge it reaches at the plunge line, mm: the guide line to scribe.
    pub height_mm: f64,
    /// Its angle a side, degrees.
    pub angle_deg: f64,
    /// What it takes off a section of the blade on one face, mm², where the blade is at least as
    /// high as the facet.
    pub section_mm2: f64,
    /// The same as a share of what the whole bevel takes off there.
    pub share: f64,
    /// What it takes off the whole blade, all ground faces together, as long as no swedge is cut
    /// yet, mm³.
    pub volume_mm3: f64,
}

/// The time that filing takes, from what the maker's own hand did in a measured time. There is
/// no published rate of filing; without a timed piece nothing is told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FilingTime {
    /// Steel taken off in a minute, mm³.
    pub rate_mm3: f64,
    /// All faces from the first stroke to the last, minutes.
    pub whole_min: f64,
    /// What is left of it after the timed piece, minutes.
    pub left_min: f64,
}

/// Works out centre line and facets; `None` without bevels, or with an edge as thick as the bar.
pub(crate) fn figures(ctx: &FigureContext<'_>) -> Option<FilingFigures> {
    let (knife, bevel) = (ctx.knife, ctx.bevel?);
    let stated = knife.bevel?;
    let (stock_mm, edge_mm) = (knife.bar.thickness_mm, stated.edge_thickness_mm);
    if bevel.fall_mm <= 0.0 || stock_mm <= edge_mm {
        return None;
    }
    let rise_mm = (stock_mm - edge_mm) / 2.0;
    let both = stated.sides == GroundSides::Both;
    let count = knife.filing.map_or(DEFAULT_FACETS, |filing| filing.facets);
    let mut facets = match stated.grind {
        Grind::Flat => facet_ladder(bevel.fall_mm, bevel.height_mm, count),
        Grind::Hollow(_) | Grind::Convex(_) => Vec::new(),
    };
    let filed = facet_volumes(ctx, &mut facets);
    Some(FilingFigures {
        edge_lines_mm: if both { [rise_mm, rise_mm + edge_mm] } else { [0.0, edge_mm] },
        centre_drill: centre_drill(stock_mm, ctx.shop, ctx.tables),
        time: filed.and_then(|filed| time(ctx, bevel, &filed)),
        facets,
    })
}

/// What all facets take off up to each, and up to the timed height, mm³.
struct Filed {
    first_mm3: f64,
    timed_mm3: Option<f64>,
    whole_mm3: f64,
}

/// Gives each facet its volume.
fn facet_volumes(ctx: &FigureContext<'_>, facets: &mut [Facet]) -> Option<Filed> {
    let (first, last) = (facets.first()?.height_mm, facets.last()?.height_mm);
    let share = |height_mm: f64| (height_mm - first) / (last - first);
    let mut shares: Vec<f64> = facets.iter().map(|facet| share(facet.height_mm)).collect();
    let timed = ctx.knife.filing.and_then(|filing| match filing.timing?.done {
        FiledAmount::Height(mm) => Some(mm),
        FiledAmount::Grams(_) => None,
    });
    shares.extend(timed.map(|mm| share(mm.max(first).min(last))));
    let filed = solid::filed_mm3(ctx.field, ctx.sections, &shares);
    let mut before = 0.0;
    for (facet, mm3) in facets.iter_mut().zip(&filed) {
        facet.volume_mm3 = mm3 - before;
        before = *mm3;
    }
    let first_mm3 = *filed.first()?;
    let timed_mm3 = timed.and_then(|mm| {
        let low = (mm / first).min(1.0);
        // Below the first facet's height 45° cut a triangle that grows as the square.
        filed.get(facets.len()).map(|mm3| if low < 1.0 { first_mm3 * low * low } else { *mm3 })
    });
    Some(Filed { first_mm3, timed_mm3, whole_mm3: before })
}

/// From the timed piece of filing on one face to the time that all takes.
fn time(ctx: &FigureContext<'_>, bevel: &BevelFigures, filed: &Filed) -> Option<FilingTime> {
    let timing = ctx.knife.filing?.timing?;
    let both = ctx.knife.bevel?.sides == GroundSides::Both;
    let faces = if both { 2.0 } else { 1.0 };
    let done_mm3 = match timing.done {
        FiledAmount::Height(_) => filed.timed_mm3? / faces,
        FiledAmount::Grams(g) => 1000.0 * g / ctx.tables.steel(&ctx.knife.bar.grade)?.density_g_cm3,
    };
    let rate_mm3 = done_mm3 / timing.minutes;
    let sound = rate_mm3 > 0.0 && bevel.height_mm > 0.0 && filed.first_mm3 > 0.0;
    sound.then(|| FilingTime {
        rate_mm3,
        whole_min: filed.whole_mm3 / rate_mm3,
        left_min: ((filed.whole_mm3 - done_mm3) / rate_mm3).max(0.0),
    })
}

/// The facets from 45° a side down to the grind height, `count` of them after the first.
///
/// A facet that rises by r (half of stock less edge) over a height h stands at atan(r/h). From
/// 45° (h = r) the heights go up evenly, so that each takes off a triangle of the same base and
/// rise: r/2 times the step in height on each face. Empty when the bevel is steeper than 45°.
/// Volumes are left at nothing: they are a matter of the whole blade.
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
                volume_mm3: 0.0,
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
    use knife::{Bevel, Knife};
    use proptest::prelude::*;

    fn ground(grind_height_mm: f64, edge_thickness_mm: f64) -> Knife {
        let mut knife = blank();
        knife.bevel = Some(Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm,
            edge_thickness_mm,
            ..Bevel::default()
        });
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
