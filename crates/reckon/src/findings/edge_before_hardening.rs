//! Finding: the edge is left too thin or too thick for the hardening.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use knife::{Bevel, Edit, PartId};

/// Left at the edge before hardening, mm: 0.020 to 0.025 in (common practice, no source); in
/// metric shops half a millimetre stands for the lesser.
const MIN_MM: f64 = 0.5;
const MAX_MM: f64 = 0.65;
const SOURCE: &str = "common practice, no source: 0.020 to 0.025 in before hardening";

pub(super) static RULE: Rule = Rule {
    key: "edge-before-hardening",
    checks: "That the edge is left 0.5 to 0.65 mm (0.020 to 0.025 in) thick before hardening.",
    rationale: "A thinner edge burns, warps or cracks in the quench; a thicker one is slow to grind \
              down once it is hard.",
    remedy: "Leave 0.5 mm at the edge, and thin it after tempering.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(bevel) = ctx.knife.bevel else { return };
    let edge_mm = bevel.edge_thickness_mm;
    if edge_mm >= ctx.knife.bar.thickness_mm {
        return;
    }
    let edge = ctx.length(edge_mm);
    let range = format!("{} to {}", ctx.length(MIN_MM), ctx.length(MAX_MM));
    let (severity, short, sentence, limit_mm, held) = if edge_mm < MIN_MM {
        let sentence = format!(
            "The edge is left only {edge} thick before hardening; usual is {range}. Thinner edges \
             warp or crack in the quench: leave more and thin it after tempering."
        );
        let short = format!("The edge is only {} thick before hardening.", ctx.brief(edge_mm));
        (Severity::Care, short, sentence, MIN_MM, LimitSide::AtLeast)
    } else if edge_mm > MAX_MM {
        let sentence = format!(
            "The edge is left {edge} thick before hardening; usual is {range}. What is over has \
             to come off hard steel, without letting it get hot."
        );
        let thick = ctx.brief(edge_mm);
        let short = format!("The edge is {thick} thick before hardening, more than usual.");
        (Severity::Note, short, sentence, MAX_MM, LimitSide::AtMost)
    } else {
        return;
    };
    findings.push(
        RULE.finding(severity, short, sentence)
            .measured(held, edge_mm, limit_mm, SOURCE)
            .about([PartId::GrindLine])
            .mended_by(super::Remedy::new(
                format!("Leave {}", ctx.brief(limit_mm)),
                Edit::SetBevel(Some(Bevel { edge_thickness_mm: limit_mm, ..bevel })),
            )),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};

    /// Common practice, no source: 0.020 to 0.025 in.
    #[test]
    fn too_thin_is_care_and_too_thick_a_note() {
        let message = |edge_thickness_mm: f64| {
            let mut knife = blank();
            knife.bevel = Some(Bevel {
                plunge_x_mm: 100.0,
                grind_height_mm: 20.0,
                edge_thickness_mm,
                ..Bevel::default()
            });
            let message = found(&knife, RULE.key);
            for finding in &message {
                let mended = finding.remedy.as_ref().unwrap().apply(&knife).unwrap();
                assert!(found(&mended, RULE.key).is_empty());
            }
            message.first().map(|finding| finding.severity)
        };
        assert_eq!(message(0.2), Some(Severity::Care));
        for sound in [0.5, 0.020 * 25.4, 0.025 * 25.4] {
            assert_eq!(message(sound), None);
        }
        assert_eq!(message(0.9), Some(Severity::Note));
        // As thick as the bar: another rule's matter.
        assert_eq!(message(4.0), None);
    }
}
