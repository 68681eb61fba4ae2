//! Finding: scallops that run into one another.

use super::{Finding, Given, Held, Rule, Severity};
use knife::PartId;

/// Scallops that just meet pass, mm.
const ROUNDING_MM: f64 = 1e-6;

pub(super) static RULE: Rule = Rule {
    key: "scallops-overlap",
    checks: "That some of the corner is left between one scallop and the next.",
    matters: "Scallops that overlap leave thin points, which chip, and lower the whole corner.",
    cure: "Take fewer, a wider pitch, a smaller drum or less depth.",
    check,
};

fn check(given: &Given<'_>, findings: &mut Vec<Finding>) {
    let Some(figures) = given.scallops else { return };
    let Some((land_mm, pitch_mm)) = figures.land_mm.zip(figures.pitch_mm) else { return };
    if land_mm >= -ROUNDING_MM {
        return;
    }
    let sentence = format!(
        "The scallops are {} wide at the corner and {} apart: they overlap by {}. {}",
        given.length(figures.width_mm),
        given.length(pitch_mm),
        given.length(-land_mm),
        RULE.cure,
    );
    let mut finding = RULE.finding(Severity::Care, sentence);
    finding.measured(Held::AtLeast, land_mm, 0.0, "geometry");
    finding.parts.push(PartId::Scales);
    finding.place = figures.upper.places.first().map(|place| place.at);
    findings.push(finding);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::found;
    use crate::scallops::tests::scalloped;
    use knife::Steps;

    // By hand: a drum of 26 mm 1 mm deep cuts 10 mm wide.
    #[test]
    fn overlap_is_told_from_the_width_on() {
        assert!(found(&scalloped(Steps::Pitch(10.0)), RULE.key).is_empty());
        let told = found(&scalloped(Steps::Pitch(9.0)), RULE.key).remove(0);
        assert_eq!(told.severity, Severity::Care);
        assert!((told.measured_mm.unwrap() + 1.0).abs() < 1e-9);
        assert!(told.sentence.contains("overlap by 1.00 mm"), "{}", told.sentence);
    }
}
