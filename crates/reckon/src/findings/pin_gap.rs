//! Finding: the gap around a pin is too tight or too wide for its glue.

use super::holes_overlap::capital;
use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use crate::pin::show_gap;
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "pin-gap",
    checks: "That the gap between a pin and its hole is one that glue fills well.",
    rationale: "Too tight, the glue is wiped off and the scales split; too wide, the bond is weak.",
    remedy: "Take the drill that is named, or other pin stock.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    for hole in ctx.holes {
        let Some(fit) = hole.pin_fit.as_ref().filter(|fit| !fit.suits()) else { continue };
        // A pin that doesn't go in at all has a rule of its own.
        if fit.gap_mm < 0.0 {
            continue;
        }
        let unit = ctx.knife.unit;
        let gap = |mm: f64| show_gap(mm, unit);
        let (word, held, limit_mm, key) = if fit.gap_mm < fit.min_mm {
            ("tight", LimitSide::AtLeast, fit.min_mm, "pin_gap_least_mm")
        } else {
            ("wide", LimitSide::AtMost, fit.max_mm, "pin_gap_most_mm")
        };
        let advice = match fit.best() {
            Some(_) => format!("Take {}", fit.describe(unit)),
            None => capital(&fit.describe(unit)),
        };
        // A gap that rounds to its limit would be called both right and wrong.
        let own = match gap(fit.gap_mm) {
            same if same == gap(limit_mm) => {
                format!("a hair {} than {same}", if word == "tight" { "less" } else { "more" })
            }
            own => own,
        };
        findings.push(
            RULE.finding(
                Severity::Care,
                format!("Hole {} leaves {own} around its pin, too {word} for glue.", hole.number),
                format!(
                    "{} leaves {} around its pin, too {} for glue, which needs {} to {}. {advice}.",
                    capital(&hole.label()),
                    own,
                    word,
                    gap(fit.min_mm),
                    gap(fit.max_mm),
                ),
            )
            .measured(held, fit.gap_mm, limit_mm, ctx.source(&[key]))
            .about([PartId::Hole(hole.id)])
            .at(hole.at)
            .mended_by(remedy(hole)),
        );
    }
}

/// The smallest drill on hand that suits.
pub(super) fn remedy(hole: &crate::HoleFigures) -> Option<Remedy> {
    let fit = hole.pin_fit.as_ref()?;
    let words = format!("Drill it {}", fit.best()?.label);
    Some(Remedy::new(words, fit.drill_edit(hole.id)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};
    use crate::shop::DrillSet;
    use crate::tables::Tables;
    use crate::{Shop, reckon};

    // 1/8 in pin: 1/8 in drill leaves nothing, No. 30 leaves 0.0035 in (common practice), 9/64 in
    // leaves 0.0156 in.
    #[test]
    fn a_gap_outside_the_band_is_mended_by_the_drill_that_suits() {
        for (drill_mm, word) in [(3.175, "tight"), (3.571875, "wide")] {
            let mut knife = drilled(&[(150.0, 0.0, drill_mm)]);
            assert!(found(&knife, RULE.key).is_empty(), "no pin, no gap");
            knife.holes[0].pin_mm = Some(3.175);
            let finding = found(&knife, RULE.key).remove(0);
            assert!(finding.sentence.contains(word), "{}", finding.sentence);
            assert!(finding.sentence.ends_with("Take #30, 0.089 mm over; also 3.3 mm (0.125 mm)."));
            let remedy = finding.remedy.unwrap();
            assert_eq!(remedy.label, "Drill it #30");
            let mended = remedy.apply(&knife).unwrap();
            assert_eq!(mended.holes[0].drill.as_deref(), Some("#30"));
            assert!(found(&mended, RULE.key).is_empty());
        }
    }

    // "Take another drill; none suits: turn the pin down for 1/8" said both of one hole of 1/8 in.
    #[test]
    fn without_a_drill_that_suits_it_says_only_what_to_do() {
        let mut knife = drilled(&[(150.0, 0.0, 3.175)]);
        knife.holes[0].pin_mm = Some(3.175);
        let shop = Shop { drill_sets: vec![DrillSet::Fraction], ..Shop::default() };
        let message = |knife: &knife::Knife| {
            let findings = reckon(knife, &shop, Tables::built_in()).findings;
            findings.into_iter().find(|f| f.rule == RULE.key).unwrap().sentence
        };
        let expected = "None on hand: get a #30 (0.089 mm over), or turn the pin down by 0.038 mm \
                      for 1/8.";
        assert!(message(&knife).ends_with(expected), "{}", message(&knife));
        assert!(!message(&knife).contains("Take"));
        // 0.0381 mm are wanted; 0.0379 is told as 0.038 too.
        knife.holes[0].diameter_mm = 3.175 + 0.0379;
        assert!(
            message(&knife).contains("leaves a hair less than 0.038 mm around"),
            "{}",
            message(&knife)
        );
    }
}
