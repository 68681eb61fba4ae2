//! Finding: a hole's diameter is not that of the drill it names.

use super::holes_overlap::capital;
use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use knife::{Edit, PartId};

pub(super) static RULE: Rule = Rule {
    key: "drill-mismatch",
    checks: "That a hole's named drill is in the table and has the hole's diameter.",
    rationale: "The sheet names the drill; the webs were worked out with the diameter.",
    remedy: "Choose the drill again, or type its diameter.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    for (hole, stated) in ctx.holes.iter().zip(&ctx.knife.holes) {
        let Some(name) = &stated.drill else { continue };
        let words = capital(&hole.label());
        let finding = match ctx.tables.drill(name) {
            None => RULE.finding(
                Severity::Care,
                format!("Hole {} names a drill that isn't in the drill table.", hole.number),
                format!(
                    "{words} names the drill \"{name}\", which is not in the drill table. \
                     Choose one such as #30, F, 1/8 or 3.2 mm."
                ),
            ),
            Some(drill) => {
                let off_mm = (drill.diameter_mm - hole.diameter_mm).abs();
                if off_mm <= ctx.shop.limits.drill_slack_mm {
                    continue;
                }
                RULE.finding(
                    Severity::Care,
                    format!(
                        "Hole {} differs from the drill it names by {}.",
                        hole.number,
                        ctx.brief(off_mm)
                    ),
                    format!(
                        "{words} is drawn {} wide, but the drill {} makes {}. Choose the \
                         drill again.",
                        ctx.length(hole.diameter_mm),
                        drill.label,
                        ctx.length(drill.diameter_mm),
                    ),
                )
                .measured(
                    LimitSide::AtMost,
                    off_mm,
                    ctx.shop.limits.drill_slack_mm,
                    ctx.source(&["drill_slack_mm"]),
                )
                .mended_by(Remedy::new(
                    format!("Draw it as {}", drill.label),
                    Edit::SizeHole {
                        hole: hole.id,
                        diameter_mm: drill.diameter_mm,
                        drill: Some(drill.label.clone()),
                        pin_mm: stated.pin_mm,
                    },
                ))
            }
        };
        findings.push(finding);
        if let Some(last) = findings.last_mut() {
            last.parts.push(PartId::Hole(hole.id));
            last.place = Some(hole.at);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};

    #[test]
    fn a_hole_drawn_wider_than_its_drill_is_mended_by_the_remedy() {
        let mut knife = drilled(&[(150.0, 0.0, 3.2639)]);
        knife.holes[0].drill = Some("#30".to_owned());
        assert!(found(&knife, RULE.key).is_empty());
        knife.holes[0].diameter_mm = 3.5;
        let finding = found(&knife, RULE.key).remove(0);
        let mended = finding.remedy.unwrap().apply(&knife).unwrap();
        assert_eq!(mended.holes[0].diameter_mm, 3.2639);
        assert!(found(&mended, RULE.key).is_empty());
        knife.holes[0].drill = Some("#300".to_owned());
        assert!(found(&knife, RULE.key)[0].sentence.contains("not in the drill table"));
    }
}
