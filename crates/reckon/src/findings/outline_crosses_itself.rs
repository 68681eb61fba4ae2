//! Finding: the outline crosses or touches itself.

use super::{Finding, FindingContext, Rule, Severity};
use knife::PartId;
use outline::{ContactKind, MAX_CONTACTS};

/// More places than this are only counted.
const TOLD: usize = 3;

pub(super) static RULE: Rule = Rule {
    key: "outline-crosses-itself",
    checks: "That the outline nowhere crosses or touches itself.",
    rationale: "Such an outline can't be cut, and its area and webs mean nothing.",
    remedy: "Move the nodes apart at the place named, or remove the one that makes the loop.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(profile) = ctx.profile else { return };
    for contact in profile.contacts.iter().take(TOLD) {
        let what = match contact.kind {
            ContactKind::Crosses => "crosses",
            ContactKind::Touches => "touches",
        };
        let all = profile.contacts.len();
        let more = match all.saturating_sub(TOLD) {
            0 => String::new(),
            1 => " (1 more such place)".to_owned(),
            more if all >= MAX_CONTACTS => format!(" (at least {more} more such places)"),
            more => format!(" ({more} more such places)"),
        };
        let place = ctx.place(contact.at);
        let finding = RULE
            .finding(
                Severity::Stop,
                format!("The outline {what} itself."),
                format!(
                    "The outline {what} itself at {place}{more}. Move the nodes apart there; \
                 until then no figure can be trusted."
                ),
            )
            .at(contact.at)
            .about(
                [contact.a, contact.b]
                    .iter()
                    .filter_map(|(segment, _)| ctx.knife.profile.nodes.get(*segment))
                    .map(|node| PartId::Stretch(node.id)),
            );
        findings.push(finding);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Knife, Profile, Scales};
    use kurbo::Point;
    use outline::Outline;

    /// A zigzag back over itself: `teeth` strokes from side to side, each through the way back.
    fn zigzag(teeth: u32) -> Knife {
        let stroke = |i: u32| (f64::from(i), if i.is_multiple_of(2) { -9.0 } else { 9.0 });
        let there = (0..teeth).map(stroke);
        let corners: Vec<Point> =
            there.chain([(f64::from(teeth), 0.0), (-1.0, 0.5)]).map(Point::from).collect();
        let mut knife = blank();
        knife.profile = Profile::from_outline(&Outline::polygon(&corners).unwrap());
        knife
    }

    #[test]
    fn many_places_are_counted_to_a_stop() {
        let message = |teeth| found(&zigzag(teeth), RULE.key).remove(0).sentence;
        assert!(message(5).contains("(1 more such place)"), "{}", message(5));
        assert!(message(6).contains("(2 more such places)"), "{}", message(6));
        assert!(message(3000).contains("(at least 997 more such places)"), "{}", message(3000));
    }

    // What needs an inside is left out: it would mean nothing, and take minutes.
    #[test]
    fn figures_without_meaning_are_left_out_of_a_crossing_outline() {
        let mut knife = zigzag(3000);
        knife.scales = Some(Scales { front_x_mm: 1500.0, thickness_mm: 6.35 });
        knife.holes = crate::sample::drilled(&[(150.0, 0.0, 6.0)]).holes;
        let figures = crate::sample::reckoned(&knife);
        assert!(figures.outline.is_some() && figures.profile.is_some() && figures.bar.is_some());
        assert!(figures.chain.is_none() && figures.mass.is_none() && figures.tang.is_none());
        assert!(figures.scales.is_none() && figures.inside.is_none());
        assert_eq!(figures.holes[0].edge_web_mm, None);
        let rules: Vec<&str> = figures.findings.iter().map(|finding| finding.rule).collect();
        for rule in ["no-outline", "web-to-edge", "hole-outside", "inside-corner-sharp"] {
            assert!(!rules.contains(&rule), "{rules:?}");
        }
        assert!(rules.contains(&RULE.key));
    }

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
