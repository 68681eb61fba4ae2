//! Finding: too little steel between two holes.

use super::{Finding, FindingContext, LimitSide, MAX_GATHERED, Rule, Severity, pairs, room};
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "web-between-holes",
    checks: "That the web between two holes is at least a diameter of the larger, and 3 mm.",
    rationale: "A thin web cracks in hardening and lets the drill wander; one of a few tenths of a \
              millimetre breaks out while it is drilled.",
    remedy: "Move the holes apart, take a smaller drill or remove one.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let limits = &ctx.shop.limits;
    for (a, b, web_mm) in pairs(ctx.holes) {
        let larger = a.diameter_mm.max(b.diameter_mm);
        let by_diameter_mm = limits.web_care_diameters * larger;
        let limit_mm = by_diameter_mm.max(limits.web_care_mm);
        let rules =
            if by_diameter_mm >= limits.web_care_mm { "web_care_diameters" } else { "web_care_mm" };
        if web_mm < 0.0 || web_mm >= limit_mm - ROUNDING_MM {
            continue;
        }
        if findings.len() >= MAX_GATHERED {
            break;
        }
        let stops = web_mm < limits.web_stop_mm - ROUNDING_MM;
        let rules: &[&str] = if stops { &["web_stop_mm", rules] } else { &[rules] };
        findings.push(
            RULE.finding(
                if stops { Severity::Stop } else { Severity::Care },
                format!(
                    "Only {} of steel between holes {} and {}.",
                    ctx.brief(web_mm),
                    a.number,
                    b.number
                ),
                format!(
                    "Between {} and {} the web is {}; the rule asks for {}. Move them apart \
                 by {} or take a smaller drill.",
                    a.label(),
                    b.label(),
                    ctx.length(web_mm),
                    ctx.length(limit_mm),
                    ctx.length(limit_mm - web_mm),
                ),
            )
            .measured(LimitSide::AtLeast, web_mm, limit_mm, ctx.source(rules))
            .about([PartId::Hole(a.id), PartId::Hole(b.id)])
            .at(a.at.midpoint(b.at))
            .mended_by(room::apart(ctx, (a, b), web_mm)),
        );
    }
}

/// Holes placed exactly at the limit pass.
const ROUNDING_MM: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};

    #[test]
    fn a_diameter_of_the_larger_and_three_millimetres_are_asked_for() {
        let pair = |gap: f64| drilled(&[(150.0, 0.0, 6.0), (150.0 + 5.0 + gap, 0.0, 4.0)]);
        assert!(found(&pair(6.0), RULE.key).is_empty());
        let finding = found(&pair(5.5), RULE.key).remove(0);
        assert_eq!((finding.limit_mm, finding.severity), (Some(6.0), Severity::Care));
        assert!(finding.sentence.starts_with("Between hole 1 (pin hole) and hole 2 (pin hole)"));
        // 0.007 in between two holes is no web at all.
        let thread = found(&pair(0.1778), RULE.key).remove(0);
        assert_eq!(thread.severity, Severity::Stop);
        assert_eq!(found(&pair(0.5), RULE.key)[0].severity, Severity::Care);
        assert_eq!(found(&pair(0.49), RULE.key)[0].severity, Severity::Stop);
        let small = drilled(&[(150.0, 0.0, 2.0), (154.5, 0.0, 2.0)]);
        assert_eq!(found(&small, RULE.key)[0].limit_mm, Some(3.0));
    }
}
