//! Finding: plunge line, grind line or scale front miss the blank.

use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use crate::ProfileFigures;
use knife::{Bevel, Edit, PartId, Scales};
use kurbo::Line;

pub(super) static RULE: Rule = Rule {
    key: "line-off-the-blank",
    checks: "That plunge line, grind line and scale front lie on the blank.",
    rationale: "A line that misses the blank is on no sheet, and is forgotten at the bench.",
    remedy: "Move the line onto the blank, or lower the grind.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(outline), Some(profile)) = (ctx.outline, ctx.profile) else { return };
    let misses = |x: f64| {
        let line = Line::new((x, profile.bounds.y0 - 1.0), (x, profile.bounds.y1 + 1.0));
        outline.crossings_with(line).is_empty()
    };
    let off = |x: f64| (profile.bounds.x0 - x).max(x - profile.bounds.x1).max(0.0);
    let mut message = |part: PartId, severity: Severity, texts: (String, String), off_mm: f64| {
        findings.push(
            RULE.finding(severity, texts.0, texts.1)
                .mended_by(remedy(ctx, profile, part))
                .measured(LimitSide::AtMost, off_mm, 0.0, "geometry")
                .about([part]),
        );
    };
    if let Some(bevel) = ctx.knife.bevel {
        if misses(bevel.plunge_x_mm) {
            let x = ctx.along(bevel.plunge_x_mm);
            let sentence = format!("The plunge line at {x} misses the blank. Move it onto it.");
            let texts = ("The plunge line misses the blank.".to_owned(), sentence);
            message(PartId::Plunge, Severity::Care, texts, off(bevel.plunge_x_mm));
        } else if profile.edge.is_some()
            && ctx.bevel.is_some_and(|b| b.grind.is_empty() && b.edge.is_some())
        {
            let sentence = format!(
                "The grind is to rise {}, higher than the blade anywhere ahead of the plunge, so \
                 it runs out at the spine and no grind line is drawn.",
                ctx.length(bevel.grind_height_mm)
            );
            let high = ctx.brief(bevel.grind_height_mm);
            let short = format!("The grind rises {high}, past the spine: no grind line is drawn.");
            message(PartId::GrindLine, Severity::Note, (short, sentence), bevel.grind_height_mm);
        }
    }
    if let Some(scales) = ctx.knife.scales.filter(|scales| misses(scales.front_x_mm)) {
        let x = ctx.along(scales.front_x_mm);
        let sentence = format!("The scales' front at {x} misses the blank. Move it onto it.");
        let texts = ("The front of the scales misses the blank.".to_owned(), sentence);
        message(PartId::Scales, Severity::Care, texts, off(scales.front_x_mm));
    }
}

/// Moves the line to the heel, where that is known, or as far behind it as the rule asks.
fn remedy(ctx: &FindingContext<'_>, profile: &ProfileFigures, part: PartId) -> Option<Remedy> {
    let heel_x = ctx.heel()?.at.x;
    match part {
        PartId::Plunge => {
            let bevel = Bevel { plunge_x_mm: heel_x, ..ctx.knife.bevel? };
            Some(Remedy::new("Move it to the heel", Edit::SetBevel(Some(bevel))))
        }
        PartId::Scales => {
            let behind_mm = ctx.shop.limits.plunge_front_mm;
            let front_x_mm = heel_x + behind_mm * profile.towards_butt;
            let inside = profile.bounds.x0 < front_x_mm && front_x_mm < profile.bounds.x1;
            let scales = Scales { front_x_mm, ..ctx.knife.scales? };
            inside.then(|| Remedy::new("Move it behind the heel", Edit::SetScales(Some(scales))))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Bevel, Scales};

    #[test]
    fn each_line_that_misses_the_blank_is_told() {
        let mut knife = blank();
        let bevel = Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm: 12.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        };
        knife.bevel = Some(bevel);
        knife.scales = Some(Scales { front_x_mm: 110.0, thickness_mm: 6.35 });
        assert!(found(&knife, RULE.key).is_empty());
        knife.bevel = Some(Bevel { grind_height_mm: 60.0, ..bevel });
        assert_eq!(found(&knife, RULE.key)[0].severity, Severity::Note);
        knife.bevel = Some(Bevel { plunge_x_mm: 5000.0, ..bevel });
        knife.scales = Some(Scales { front_x_mm: -4.0, thickness_mm: 6.35 });
        let message: Vec<Severity> = found(&knife, RULE.key).iter().map(|f| f.severity).collect();
        assert_eq!(message, [Severity::Care, Severity::Care]);
        // Told from the origin, as the field beside it.
        knife.origin = knife::Origin::Heel;
        let heel = knife.profile.node(knife.profile.heel.unwrap()).unwrap().at;
        let message = &found(&knife, RULE.key)[0].sentence;
        let x = units::show_length(5000.0 - heel.x, knife.unit);
        let x = if knife.unit == units::LengthUnit::Millimetre {
            units::show_mm(5000.0 - heel.x, 2)
        } else {
            x
        };
        assert!(message.contains(&format!("at x {x} from the heel")), "{message}");
    }
}
