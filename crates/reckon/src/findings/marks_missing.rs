//! Finding: tip or heel is not marked.

use super::{Finding, FindingContext, Remedy, Rule, Severity};
use crate::guess_marks;
use knife::{Edit, NodeId, PartId};

pub(super) static RULE: Rule = Rule {
    key: "marks-missing",
    checks: "That a node is marked as the tip and another, further in, as the heel.",
    rationale: "The edge runs from tip to heel; grind line and bevels follow from it.",
    remedy: "Choose a node and mark it.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(Some((short, sentence))) = judged(ctx) else { return };
    let profile = &ctx.knife.profile;
    let both = profile.tip.is_some() && profile.heel.is_some();
    let severity = if both { Severity::Care } else { Severity::Note };
    findings.push(
        RULE.finding(severity, short, sentence).about([PartId::Profile]).mended_by(remedy(ctx)),
    );
}

/// Whether tip and heel are marked in order; `None` without an outline.
pub(super) fn in_order(ctx: &FindingContext<'_>) -> Option<bool> {
    judged(ctx).map(|fault| fault.is_none())
}

/// What is to be said of the marks, in short and at length: `None` without an outline, nothing
/// where they are in order.
fn judged(ctx: &FindingContext<'_>) -> Option<Option<(&'static str, String)>> {
    let bounds = ctx.profile?.bounds;
    let profile = &ctx.knife.profile;
    let unknown = "so the edge is not known and no grind line can be drawn";
    let fault = match (profile.tip, profile.heel) {
        (None, None) => (
            "Tip and heel are not set.",
            format!("Neither tip nor heel is marked, {unknown}. Mark a node as each of them."),
        ),
        (None, Some(_)) => {
            ("The tip is not set.", format!("The tip is not marked, {unknown}. Mark its node."))
        }
        (Some(_), None) => {
            ("The heel is not set.", format!("The heel is not marked, {unknown}. Mark its node."))
        }
        (Some(tip), Some(heel)) if tip == heel => (
            "One node is set both as tip and as heel.",
            format!(
                "One node is marked both as tip and as heel, {unknown}. Mark another node as the \
                 one that it isn't."
            ),
        ),
        (Some(tip), Some(heel)) => {
            // The tip is the end of the knife; the heel lies further in.
            let inward = |id| {
                let x = profile.node(id).map_or(0.0, |node| node.at.x);
                (x - bounds.x0).min(bounds.x1 - x)
            };
            if inward(tip) <= inward(heel) + EXCHANGED_SHARE * bounds.width() {
                return Some(None);
            }
            let sentence = "The heel lies nearer to the knife's end than the tip does: the two marks are \
             exchanged, and what is told of the edge and the plunge is not true. Mark the node at \
             the end as the tip, and the one at the edge's rear as the heel.";
            ("Tip and heel look exchanged.", sentence.to_owned())
        }
    };
    Some(Some(fault))
}

/// Marks the nodes that most likely are tip and heel, of which a mark that is there alone stays;
/// or exchanges the two.
fn remedy(ctx: &FindingContext<'_>) -> Option<Remedy> {
    let profile = &ctx.knife.profile;
    let guess = guess_marks(profile)?;
    let (tip, heel): (NodeId, NodeId) = match (profile.tip, profile.heel) {
        (Some(tip), Some(heel)) if tip != heel => (heel, tip),
        (Some(tip), None) => (tip, guess.heel),
        (None, Some(heel)) => (guess.tip, heel),
        _ => (guess.tip, guess.heel),
    };
    let edits = vec![Edit::MarkTip(tip), Edit::MarkHeel(heel)];
    (tip != heel).then(|| Remedy { label: "Set tip and heel".to_owned(), edits })
}

/// A tip further in from the knife's end than its heel, by more than this share of the length, is
/// no tip (this program's own choice).
const EXCHANGED_SHARE: f64 = 0.05;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Bevel, Edit};

    #[test]
    fn each_missing_mark_is_named() {
        let mut knife = blank();
        assert!(found(&knife, RULE.key).is_empty());
        knife.profile.heel = None;
        assert!(found(&knife, RULE.key)[0].sentence.starts_with("The heel is not"));
        knife.profile.heel = knife.profile.tip;
        let message = found(&knife, RULE.key).remove(0);
        assert!(message.sentence.starts_with("One node is marked both as tip and as heel"));
        assert_eq!(message.severity, Severity::Care);
        knife.profile.tip = None;
        knife.profile.heel = None;
        assert!(found(&knife, RULE.key)[0].sentence.starts_with("Neither"));
    }

    // Both marks exist: "missing" would not be true, nor is anything that is measured from them.
    #[test]
    fn exchanged_marks_are_told_and_nothing_is_measured_from_them() {
        let mut knife = blank();
        knife.bevel = Some(Bevel {
            plunge_x_mm: 100.0,
            grind_height_mm: 12.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        });
        assert!(found(&knife, "plunge-out-of-place").is_empty());
        let profile = &mut knife.profile;
        (profile.tip, profile.heel) = (profile.heel, profile.tip);
        for knife in [knife.clone(), Edit::MirrorAlong.apply(&knife).unwrap()] {
            let message = found(&knife, RULE.key).remove(0);
            assert!(message.sentence.contains("exchanged"), "{}", message.sentence);
            assert!(found(&knife, "plunge-out-of-place").is_empty());
        }
        knife.profile.heel = knife.profile.tip;
        assert!(found(&knife, "plunge-out-of-place").is_empty());
    }
}
