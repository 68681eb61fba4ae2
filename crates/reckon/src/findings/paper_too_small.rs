//! Finding: no paper on hand takes the blank whole.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use crate::shop::rectangle_fits;
use knife::PartId;

/// What no printer prints on each side of a sheet, mm (common practice, no source).
const BORDER_MM: f64 = 10.0;

pub(super) static RULE: Rule = Rule {
    key: "paper-too-small",
    checks: "That a paper on hand takes the blank whole, turned as it may be.",
    rationale: "A sheet put together from tiles is true only as far as its joints are.",
    remedy: "Get larger paper, or join the tiles with care and measure across the joints.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(profile) = ctx.profile else { return };
    let papers: Vec<(f64, f64)> = (ctx.tables.papers().iter())
        .filter(|paper| ctx.shop.papers.iter().any(|name| name.eq_ignore_ascii_case(&paper.name)))
        .map(|paper| (paper.width_mm - 2.0 * BORDER_MM, paper.height_mm - 2.0 * BORDER_MM))
        .collect();
    let blank = (profile.length_mm, profile.width_mm);
    if papers.is_empty() || papers.iter().any(|paper| rectangle_fits(blank, *paper)) {
        return;
    }
    let longest = papers.iter().map(|(w, h)| w.hypot(*h)).fold(0.0, f64::max);
    findings.push(RULE.finding(
        Severity::Note,
        format!(
            "No paper takes the blank of {} whole: its sheets are tiled.",
            ctx.brief(profile.length_mm)
        ),
        format!(
            "No paper in the shop takes the blank of {} whole, so its sheets are tiled. Measure \
             across the joints before you cut.",
            ctx.length(profile.length_mm)
        ),
    ).measured(
        LimitSide::AtMost,
        profile.length_mm,
        longest,
        "the diagonal of the shop's largest paper within a 10 mm border",
    ).about([PartId::Profile]));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::blank;
    use crate::tables::Tables;
    use crate::{Shop, reckon};

    #[test]
    fn a_long_blank_is_told_when_the_papers_are_known() {
        let knife = knife::Edit::ScaleToLength(420.0).apply(&blank()).unwrap();
        let message = |papers: &[&str]| {
            let papers = papers.iter().map(|name| (*name).to_owned()).collect();
            let shop = Shop { papers, ..Shop::default() };
            let findings = reckon(&knife, &shop, Tables::built_in()).findings;
            findings.iter().filter(|finding| finding.rule == RULE.key).count()
        };
        assert_eq!(
            (message(&[]), message(&["letter", "A4"]), message(&["letter", "a3"])),
            (0, 1, 0)
        );
    }
}
