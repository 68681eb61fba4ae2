//! Finding: a sharp inside corner in hardened steel.

use super::{Finding, FindingContext, LimitSide, MAX_LISTED, Remedy, Rule, Severity};
use knife::{Edit, PartId};

/// Corners that turn by less have little to concentrate, degrees (common practice, no source).
const MIN_DEG: f64 = 10.0;
/// An outline of more nodes is mended by hand, or drawn anew.
const MAX_NODES: usize = 5_000;

pub(super) static RULE: Rule = Rule {
    key: "inside-corner-sharp",
    checks: "That inside corners of the outline are rounded.",
    rationale: "A sharp inside corner gathers stress: hardened steel cracks there, in the quench or later.",
    remedy: "Round the corner, or drill a small hole at its root.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(profile), Some(_)) = (ctx.profile, ctx.outline) else { return };
    let limit_mm = ctx.shop.limits.inside_radius_mm;
    let smallest = ctx.shop.inside_tools.iter().map(|tool| tool.radius_mm());
    let smallest = smallest.min_by(f64::total_cmp).unwrap_or(limit_mm);
    let radius_mm = limit_mm.max(smallest);
    for corner in &profile.inside_corners {
        let turn_deg = corner.angle_rad.to_degrees();
        if turn_deg < MIN_DEG || limit_mm <= 0.0 {
            continue;
        }
        let mut finding = RULE
            .finding(
                Severity::Care,
                format!(
                    "Sharp inside corner of {}: hardened steel cracks there.",
                    units::show_angle(turn_deg, 0)
                ),
                format!(
                    "The outline has a sharp inside corner at {}, turning by {}: hardened steel \
                 cracks there. Round it with a radius of at least {}.",
                    ctx.place(corner.at),
                    units::show_angle(turn_deg, 0),
                    ctx.length(limit_mm),
                ),
            )
            .measured(LimitSide::AtLeast, 0.0, limit_mm, ctx.source(&["inside_radius_mm"]))
            .at(corner.at);
        if let Some(node) = ctx.knife.profile.nodes.get(corner.node) {
            finding = finding.about([PartId::Node(node.id)]);
            // Half and a quarter of it, where the sides are too short for the whole. Each is
            // tried on a copy of the knife: not for those that are only counted, nor for hundreds
            // of thousands of nodes.
            let tried = findings.len() < MAX_LISTED && ctx.knife.profile.nodes.len() < MAX_NODES;
            let shares: &[f64] = if tried { &[1.0, 0.5, 0.25] } else { &[] };
            let rounded = shares
                .iter()
                .map(|share| Edit::RoundCorner { node: node.id, radius_mm: share * radius_mm })
                .find(|edit| edit.apply(ctx.knife).is_ok());
            if let Some(edit @ Edit::RoundCorner { radius_mm, .. }) = rounded
                && radius_mm >= limit_mm
            {
                let words = format!("Round it with {}", ctx.brief(radius_mm));
                finding = finding.mended_by(Remedy::new(words, edit));
            }
        }
        findings.push(finding);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Knife, Profile};
    use kurbo::Point;
    use outline::Outline;

    fn stepped(depth: f64) -> Knife {
        let corners = [
            (0.0, 15.0),
            (0.0, -15.0),
            (100.0, -15.0),
            (100.0, -15.0 + depth),
            (200.0, 0.0),
            (200.0, 15.0),
        ];
        let mut knife = blank();
        let outline = Outline::polygon(&corners.map(Point::from)).unwrap();
        knife.profile = Profile::from_outline(&outline);
        knife
    }

    #[test]
    fn a_sharp_step_is_rounded_by_the_remedy() {
        assert!(found(&blank(), RULE.key).is_empty());
        let knife = stepped(8.0);
        let finding = found(&knife, RULE.key).remove(0);
        assert_eq!(finding.place, Some(Point::new(100.0, -7.0)));
        let mended = finding.remedy.unwrap().apply(&knife).unwrap();
        assert!(found(&mended, RULE.key).is_empty());
        let radius = crate::sample::reckoned(&mended).profile.unwrap().tightest_inside.unwrap();
        assert!((radius.radius_mm - 1.5).abs() < 1e-3, "as the smallest tool leaves it");
    }
}
