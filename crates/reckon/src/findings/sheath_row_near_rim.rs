//! Finding: stitches or eyelets too near to the rim, or a belt loop over the stitches.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use knife::{PartId, SheathBody};

/// What lies exactly at the limit passes, mm.
const ROUNDING_MM: f64 = 1e-6;

pub(super) static RULE: Rule = Rule {
    key: "sheath-row-near-rim",
    checks: "That stitches and eyelets lie far enough from the rim, and the belt loop within the row.",
    rationale: "Near the rim a stitch tears out of the leather and a hole breaks out of the sheet; under a \
                loop stitches can't be sewn.",
    remedy: "Move the row inward or the rim outward; take a narrower loop.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(Ok(sheath)) = ctx.sheath else { return };
    let limits = &ctx.shop.limits;
    let (key, left_mm, limit_mm, what) = match &sheath.stated.body {
        SheathBody::Leather(leather) => {
            ("stitch_rim_mm", leather.stitch_margin_mm, limits.stitch_rim_mm, "stitches lie")
        }
        SheathBody::Formed(formed) => {
            let left_mm = formed.eyelet_margin_mm - formed.eyelet_mm / 2.0;
            ("eyelet_rim_mm", left_mm, limits.eyelet_rim_mm, "holes for eyelets lie")
        }
    };
    if left_mm < limit_mm - ROUNDING_MM {
        let sentence = format!(
            "The sheath's {what} {} from its rim; the rule asks for {}. {}",
            ctx.length(left_mm),
            ctx.length(limit_mm),
            RULE.remedy
        );
        let short = format!("The sheath's {what} only {} from its rim.", ctx.brief(left_mm));
        findings.push(
            RULE.finding(Severity::Care, short, sentence)
                .measured(LimitSide::AtLeast, left_mm, limit_mm, ctx.source(&[key]))
                .about([PartId::Sheath]),
        );
    }
    let Some(own) = &sheath.belt_loop else { return };
    let corners = [(own.tab.x0, own.tab.y0), (own.tab.x1, own.tab.y0)].map(kurbo::Point::from);
    let gap = |corner: kurbo::Point| {
        let holes = sheath.row.holes.iter();
        holes.map(|hole| hole.distance(corner)).fold(f64::MAX, f64::min)
    };
    let near_mm = corners.into_iter().map(gap).fold(f64::MAX, f64::min);
    let row_y = sheath.row.line.last().map_or(f64::MIN, |p| p.y);
    let over = corners.iter().any(|corner| corner.y < row_y);
    let near_mm = if over { -near_mm } else { near_mm };
    if near_mm < limits.stitch_rim_mm - ROUNDING_MM {
        let sentence = format!(
            "The belt loop is {} wide: {} the row of stitches at the edge. Take a narrower loop, or a \
             narrower belt's.",
            ctx.length(own.stated.width_mm),
            if over {
                "it covers".to_owned()
            } else {
                format!("it lies {} from", ctx.length(near_mm))
            },
        );
        let short = if over {
            "The belt loop covers the row of stitches at the edge.".to_owned()
        } else {
            format!("The belt loop lies {} from the row of stitches.", ctx.brief(near_mm))
        };
        let source = ctx.source(&["stitch_rim_mm"]);
        findings.push(
            RULE.finding(Severity::Care, short, sentence)
                .case("belt loop")
                .measured(LimitSide::AtLeast, near_mm, limits.stitch_rim_mm, source)
                .about([PartId::Sheath]),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Sheath, SheathKind};
    use units::LengthUnit;

    #[test]
    fn rows_keep_off_the_rim() {
        for (margin, message) in [(2.5, false), (2.4, true)] {
            let mut sheath = Sheath::usual(SheathKind::TwoSidedLeather, LengthUnit::Millimetre);
            if let SheathBody::Leather(leather) = &mut sheath.body {
                (leather.stitch_margin_mm, leather.loop_for) = (margin, None);
            }
            let mut knife = blank();
            knife.sheath = Some(sheath);
            assert_eq!(found(&knife, RULE.key).len(), usize::from(message), "{margin}");
        }
    }

    // By hand: the knife is 30 mm wide; a loop of 80 mm reaches past the row 9 mm below it.
    #[test]
    fn a_loop_lies_within_the_row() {
        for (width, message) in [(25.0, false), (80.0, true)] {
            let mut sheath = Sheath::usual(SheathKind::FoldedLeather, LengthUnit::Millimetre);
            if let SheathBody::Leather(leather) = &mut sheath.body
                && let Some(own) = &mut leather.loop_for
            {
                own.width_mm = width;
            }
            let mut knife = blank();
            knife.sheath = Some(sheath);
            let told = found(&knife, RULE.key);
            assert_eq!(told.len(), usize::from(message), "{told:?}");
            assert!(told.iter().all(|finding| finding.case == "belt loop"));
        }
    }
}
