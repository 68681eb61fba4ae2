//! Finding: what is set aside names no rule of this program.

use super::{Finding, FindingContext, RULES, Remedy, Rule, Severity};
use knife::Edit;

pub(super) static RULE: Rule = Rule {
    key: "aside-unknown",
    checks: "That every problem accepted in the file names a rule that exists.",
    rationale: "A misspelt name accepts nothing, so the problem still counts.",
    remedy: "Correct the rule's name in the file, or remove the entry.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    for (i, aside) in ctx.knife.set_aside.iter().enumerate() {
        let rule = aside.rule.split_once(':').map_or(aside.rule.as_str(), |(rule, _)| rule);
        if RULES.iter().any(|known| known.key == rule) {
            continue;
        }
        let sentence = format!(
            "set_aside[{i}].rule in the file is \"{}\", which isn't a rule of this program, so \
             nothing is accepted by it. Correct it{}, or remove the entry.",
            aside.rule,
            nearest(rule).map(|key| format!(" (perhaps \"{key}\")")).unwrap_or_default(),
        );
        let short = "The file accepts a problem under a name that no rule has.";
        let edit = Edit::TakeUp { rule: aside.rule.clone(), parts: aside.parts.clone() };
        findings.push(
            RULE.finding(Severity::Note, short, sentence)
                .mended_by(Remedy::new("Remove the entry", edit)),
        );
    }
}

/// The rule whose name shares most pairs of letters with what was typed, if more than half.
fn nearest(typed: &str) -> Option<&'static str> {
    let pairs = |text: &str| -> Vec<(char, char)> {
        let lower = text.to_lowercase();
        lower.chars().zip(lower.chars().skip(1)).collect()
    };
    let expected = pairs(typed);
    let shared = |key: &str| {
        let own = pairs(key);
        let both = own.iter().filter(|pair| expected.contains(pair)).count();
        (4 * both > own.len() + expected.len()).then_some(both)
    };
    RULES.iter().filter_map(|rule| Some((shared(rule.key)?, rule.key))).max().map(|(_, key)| key)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Edit, SetAside};

    #[test]
    fn a_mistyped_rule_is_told_with_its_place() {
        let with = |rule: &str| {
            let aside = SetAside {
                rule: rule.to_owned(),
                parts: Vec::new(),
                severity: None,
                measured_mm: None,
                limit_mm: None,
                reason: "so".to_owned(),
            };
            found(&Edit::SetAside(aside).apply(&blank()).unwrap(), RULE.key)
        };
        assert!(with("web-to-edge").is_empty() && with("does-not-go-in: oven").is_empty());
        let message = with("web-to-egde").remove(0).sentence;
        assert!(
            message.starts_with("set_aside[0].rule in the file is \"web-to-egde\""),
            "{message}"
        );
        assert!(message.contains("perhaps \"web-to-edge\""), "{message}");
        assert!(!with("zzz")[0].sentence.contains("perhaps"));
    }
}
