//! Finding: the knife doesn't go into the forge, the quench tank or the oven of this shop.

use super::{Finding, Given, Rule, Severity, limit_source};
use crate::heat::blade_mm;
use crate::shop::{Chamber, Flat};
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "does-not-go-in",
    checks: "That blade and knife go into forge, quench tank and oven, as far as the shop knows them.",
    matters: "A blade half in the heat or half in the oil hardens unevenly, warps or cracks.",
    cure: "Take a larger chamber or tank, or make the knife shorter.",
    check,
};

fn check(given: &Given<'_>, findings: &mut Vec<Finding>) {
    let Some(profile) = given.profile else { return };
    let (shop, clearance_mm) = (given.shop, given.shop.limits.chamber_clearance_mm);
    let whole = Flat {
        length_mm: profile.length_mm,
        width_mm: profile.width_mm,
        thickness_mm: given.knife.bar.thickness_mm,
    };
    let blade = Flat { length_mm: blade_mm(given.knife).unwrap_or(whole.length_mm), ..whole };
    let room = given.length(clearance_mm);
    let mut tell = |sentence: String, piece: Flat, chamber: Chamber| {
        let mut finding = RULE.finding(Severity::Care, sentence);
        finding.measured_mm = Some(piece.length_mm);
        finding.limit_mm = Some((chamber.length_mm() - 2.0 * clearance_mm).max(0.0));
        finding.limit_source = limit_source("chamber_clearance_mm");
        finding.parts.push(PartId::Profile);
        findings.push(finding);
    };
    if let Some(forge) = shop.forge {
        if !forge.takes_section(blade, clearance_mm) {
            let sentence = format!(
                "The blank, {} wide, doesn't go into the forge's chamber with {room} around it.",
                given.length(whole.width_mm)
            );
            tell(sentence, Flat { length_mm: whole.width_mm, ..whole }, forge);
        } else if forge.length_mm() < blade.length_mm {
            let sentence = format!(
                "The blade, {} from tip to plunge line, is longer than the forge's chamber. Move it \
                 to and fro, so that it's evenly hot.",
                given.length(blade.length_mm)
            );
            tell(sentence, blade, forge);
        }
    }
    if let Some(tank) = shop.quench_tank.filter(|tank| !tank.takes(blade, clearance_mm)) {
        let sentence = format!(
            "The blade, {} from tip to plunge line, doesn't go under the oil of the quench tank \
             with {room} around it. Take a longer tank.",
            given.length(blade.length_mm)
        );
        tell(sentence, blade, tank);
    }
    if let Some(oven) = shop.oven.filter(|oven| !oven.takes(whole, clearance_mm)) {
        let sentence = format!(
            "The knife, {} overall, doesn't go into the oven with {room} around it.",
            given.length(whole.length_mm)
        );
        tell(sentence, whole, oven);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::blank;
    use crate::tables::Tables;
    use crate::{Shop, reckon};

    fn told(shop: &Shop) -> Vec<String> {
        let findings = reckon(&blank(), shop, Tables::built_in()).findings;
        findings.into_iter().filter(|f| f.rule == RULE.key).map(|f| f.sentence).collect()
    }

    // The blank is 200 × 30 × 3.175; its edge ends at x 100.
    #[test]
    fn each_chamber_is_held_against_what_goes_into_it() {
        assert!(told(&Shop::default()).is_empty(), "nothing is known");
        let tube = |diameter_mm, length_mm| Some(Chamber::Round { diameter_mm, length_mm });
        // √(30² + 3.175²) = 30.17, and 6 mm on both sides.
        let roomy =
            Shop { forge: tube(42.2, 100.0), quench_tank: tube(43.0, 113.0), ..Shop::default() };
        assert_eq!(told(&roomy), Vec::<String>::new());
        let tight = Shop { forge: tube(42.1, 100.0), ..Shop::default() };
        assert!(told(&tight)[0].contains("doesn't go into the forge's chamber with 6.00 mm"));
        let short =
            Shop { forge: tube(60.0, 99.0), quench_tank: tube(43.0, 111.0), ..Shop::default() };
        assert!(told(&short)[0].contains("Move it to and fro"));
        assert!(told(&short)[1].contains("doesn't go under the oil"));
        let oven = |length_mm| {
            let oven = Chamber::Box { width_mm: 100.0, height_mm: 60.0, length_mm };
            told(&Shop { oven: Some(oven), ..Shop::default() }).len()
        };
        assert_eq!((oven(212.0), oven(190.0)), (0, 1));
    }
}
