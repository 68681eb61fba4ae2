//! Finding: too little steel between a hole and the outline.

use super::holes_overlap::capital;
use super::{Finding, Given, Remedy, Rule, Severity};
use crate::HoleFigures;
use knife::{Edit, PartId};
use kurbo::Circle;

const SOURCE: &str = "this program's choice between published rules for joints: AISC 360-16 Table J3.4 \
     (1.25 to 1.5 hole diameters from centre to edge, never under 1)";

pub(super) static RULE: Rule = Rule {
    key: "web-to-edge",
    checks: "That a hole's centre lies at least one and a half diameters from the outline.",
    matters: "A thin web cracks in hardening, bends in drilling and breaks in use.",
    cure: "Move the hole inward or take a smaller drill.",
    check,
};

fn check(given: &Given<'_>, findings: &mut Vec<Finding>) {
    let limits = &given.shop.limits;
    for hole in given.holes {
        let Some(web_mm) = hole.edge_web_mm.filter(|web| *web >= 0.0) else { continue };
        let least = |diameters: f64| (diameters - 0.5) * hole.diameter_mm;
        let (severity, diameters) = if web_mm < least(limits.edge_stop_diameters) - ROUNDING_MM {
            (Severity::Stop, limits.edge_stop_diameters)
        } else if web_mm < least(limits.edge_care_diameters) - ROUNDING_MM {
            (Severity::Care, limits.edge_care_diameters)
        } else {
            continue;
        };
        let limit_mm = least(diameters);
        let mut finding = RULE.finding(
            severity,
            format!(
                "{} leaves a web of {} to the outline; the rule asks for {}, so that its \
                 centre lies {diameters} × its diameter from the edge. Move it inward by {}, or \
                 take a smaller drill.",
                capital(&hole.words()),
                given.length(web_mm),
                given.length(limit_mm),
                inward(given, limit_mm - web_mm, least(limits.edge_care_diameters) - web_mm),
            ),
        );
        finding.measured_mm = Some(web_mm);
        finding.limit_mm = Some(limit_mm);
        finding.limit_source = SOURCE;
        finding.parts.push(PartId::Hole(hole.id));
        finding.place = hole.edge_at;
        finding.remedy = moved_inward(given, hole, least(limits.edge_care_diameters))
            .or_else(|| moved_inward(given, hole, limit_mm));
        findings.push(finding);
    }
}

/// By how much to move inward: what is lacking, and what the wider limit would have.
fn inward(given: &Given<'_>, lacking_mm: f64, better_mm: f64) -> String {
    if better_mm > lacking_mm {
        format!("at least {}, better {}", given.length(lacking_mm), given.length(better_mm))
    } else {
        given.length(lacking_mm)
    }
}

/// Moves the hole straight away from the outline, by what is lacking and to a hundredth more,
/// where that keeps the limit.
fn moved_inward(given: &Given<'_>, hole: &HoleFigures, limit_mm: f64) -> Option<Remedy> {
    let lacking_mm = limit_mm - hole.edge_web_mm?;
    let inward = (hole.at - hole.edge_at?).normalize();
    let to = hole.at + inward * (lacking_mm + SPARE_MM);
    let web_mm = given.outline?.web(Circle::new(to, hole.diameter_mm / 2.0));
    (to.is_finite() && web_mm >= limit_mm).then(|| Remedy {
        words: format!("Move it by {}", given.length(lacking_mm)),
        edit: Edit::MoveHole { hole: hole.id, to },
    })
}

/// By so much more than is lacking a hole is moved, so that rounding leaves nothing to say, mm.
const SPARE_MM: f64 = 0.01;
/// A hole placed exactly at the limit passes.
const ROUNDING_MM: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};

    // Worked by hand from the rule: a 6 mm hole wants its centre 9 mm from the edge (1.5 d, the
    // 3/4 in for a 1/2 in bolt of AISC 360-16 Table J3.4) and never under 6 mm (1 d).
    #[test]
    fn a_pin_moved_to_the_belly_by_mistake_is_mended_by_the_remedy() {
        let knife = drilled(&[(150.0, -15.0 + 3.0 + 1.0, 6.0)]);
        let finding = found(&knife, RULE.key).remove(0);
        assert_eq!(finding.severity, Severity::Stop);
        assert!((finding.measured_mm.unwrap() - 1.0).abs() < 1e-9);
        let mended = finding.remedy.unwrap().edit.apply(&knife).unwrap();
        assert!(found(&mended, RULE.key).is_empty());
        assert!((mended.holes[0].at.y + 15.0 - 9.0).abs() < 0.05);
    }

    #[test]
    fn the_limits_are_one_and_one_and_a_half_diameters_from_the_centre() {
        for (y, severity) in [
            (6.0, None),
            (6.0 + 1e-3, Some(Severity::Care)),
            (9.0, Some(Severity::Care)),
            (9.0 + 1e-3, Some(Severity::Stop)),
            (11.9, Some(Severity::Stop)),
        ] {
            let findings = found(&drilled(&[(150.0, y, 6.0)]), RULE.key);
            assert_eq!(findings.first().map(|finding| finding.severity), severity, "{y}");
        }
        let finding = found(&drilled(&[(150.0, 10.0, 6.0)]), RULE.key).remove(0);
        assert_eq!(finding.limit_mm, Some(3.0));
        assert!((finding.measured_mm.unwrap() - 2.0).abs() < 1e-9);
        assert!(
            finding.sentence.contains("inward by at least 1.00 mm, better 4.00 mm,"),
            "{}",
            finding.sentence
        );
    }
}
