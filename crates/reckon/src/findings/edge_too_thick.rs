//! Finding: the edge is as thick as the bar or thicker.

use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use knife::{Bevel, Edit, PartId};

/// What is usually left at the edge before hardening, mm (common practice, no source).
const USUAL_MM: f64 = 0.5;

pub(super) static RULE: Rule = Rule {
    key: "edge-too-thick",
    checks: "That the edge is thinner than the bar.",
    rationale: "There is no bevel otherwise, and every angle worked out is nonsense.",
    remedy: "Give the edge less thickness, or take thicker steel.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(bevel) = ctx.knife.bevel else { return };
    let stock_mm = ctx.knife.bar.thickness_mm;
    if bevel.edge_thickness_mm < stock_mm {
        return;
    }
    findings.push(RULE.finding(
        Severity::Stop,
        format!(
            "The edge is {} thick, no thinner than the bar.",
            ctx.brief(bevel.edge_thickness_mm)
        ),
        format!(
            "The edge is to be left {} thick, but the bar is only {}. Give the edge less, or take \
             thicker steel.",
            ctx.length(bevel.edge_thickness_mm),
            ctx.length(stock_mm),
        ),
    ).measured(LimitSide::AtMost, bevel.edge_thickness_mm, stock_mm, "geometry").about([PartId::GrindLine]).mended_by((USUAL_MM < stock_mm).then(|| {
        let thinner = Bevel { edge_thickness_mm: USUAL_MM, ..bevel };
        let label = format!("Leave {}", ctx.brief(USUAL_MM));
        Remedy::new(label, Edit::SetBevel(Some(thinner)))
    })));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::Bevel;

    #[test]
    fn an_edge_must_be_thinner_than_its_steel() {
        let mut knife = blank();
        for (edge_thickness_mm, stops) in [(0.5, 0), (3.1, 0), (3.175, 1), (9.0, 1)] {
            let bevel = Bevel {
                plunge_x_mm: 90.0,
                grind_height_mm: 12.0,
                edge_thickness_mm,
                ..Bevel::default()
            };
            knife.bevel = Some(bevel);
            assert_eq!(found(&knife, RULE.key).len(), stops, "{edge_thickness_mm}");
        }
    }
}
