//! Finding: a knife that can't be drawn, or one that nothing holds.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use knife::PartId;

/// What lies exactly at the limit passes, mm.
const ROUNDING_MM: f64 = 1e-6;

pub(super) static RULE: Rule = Rule {
    key: "sheath-catches",
    checks: "That a sheath that follows the knife closely gives enough for guard, heel, finger groove and \
             swell of the handle to pass its mouth.",
    rationale: "Where the sheath is narrower nearer to its mouth than what lies in it, the knife hangs, \
                and comes out with a jerk.",
    remedy: "Let the knife come out straight (no close fit), take a shorter cover, or relief over the \
             scales.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(Ok(sheath)) = ctx.sheath else { return };
    let limits = &ctx.shop.limits;
    let (key, limit_mm, gives) = if sheath.kind().is_leather() {
        ("leather_give_mm", limits.leather_give_mm, "leather gives")
    } else {
        ("formed_give_mm", limits.formed_give_mm, "a formed sheath gives")
    };
    if sheath.catch_mm <= limit_mm + ROUNDING_MM {
        return;
    }
    let severity = if sheath.catch_mm > 3.0 * limit_mm { Severity::Stop } else { Severity::Care };
    let sentence = format!(
        "The sheath follows the knife so closely that it is {} narrower nearer to its mouth than what \
         lies farther in; {gives} by about {}. {}",
        ctx.length(sheath.catch_mm),
        ctx.length(limit_mm),
        RULE.remedy
    );
    let short = format!(
        "The knife catches {} in the sheath's mouth; {gives} about {}.",
        ctx.brief(sheath.catch_mm),
        ctx.brief(limit_mm)
    );
    findings.push(
        RULE.finding(severity, short, sentence)
            .measured(LimitSide::AtMost, sheath.catch_mm, limit_mm, ctx.source(&[key]))
            .about([PartId::Sheath]),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{STARTERS, Sheath, SheathKind};
    use units::LengthUnit;

    #[test]
    fn a_heel_far_below_the_handle_catches_in_a_close_sheath() {
        let mut knife = STARTERS.iter().find(|s| s.key == "chefs-8in").unwrap().knife();
        let usual = Sheath::usual(SheathKind::TwoSidedThermoplastic, LengthUnit::Inch);
        for close_fit in [true, false] {
            knife.sheath = Some(Sheath { close_fit, ..usual.clone() });
            assert_eq!(!found(&knife, RULE.key).is_empty(), close_fit);
        }
        // A plain bar catches nowhere.
        let mut knife = blank();
        knife.sheath = Some(usual);
        assert!(found(&knife, RULE.key).is_empty());
    }
}
