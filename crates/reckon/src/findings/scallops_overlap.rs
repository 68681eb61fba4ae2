//! Finding: scallops that run into one another.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use knife::PartId;

/// Scallops that just meet pass, mm.
const ROUNDING_MM: f64 = 1e-6;

pub(super) static RULE: Rule = Rule {
    key: "scallops-overlap",
    checks: "That some of the corner is left between one scallop and the next.",
    rationale: "Scallops that overlap leave thin points, which chip, and lower the whole corner.",
    remedy: "Take fewer, a wider pitch, a smaller drum or less depth.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(figures) = ctx.scallops else { return };
    let Some((land_mm, pitch_mm)) = figures.land_mm.zip(figures.pitch_mm) else { return };
    if land_mm >= -ROUNDING_MM {
        return;
    }
    let sentence = format!(
        "The scallops are {} wide at the corner and {} apart: they overlap by {}. {}",
        ctx.length(figures.width_mm),
        ctx.length(pitch_mm),
        ctx.length(-land_mm),
        RULE.remedy,
    );
    let short = format!("The scallops overlap by {}.", ctx.brief(-land_mm));
    findings.push(
        RULE.finding(Severity::Care, short, sentence)
            .measured(LimitSide::AtLeast, land_mm, 0.0, "geometry")
            .about([PartId::Scales])
            .at(figures.upper.places.first().map(|place| place.at)),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::found;
    use crate::scallops::tests::scalloped;
    use knife::ScallopSpacing;

    // By hand: a drum of 26 mm 1 mm deep cuts 10 mm wide.
    #[test]
    fn overlap_is_told_from_the_width_on() {
        assert!(found(&scalloped(ScallopSpacing::Pitch(10.0)), RULE.key).is_empty());
        let message = found(&scalloped(ScallopSpacing::Pitch(9.0)), RULE.key).remove(0);
        assert_eq!(message.severity, Severity::Care);
        assert!((message.measured_mm.unwrap() + 1.0).abs() < 1e-9);
        assert!(message.sentence.contains("overlap by 1.00 mm"), "{}", message.sentence);
    }
}
