//! Finding: the knife is not drawn along x.

use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use knife::{Edit, PartId};

/// A blank's least width lies within this of square to its length when it is drawn along x, deg.
const MAX_DEG: f64 = 15.0;
/// Only a blank this much longer than wide has a direction of its own.
const SLENDER: f64 = 2.0;

pub(super) static RULE: Rule = Rule {
    key: "lies-askew",
    checks: "That the knife is drawn with its length along x.",
    rationale: "Overall length and width are measured along x and y; askew they mean nothing.",
    remedy: "Turn the outline level.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(profile) = ctx.profile else { return };
    let turn_deg = profile.min_width.turn_rad.to_degrees();
    let diagonal = profile.length_mm.hypot(profile.width_mm);
    if turn_deg.abs() <= MAX_DEG || diagonal < SLENDER * profile.min_width.width_mm {
        return;
    }
    let turn = units::show_angle(turn_deg, 1);
    // By how much it seems wider than it is.
    let seems_mm = profile.width_mm - profile.min_width.width_mm;
    let remedy = Remedy::new(format!("Turn it by {turn}"), Edit::Turn(turn_deg));
    findings.push(
        RULE.finding(
            Severity::Care,
            format!("The knife isn't drawn along x; turn it by {turn}."),
            format!(
                "The knife isn't drawn along x, so its overall length and width are not what they \
             seem. Turn it by {turn}."
            ),
        )
        .measured(LimitSide::AtMost, seems_mm, 0.0, "geometry")
        .about([PartId::Profile])
        .mended_by(remedy),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found, reckoned};

    #[test]
    fn an_outline_drawn_upright_or_slanted_is_levelled_by_the_remedy() {
        assert!(found(&blank(), RULE.key).is_empty());
        for turn in [30.0, 90.0, -50.0] {
            let askew = Edit::Turn(turn).apply(&blank()).unwrap();
            let finding = found(&askew, RULE.key).remove(0);
            let level = finding.remedy.unwrap().apply(&askew).unwrap();
            assert!(found(&level, RULE.key).is_empty());
            let length_mm = reckoned(&level).profile.unwrap().length_mm;
            assert!((length_mm - 200.0).abs() < 0.01, "{length_mm}");
        }
    }
}
