//! Finding: too little of the handle in the sheath.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use knife::PartId;

/// What lies exactly at the limit passes, mm.
const ROUNDING_MM: f64 = 1e-6;

pub(super) static RULE: Rule = Rule {
    key: "sheath-holds-little",
    checks: "That the sheath reaches far enough up the handle to hold it, and leaves enough to grip.",
    rationale: "A knife that is held by its blade alone falls out; one that is all in the sheath \
                can't be gripped.",
    remedy: "Let the sheath reach farther up the handle, or less far.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(Ok(sheath)) = ctx.sheath else { return };
    let limits = &ctx.shop.limits;
    let (held_mm, whole_mm) = sheath.held_mm;
    let (case, key, measured_mm, limit_mm, words) = if held_mm < limits.handle_held_mm - ROUNDING_MM
    {
        let words =
            "The sheath holds {} of the handle; the rule asks for {}. Let it reach farther up.";
        ("", "handle_held_mm", held_mm, limits.handle_held_mm, words)
    } else if whole_mm - held_mm < limits.handle_free_mm - ROUNDING_MM {
        let words = "The sheath leaves {} of the handle to grip; the rule asks for {}. Let it reach \
                     less far up.";
        ("grip", "handle_free_mm", whole_mm - held_mm, limits.handle_free_mm, words)
    } else {
        return;
    };
    let sentence =
        words.replacen("{}", &ctx.length(measured_mm), 1).replacen("{}", &ctx.length(limit_mm), 1);
    let does = if case.is_empty() { "holds" } else { "leaves free" };
    let short = format!("The sheath {does} only {} of the handle.", ctx.brief(measured_mm));
    findings.push(
        RULE.finding(Severity::Care, short, sentence)
            .case(case)
            .measured(LimitSide::AtLeast, measured_mm, limit_mm, ctx.source(&[key]))
            .about([PartId::Sheath]),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Sheath, SheathKind};
    use units::LengthUnit;

    // By hand: the handle is 100 mm from the heel to the butt: at least 20 in, 50 out.
    #[test]
    fn some_of_the_handle_is_held_and_some_is_free() {
        for (cover_mm, told) in [(19.0, Some("")), (20.0, None), (50.0, None), (51.0, Some("grip"))]
        {
            let mut knife = blank();
            let usual = Sheath::usual(SheathKind::FoldedLeather, LengthUnit::Millimetre);
            knife.sheath = Some(Sheath { cover_mm, ..usual });
            let case = found(&knife, RULE.key).first().map(|finding| finding.case);
            assert_eq!(case, told, "{cover_mm}");
        }
    }
}
