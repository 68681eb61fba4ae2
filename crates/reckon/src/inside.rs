//! Which file, drum or dowel reaches into the tightest inside curve.

use crate::tables::Tables;
use crate::{ProfileFigures, Shop};

/// A tool and the radius it leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct Reach {
    /// What it is called.
    pub name: String,
    /// The radius it leaves, mm: half its diameter, and its paper.
    pub radius_mm: f64,
}

/// Which tool reaches into the tightest inside curve.
#[derive(Clone, Debug, PartialEq)]
pub struct InsideReach {
    /// Radius of that curve, mm.
    pub radius_mm: f64,
    /// The largest tool on hand that goes in: the one that leaves the fewest ripples.
    pub tool: Option<Reach>,
    /// The smallest tool on hand.
    pub smallest: Option<Reach>,
    /// The largest tool of the table that goes in, when none on hand does.
    pub to_get: Option<Reach>,
}

/// A tool that is larger than the curve by no more than this still fits, mm: rounding.
const ROUNDING_MM: f64 = 1e-6;

/// `None` where nothing is hollow.
pub(crate) fn figures(
    profile: &ProfileFigures,
    shop: &Shop,
    tables: &Tables,
) -> Option<InsideReach> {
    let radius_mm = profile.tightest_inside.as_ref()?.radius_mm;
    let tools = || {
        shop.inside_tools
            .iter()
            .map(|tool| Reach { name: tool.name.clone(), radius_mm: tool.radius_mm() })
    };
    let by_radius = |a: &Reach, b: &Reach| a.radius_mm.total_cmp(&b.radius_mm);
    let tool = tools().filter(|tool| tool.radius_mm <= radius_mm + ROUNDING_MM).max_by(by_radius);
    let row = tables.tool_for_inside(radius_mm + ROUNDING_MM).filter(|_| tool.is_none());
    let to_get = row.map(|row| Reach {
        name: row.name.clone(),
        radius_mm: row.diameter_mm / 2.0 + row.paper_mm,
    });
    Some(InsideReach { radius_mm, tool, smallest: tools().min_by(by_radius), to_get })
}
