//! Finding: the tang is weak where its holes are.

use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity, room};
use knife::{Edit, HoleId, PartId};
use units::show_number;

pub(super) static RULE: Rule = Rule {
    key: "tang-weak",
    checks: "That the holes leave the tang enough width and enough stiffness.",
    rationale: "A tang bends, or cracks in hardening, at its weakest section.",
    remedy: "Take smaller or fewer holes there, move them apart along the tang, or widen it.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(tang), limits) = (ctx.tang, &ctx.shop.limits) else { return };
    let width_share = tang.width_share();
    if width_share < limits.tang_net_share {
        let section = &tang.min_width;
        let limit_mm = limits.tang_net_share * section.full_mm;
        let finding = RULE.finding(
            Severity::Care,
            format!(
                "Only {} % of the tang's width is left at {}.",
                percent(width_share),
                numbered(ctx, &section.holes)
            ),
            format!(
                "At {} the tang is weakest: {} of its {} are left, {} %; the rule asks for {} %. \
                 Take smaller holes there, or move them apart.",
                named(ctx, &section.holes),
                ctx.length(section.net_mm),
                ctx.length(section.full_mm),
                percent(width_share),
                percent(limits.tang_net_share),
            ),
        ).measured(
            LimitSide::AtLeast,
            section.net_mm,
            limit_mm,
            ctx.source(&["tang_net_share"]),
        );
        finish(finding, ctx, &section.holes, findings);
    }
    let share = tang.stiffness_share();
    let section = &tang.min_stiffness;
    if share < limits.tang_stiffness_share && !section.holes.is_empty() {
        // The width of whole tangs that are as stiff as this one is, and as it should be.
        let thickness_mm = ctx.knife.bar.thickness_mm;
        let as_stiff = |moment_mm4: f64| (12.0 * moment_mm4 / thickness_mm).cbrt();
        let finding = RULE.finding(
            Severity::Care,
            format!(
                "Only {} % of the tang's stiffness is left at {}.",
                percent(share),
                numbered(ctx, &section.holes)
            ),
            format!(
                "At {} the tang has {} % of the stiffness it would have undrilled at its weakest \
                 ({} wide) against bending in the blade's plane; the rule asks for {} %. Move the \
                 hole to the middle of the tang, or take a smaller one.",
                named(ctx, &section.holes),
                percent(share),
                ctx.length(tang.min_undrilled.full_mm),
                percent(limits.tang_stiffness_share),
            ),
        )
.case("stiffness").measured(
            LimitSide::AtLeast,
            as_stiff(section.second_moment_mm4),
            as_stiff(limits.tang_stiffness_share * tang.min_undrilled.second_moment_mm4),
            ctx.source(&["tang_stiffness_share"]),
        );
        finish(finding, ctx, &section.holes, findings);
    }
}

fn percent(share: f64) -> String {
    show_number(100.0 * share, 0)
}

fn named(ctx: &FindingContext<'_>, holes: &[HoleId]) -> String {
    let names = ctx.holes.iter().filter(|hole| holes.contains(&hole.id)).map(|h| h.label());
    names.collect::<Vec<_>>().join(" and ")
}

/// The holes by their numbers, few however many there are.
fn numbered(ctx: &FindingContext<'_>, holes: &[HoleId]) -> String {
    let mut numbers = ctx.holes.iter().filter(|hole| holes.contains(&hole.id)).map(|h| h.number);
    match (numbers.next(), numbers.count()) {
        (None, _) => "its narrowest section".to_owned(),
        (Some(first), 0) => format!("hole {first}"),
        (Some(first), others) => format!("hole {first} and {others} more"),
    }
}

fn finish(
    finding: Finding,
    ctx: &FindingContext<'_>,
    holes: &[HoleId],
    findings: &mut Vec<Finding>,
) {
    let first = ctx.holes.iter().find(|hole| holes.contains(&hole.id));
    let finding = finding.about(holes.iter().map(|id| PartId::Hole(*id)));
    findings.push(finding.at(first.map(|hole| hole.at)).mended_by(to_the_middle(ctx, holes)));
}

/// Moves a hole that weakens the tang alone to the middle of the tang, where it takes least of its
/// stiffness, if it lies beside it.
fn to_the_middle(ctx: &FindingContext<'_>, holes: &[HoleId]) -> Option<Remedy> {
    let [hole] = holes else { return None };
    let hole = ctx.holes.iter().find(|figures| figures.id == *hole)?;
    let (upper_mm, lower_mm) = (hole.from_upper_mm?, hole.from_lower_mm?);
    ((upper_mm - lower_mm).abs() > 2.0 * room::SPARE_MM)
        .then(|| Remedy::new("Move it to the middle", Edit::CentreHole(hole.id)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};

    fn findings(holes: &[(f64, f64, f64)]) -> Vec<Finding> {
        let mut knife = drilled(holes);
        knife.scales = Some(knife::Scales { front_x_mm: 110.0, thickness_mm: 6.35 });
        found(&knife, RULE.key)
    }

    // A tang of 30 mm: a hole of 14 mm leaves 53 %, one of 16 mm 47 %; in the middle the latter
    // costs (16/30)³ = 15 % of the stiffness, which is allowed.
    #[test]
    fn half_the_width_is_asked_for() {
        assert!(findings(&[(150.0, 0.0, 14.0), (180.0, 0.0, 4.0)]).is_empty());
        let finding = findings(&[(150.0, 0.0, 16.0), (180.0, 0.0, 4.0)]).remove(0);
        assert!(
            finding.sentence.contains("14.00 mm of its 30.00 mm are left, 47 %"),
            "{finding:?}"
        );
        assert_eq!(finding.limit_mm, Some(15.0));
    }

    #[test]
    fn a_hole_at_the_side_costs_stiffness() {
        let findings = findings(&[(150.0, 9.0, 10.0), (180.0, 0.0, 4.0)]);
        assert_eq!(findings.len(), 1);
        assert!(findings[0].sentence.contains("% of the stiffness"), "{}", findings[0].sentence);
    }
}
