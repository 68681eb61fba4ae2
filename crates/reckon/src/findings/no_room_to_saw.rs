//! Finding: no room for a saw cut between the blank and its bar's side.

use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use knife::{Edit, PartId, Placement};

/// Nearer than this the blank's side is the bar's own, and needs no cut, mm.
const OWN_SIDE_MM: f64 = 0.05;

pub(super) static RULE: Rule = Rule {
    key: "no-room-to-saw",
    checks: "That a saw cut and the steel to leave outside the line fit between blank and bar's side.",
    rationale: "Where they don't, the saw runs out of the bar's side and can't be guided.",
    remedy: "Lay the blank elsewhere on its bar, take a wider bar, or file that side instead of sawing it.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(bar), Some(kerf_mm)) = (ctx.bar, ctx.shop.min_kerf_mm()) else { return };
    if !bar.fits {
        return;
    }
    let sides = [
        (bar.margins.lower_mm, "lower edge"),
        (bar.margins.upper_mm, "upper edge"),
        (bar.margins.left_mm, "left end"),
        (bar.margins.right_mm, "right end"),
    ];
    let tight: Vec<(f64, &str)> = (sides.into_iter())
        .filter(|(margin, _)| (OWN_SIDE_MM..kerf_mm - ROUNDING_MM).contains(margin))
        .collect();
    let Some(min) = tight.iter().map(|(margin, _)| *margin).min_by(f64::total_cmp) else {
        return;
    };
    let named: Vec<String> = tight
        .iter()
        .map(|(margin, side)| format!("{} at the {side}", ctx.length(*margin)))
        .collect();
    findings.push(RULE.finding(
        Severity::Note,
        format!("No room for a saw cut of {} beside the blank.", ctx.brief(kerf_mm)),
        format!(
            "There is no room for a saw cut of {} beside the blank: {}. File or grind it there, or \
             lay the blank elsewhere.",
            ctx.length(kerf_mm),
            named.join(", "),
        ),
    ).measured(LimitSide::AtLeast, min, kerf_mm, "the narrowest cut of the shop's saws").about([PartId::Bar]).mended_by((bar.best_margin_mm >= kerf_mm).then(|| {
        let placement = Placement { at: bar.best_at, turn_deg: bar.best_turn_deg };
        Remedy::new("Rotate to fit", Edit::Place(placement))
    })));
}

/// A margin of just a saw cut passes.
const ROUNDING_MM: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};

    // The blank is 30 wide; the hacksaw's cut is 1 mm.
    #[test]
    fn a_cut_fits_or_the_side_is_the_bars_own() {
        for (width_mm, y, message) in
            [(38.1, 19.05, 0), (32.0, 16.0, 0), (31.0, 15.5, 1), (38.1, 15.0, 0), (38.1, 15.5, 1)]
        {
            let mut knife = blank();
            knife.bar.width_mm = width_mm;
            knife.bar.placement.at.y = y;
            assert_eq!(found(&knife, RULE.key).len(), message, "{width_mm} {y}");
        }
    }
}
