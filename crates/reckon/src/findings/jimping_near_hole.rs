//! Finding: too little steel between a hole and the jimping.

use super::holes_overlap::capital;
use super::{Finding, FindingContext, LimitSide, Rule, Severity, room};
use knife::PartId;

/// A hole placed exactly at the limit passes, mm.
const ROUNDING_MM: f64 = 1e-6;

pub(super) static RULE: Rule = Rule {
    key: "jimping-near-hole",
    checks: "That a hole's centre lies one and a half diameters from the bottom of every notch.",
    rationale: "A notch is a stress riser: a thin web under it cracks in hardening or in use.",
    remedy: "Move the hole away, take a smaller drill, or file shallower notches.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(jimping) = ctx.jimping else { return };
    let limits = &ctx.shop.limits;
    for hole in ctx.holes {
        let webs = jimping
            .notches
            .iter()
            .map(|notch| (jimping.web_mm(notch, hole.at, hole.diameter_mm / 2.0), notch.at));
        let Some((web_mm, at)) = webs.min_by(|a, b| a.0.total_cmp(&b.0)) else { continue };
        let min = |diameters: f64| (diameters - 0.5) * hole.diameter_mm;
        let judged = |web_mm: f64| {
            if web_mm < min(limits.edge_stop_diameters) - ROUNDING_MM {
                Some((Severity::Stop, limits.edge_stop_diameters, "edge_stop_diameters"))
            } else if web_mm < min(limits.edge_care_diameters) - ROUNDING_MM {
                Some((Severity::Care, limits.edge_care_diameters, "edge_care_diameters"))
            } else {
                None
            }
        };
        let Some((severity, diameters, key)) = judged(web_mm) else { continue };
        // A hole as near to the outline itself has been told of already.
        let message = hole.edge_web_mm.and_then(judged);
        if message.is_some_and(|(before, ..)| before <= severity) {
            continue;
        }
        let limit_mm = min(diameters);
        let away = (hole.at - at).normalize();
        let (lacking_mm, wanted_mm) = (limit_mm - web_mm, min(limits.edge_care_diameters) - web_mm);
        findings.push(RULE.finding(
            severity,
            format!(
                "Only {} of steel between hole {} and the jimping.",
                ctx.brief(web_mm),
                hole.number
            ),
            format!(
                "{} leaves a web of {} to a notch of the jimping; the rule asks for {}, so that \
                 its centre lies {diameters} × its diameter away. Move it inward by {}, or file \
                 shallower notches.",
                capital(&hole.label()),
                ctx.length(web_mm),
                ctx.length(limit_mm),
                ctx.length(limit_mm - web_mm),
            ),
        ).measured(LimitSide::AtLeast, web_mm, limit_mm, ctx.source(&[key])).about([PartId::Hole(hole.id)]).at(at).mended_by([wanted_mm, lacking_mm].into_iter().find_map(|mm| {
            let by_mm = mm + room::SPARE_MM;
            room::moved(
                ctx,
                hole,
                hole.at + away * by_mm,
                format!("Move it inward by {}", ctx.brief(by_mm)),
            )
        })));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jimping::tests::jimped;
    use crate::sample::{drilled, found};
    use knife::{Groove, Pitch};

    // By hand: a 6 mm hole wants 9 mm from its centre to the notch's bottom (care) and 6 (stop);
    // notches 1 mm deep at (100, 15), (104, 15) … end at y = 14.
    #[test]
    fn webs_are_held_to_the_rule_for_webs_to_the_edge() {
        let knife = |y: f64| {
            let mut knife = drilled(&[(104.0, y, 6.0)]);
            knife.handle.jimping = jimped(Groove::Vee(90.0), 1.0, Pitch::Mm(4.0)).handle.jimping;
            knife
        };
        assert!(found(&knife(5.0), RULE.key).is_empty());
        let near = found(&knife(5.5), RULE.key).remove(0);
        assert_eq!(near.severity, Severity::Care);
        assert!((near.measured_mm.unwrap() - 5.5).abs() < 1e-9);
        assert!((near.limit_mm.unwrap() - 6.0).abs() < 1e-9);
        // At y = 7 the outline is near too, which has been told.
        assert!(found(&knife(7.0), RULE.key).is_empty());
        let stop = found(&knife(8.5), RULE.key).remove(0);
        assert_eq!(stop.severity, Severity::Stop);
    }
}
