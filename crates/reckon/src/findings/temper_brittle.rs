//! Finding: a temper that lies, or is led, where the steel loses toughness.

use super::{Finding, FindingContext, Rule, Severity};
use crate::heat::oven_setting;
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "temper-brittle",
    checks: "That the chosen temper keeps out of the heats in which plain carbon and low-alloy \
             steels lose toughness.",
    rationale: "Tempered there the blade gets softer and yet more brittle.",
    remedy: "Choose a higher hardness, or a temper below that range.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(brittle) = ctx.heat.brittle(ctx.knife.treatment.temper) else { return };
    let unit = ctx.knife.unit;
    let message = oven_setting(brittle.heats_c, unit);
    let lies = if brittle.is_all() { "lies in" } else { "reaches into" };
    let sentence = format!(
        "A temper at {message} {lies} the range of {}, in which plain carbon and low-alloy steels \
         lose toughness (temper embrittlement). Choose a higher hardness, or stay below it.",
        oven_setting(brittle.range_c, unit)
    );
    let short = format!("The temper {lies} the range where this steel loses toughness.");
    let source = "ASM Handbook Vol. 4, tempering of steel, from memory";
    findings.push(RULE.finding(Severity::Care, short, sentence).by(source).about([PartId::Bar]));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::Temper;

    /// ASM Handbook Vol. 4, tempering of steel, from memory: tempered-martensite embrittlement of
    /// plain carbon and low-alloy steels between 230 and 370 °C.
    #[test]
    fn a_temper_between_230_and_370_c_is_told_of_plain_carbon_steel_only() {
        let mut knife = blank();
        for (grade, celsius, message) in
            [("1095", 200.0, 0), ("1095", 300.0, 1), ("1095", 371.5, 0), ("A2", 300.0, 0)]
        {
            knife.bar.grade = grade.to_owned();
            knife.treatment.temper = Some(Temper::Heat(celsius));
            assert_eq!(found(&knife, RULE.key).len(), message, "{grade} {celsius}");
        }
        // Whatever the tables have of it.
        for (grade, celsius) in [("W1", 260.0), ("1080", 350.0), ("100MnCrW4", 300.0)] {
            knife.bar.grade = grade.to_owned();
            knife.treatment.temper = Some(Temper::Heat(celsius));
            assert_eq!(found(&knife, RULE.key).len(), 1, "{grade} {celsius}");
        }
        // 57 HRC of 1084 by its one unsourced table alone: 600 °F.
        knife.bar.grade = "1084".to_owned();
        knife.treatment.temper = Some(Temper::Hardness(57.0));
        let sentence = &found(&knife, RULE.key)[0].sentence;
        assert!(sentence.contains("230–370 °C") || sentence.contains("450–700 °F"), "{sentence}");
    }
}
