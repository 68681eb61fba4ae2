//! Finding: tip or heel is not marked.

use super::{Finding, Given, Rule, Severity};
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "marks-missing",
    checks: "That a node is marked as the tip and another as the heel.",
    matters: "The edge runs from tip to heel; grind line and bevels follow from it.",
    cure: "Choose a node and mark it.",
    check,
};

fn check(given: &Given<'_>, findings: &mut Vec<Finding>) {
    if given.outline.is_none() {
        return;
    }
    let profile = &given.knife.profile;
    let missing = match (profile.tip, profile.heel) {
        (None, None) => "Neither tip nor heel is",
        (None, Some(_)) => "The tip is not",
        (Some(_), None) => "The heel is not",
        (Some(tip), Some(heel)) if tip == heel => "Tip and heel are the same node, so none is",
        _ => return,
    };
    let mut finding = RULE.finding(
        Severity::Note,
        format!(
            "{missing} marked, so the edge is not known and no grind line can be drawn. \
             Mark a node as the tip and one as the heel."
        ),
    );
    finding.parts.push(PartId::Profile);
    findings.push(finding);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};

    #[test]
    fn each_missing_mark_is_named() {
        let mut knife = blank();
        assert!(found(&knife, RULE.key).is_empty());
        knife.profile.heel = None;
        assert!(found(&knife, RULE.key)[0].sentence.starts_with("The heel is not"));
        knife.profile.heel = knife.profile.tip;
        assert!(found(&knife, RULE.key)[0].sentence.contains("same node"));
        knife.profile.tip = None;
        knife.profile.heel = None;
        assert!(found(&knife, RULE.key)[0].sentence.starts_with("Neither"));
    }
}
