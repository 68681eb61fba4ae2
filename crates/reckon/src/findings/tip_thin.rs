//! Finding: the tip is so thin that it burns or breaks.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use crate::intervals::spans;
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "tip-thin",
    checks: "That the blade has some width a little behind its tip.",
    rationale: "A needle-thin tip overheats in the fire, warps in the quench and breaks in use.",
    remedy: "Give the tip more belly or a lower spine, or leave it long and grind it back after heat.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(outline), Some(profile)) = (ctx.outline, ctx.profile) else { return };
    let tip = ctx.knife.profile.tip.and_then(|id| ctx.knife.profile.node(id));
    let Some(tip) = tip else { return };
    let limits = &ctx.shop.limits;
    let x = tip.at.x + profile.towards_butt * limits.tip_back_mm;
    // The piece of the section that lies nearest to the tip's height.
    let off = |(low, high): &(f64, f64)| (f64::midpoint(*low, *high) - tip.at.y).abs();
    let pieces = spans(outline, x).into_iter();
    let Some((low, high)) = pieces.min_by(|a, b| off(a).total_cmp(&off(b))) else { return };
    let width_mm = high - low;
    if width_mm >= limits.tip_width_mm {
        return;
    }
    findings.push(RULE.finding(
        Severity::Care,
        format!("The blade is only {} wide just behind its tip.", ctx.brief(width_mm)),
        format!(
            "The blade is only {} wide {} behind its tip; the rule asks for {}. Give the tip more \
             belly, or grind it to shape after heat treatment.",
            ctx.length(width_mm),
            ctx.length(limits.tip_back_mm),
            ctx.length(limits.tip_width_mm),
        ),
    ).measured(
        LimitSide::AtLeast,
        width_mm,
        limits.tip_width_mm,
        ctx.source(&["tip_width_mm", "tip_back_mm"]),
    ).about([PartId::Node(tip.id)]).at(tip.at));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Knife, Profile};
    use kurbo::Point;
    use outline::Outline;

    /// A wedge: at 3 mm from its point a half angle of a has a width of 2 · 3 · tan a.
    fn wedge(half_deg: f64) -> Knife {
        let half = 40.0 * half_deg.to_radians().tan();
        let corners = [(0.0, 0.0), (40.0, -half), (200.0, -half), (200.0, half), (40.0, half)];
        let mut knife = blank();
        let outline = Outline::polygon(&corners.map(Point::from)).unwrap();
        knife.profile = Profile::from_outline(&outline);
        knife.profile.tip = knife.profile.nodes.first().map(|node| node.id);
        knife
    }

    #[test]
    fn a_needle_is_told() {
        assert!(found(&blank(), RULE.key).is_empty());
        assert!(found(&wedge(10.0), RULE.key).is_empty());
        let finding = found(&wedge(9.0), RULE.key).remove(0);
        let expected = 6.0 * 9.0_f64.to_radians().tan();
        assert!((finding.measured_mm.unwrap() - expected).abs() < 1e-9);
    }
}
