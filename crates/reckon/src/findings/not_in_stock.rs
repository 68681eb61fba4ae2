//! Finding: rod for a pin, or the bar, isn't among what the shop says it has.

use super::{Finding, FindingContext, Rule, Severity};
use crate::shop::{BarOnHand, PinOnHand};
use crate::tables::is_same_name;
use crate::{PinFigures, PinKind};
use knife::{Knife, PartId};

pub(super) static RULE: Rule = Rule {
    key: "not-in-stock",
    checks: "That the shop has rod for the pins and a bar for the blank, as far as it says what it has.",
    rationale: "Holes are drilled for the rod there is; better to know before the first one.",
    remedy: "Buy it, take other stock, or add it to the shop.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (knife, shop) = (ctx.knife, ctx.shop);
    if !shop.bars.is_empty() && !shop.bars.iter().any(|bar| takes(bar, knife)) {
        let bar = &knife.bar;
        let sentence = format!(
            "The shop has no bar of {}, {} × {} and at least {} long. Buy one, or lay the blank on \
             one that is there.",
            if bar.grade.trim().is_empty() { "this steel" } else { bar.grade.trim() },
            ctx.length(bar.width_mm),
            ctx.length(bar.thickness_mm),
            ctx.length(bar.length_mm),
        );
        let short = "The shop has no bar of this steel and size.";
        findings
            .push(RULE.finding(Severity::Note, short, sentence).case("bar").about([PartId::Bar]));
    }
    let (Some(fit), false) = (ctx.fit, shop.pins.is_empty()) else { return };
    let lacking = |rod: &PinOnHand, pin: &PinFigures| !suits(ctx, rod, pin);
    for stock in fit.rods.iter().filter(|stock| stock.kind == PinKind::Rod) {
        let pins = fit.pins.iter().filter(|pin| {
            pin.kind == PinKind::Rod && pin.diameter_mm.to_bits() == stock.diameter_mm.to_bits()
        });
        let without: Vec<&PinFigures> =
            pins.filter(|pin| shop.pins.iter().all(|rod| lacking(rod, pin))).collect();
        let Some(first) = without.first() else { continue };
        let material =
            knife.handle.pins.as_deref().map_or_else(String::new, |name| format!(" of {name}"));
        let sentence = format!(
            "The shop has no rod{material} for {} {} thick, {} long together. Buy it, or take a pin \
             that is there.",
            if without.len() == 1 { "a pin" } else { "pins" },
            ctx.length(stock.diameter_mm),
            ctx.length(without.iter().map(|pin| pin.length_mm).sum()),
        );
        let short = format!("The shop has no rod {} thick for pins.", ctx.brief(stock.diameter_mm));
        findings.push(
            RULE.finding(Severity::Note, short, sentence)
                .case("rod")
                .about(without.iter().map(|pin| PartId::Hole(pin.hole)))
                .at(first.at),
        );
    }
}

/// Whether a rod is of the pin's diameter, or leaves in the hole the gap that glue wants, and is of
/// its material where one is chosen.
fn suits(ctx: &FindingContext<'_>, rod: &PinOnHand, pin: &PinFigures) -> bool {
    let limits = &ctx.shop.limits;
    let gap_mm = pin.hole_mm - rod.diameter_mm;
    let fits = (limits.pin_gap_least_mm - SAME_MM..=limits.pin_gap_most_mm + SAME_MM)
        .contains(&gap_mm)
        && gap_mm >= 0.0;
    let same = (rod.diameter_mm - pin.diameter_mm).abs() <= SAME_MM;
    let chosen = ctx.knife.handle.pins.as_deref();
    (same || fits) && chosen.is_none_or(|name| is_made_of(&rod.material, name))
}

/// Whether stock that is called so is of this material: a shop may say `brass` for any brass.
fn is_made_of(stock: &str, material: &str) -> bool {
    let family = material.split_whitespace().next().unwrap_or_default();
    is_same_name(stock, material) || (!family.is_empty() && is_same_name(stock, family))
}

fn takes(stock: &BarOnHand, knife: &Knife) -> bool {
    let bar = &knife.bar;
    let same_grade = bar.grade.trim().is_empty() || is_same_name(&stock.grade, &bar.grade);
    same_grade
        && stock.count > 0
        && (stock.thickness_mm - bar.thickness_mm).abs() <= SAME_BAR_MM
        && stock.width_mm >= bar.width_mm - SAME_BAR_MM
        && stock.length_mm >= bar.length_mm - SAME_BAR_MM
}

/// Rods nearer than this in diameter are the same, mm (this program's own choice: what a calliper
/// tells apart).
const SAME_MM: f64 = 0.01;
/// Bars nearer than this in a measure are the same, mm (this program's own choice).
const SAME_BAR_MM: f64 = 0.1;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::drilled;
    use crate::tables::Tables;
    use crate::{Shop, reckon};
    use knife::Scales;

    fn message(knife: &Knife, shop: &Shop) -> Vec<(&'static str, String)> {
        let findings = reckon(knife, shop, Tables::built_in()).findings;
        findings.into_iter().filter(|f| f.rule == RULE.key).map(|f| (f.case, f.sentence)).collect()
    }

    fn knife() -> Knife {
        let mut knife = drilled(&[(150.0, 0.0, 3.264), (180.0, 0.0, 3.264)]);
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
        knife.holes.iter_mut().for_each(|hole| hole.pin_mm = Some(3.175));
        knife.handle.glue_mm = Some(0.1);
        knife
    }

    fn rods(list: &[(&str, f64)]) -> Shop {
        let rod = |(name, diameter_mm): &(&str, f64)| PinOnHand {
            material: (*name).to_owned(),
            diameter_mm: *diameter_mm,
        };
        Shop { pins: list.iter().map(rod).collect(), ..Shop::default() }
    }

    // By hand: two pins of 3.175 + 2 × 6.1 + 2 × 1.5 = 18.375 mm.
    #[test]
    fn a_shop_without_the_rod_is_told_once_for_all_its_pins() {
        let mut knife = knife();
        assert!(message(&knife, &Shop::default()).is_empty(), "a shop that says nothing");
        assert!(message(&knife, &rods(&[("brass", 3.175)])).is_empty());
        // Another rod that leaves a gap of 0.064 mm, which glue fills as well.
        assert!(message(&knife, &rods(&[("brass", 3.2)])).is_empty());
        let lacking = message(&knife, &rods(&[("brass", 6.35), ("brass", 3.0)]));
        assert_eq!(lacking.len(), 1);
        let expected = "no rod for pins 3.18 mm thick, 36.75 mm long together";
        assert!(lacking[0].1.contains(expected), "{}", lacking[0].1);
        knife.handle.pins = Some("brass C26000".to_owned());
        assert!(message(&knife, &rods(&[("brass", 3.175)])).is_empty());
        assert!(message(&knife, &rods(&[("Brass C26000", 3.175)])).is_empty());
        assert_eq!(message(&knife, &rods(&[("copper", 3.175)])).len(), 1);
    }

    #[test]
    fn a_bar_is_on_hand_when_one_at_least_as_large_is() {
        let knife = knife();
        let bar = BarOnHand {
            grade: knife.bar.grade.clone(),
            width_mm: knife.bar.width_mm + 10.0,
            thickness_mm: knife.bar.thickness_mm,
            length_mm: knife.bar.length_mm + 100.0,
            count: 1,
            price_per_m: None,
        };
        let with =
            |bar: BarOnHand| message(&knife, &Shop { bars: vec![bar], ..Shop::default() }).len();
        assert_eq!(with(bar.clone()), 0);
        assert_eq!(with(BarOnHand { thickness_mm: 4.0, ..bar.clone() }), 1);
        assert_eq!(with(BarOnHand { width_mm: 20.0, ..bar.clone() }), 1);
        assert_eq!(with(BarOnHand { count: 0, ..bar }), 1);
    }
}
