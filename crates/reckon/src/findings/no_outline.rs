//! Finding: there is no closed outline.

use super::{Finding, FindingContext, Rule, Severity};
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "no-outline",
    checks: "That the profile is a closed outline with an area.",
    rationale: "Without one nothing can be measured, printed or cut.",
    remedy: "Draw an outline, start from a starter, or import a closed outline.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    if ctx.profile.is_some() {
        return;
    }
    let nodes = ctx.knife.profile.nodes.len();
    let (short, sentence) = if nodes < 3 {
        let sentence = format!(
            "There is no closed outline: the profile has {nodes} of the three nodes that it \
             needs. Draw one, or start from a starter."
        );
        ("There is no closed outline yet.", sentence)
    } else {
        let sentence = "The outline encloses no area: its nodes lie on one line. Draw it again, \
                        or start from a starter.";
        ("The outline encloses no area.", sentence.to_owned())
    };
    findings.push(RULE.finding(Severity::Stop, short, sentence).about([PartId::Profile]));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found, reckoned};

    #[test]
    fn nothing_and_a_mere_line_are_no_outline() {
        let mut knife = blank();
        assert!(found(&knife, RULE.key).is_empty());
        for node in &mut knife.profile.nodes {
            node.at.y = 0.0;
        }
        assert!(found(&knife, RULE.key)[0].sentence.contains("no area"));
        knife.profile.nodes.truncate(2);
        knife.profile.tip = None;
        assert!(found(&knife, RULE.key)[0].sentence.contains("2 of the three nodes"));
        assert_eq!(reckoned(&knife).stops(), 1, "and nothing else stops");
    }
}
