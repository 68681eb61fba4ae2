//! Finding: a sheath that can't be laid round the knife.

use super::{Finding, FindingContext, Rule, Severity};
use crate::SheathError;
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "sheath-no-room",
    checks: "That the sheath stated can be laid round the knife.",
    rationale: "Without a handle to count from, or with its mouth off the knife, there is no sheath.",
    remedy: "State the scales or mark the heel, and let the mouth lie between tip and butt.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(Err(why)), Some(stated)) = (ctx.sheath, &ctx.knife.sheath) else { return };
    let sentence = match why {
        SheathError::NoHandle => {
            "The sheath can't be laid: nothing tells where the handle begins. \
                                  State the scales or the bevels, or mark the heel."
                .to_owned()
        }
        SheathError::PastButt => format!(
            "The sheath reaches {} up the handle, past the butt. Let it reach less far.",
            ctx.length(stated.cover_mm)
        ),
        SheathError::BeforeTip => "The sheath's mouth lies at the tip: there is nothing in it. \
                                   Move the front of the scales, or let it reach farther up."
            .to_owned(),
        SheathError::NoRoom => {
            "The sheath can't be laid round this outline with the widths stated. \
                                Take a smaller welt or offset, and look at the outline."
                .to_owned()
        }
    };
    let short = match why {
        SheathError::NoHandle => "The sheath can't be laid: where does the handle begin?",
        SheathError::PastButt => "The sheath reaches past the butt.",
        SheathError::BeforeTip => "The sheath's mouth lies at the tip: nothing is in it.",
        SheathError::NoRoom => "The sheath can't be laid round this outline.",
    };
    findings.push(RULE.finding(Severity::Stop, short, sentence).about([PartId::Sheath]));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Sheath, SheathKind};
    use units::LengthUnit;

    // By hand: the heel at x 100 of 200: 99 mm up the handle there is still a butt.
    #[test]
    fn a_mouth_past_the_butt_is_told() {
        for (cover_mm, message) in [(30.0, false), (99.0, false), (101.0, true)] {
            let mut knife = blank();
            let usual = Sheath::usual(SheathKind::FoldedLeather, LengthUnit::Millimetre);
            knife.sheath = Some(Sheath { cover_mm, ..usual });
            assert_eq!(found(&knife, RULE.key).len(), usize::from(message), "{cover_mm}");
        }
    }
}
