//! Finding: the outline crosses or touches itself.

use super::{Finding, Given, Rule, Severity};
use knife::PartId;
use outline::ContactKind;

/// More places than this are only counted.
const TOLD: usize = 3;

pub(super) static RULE: Rule = Rule {
    key: "outline-crosses-itself",
    checks: "That the outline nowhere crosses or touches itself.",
    matters: "Such an outline can't be cut, and its area and webs mean nothing.",
    cure: "Move the nodes apart at the place named, or remove the one that makes the loop.",
    check,
};

fn check(given: &Given<'_>, findings: &mut Vec<Finding>) {
    let Some(profile) = given.profile else { return };
    for contact in profile.contacts.iter().take(TOLD) {
        let what = match contact.kind {
            ContactKind::Crosses => "crosses",
            ContactKind::Touches => "touches",
        };
        let more = profile.contacts.len().saturating_sub(TOLD);
        let more = if more > 0 {
            format!(" ({more} more such {})", if more == 1 { "place" } else { "places" })
        } else {
            String::new()
        };
        let place = given.place(contact.at);
        let mut finding = RULE.finding(
            Severity::Stop,
            format!(
                "The outline {what} itself at {place}{more}. Move the nodes apart there; \
                 until then no figure can be trusted."
            ),
        );
        finding.place = Some(contact.at);
        finding.parts = [contact.a, contact.b]
            .iter()
            .filter_map(|(segment, _)| given.knife.profile.nodes.get(*segment))
            .map(|node| PartId::Stretch(node.id))
            .collect();
        finding.parts.dedup();
        findings.push(finding);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};

    #[test]
    fn a_node_dragged_across_is_told_at_its_place() {
        let mut knife = blank();
        assert!(found(&knife, RULE.key).is_empty());
        knife.profile.nodes[2].at = (100.0, 25.0).into();
        let findings = found(&knife, RULE.key);
        assert!(!findings.is_empty());
        for finding in findings {
            assert_eq!(finding.severity, Severity::Stop);
            let place = finding.place.unwrap();
            assert!((place.y - 15.0).abs() < 1e-6, "on the spine: {place:?}");
            assert_eq!(finding.parts.len(), 2);
        }
    }
}
