//! Finding: the blank does not lie within its bar.

use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use knife::{Edit, PartId, Placement};

/// A better place must be better by this to be offered, mm.
const WORTH_MM: f64 = 1e-6;

pub(super) static RULE: Rule = Rule {
    key: "off-the-bar",
    checks: "That the blank, as placed, lies within its bar on all four sides.",
    rationale: "What lies off the bar can't be cut from it.",
    remedy: "Move or turn the blank on the bar, or take a wider or longer bar.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(bar) = ctx.bar.filter(|bar| !bar.fits) else { return };
    let margin_mm = bar.margins.min_mm();
    let margins = &bar.margins;
    let sides = [
        (margins.lower_mm, "lower edge"),
        (margins.upper_mm, "upper edge"),
        (margins.left_mm, "left end"),
        (margins.right_mm, "right end"),
    ];
    let over: Vec<String> = sides
        .iter()
        .filter(|(margin, _)| *margin < 0.0)
        .map(|(margin, side)| format!("{} over its {side}", ctx.length(-margin)))
        .collect();
    let placement = Placement { at: bar.best_at, turn_deg: bar.best_turn_deg };
    let (advice, remedy) = if bar.could_fit() {
        let turn = units::show_angle(bar.best_turn_deg, 1);
        let left = ctx.length(bar.best_margin_mm);
        let advice = format!(
            "Laid in the middle at a turn of {turn} it fits, with {left} to spare on its \
             nearest side"
        );
        let words = format!("Rotate to {turn}");
        (advice, Some(Remedy::new(words, Edit::Place(placement))))
    } else {
        let short = ctx.length(-2.0 * bar.best_margin_mm);
        (format!("It fits at no turn: the bar is too small by {short} at the best one"), None)
    };
    findings.push(
        RULE.finding(
            Severity::Stop,
            format!("The blank sticks out of its bar by {}.", ctx.brief(-margin_mm)),
            format!("The blank sticks out of its bar: {}. {advice}.", over.join(", ")),
        )
        .measured(LimitSide::AtLeast, margin_mm, 0.0, "geometry")
        .about([PartId::Bar])
        .mended_by(remedy.filter(|_| bar.best_margin_mm > margin_mm + WORTH_MM)),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};

    #[test]
    fn a_blank_off_its_bar_is_laid_back_by_the_remedy() {
        let mut knife = blank();
        assert!(found(&knife, RULE.key).is_empty());
        knife.bar.placement.at.y = 13.0;
        let finding = found(&knife, RULE.key).remove(0);
        assert!((finding.measured_mm.unwrap() + 2.0).abs() < 1e-9);
        assert!(finding.sentence.contains("2.00 mm over its lower edge"), "{}", finding.sentence);
        let mended = finding.remedy.unwrap().apply(&knife).unwrap();
        assert!(found(&mended, RULE.key).is_empty());
    }

    #[test]
    fn a_slanted_blank_is_turned_straight_and_a_wide_one_has_no_remedy() {
        let mut knife = blank();
        knife = Edit::Turn(12.0).apply(&knife).unwrap();
        let finding = found(&knife, RULE.key).remove(0);
        let Some([Edit::Place(placement)]) = finding.remedy.as_ref().map(|remedy| &*remedy.edits)
        else {
            panic!("no remedy")
        };
        assert!((placement.turn_deg + 12.0).abs() < 1e-3, "{placement:?}");
        knife.bar.width_mm = 25.0;
        let finding = found(&knife, RULE.key).remove(0);
        assert!(finding.remedy.is_none() || finding.sentence.contains("at no turn"));
        assert!(finding.sentence.contains("too small by 5.00 mm"), "{}", finding.sentence);
    }
}
