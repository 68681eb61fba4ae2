//! Finding: a pin or relief hole isn't wholly under the scales.

use super::holes_overlap::capital;
use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use crate::HoleFigures;
use knife::{HoleKind, PartId};

pub(super) static RULE: Rule = Rule {
    key: "hole-off-the-scales",
    checks: "That pins and relief holes lie under the scales, pins two diameters from their front.",
    rationale: "A pin outside holds nothing, near the front it splits the scale; a relief hole shows.",
    remedy: "Move the hole back or the scales' front forward.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(scales) = ctx.scales else { return };
    for hole in ctx.holes.iter().filter(|hole| hole.kind != HoleKind::Thong) {
        let circle = kurbo::Circle::new(hole.at, hole.diameter_mm / 2.0);
        let web_mm = scales.outline.web(circle);
        // Where the blank's own outline is nearest, its own rules speak.
        if hole.edge_web_mm.is_some_and(|web| web <= web_mm + ROUNDING_MM) {
            continue;
        }
        let Some((severity, sentence, limit_mm)) = judged(ctx, hole, web_mm) else { continue };
        let mut finding = RULE.finding(severity, sentence);
        finding.measured(
            LimitSide::AtLeast,
            web_mm,
            limit_mm,
            if limit_mm > 0.0 { ctx.source(&["scale_front_diameters"]) } else { "geometry" },
        );
        finding.parts = vec![PartId::Hole(hole.id), PartId::Scales];
        finding.place = Some(hole.at);
        findings.push(finding);
    }
}

/// What is to be said of a hole whose nearest border is the scales' front.
fn judged(
    ctx: &FindingContext<'_>,
    hole: &HoleFigures,
    web_mm: f64,
) -> Option<(Severity, String, f64)> {
    let words = capital(&hole.label());
    let is_pin = hole.kind == HoleKind::Pin;
    if web_mm < 0.0 {
        let reaches = if web_mm <= -hole.diameter_mm {
            format!("{words} lies in front of the scales")
        } else {
            format!("{words} reaches {} out in front of the scales", ctx.length(-web_mm))
        };
        return Some(if is_pin {
            let sentence = format!(
                "{reaches}, where its pin has nothing to hold. Move it back or the scales' front \
                 forward."
            );
            (Severity::Stop, sentence, 0.0)
        } else {
            let sentence = format!(
                "{reaches}, where it will be seen. Move it back or the scales' front forward."
            );
            (Severity::Care, sentence, 0.0)
        });
    }
    let pin_mm = ctx.knife.hole(hole.id).and_then(|hole| hole.pin_mm);
    let pin_mm = pin_mm.unwrap_or(hole.diameter_mm);
    let diameters = ctx.shop.limits.scale_front_diameters;
    let limit_mm = diameters * pin_mm - hole.diameter_mm / 2.0;
    (is_pin && web_mm < limit_mm - ROUNDING_MM).then(|| {
        let sentence = format!(
            "{words} leaves {} of scale in front of its pin; the rule asks for {}, so that the \
             pin's centre lies {diameters} × its diameter from the front. Move it back by {}.",
            ctx.length(web_mm),
            ctx.length(limit_mm),
            ctx.length(limit_mm - web_mm),
        );
        (Severity::Care, sentence, limit_mm)
    })
}

/// A hole placed exactly at the limit passes.
const ROUNDING_MM: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};
    use knife::Scales;

    // Two diameters of a 6 mm pin are 12 mm from the front at x 120.
    #[test]
    fn pins_stop_in_front_and_want_two_diameters_behind() {
        for (x, severity) in [
            (115.0, Some(Severity::Stop)),
            (122.0, Some(Severity::Stop)),
            (124.0, Some(Severity::Care)),
            (132.0 - 1e-3, Some(Severity::Care)),
            (132.0, None),
            (140.0, None),
        ] {
            let mut knife = drilled(&[(x, 0.0, 6.0)]);
            knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.35 });
            let message = found(&knife, RULE.key);
            assert_eq!(message.first().map(|f| f.severity), severity, "{x}");
        }
    }

    #[test]
    fn a_relief_hole_may_be_near_the_front_but_not_beyond_it() {
        let mut knife = drilled(&[(124.0, 0.0, 6.0), (121.0, 0.0, 6.0)]);
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.35 });
        knife.holes.iter_mut().for_each(|hole| hole.kind = HoleKind::Relief);
        let message = found(&knife, RULE.key);
        assert_eq!(message.len(), 1);
        assert!(
            message[0].sentence.contains("reaches 2.00 mm out in front"),
            "{}",
            message[0].sentence
        );
        assert_eq!(message[0].severity, Severity::Care);
    }
}
