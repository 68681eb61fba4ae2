//! Finding: the edge is left too thin or too thick for the hardening.

use super::{Finding, Given, Held, Rule, Severity};
use knife::{Bevel, Edit, PartId};

/// Left at the edge before hardening, mm: 0.020 to 0.025 in (common practice, no source); in
/// metric shops half a millimetre stands for the lesser.
const LEAST_MM: f64 = 0.5;
const MOST_MM: f64 = 0.65;
const SOURCE: &str = "common practice, no source: 0.020 to 0.025 in before hardening";

pub(super) static RULE: Rule = Rule {
    key: "edge-before-hardening",
    checks: "That the edge is left 0.5 to 0.65 mm (0.020 to 0.025 in) thick before hardening.",
    matters: "A thinner edge burns, warps or cracks in the quench; a thicker one is slow to grind \
              down once it is hard.",
    cure: "Leave 0.5 mm at the edge, and thin it after tempering.",
    check,
};

fn check(given: &Given<'_>, findings: &mut Vec<Finding>) {
    let Some(bevel) = given.knife.bevel else { return };
    let edge_mm = bevel.edge_thickness_mm;
    if edge_mm >= given.knife.bar.thickness_mm {
        return;
    }
    let told = given.length(edge_mm);
    let range = format!("{} to {}", given.length(LEAST_MM), given.length(MOST_MM));
    let (severity, sentence, limit_mm, held) = if edge_mm < LEAST_MM {
        let sentence = format!(
            "The edge is left only {told} thick before hardening; usual is {range}. Thinner edges \
             warp or crack in the quench: leave more and thin it after tempering."
        );
        (Severity::Care, sentence, LEAST_MM, Held::AtLeast)
    } else if edge_mm > MOST_MM {
        let sentence = format!(
            "The edge is left {told} thick before hardening; usual is {range}. What is over has \
             to come off hard steel, without letting it get hot."
        );
        (Severity::Note, sentence, MOST_MM, Held::AtMost)
    } else {
        return;
    };
    let mut finding = RULE.finding(severity, sentence);
    finding.measured(held, edge_mm, limit_mm, SOURCE);
    finding.parts.push(PartId::GrindLine);
    finding.remedy = Some(super::Remedy {
        words: format!("Leave {}", given.length(limit_mm)),
        edit: Edit::SetBevel(Some(Bevel { edge_thickness_mm: limit_mm, ..bevel })),
    });
    findings.push(finding);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};

    /// Common practice, no source: 0.020 to 0.025 in.
    #[test]
    fn too_thin_is_care_and_too_thick_a_note() {
        let told = |edge_thickness_mm: f64| {
            let mut knife = blank();
            knife.bevel = Some(Bevel {
                plunge_x_mm: 100.0,
                grind_height_mm: 20.0,
                edge_thickness_mm,
                ..Bevel::default()
            });
            let told = found(&knife, RULE.key);
            for finding in &told {
                let mended = finding.remedy.as_ref().unwrap().edit.apply(&knife).unwrap();
                assert!(found(&mended, RULE.key).is_empty());
            }
            told.first().map(|finding| finding.severity)
        };
        assert_eq!(told(0.2), Some(Severity::Care));
        for sound in [0.5, 0.020 * 25.4, 0.025 * 25.4] {
            assert_eq!(told(sound), None);
        }
        assert_eq!(told(0.9), Some(Severity::Note));
        // As thick as the bar: another rule's matter.
        assert_eq!(told(4.0), None);
    }
}
