//! Finding: scallops that go through their scale or into a pin.

use super::holes_overlap::capital;
use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use crate::ScallopRow;
use crate::scale_thickness_mm;
use knife::{Fixing, HoleKind, PartId};
use kurbo::Point;

pub(super) static RULE: Rule = Rule {
    key: "scallops-too-deep",
    checks: "That a scallop stays above the joint with the tang, and clear of pins, tubes and \
             screws.",
    rationale: "Cut through, the scale opens at its joint; a pin that is cut into loses its hold.",
    remedy: "Cut shallower, set the drum's axis flatter to the face, or move the places.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let Some(figures) = ctx.scallops else { return };
    let rows = [&figures.upper, &figures.lower];
    let thick = |at: Point| scale_thickness_mm(ctx.knife, at.x).unwrap_or(f64::INFINITY);
    let places = rows.iter().flat_map(|row| &row.places);
    let thinnest = places.map(|place| (thick(place.at), place.at));
    if let Some((thick_mm, at)) = thinnest.min_by(|a, b| a.0.total_cmp(&b.0))
        && figures.side_mm >= thick_mm
    {
        let sentence = format!(
            "The scallops reach {} down the side of a scale {} thick: they cut through to the \
             tang. {}",
            ctx.length(figures.side_mm),
            ctx.length(thick_mm),
            RULE.remedy,
        );
        let deep = ctx.brief(figures.side_mm);
        let short = format!("Scallops {deep} deep cut through the scale to the tang.");
        findings.push(
            RULE.finding(Severity::Stop, short, sentence)
                .case("through")
                .measured(LimitSide::AtMost, figures.side_mm, thick_mm, "geometry")
                .about([PartId::Scales])
                .at(at),
        );
    }
    for hole in ctx.holes.iter().filter(|hole| hole.kind != HoleKind::Relief) {
        let radius_mm = match ctx.knife.handle.fixing(hole.id) {
            Some(Fixing::Screw { head_mm, .. }) => head_mm.max(hole.diameter_mm) / 2.0,
            _ => hole.diameter_mm / 2.0,
        };
        let gap = |row: &ScallopRow| {
            row.places
                .iter()
                .map(|place| (figures.face_gap_mm(row, place, hole.at, radius_mm), place.at))
                .min_by(|a, b| a.0.total_cmp(&b.0))
        };
        let nearest = rows.into_iter().filter_map(gap).min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((gap_mm, at)) = nearest.filter(|(gap, _)| *gap <= 0.0) else { continue };
        let sentence = format!(
            "A scallop, {} over the face, comes to {}. {}",
            ctx.length(figures.face_mm),
            hole.label(),
            RULE.remedy,
        );
        let short = format!("A scallop comes to hole {}.", hole.number);
        findings.push(
            RULE.finding(Severity::Care, short, capital(&sentence))
                .case("into a hole")
                .measured(LimitSide::AtLeast, gap_mm, 0.0, "geometry")
                .about([PartId::Hole(hole.id)])
                .at(at),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};
    use crate::scallops::tests::scalloped;
    use knife::{ScallopSpacing, ThicknessAt};

    // By hand: at 60° to the face a cut 2.9 mm deep reaches 2.9 / cos 60° = 5.8 mm down a side of
    // 6 mm, one of 3 mm goes through.
    #[test]
    fn a_cut_through_to_the_tang_is_told() {
        let knife = |depth_mm: f64| {
            let mut knife = scalloped(ScallopSpacing::Count(3));
            let scallops = knife.handle.scallops.as_mut().unwrap();
            (scallops.depth_mm, scallops.angle_deg) = (depth_mm, 60.0);
            knife
        };
        assert!(found(&knife(2.9), RULE.key).is_empty());
        let message = found(&knife(3.01), RULE.key).remove(0);
        assert_eq!((message.severity, message.case), (Severity::Stop, "through"));
        assert!((message.measured_mm.unwrap() - 6.02).abs() < 1e-9);
        assert_eq!(message.limit_mm, Some(6.0));
        // Thinned towards the butt it goes through there.
        let mut thin = knife(2.9);
        thin.handle.shaping.thickness = vec![
            ThicknessAt { x_mm: 120.0, thickness_mm: 6.0 },
            ThicknessAt { x_mm: 190.0, thickness_mm: 5.0 },
        ];
        let message = found(&thin, RULE.key).remove(0);
        assert_eq!((message.limit_mm, message.place.unwrap().x.round()), (Some(5.0), 190.0));
    }

    // By hand: at 30° a scallop 1 mm deep reaches 2 mm over the face, to y = 13 at x = 150.
    #[test]
    fn a_cut_into_a_pin_is_told() {
        let knife = |y: f64| {
            let mut knife = drilled(&[(150.0, y, 4.0)]);
            let other = scalloped(ScallopSpacing::Count(3));
            (knife.scales, knife.handle) = (other.scales, other.handle);
            knife
        };
        assert!(found(&knife(10.9), RULE.key).is_empty());
        let message = found(&knife(11.1), RULE.key).remove(0);
        assert_eq!((message.severity, message.case), (Severity::Care, "into a hole"));
        assert!((message.measured_mm.unwrap() + 0.1).abs() < 1e-3);
        let mut screwed = knife(10.9);
        let head = Fixing::Screw { head_mm: 6.0, head_deep_mm: 3.0 };
        screwed.handle.fixings = vec![(screwed.holes[0].id, head)];
        assert_eq!(found(&screwed, RULE.key).len(), 1);
    }
}
