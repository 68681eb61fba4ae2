//! Finding: nothing can be told of the temper that was chosen.

use super::{Finding, FindingContext, Rule, Severity};
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "temper-unknown",
    checks: "That the tables have the chosen hardness or temper of this steel.",
    rationale: "A temper that is guessed gives an edge that chips or rolls.",
    remedy: "Choose a hardness that the tables have, or add the steel to the shop with its own \
             source.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(Err(fault)) = &ctx.heat.temper else { return };
    let short = "The tables have no such temper for this steel.";
    let finding = RULE.finding(Severity::Care, short, fault.to_string());
    let source = "the tables of steels, each row with its source";
    findings.push(finding.by(source).about([PartId::Bar]));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::Temper;

    #[test]
    fn a_hardness_the_tables_have_not_is_told() {
        let mut knife = blank();
        for (hrc, message) in [(60.0, 0), (66.0, 1)] {
            knife.treatment.temper = Some(Temper::Hardness(hrc));
            assert_eq!(found(&knife, RULE.key).len(), message, "{hrc}");
        }
    }
}
