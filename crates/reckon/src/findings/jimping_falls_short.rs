//! Finding: jimping that can't be filed as it is stated.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use knife::{OutlineSide, PartId};

/// A tooth ends in an edge, not in a flat, below this, mm.
const ROUNDING_MM: f64 = 1e-6;

pub(super) static RULE: Rule = Rule {
    key: "jimping-falls-short",
    checks: "That the jimping lies on the outline, has room for two notches, and leaves a flat on \
             each tooth.",
    rationale: "Notches that merge lower the spine and leave sharp edges under the thumb.",
    remedy: "Move its marks, or take a wider pitch or a shallower notch.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(stated), Some(_)) = (ctx.knife.handle.jimping, ctx.outline) else { return };
    let mut tell = |case, severity, short: String, sentence, measure: Option<(f64, f64)>, place| {
        let finding = RULE.finding(severity, short, sentence).case(case);
        let finding = finding.about([PartId::Profile]).at(place);
        findings.push(match measure {
            Some((measured, limit)) => {
                finding.measured(LimitSide::AtLeast, measured, limit, "geometry")
            }
            None => finding,
        });
    };
    let side = match stated.side {
        OutlineSide::Spine => "spine",
        OutlineSide::Edge => "edge's side",
    };
    let Some(figures) = ctx.jimping else {
        let sentence = format!(
            "The jimping is to run from x {} to {}, but the {side} of the outline doesn't. Move \
             its marks onto the outline.",
            ctx.length(ctx.origin.to_local_x(stated.from_x_mm)),
            ctx.along(stated.to_x_mm),
        );
        let short = "The jimping's marks lie off the outline.".to_owned();
        return tell("off the outline", Severity::Stop, short, sentence, None, None);
    };
    let place = figures.notches.first().map(|notch| notch.at);
    if figures.notches.len() < 2 {
        let sentence = format!(
            "The jimping's run of {} has no room for two notches {} apart. Make it longer, or take \
             a finer pitch.",
            ctx.length(figures.run_mm),
            ctx.length(figures.pitch_mm),
        );
        let measure = Some((figures.run_mm, figures.pitch_mm));
        let run = ctx.brief(figures.run_mm);
        let short = format!("The jimping's run of {run} has no room for two notches.");
        tell("no room", Severity::Care, short, sentence, measure, place);
    }
    if figures.tooth_flat_mm <= ROUNDING_MM {
        let sentence = format!(
            "The jimping's notches are {} wide at the surface, {} apart: they leave no flat on the \
             teeth. File them shallower, or take a wider pitch.",
            ctx.length(figures.notch_width_mm),
            ctx.length(figures.pitch_mm),
        );
        let measure = Some((figures.tooth_flat_mm, 0.0));
        let width = ctx.brief(figures.notch_width_mm);
        let short = format!("Jimping notches {width} wide leave no flat on the teeth.");
        tell("no flat", Severity::Care, short, sentence, measure, place);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jimping::tests::jimped;
    use crate::sample::found;
    use knife::{Edit, Groove, Pitch};

    // By hand: a V of 90° is twice as wide as it is deep.
    #[test]
    fn notches_that_merge_are_told() {
        let knife = |depth| jimped(Groove::Vee(90.0), depth, Pitch::Mm(1.27));
        assert!(found(&knife(0.6), RULE.key).is_empty());
        let finding = found(&knife(0.7), RULE.key).remove(0);
        assert_eq!((finding.severity, finding.case), (Severity::Care, "no flat"));
        assert!((finding.measured_mm.unwrap() - (1.27 - 1.4)).abs() < 1e-9);
        let full = found(&knife(0.635), RULE.key).remove(0);
        assert!(full.sentence.contains("leave no flat"), "{}", full.sentence);
    }

    #[test]
    fn a_run_off_the_outline_or_too_short_is_told() {
        let mut knife = jimped(Groove::Vee(90.0), 0.5, Pitch::Mm(2.0));
        assert!(found(&knife, RULE.key).is_empty());
        knife.handle.jimping.as_mut().unwrap().to_x_mm = 101.0;
        let short = found(&knife, RULE.key).remove(0);
        assert_eq!((short.severity, short.case), (Severity::Care, "no room"));
        knife.handle.jimping.as_mut().unwrap().to_x_mm = 300.0;
        let off = found(&knife, RULE.key).remove(0);
        assert_eq!((off.severity, off.case), (Severity::Stop, "off the outline"));
        let gone = Edit::SetJimping(None).apply(&knife).unwrap();
        assert!(found(&gone, RULE.key).is_empty());
    }
}
