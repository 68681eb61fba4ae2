//! Finding: too few pins go through the scales to hold them by more than glue.

use super::{Finding, FindingContext, Rule, Severity};
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "pins-too-few",
    checks: "That two pins, screws or tubes at least go through the scales; those through bolsters \
             hold the bolsters alone.",
    rationale: "Heat, water or a knock may loosen the glue: about a single pin the scales then turn, \
                without one they come off.",
    remedy: "Add a pin hole before hardening, or line the lanyard hole with a tube.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(scales), Some(fit)) = (ctx.scales, ctx.fit) else { return };
    let Some(scale) = scales.scale() else { return };
    let mut pins = fit.pins.iter().filter(|pin| scale.holes.contains(&pin.hole));
    let (first, second) = (pins.next(), pins.next());
    if second.is_some() {
        return;
    }
    let (severity, short, sentence) = match first {
        Some(pin) => (
            Severity::Note,
            format!("The {} in hole {} alone holds the scales.", pin.kind.label(), pin.number),
            format!(
                "The {} in hole {} alone holds the scales: if the glue lets go, they turn about it. \
                 Add another toward the other end of the handle.",
                pin.kind.label(),
                pin.number,
            ),
        ),
        None => (
            Severity::Care,
            "No pin goes through the scales: glue alone holds them.".to_owned(),
            "No pin, screw or tube goes through the scales: glue alone holds them. Add two pin holes \
             before hardening; after it is too late."
                .to_owned(),
        ),
    };
    findings.push(
        RULE.finding(severity, short, sentence).about([PartId::Scales]).at(first.map(|pin| pin.at)),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found, scaled};
    use knife::{Bolster, Edit, Fixing, HoleId, HoleKind, Knife};

    fn severity(knife: &Knife) -> Option<Severity> {
        let found = found(knife, RULE.key);
        assert!(found.len() <= 1, "{found:?}");
        found.first().map(|finding| finding.severity)
    }

    #[test]
    fn scales_are_held_by_two_pins() {
        assert_eq!(severity(&scaled(&[(140.0, 0.0, 4.0), (180.0, 0.0, 4.0)])), None);
        assert_eq!(severity(&scaled(&[(140.0, 0.0, 4.0)])), Some(Severity::Note));
        assert_eq!(severity(&scaled(&[])), Some(Severity::Care));
        assert_eq!(severity(&drilled(&[])), None, "no scales");
        // One in front of the scales, at x 120, holds nothing.
        let knife = scaled(&[(110.0, 0.0, 4.0), (180.0, 0.0, 4.0)]);
        let finding = found(&knife, RULE.key).remove(0);
        assert_eq!(finding.short, "The pin in hole 2 alone holds the scales.");
        assert_eq!(finding.place, Some(knife.holes[1].at));
    }

    #[test]
    fn only_what_is_filled_holds() {
        let mut knife = scaled(&[(140.0, 0.0, 4.0), (180.0, 0.0, 6.0)]);
        for kind in [HoleKind::Relief, HoleKind::Thong] {
            knife.holes[1].kind = kind;
            assert_eq!(severity(&knife), Some(Severity::Note), "{kind:?}");
        }
        // A tube in the lanyard hole, filed flush and glued, is as good as a pin.
        knife.handle.fixings = vec![(HoleId(2), Fixing::Tube { bore_mm: 5.0 })];
        assert_eq!(severity(&knife), None);
    }

    // By hand: scales from x 120 to 200, a bolster of 15 mm at the butt: its joint at x 185.
    #[test]
    fn a_pin_in_a_bolster_holds_the_bolster() {
        let mut knife = scaled(&[(140.0, 0.0, 4.0), (192.0, 0.0, 4.0)]);
        assert_eq!(severity(&knife), None);
        knife.handle.rear_bolster = Some(Bolster { length_mm: 15.0, material: None });
        assert_eq!(severity(&knife), Some(Severity::Note));
    }

    #[test]
    fn accepted_with_one_pin_it_comes_back_without_any() {
        let knife = scaled(&[(140.0, 0.0, 4.0)]);
        let finding = found(&knife, RULE.key).remove(0);
        let accepted = finding.set_aside_edit("a letter opener").apply(&knife).unwrap();
        assert!(found(&accepted, RULE.key)[0].set_aside.is_some());
        let bare = Edit::RemoveHole(HoleId(1)).apply(&accepted).unwrap();
        assert!(found(&bare, RULE.key)[0].set_aside.is_none());
    }
}
