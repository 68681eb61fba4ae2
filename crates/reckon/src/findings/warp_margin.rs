//! Finding: the blade is so long for its thickness that it warps easily in the quench.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use knife::PartId;
use units::show_number;

pub(super) static RULE: Rule = Rule {
    key: "warp-margin",
    checks: "That the blade isn't very long for its thickness.",
    rationale: "A long thin blade bends in the fire under its own weight and warps in the quench.",
    remedy: "Take thicker steel or a shorter blade, or harden it before the bevels are ground, \
           quench it straight down and have a clamp at hand.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(blade_mm), Some(times)) = (ctx.heat.blade_mm, ctx.heat.slenderness) else {
        return;
    };
    let (max, stock_mm) = (ctx.shop.limits.slender_times, ctx.knife.bar.thickness_mm);
    // A hair over is rounding.
    if times <= max * (1.0 + 1e-9) {
        return;
    }
    let source = ctx.source(&["slender_times"]);
    findings.push(
        RULE.finding(
            Severity::Care,
            format!(
                "The blade is {} times as long as thick: it warps easily.",
                show_number(times, 0)
            ),
            format!(
                "The blade, {} long, is {} times as long as its steel is thick; over {} it warps \
             easily in the quench. Grind the bevels after hardening, or take thicker steel; quench \
             straight down and clamp it straight at once.",
                ctx.length(blade_mm),
                show_number(times, 0),
                show_number(max, 0),
            ),
        )
        .measured(LimitSide::AtMost, blade_mm, max * stock_mm, source)
        .about([PartId::Profile]),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};

    // The blank's edge ends 100 mm behind its tip: 0.5 mm of stock goes 200 times into that.
    #[test]
    fn a_long_thin_blade_is_told() {
        let mut knife = blank();
        for (thickness_mm, message) in [(3.175, 0), (0.8, 0), (0.5, 1)] {
            knife.bar.thickness_mm = thickness_mm;
            assert_eq!(found(&knife, RULE.key).len(), message, "{thickness_mm}");
        }
        let finding = found(&knife, RULE.key).remove(0);
        assert_eq!((finding.measured_mm, finding.limit_mm), (Some(100.0), Some(62.5)));
    }
}
