//! Finding: no tool on hand reaches into the tightest inside curve.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "inside-too-tight",
    checks: "That a file, drum or dowel on hand goes into the tightest inside curve.",
    rationale: "A round tool leaves its own radius: half its diameter, and its paper.",
    remedy: "Open the curve to the radius of a tool on hand, or get a smaller one.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(profile), Some(reach)) = (ctx.profile, ctx.inside) else { return };
    let Some(tightest) = profile.tightest_inside.filter(|_| reach.tool.is_none()) else { return };
    let radius = ctx.length(reach.radius_mm);
    let place = ctx.place(tightest.at);
    let on_hand = match &reach.smallest {
        Some(tool) => format!(
            "the smallest tool on hand ({}) leaves {}. Open the curve to that",
            tool.name,
            ctx.length(tool.radius_mm)
        ),
        None => "there is no file, drum or dowel in the shop. Add yours to the shop".to_owned(),
    };
    let get = match &reach.to_get {
        Some(tool) => format!(", or get a {} ({})", tool.name, ctx.length(tool.radius_mm)),
        None => String::new(),
    };
    let smallest_mm = reach.smallest.as_ref().map(|tool| tool.radius_mm);
    let source = "half the diameter of the shop's smallest tool, and its paper";
    findings.push(
        RULE.finding(
            Severity::Care,
            format!(
                "No tool on hand reaches into the inside curve of radius {}.",
                ctx.brief(reach.radius_mm)
            ),
            format!("The inside curve at {place} has a radius of {radius}; {on_hand}{get}."),
        )
        .measured(LimitSide::AtLeast, reach.radius_mm, smallest_mm, source)
        .about([PartId::Profile])
        .at(tightest.at),
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Shop;
    use crate::sample::{blank, found, reckoned};
    use crate::shop::InsideTool;
    use crate::tables::{InsideKind, Tables};
    use knife::{Edit, Knife};

    fn notched(diameter_mm: f64) -> Knife {
        let stretch = blank().profile.nodes[2].id;
        let depth_mm = diameter_mm / 2.0;
        Edit::InsertNotch { stretch, t: 0.5, diameter_mm, depth_mm, lip_radius_mm: 0.0 }
            .apply(&blank())
            .unwrap()
    }

    // Minimum tool radius is half the tool's diameter: a 5/32 in file leaves 0.0781 in.
    #[test]
    fn the_tool_that_reaches_or_the_one_to_get_is_named() {
        assert!(found(&blank(), RULE.key).is_empty());
        assert!(found(&notched(3.01), RULE.key).is_empty());
        let file = reckoned(&notched(4.0)).inside.unwrap().tool.unwrap();
        assert_eq!(file.name, "5/32 in round file");
        assert!((file.radius_mm / 25.4 - 0.0781).abs() < 1e-4);
        let message = found(&notched(2.0), RULE.key).remove(0);
        assert!(message.sentence.contains("(round needle file) leaves 1.50 mm"), "{message:?}");

        let drum = InsideTool {
            kind: InsideKind::Drum,
            name: "my drum".into(),
            diameter_mm: 12.7,
            measured_mm: None,
            paper_mm: 0.3,
        };
        let shop = Shop { inside_tools: vec![drum], ..Shop::default() };
        let reckoning = crate::reckon(&notched(4.0), &shop, Tables::built_in());
        let message = reckoning.findings.iter().find(|f| f.rule == RULE.key).unwrap();
        assert!(
            message.sentence.ends_with(
                "(my drum) leaves 6.65 mm. Open the curve to that, or get a 5/32 in round file \
                 (1.98 mm)."
            ),
            "{}",
            message.sentence
        );
    }
}
