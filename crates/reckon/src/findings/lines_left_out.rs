//! Finding: lines that aren't drawn because the outline is too intricate, or too long.

use super::{Finding, FindingContext, Rule, Severity};
use crate::bevel::is_too_fine;
use crate::chain;
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "lines-left-out",
    checks: "That the outline isn't too intricate for the lines drawn beside it.",
    rationale: "A line that is left out is on no sheet, and is forgotten at the bench.",
    remedy: "Simplify the outline, or draw it with fewer corners.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(outline) = ctx.outline else { return };
    let mut add = |case, severity, short: String, sentence: String| {
        let finding = RULE.finding(severity, short, sentence).case(case);
        findings.push(finding.about([PartId::Profile]));
    };
    let lines = too_intricate_for(ctx);
    if let Some((last, others)) = lines.split_last() {
        let list = match others {
            [] => (*last).to_owned(),
            _ => format!("{} and {last}", others.join(", ")),
        };
        let nodes = ctx.knife.profile.nodes.len();
        let sentence = format!(
            "With {nodes} nodes the outline has more corners than a tool could follow: {list} {} \
             left out. Simplify the outline.",
            if others.is_empty() { "is" } else { "are" },
        );
        let short = format!("Lines are left out: {nodes} nodes are too many corners.");
        add("corners", Severity::Care, short, sentence);
    }
    if ctx.chain.is_none() && chain::is_too_long(outline, &ctx.knife.cutting()) {
        let sentence = format!(
            "The outline is {} long, too long to be drilled out with this drill and bridge: no \
             chain of holes is drawn. Take a larger drill, or saw it out.",
            ctx.length(outline.perimeter()),
        );
        let short = "No chain of holes is drawn round so long an outline.".to_owned();
        add("length", Severity::Note, short, sentence);
    }
    let uncut = ctx.chain.map_or(0, |chain| chain.uncut_hollows);
    if uncut > 0 {
        let sentence = format!(
            "The outline has {uncut} hollows, too many to saw into one by one: no relief cuts are \
             drawn. Simplify the outline."
        );
        let short = format!("No relief cuts are drawn into {uncut} hollows.");
        add("hollows", Severity::Note, short, sentence);
    }
}

/// What is left out for the number of corners.
fn too_intricate_for(ctx: &FindingContext<'_>) -> Vec<&'static str> {
    let Some(outline) = ctx.outline else { return Vec::new() };
    let mut lines = Vec::new();
    let no_offset = outline.has_too_many_sides();
    if no_offset && ctx.chain.is_none() && !chain::is_too_long(outline, &ctx.knife.cutting()) {
        lines.push("the chain of holes");
    }
    let edge = ctx.profile.and_then(|profile| profile.edge.as_ref());
    if ctx.bevel.is_some_and(|bevel| bevel.edge.is_none() && edge.is_some()) {
        lines.push("the bevel with its grind line");
    }
    if ctx.swedge.is_some_and(|swedge| swedge.grind.is_empty() && is_too_fine(&swedge.spine)) {
        lines.push("the line of the swedge");
    }
    if let Some(scales) = ctx.scales {
        if ctx.knife.handle.shaping.corner.is_some() && scales.corner.is_empty() && no_offset {
            lines.push("the line of the scales' rounded corner");
        }
        if ctx.knife.handle.overhang_mm() > 0.0 && scales.outline.has_too_many_sides() {
            lines.push("the trim allowance of the scales");
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found, reckoned};
    use knife::{Bevel, ChainDrilling, Corner, Knife, Profile, Scales, Swedge};
    use kurbo::Point;
    use outline::Outline;

    /// A blank 200 mm long with so many teeth on its lower side, its upper, or both.
    fn toothed(teeth: (u32, u32)) -> Knife {
        let side = |count: u32, y: f64, deep: f64| {
            let pitch = 200.0 / f64::from(count.max(1));
            let tooth = move |i: u32| {
                let x = pitch * f64::from(i);
                [Point::new(x, y), Point::new(x + pitch / 2.0, y + deep)]
            };
            let mut corners: Vec<Point> = (0..count).flat_map(tooth).collect();
            if count == 0 {
                corners.extend([0.0, 90.0].map(|x| Point::new(x, y)));
            }
            corners.push(Point::new(200.0, y));
            corners
        };
        let mut corners = side(teeth.0, -15.0, 0.2);
        corners.extend(side(teeth.1, 15.0, -0.2).into_iter().rev());
        let mut knife = blank();
        knife.profile = Profile::from_outline(&Outline::polygon(&corners).unwrap());
        let nearest = |x: f64, y: f64| {
            let far = |at: Point| at.distance(Point::new(x, y));
            knife.profile.nodes.iter().min_by(|a, b| far(a.at).total_cmp(&far(b.at))).unwrap().id
        };
        let (tip, heel) = (nearest(0.0, -15.0), nearest(90.0, -15.0));
        (knife.profile.tip, knife.profile.heel) = (Some(tip), Some(heel));
        knife
    }

    fn lines_of(knife: &Knife) -> Vec<(&'static str, String)> {
        let findings = found(knife, RULE.key);
        findings.iter().for_each(crate::sample::judge_short);
        findings.into_iter().map(|finding| (finding.case, finding.sentence)).collect()
    }

    #[test]
    fn every_line_that_is_left_out_is_named() {
        assert!(lines_of(&blank()).is_empty());
        let mut knife = toothed((2_000, 2_000));
        knife.bevel = Some(Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm: 12.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        });
        knife.swedge = Some(Swedge { from_x_mm: 60.0, height_mm: 5.0, thickness_mm: 1.0 });
        knife.scales = Some(Scales { front_x_mm: 110.0, thickness_mm: 6.35 });
        knife.handle.shaping.corner = Some(Corner::Round(2.0));
        knife.handle.overhang_mm = Some(1.0);
        let all = lines_of(&knife);
        let [("corners", sentence)] = &all[..] else { panic!("{all:?}") };
        for line in ["chain of holes", "grind line", "swedge", "rounded corner", "trim allowance"] {
            assert!(sentence.contains(line), "{line}: {sentence}");
        }
        // Nothing else gives another reason for the same.
        for rule in ["line-off-the-blank", "handle-out-of-room"] {
            assert!(found(&knife, rule).is_empty(), "{:?}", found(&knife, rule));
        }
        let reckoning = reckoned(&knife);
        assert!(reckoning.chain.is_none() && reckoning.bevel.unwrap().grind.is_empty());
    }

    /// Teeth on the spine alone leave the bevel, and smooth curves of as many nodes leave all.
    #[test]
    fn what_can_be_drawn_is() {
        let mut knife = toothed((0, 2_000));
        knife.bevel = Some(Bevel { plunge_x_mm: 90.0, grind_height_mm: 12.0, ..Bevel::default() });
        let all = lines_of(&knife);
        let [("corners", sentence)] = &all[..] else { panic!("{all:?}") };
        assert!(sentence.contains("nodes the outline has more corners"), "{sentence}");
        assert!(sentence.contains("chain of holes is left out"), "{sentence}");
    }

    #[test]
    fn a_chain_round_many_metres_is_told() {
        let mut knife = blank();
        knife.cutting =
            Some(ChainDrilling { drill_mm: 0.05, drill: None, bridge_mm: 0.01, leave_mm: 0.5 });
        let all = lines_of(&knife);
        let [("length", sentence)] = &all[..] else { panic!("{all:?}") };
        assert!(sentence.contains("no chain of holes"), "{sentence}");
    }

    /// 740 notches 3 mm wide and deep along a bow: more hollows than are looked into.
    #[test]
    fn hollows_without_relief_cuts_are_told() {
        let bow = |x: f64| -20.0 - 200.0 * (std::f64::consts::PI * x / 2220.0).sin();
        let notch = |i: u32| {
            let x = 3.0 * f64::from(i);
            [Point::new(x, bow(x)), Point::new(x + 1.5, bow(x + 1.5) + 3.0)]
        };
        let mut corners: Vec<Point> = (0..740).flat_map(notch).collect();
        corners.extend([(2220.0, -20.0), (2220.0, 20.0), (0.0, 20.0)].map(Point::from));
        let mut knife = blank();
        knife.profile = Profile::from_outline(&Outline::polygon(&corners).unwrap());
        let all = lines_of(&knife);
        let [("hollows", sentence)] = &all[..] else { panic!("{all:?}") };
        assert!(sentence.contains("740 hollows"), "{sentence}");
    }
}
