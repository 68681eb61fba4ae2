//! Finding: a hole lies outside the outline or breaks through it.

use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity, room};
use knife::{Edit, PartId};

pub(super) static RULE: Rule = Rule {
    key: "hole-outside",
    checks: "That every hole lies wholly inside the outline.",
    rationale: "A hole that breaks the edge is a notch: the drill grabs, and the part is spoilt.",
    remedy: "Move the hole inward, take a smaller drill, or remove it.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    for hole in ctx.holes {
        let Some(web_mm) = hole.edge_web_mm.filter(|web| *web < 0.0) else { continue };
        let words = hole.label();
        let (short, sentence) = if web_mm <= -hole.diameter_mm {
            let sentence =
                format!("Outside the outline lies {words}. Move it into the tang or remove it.");
            (format!("Hole {} lies outside the outline.", hole.number), sentence)
        } else {
            let by = ctx.length(-web_mm);
            let sentence = format!(
                "The outline is broken by {words}, which reaches {by} through it. Move it \
                 inward or take a smaller drill."
            );
            let through = ctx.brief(-web_mm);
            (format!("Hole {} breaks the outline by {through}.", hole.number), sentence)
        };
        findings.push(
            RULE.finding(Severity::Stop, short, sentence)
                .measured(LimitSide::AtLeast, web_mm, 0.0, "geometry")
                .about([PartId::Hole(hole.id)])
                .at(hole.edge_at.or(Some(hole.at)))
                .mended_by(
                    room::moved_inside(ctx, hole)
                        .or_else(|| Some(Remedy::new("Remove it", Edit::RemoveHole(hole.id)))),
                ),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};

    #[test]
    fn a_hole_through_the_edge_and_one_outside_are_told_apart() {
        let knife = drilled(&[(150.0, 0.0, 6.0), (150.0, 13.0, 6.0), (250.0, 0.0, 6.0)]);
        let findings = found(&knife, RULE.key);
        assert_eq!(findings.len(), 2);
        assert!(findings[0].sentence.contains("hole 2 (pin hole), which reaches 1.00 mm"));
        assert!((findings[0].measured_mm.unwrap() + 1.0).abs() < 1e-9);
        assert!(findings[1].sentence.starts_with("Outside the outline lies hole 3"));
    }
}
