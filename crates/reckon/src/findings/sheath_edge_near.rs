//! Finding: stitches or eyelets that the edge may reach.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use knife::PartId;

/// What lies exactly at the limit passes, mm.
const ROUNDING_MM: f64 = 1e-6;

pub(super) static RULE: Rule = Rule {
    key: "sheath-edge-near",
    checks: "That enough of the welt, or of the formed flange, lies between the edge and the stitches \
             or eyelets.",
    rationale: "An edge that reaches the thread cuts it, and comes out of the sheath into the leg.",
    remedy: "Take a wider welt, stitches nearer to the rim, or eyelets farther from the knife.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(Ok(sheath)) = ctx.sheath else { return };
    let limits = &ctx.shop.limits;
    let (key, limit_mm, words) = if sheath.kind().is_leather() {
        ("welt_guard_mm", limits.welt_guard_mm, "of welt between the edge and the stitches")
    } else {
        ("eyelet_guard_mm", limits.eyelet_guard_mm, "between the knife and the eyelets")
    };
    if sheath.guard_mm >= limit_mm - ROUNDING_MM {
        return;
    }
    let severity = if sheath.guard_mm < limit_mm / 2.0 { Severity::Stop } else { Severity::Care };
    let sentence = format!(
        "The sheath leaves {} {words}; the rule asks for {}, so that the edge can't reach them. {}",
        ctx.length(sheath.guard_mm),
        ctx.length(limit_mm),
        RULE.remedy
    );
    let short = format!("The sheath leaves only {} {words}.", ctx.brief(sheath.guard_mm));
    findings.push(
        RULE.finding(severity, short, sentence)
            .measured(LimitSide::AtLeast, sheath.guard_mm, limit_mm, ctx.source(&[key]))
            .about([PartId::Sheath]),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Sheath, SheathBody, SheathKind};
    use units::LengthUnit;

    // By hand: of a welt of 12 mm, stitched 7 mm from the rim, 5 mm are left; 9.6 leave 2.4.
    #[test]
    fn the_welt_keeps_the_edge_from_the_thread() {
        for (margin, severity) in
            [(7.0, None), (7.1, Some(Severity::Care)), (9.6, Some(Severity::Stop))]
        {
            let mut sheath = Sheath::usual(SheathKind::FoldedLeather, LengthUnit::Millimetre);
            if let SheathBody::Leather(leather) = &mut sheath.body {
                leather.stitch_margin_mm = margin;
            }
            let mut knife = blank();
            knife.sheath = Some(sheath);
            let told = found(&knife, RULE.key).first().map(|finding| finding.severity);
            assert_eq!(told, severity, "{margin}");
        }
    }

    // By hand: eyelets of 6 mm, 5 mm from the knife to their middle, leave 2 mm.
    #[test]
    fn eyelets_stay_off_the_knife() {
        let mut sheath = Sheath::usual(SheathKind::TwoSidedThermoplastic, LengthUnit::Millimetre);
        if let SheathBody::Formed(formed) = &mut sheath.body {
            formed.eyelet_offset_mm = 5.0;
        }
        let mut knife = blank();
        knife.sheath = Some(sheath);
        let finding = found(&knife, RULE.key).remove(0);
        assert!((finding.measured_mm.unwrap() - 2.0).abs() < 1e-9);
    }
}
