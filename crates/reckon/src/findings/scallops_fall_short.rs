//! Finding: scallops that find no place on the scales.

use super::{Finding, FindingContext, Remedy, Rule, Severity};
use knife::{Edit, PartId};

pub(super) static RULE: Rule = Rule {
    key: "scallops-fall-short",
    checks: "That there is room for the scallops between the scales' front and the butt, and an \
             edge at every place.",
    rationale: "Marks that are missing from a strip leave one scale without its scallop.",
    remedy: "Begin them farther from the front, let them end nearer to the butt, or make the scales \
           longer.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    if ctx.knife.handle.scallops.is_none() || ctx.outline.is_none() {
        return;
    }
    let (case, severity, short, sentence) = match ctx.scallops {
        None if ctx.scales.is_none() => {
            let sentence = "There are scallops to cut, but no scales.".to_owned();
            ("no scales", Severity::Care, sentence.clone(), sentence)
        }
        None => (
            "no room",
            Severity::Stop,
            "The scallops find no room on the scales.".to_owned(),
            format!(
                "The scallops find no room between the scales' front and the butt. {}",
                RULE.remedy
            ),
        ),
        Some(figures) => {
            let off = figures.upper.off + figures.lower.off;
            if off == 0 {
                return;
            }
            let sentence = format!(
                "{off} of the scallops' places lie ahead of the scales' edge there, where the front \
                 leans or curves past them. Begin them farther from the front.",
            );
            let short = format!("{off} scallops lie ahead of the edge of the scales.");
            ("off the edge", Severity::Stop, short, sentence)
        }
    };
    findings.push(
        RULE.finding(severity, short, sentence)
            .case(case)
            .mended_by(
                (case == "no scales")
                    .then(|| Remedy::new("Remove the scallops", Edit::SetScallops(None))),
            )
            .about([PartId::Scales]),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::found;
    use crate::scallops::tests::scalloped;
    use knife::ScallopSpacing;

    // By hand: behind x = 100 there are 100 mm of scale.
    #[test]
    fn no_room_and_no_scales_are_told() {
        let mut knife = scalloped(ScallopSpacing::Count(3));
        assert!(found(&knife, RULE.key).is_empty());
        knife.handle.scallops.as_mut().unwrap().front_mm = 95.0;
        let message = found(&knife, RULE.key).remove(0);
        assert_eq!((message.severity, message.case), (Severity::Stop, "no room"));
        knife.scales = None;
        assert_eq!(found(&knife, RULE.key).remove(0).case, "no scales");
    }
}
