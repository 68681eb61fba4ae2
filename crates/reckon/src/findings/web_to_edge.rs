//! Finding: too little steel between a hole and the outline.

use super::holes_overlap::capital;
use super::room::SPARE_MM;
use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use crate::HoleFigures;
use knife::{Edit, PartId};
use kurbo::Circle;

pub(super) static RULE: Rule = Rule {
    key: "web-to-edge",
    checks: "That a hole's centre lies at least one and a half diameters from the outline.",
    rationale: "A thin web cracks in hardening, bends in drilling and breaks in use.",
    remedy: "Move the hole inward or take a smaller drill.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let limits = &ctx.shop.limits;
    for hole in ctx.holes {
        let Some(web_mm) = hole.edge_web_mm.filter(|web| *web >= 0.0) else { continue };
        let min = |diameters: f64| (diameters - 0.5) * hole.diameter_mm;
        let (severity, diameters, key) = if web_mm < min(limits.edge_stop_diameters) - ROUNDING_MM {
            (Severity::Stop, limits.edge_stop_diameters, "edge_stop_diameters")
        } else if web_mm < min(limits.edge_care_diameters) - ROUNDING_MM {
            (Severity::Care, limits.edge_care_diameters, "edge_care_diameters")
        } else {
            continue;
        };
        let limit_mm = min(diameters);
        let better = moved_inward(ctx, hole, min(limits.edge_care_diameters));
        let moved = better.clone().or_else(|| moved_inward(ctx, hole, limit_mm));
        let (advice, remedy) = if moved.is_some() {
            let lacking = ctx.length(limit_mm - web_mm);
            let further = ctx.length(min(limits.edge_care_diameters) - web_mm);
            let by = match (severity, better) {
                (Severity::Stop, Some(_)) => format!("at least {lacking}, better {further}"),
                (Severity::Stop, None) => format!("at least {lacking}"),
                _ => lacking,
            };
            (format!("Move it inward by {by}, or take a smaller drill."), moved)
        } else {
            to_the_middle(ctx, hole)
        };
        findings.push(
            RULE.finding(
                severity,
                format!(
                    "Only {} of steel between hole {} and the outline.",
                    ctx.brief(web_mm),
                    hole.number
                ),
                format!(
                    "{} leaves a web of {} to the outline; the rule asks for {}, so that its \
                 centre lies {diameters} × its diameter from the edge. {advice}",
                    capital(&hole.label()),
                    ctx.length(web_mm),
                    ctx.length(limit_mm),
                ),
            )
            .measured(LimitSide::AtLeast, web_mm, limit_mm, ctx.source(&[key]))
            .about([PartId::Hole(hole.id)])
            .at(hole.edge_at)
            .mended_by(remedy),
        );
    }
}

/// What to do with a hole that has no room straight inward: the middle of the steel there, with a
/// smaller drill where the middle is too narrow too.
fn to_the_middle(ctx: &FindingContext<'_>, hole: &HoleFigures) -> (String, Option<Remedy>) {
    let middle = ctx.outline.zip(hole.edge_at).and_then(|(outline, edge_at)| {
        let (a, b) = outline.chord(hole.at, hole.at - edge_at)?;
        let to = a.midpoint(b);
        Some((a.distance(b), to, outline.web(Circle::new(to, 0.0))))
    });
    let Some((wide_mm, to, room_mm)) = middle else {
        return ("Take a smaller drill, or remove it.".to_owned(), None);
    };
    let max_mm = room_mm / ctx.shop.limits.edge_care_diameters;
    if hole.diameter_mm <= max_mm {
        let words = "Move it to the middle".to_owned();
        let edit = Edit::MoveHole { hole: hole.id, to };
        let advice = "Move it to the middle of the steel there, or take a smaller drill.";
        return (advice.to_owned(), Some(Remedy::new(words, edit)));
    }
    let drill = (ctx.shop.drills_on_hand(ctx.tables))
        .filter(|drill| drill.diameter_mm <= max_mm)
        .max_by(|a, b| a.diameter_mm.total_cmp(&b.diameter_mm));
    let wide = ctx.length(wide_mm);
    let too_large = format!("It is too large for steel {wide} wide, wherever it lies there.");
    let advice = match drill {
        Some(drill) => format!(
            "Drill it no larger than {} ({}), in the middle.",
            drill.label,
            ctx.length(drill.diameter_mm)
        ),
        None => "Remove it.".to_owned(),
    };
    (format!("{too_large} {advice}"), None)
}

/// Moves the hole straight away from the outline, by what is lacking and to a hundredth more,
/// where that keeps the limit.
fn moved_inward(ctx: &FindingContext<'_>, hole: &HoleFigures, limit_mm: f64) -> Option<Remedy> {
    let lacking_mm = limit_mm - hole.edge_web_mm?;
    let inward = (hole.at - hole.edge_at?).normalize();
    let to = hole.at + inward * (lacking_mm + SPARE_MM);
    let web_mm = ctx.outline?.web(Circle::new(to, hole.diameter_mm / 2.0));
    (to.is_finite() && web_mm >= limit_mm).then(|| {
        let label = format!("Move it by {}", ctx.brief(lacking_mm));
        Remedy::new(label, Edit::MoveHole { hole: hole.id, to })
    })
}

/// A hole placed exactly at the limit passes.
const ROUNDING_MM: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};

    // Worked by hand from the rule: a 6 mm hole wants its centre 9 mm from the edge (1.5 d, the
    // 3/4 in for a 1/2 in bolt of AISC 360-16 Table J3.4) and never under 6 mm (1 d).
    #[test]
    fn a_pin_moved_to_the_belly_by_mistake_is_mended_by_the_remedy() {
        let knife = drilled(&[(150.0, -15.0 + 3.0 + 1.0, 6.0)]);
        let finding = found(&knife, RULE.key).remove(0);
        assert_eq!(finding.severity, Severity::Stop);
        assert!((finding.measured_mm.unwrap() - 1.0).abs() < 1e-9);
        let mended = finding.remedy.unwrap().apply(&knife).unwrap();
        assert!(found(&mended, RULE.key).is_empty());
        assert!((mended.holes[0].at.y + 15.0 - 9.0).abs() < 0.05);
    }

    // Steel 30 mm wide has room for 1.5 diameters on both sides of a hole of 10 mm, not of 12.
    #[test]
    fn a_hole_too_large_for_its_tang_is_told_the_drill_that_suits() {
        let finding = |d: f64| found(&drilled(&[(150.0, -3.0, d)]), RULE.key).remove(0);
        assert!(finding(9.0).sentence.contains("Move it inward by"), "{}", finding(9.0).sentence);
        let large = finding(12.0);
        let expected = "too large for steel 30.00 mm wide, wherever it lies there. Drill it no \
                      larger than 10 mm (10.00 mm), in the middle.";
        assert!(large.sentence.contains(expected), "{}", large.sentence);
        assert!(large.remedy.is_none());
        assert!(found(&drilled(&[(150.0, 0.0, 10.0)]), RULE.key).is_empty());
        // Within the stop limit anywhere there, but not within the other: only the first is told.
        let stop = found(&drilled(&[(150.0, -8.0, 12.0)]), RULE.key).remove(0);
        assert!(stop.sentence.contains("by at least 5.00 mm, or"), "{}", stop.sentence);
    }

    #[test]
    fn the_limits_are_one_and_one_and_a_half_diameters_from_the_centre() {
        for (y, severity) in [
            (6.0, None),
            (6.0 + 1e-3, Some(Severity::Care)),
            (9.0, Some(Severity::Care)),
            (9.0 + 1e-3, Some(Severity::Stop)),
            (11.9, Some(Severity::Stop)),
        ] {
            let findings = found(&drilled(&[(150.0, y, 6.0)]), RULE.key);
            assert_eq!(findings.first().map(|finding| finding.severity), severity, "{y}");
        }
        let finding = found(&drilled(&[(150.0, 10.0, 6.0)]), RULE.key).remove(0);
        assert_eq!(finding.limit_mm, Some(3.0));
        assert!((finding.measured_mm.unwrap() - 2.0).abs() < 1e-9);
        assert!(
            finding.sentence.contains("inward by at least 1.00 mm, better 4.00 mm,"),
            "{}",
            finding.sentence
        );
    }
}
