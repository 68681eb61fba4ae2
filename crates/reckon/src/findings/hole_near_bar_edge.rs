//! Finding: too little steel between a hole and the bar's edge.

use super::holes_overlap::capital;
use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use crate::HoleFigures;
use knife::{Edit, PartId, Placement};

pub(super) static RULE: Rule = Rule {
    key: "hole-near-bar-edge",
    checks: "That a hole lies on its bar, its centre one and a half diameters from edges and ends.",
    rationale: "The drill walks out of the bar's side, grabs and throws the work.",
    remedy: "Lay the blank elsewhere on its bar, or move the hole.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (bar, limits) = (&ctx.knife.bar, &ctx.shop.limits);
    for hole in ctx.holes {
        let (at, radius) = (hole.on_bar, hole.diameter_mm / 2.0);
        let sides = [
            (at.y, "lower edge"),
            (bar.width_mm - at.y, "upper edge"),
            (at.x, "left end"),
            (bar.length_mm - at.x, "right end"),
        ];
        let nearest = sides.into_iter().min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((distance_mm, side)) = nearest else { continue };
        let (web_mm, limit_mm) =
            (distance_mm - radius, limits.edge_care_diameters * hole.diameter_mm - radius);
        // Where the outline is nearer, its own rule has spoken.
        let outline_is_nearer =
            hole.edge_web_mm.is_some_and(|web| (0.0..=web_mm + ROUNDING_MM).contains(&web));
        if web_mm >= limit_mm - ROUNDING_MM || (outline_is_nearer && web_mm >= 0.0) {
            continue;
        }
        let words = capital(&hole.label());
        let (severity, short, sentence) = if web_mm < 0.0 {
            let by = ctx.length(-web_mm);
            let sentence = format!(
                "{words} reaches {by} over the bar's {side}. Lay the blank elsewhere on its bar."
            );
            let over = ctx.brief(-web_mm);
            let short = format!("Hole {} reaches {over} over the bar's {side}.", hole.number);
            (Severity::Stop, short, sentence)
        } else {
            let (web, limit) = (ctx.length(web_mm), ctx.length(limit_mm));
            let sentence = format!(
                "{words} leaves {web} to the bar's {side}; the rule asks for {limit}. Lay the \
                 blank elsewhere on its bar or move the hole."
            );
            let web = ctx.brief(web_mm);
            let short = format!("Hole {} leaves only {web} to the bar's {side}.", hole.number);
            (Severity::Care, short, sentence)
        };
        findings.push(
            RULE.finding(severity, short, sentence)
                .measured(
                    LimitSide::AtLeast,
                    web_mm,
                    if web_mm < 0.0 { 0.0 } else { limit_mm },
                    ctx.source(&["edge_care_diameters"]),
                )
                .about([PartId::Hole(hole.id), PartId::Bar])
                .at(hole.at)
                .mended_by(laid_elsewhere(ctx, hole, limit_mm)),
        );
    }
}

/// Lays the blank in the middle of its bar at its best turn, where that cures it.
fn laid_elsewhere(ctx: &FindingContext<'_>, hole: &HoleFigures, limit_mm: f64) -> Option<Remedy> {
    let figures = ctx.bar.filter(|figures| figures.could_fit())?;
    let placement = Placement { at: figures.best_at, turn_deg: figures.best_turn_deg };
    let (bar, at) = (&ctx.knife.bar, placement.bar_from_knife() * hole.at);
    let sides = [at.y, bar.width_mm - at.y, at.x, bar.length_mm - at.x];
    let nearest_mm = sides.into_iter().fold(f64::INFINITY, f64::min);
    (nearest_mm - hole.diameter_mm / 2.0 >= limit_mm)
        .then(|| Remedy::new("Rotate to fit", Edit::Place(placement)))
}

/// A hole placed exactly at the limit passes.
const ROUNDING_MM: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};

    // AISC 360-16 Table J3.4: a 1/2 in hole wants 3/4 in (1.5 d) to the edge; here of the bar,
    // for a hole that lies off the blank. The bar's upper edge lies at y 19.05.
    #[test]
    fn a_hole_off_the_blank_is_held_against_the_bar() {
        for (y, severity) in
            [(0.0, None), (13.0, None), (18.5 - 6.0, None), (19.05 + 0.1, Some(Severity::Stop))]
        {
            let message = found(&drilled(&[(150.0, y, 4.0)]), RULE.key);
            assert_eq!(message.first().map(|f| f.severity), severity, "{y}");
        }
        // Beyond the blank's butt (x 200) but on the bar, whose end lies at x 294.8.
        let message = |x: f64| found(&drilled(&[(x, 0.0, 12.7)]), RULE.key);
        assert!(message(294.8 - 19.05).is_empty());
        let finding = message(294.8 - 19.0).remove(0);
        assert!(finding.sentence.contains("to the bar's right end"), "{}", finding.sentence);
        assert!((finding.limit_mm.unwrap() - 12.7).abs() < 1e-9);
    }
}
