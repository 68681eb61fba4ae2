//! Finding: two holes overlap.

use super::{
    Finding, FindingContext, LimitSide, MAX_GATHERED, Remedy, Rule, Severity, pairs, room,
};
use knife::{Edit, PartId};

pub(super) static RULE: Rule = Rule {
    key: "holes-overlap",
    checks: "That no two holes overlap.",
    rationale: "The second drill wanders into the first hole and may break.",
    remedy: "Move the holes apart or remove one.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    for (a, b, web_mm) in pairs(ctx.holes) {
        if web_mm >= 0.0 {
            continue;
        }
        if findings.len() >= MAX_GATHERED {
            break;
        }
        let (first, second) = (a.label(), b.label());
        let by = ctx.length(-web_mm);
        findings.push(
            RULE.finding(
                Severity::Stop,
                format!("Holes {} and {} overlap by {}.", a.number, b.number, ctx.brief(-web_mm)),
                format!(
                    "{} and {second} overlap by {by}. Move them apart or remove one.",
                    capital(&first)
                ),
            )
            .measured(LimitSide::AtLeast, web_mm, 0.0, "geometry")
            .about([PartId::Hole(a.id), PartId::Hole(b.id)])
            .at(a.at.midpoint(b.at))
            .mended_by(room::apart(ctx, (a, b), web_mm).or_else(|| {
                let label = format!("Remove hole {}", b.number);
                Some(Remedy::new(label, Edit::RemoveHole(b.id)))
            })),
        );
    }
}

pub(super) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};

    #[test]
    fn overlapping_holes_are_told_once_a_pair() {
        let knife = drilled(&[(150.0, 0.0, 6.0), (154.0, 0.0, 4.0), (170.0, 0.0, 6.0)]);
        let findings = found(&knife, RULE.key);
        assert_eq!(findings.len(), 1);
        assert!((findings[0].measured_mm.unwrap() + 1.0).abs() < 1e-9);
        let words = "Hole 1 (pin hole) and hole 2 (pin hole) overlap by 1.00 mm.";
        assert!(findings[0].sentence.starts_with(words), "{}", findings[0].sentence);
    }

    /// What is counted is what is gathered: pairs grow with the square of the holes.
    #[test]
    fn a_thousand_holes_on_one_spot_are_told_without_gathering_all_their_pairs() {
        let knife = drilled(&[(150.0, 0.0, 6.0); 1_000]);
        let findings = found(&knife, RULE.key);
        assert_eq!(findings.len(), 51);
        let last = &findings[50].sentence;
        assert!(last.starts_with("And at least 19950 more of this kind"), "{last}");
    }
}
