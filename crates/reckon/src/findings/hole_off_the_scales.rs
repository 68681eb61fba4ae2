//! Finding: a pin or relief hole isn't wholly under the scales.

use super::holes_overlap::capital;
use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity, room};
use crate::HoleFigures;
use knife::{HoleKind, PartId};
use kurbo::Vec2;

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
        let Some((severity, short, sentence, limit_mm)) = judged(ctx, hole, web_mm) else {
            continue;
        };
        findings.push(
            RULE.finding(severity, short, sentence)
                .measured(
                    LimitSide::AtLeast,
                    web_mm,
                    limit_mm,
                    if limit_mm > 0.0 {
                        ctx.source(&["scale_front_diameters"])
                    } else {
                        "geometry"
                    },
                )
                .about([PartId::Hole(hole.id), PartId::Scales])
                .at(hole.at)
                .mended_by(moved_back(ctx, hole, (web_mm, limit_mm))),
        );
    }
}

/// What is to be said of a hole whose nearest border is the scales' front.
fn judged(
    ctx: &FindingContext<'_>,
    hole: &HoleFigures,
    web_mm: f64,
) -> Option<(Severity, String, String, f64)> {
    let words = capital(&hole.label());
    let is_pin = hole.kind == HoleKind::Pin;
    if web_mm < 0.0 {
        let (reaches, short): (String, String) = if web_mm <= -hole.diameter_mm {
            (format!("{words} lies in front of the scales"), "lies in front of the scales".into())
        } else {
            (
                format!("{words} reaches {} out in front of the scales", ctx.length(-web_mm)),
                format!("reaches {} out in front of the scales", ctx.brief(-web_mm)),
            )
        };
        let short = format!("Hole {} {short}.", hole.number);
        return Some(if is_pin {
            let sentence = format!(
                "{reaches}, where its pin has nothing to hold. Move it back or the scales' front \
                 forward."
            );
            (Severity::Stop, short, sentence, 0.0)
        } else {
            let sentence = format!(
                "{reaches}, where it will be seen. Move it back or the scales' front forward."
            );
            (Severity::Care, short, sentence, 0.0)
        });
    }
    let diameters = ctx.shop.limits.scale_front_diameters;
    let limit_mm = room::pin_to_front_mm(ctx, hole);
    (is_pin && web_mm < limit_mm - ROUNDING_MM).then(|| {
        let sentence = format!(
            "{words} leaves {} of scale in front of its pin; the rule asks for {}, so that the \
             pin's centre lies {diameters} × its diameter from the front. Move it back by {}.",
            ctx.length(web_mm),
            ctx.length(limit_mm),
            ctx.length(limit_mm - web_mm),
        );
        let short = format!(
            "Hole {}: only {} of scale in front of its pin.",
            hole.number,
            ctx.brief(web_mm)
        );
        (Severity::Care, short, sentence, limit_mm)
    })
}

/// Moves the hole back along the knife until it is under the scales as far as the rule asks.
fn moved_back(
    ctx: &FindingContext<'_>,
    hole: &HoleFigures,
    (web_mm, limit_mm): (f64, f64),
) -> Option<Remedy> {
    let (scales, profile) = (ctx.scales?, ctx.profile?);
    let wanted_mm = match hole.kind {
        HoleKind::Pin => limit_mm.max(room::pin_to_front_mm(ctx, hole)),
        _ => limit_mm,
    };
    // A leaning or round front is met at a slant, so more than the plain difference may be asked.
    [1.0, 1.25, 1.6, 2.2].into_iter().find_map(|factor| {
        let back_mm = factor * (wanted_mm - web_mm) + room::SPARE_MM;
        let to = hole.at + Vec2::new(profile.towards_butt * back_mm, 0.0);
        let circle = kurbo::Circle::new(to, hole.diameter_mm / 2.0);
        if scales.outline.web(circle) < wanted_mm {
            return None;
        }
        room::moved(ctx, hole, to, format!("Move it back by {}", ctx.brief(back_mm)))
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
