//! Finding: a pin does not go into its hole.

use super::holes_overlap::capital;
use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "pin-too-thick",
    checks: "That a pin is no thicker than its hole.",
    rationale: "It can't be put in; driven in, it splits the scales or cracks hardened steel.",
    remedy: "Take the next larger drill, thinner pin stock, or turn the pin down.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    for hole in ctx.holes {
        let Some(gap_mm) = hole.pin_gap_mm.filter(|gap| *gap < 0.0) else { continue };
        findings.push(
            RULE.finding(
                Severity::Stop,
                format!("Hole {} is {} too small for its pin.", hole.number, ctx.brief(-gap_mm)),
                format!(
                    "{} is {} too small for its pin. Take a larger drill or thinner pin stock.",
                    capital(&hole.label()),
                    ctx.length(-gap_mm),
                ),
            )
            .measured(LimitSide::AtLeast, gap_mm, 0.0, "geometry")
            .about([PartId::Hole(hole.id)])
            .at(hole.at)
            .mended_by(super::pin_gap::remedy(hole)),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};

    #[test]
    fn a_pin_thicker_than_its_hole_is_told() {
        let mut knife = drilled(&[(150.0, 0.0, 3.2639)]);
        knife.holes[0].pin_mm = Some(3.175);
        assert!(found(&knife, RULE.key).is_empty());
        knife.holes[0].pin_mm = Some(4.7625);
        let finding = found(&knife, RULE.key).remove(0);
        assert!(finding.sentence.starts_with("Hole 1 (pin hole) is 1.50 mm too small"));
    }
}
