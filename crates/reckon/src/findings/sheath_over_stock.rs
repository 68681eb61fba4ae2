//! Finding: a sheath's piece that the shop has no leather or sheet for.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use knife::PartId;

/// What just goes on it passes, mm.
const ROUNDING_MM: f64 = 1e-6;

pub(super) static RULE: Rule = Rule {
    key: "sheath-over-stock",
    checks: "That the sheath's main piece goes on the shop's piece of leather or sheet of thermoplastic.",
    rationale: "A piece that is too small is noticed after the other half is cut.",
    remedy: "Have a larger piece and state it in the shop, make the sheath of two sides, or narrower.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(Ok(sheath)) = ctx.sheath else { return };
    let limits = &ctx.shop.limits;
    let (keys, stock, what) = if sheath.kind().is_leather() {
        let stock = (limits.hide_length_mm, limits.hide_width_mm);
        (["hide_length_mm", "hide_width_mm"], stock, "piece of leather")
    } else {
        let stock = (limits.sheet_length_mm, limits.sheet_width_mm);
        (["sheet_length_mm", "sheet_width_mm"], stock, "sheet of thermoplastic")
    };
    let sorted = |(a, b): (f64, f64)| if a >= b { (a, b) } else { (b, a) };
    let ((long, broad), (has_long, has_broad)) = (sorted(sheath.blank_mm), sorted(stock));
    let (over_long, over_broad) = (long - has_long, broad - has_broad);
    if over_long <= ROUNDING_MM && over_broad <= ROUNDING_MM {
        return;
    }
    let (measured_mm, limit_mm) =
        if over_long >= over_broad { (long, has_long) } else { (broad, has_broad) };
    let sentence = format!(
        "The sheath takes {} × {}; the shop's {what} is {} × {}. {}",
        ctx.length(long),
        ctx.length(broad),
        ctx.length(has_long),
        ctx.length(has_broad),
        RULE.remedy
    );
    let short = format!(
        "The sheath is {} too large for the shop's {what}.",
        ctx.brief(measured_mm - limit_mm)
    );
    findings.push(
        RULE.finding(Severity::Care, short, sentence)
            .measured(LimitSide::AtMost, measured_mm, limit_mm, ctx.source(&keys))
            .about([PartId::Sheath]),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::blank;
    use crate::tables::Tables;
    use crate::{Shop, reckon};
    use knife::{Sheath, SheathKind};
    use units::LengthUnit;

    // By hand: 100 mm of blade and 32 of handle with 13 mm at the tip, 30 mm deep.
    #[test]
    fn a_small_hide_is_told_whichever_way_it_lies() {
        let mut knife = blank();
        knife.sheath = Some(Sheath::usual(SheathKind::TwoSidedLeather, LengthUnit::Millimetre));
        for (length, width, message) in
            [(150.0, 60.0, false), (60.0, 150.0, false), (140.0, 60.0, true), (150.0, 50.0, true)]
        {
            let mut shop = Shop::default();
            (shop.limits.hide_length_mm, shop.limits.hide_width_mm) = (length, width);
            let findings = reckon(&knife, &shop, Tables::built_in()).findings;
            let told: Vec<_> = findings.iter().filter(|found| found.rule == RULE.key).collect();
            assert_eq!(told.len(), usize::from(message), "{length} {width}");
            assert!(told.iter().all(|finding| finding.limit_source == "set in this shop"));
        }
    }
}
