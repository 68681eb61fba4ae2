//! A plain blank for tests: 200 × 30 mm, tip left, centred on a 38.1 mm bar.

use crate::tables::Tables;
use crate::{Finding, Reckoning, Shop, reckon};
use knife::{Hole, HoleId, HoleKind, Knife, Profile, Scales};
use kurbo::Point;
use outline::Outline;

/// A rectangle with its tip node at (0, 15); edge below, from the tip to (100, −15).
pub(crate) fn blank() -> Knife {
    let corners = [(0.0, 15.0), (0.0, -15.0), (100.0, -15.0), (200.0, -15.0), (200.0, 15.0)];
    let outline = Outline::polygon(&corners.map(Point::from)).unwrap();
    let mut knife = Knife::empty();
    knife.unit = units::LengthUnit::Millimetre;
    knife.profile = Profile::from_outline(&outline);
    knife.profile.tip = Some(knife.profile.nodes[1].id);
    knife.profile.heel = Some(knife.profile.nodes[2].id);
    knife.bar.placement.at = Point::new(10.0, 19.05);
    knife
}

/// The blank with these holes: (x, y, diameter).
pub(crate) fn drilled(holes: &[(f64, f64, f64)]) -> Knife {
    let mut knife = blank();
    knife.holes = (1u32..)
        .zip(holes)
        .map(|(id, &(x, y, diameter_mm))| Hole {
            id: HoleId(id),
            name: String::new(),
            kind: HoleKind::Pin,
            at: Point::new(x, y),
            diameter_mm,
            drill: None,
            pin_mm: None,
        })
        .collect();
    knife
}

/// The same with scales 6 mm thick from x 120 on.
pub(crate) fn scaled(holes: &[(f64, f64, f64)]) -> Knife {
    let mut knife = drilled(holes);
    knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
    knife
}

pub(crate) fn reckoned(knife: &Knife) -> Reckoning {
    reckon(knife, &Shop::default(), Tables::built_in())
}

/// The findings of one rule. Whatever is found is short enough for a list, and what its button
/// offers can be done.
pub(crate) fn found(knife: &Knife, rule: &str) -> Vec<Finding> {
    let findings = reckoned(knife).findings;
    for finding in &findings {
        judge_short(finding);
        if let Some(remedy) = &finding.remedy {
            let done = remedy.apply(knife);
            assert!(
                done.as_ref().is_ok_and(|mended| mended != knife),
                "{}: {done:?}",
                remedy.label
            );
        }
    }
    findings.into_iter().filter(|finding| finding.rule == rule).collect()
}

/// At most twenty words, as one sentence.
pub(crate) fn judge_short(finding: &Finding) {
    let short = &finding.short;
    let words = short.split_whitespace().count();
    assert!((3..=20).contains(&words) && short.ends_with('.'), "{}: {short}", finding.rule);
    assert!(short.starts_with(|c: char| c.is_uppercase() || c.is_ascii_digit()), "{short}");
}
