//! Finding: the front of the scales, its bevel or a bolster finds no room on the tang.

use super::{Finding, FindingContext, LimitSide, Rule, Severity};
use crate::{PiecePart, ScaleLayoutError};
use knife::PartId;

pub(super) static RULE: Rule = Rule {
    key: "handle-out-of-room",
    checks: "That the scales' front, its bevel and the bolsters go onto the tang, and that no joint \
             cuts through a pin.",
    rationale: "What can't be laid is on no sheet, and figures of mass and glue leave it out.",
    remedy: "Make the front's radius larger or its bevel steeper, the bolsters shorter, or move the \
           front.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let faults = ctx.scales.map_or(&[][..], |scales| &scales.no_room);
    for fault in ctx.no_room.iter().chain(faults) {
        findings.extend(message(ctx, *fault));
    }
    for piece in ctx.scales.iter().flat_map(|scales| &scales.pieces) {
        for hole in ctx.holes.iter().filter(|hole| piece.on_joint.contains(&hole.id)) {
            let sentence = format!(
                "{} lies across the joint between {} and the next piece. Move the hole, or change \
                 the bolster's length.",
                super::holes_overlap::capital(&hole.label()),
                piece.part.label(),
            );
            let short = format!("Hole {} lies across a joint of the scales.", hole.number);
            let web_mm = piece.outline.web(kurbo::Circle::new(hole.at, hole.diameter_mm / 2.0));
            findings.push(
                RULE.finding(Severity::Care, short, sentence)
                    .case("hole on a joint")
                    .measured(LimitSide::AtLeast, web_mm, 0.0, "geometry")
                    .about([PartId::Hole(hole.id), PartId::Scales])
                    .at(hole.at),
            );
        }
    }
}

fn message(ctx: &FindingContext<'_>, fault: ScaleLayoutError) -> Option<Finding> {
    let stated = ctx.knife.scales?;
    let (case, severity, short, sentence) = match fault {
        // A front beside the blank is told as such.
        ScaleLayoutError::Off if misses(ctx, stated.front_x_mm) => return None,
        ScaleLayoutError::Off => (
            "front",
            Severity::Stop,
            "The front of the scales leaves no tang behind it.".to_owned(),
            format!(
                "The scales' front at {} leaves no tang behind it. Move it.",
                ctx.along(stated.front_x_mm)
            ),
        ),
        ScaleLayoutError::Narrow { radius_mm, half_mm } => (
            "front too round",
            Severity::Stop,
            format!("An arc of {} doesn't reach across the tang.", ctx.brief(radius_mm)),
            format!(
                "An arc of {} doesn't go across the tang, which is {} wide at the scales' front. \
                 Take a radius well over half of that.",
                ctx.length(radius_mm),
                ctx.length(2.0 * half_mm)
            ),
        ),
        ScaleLayoutError::Bolster(part) => {
            let case = match part {
                PiecePart::RearBolster => "rear bolster",
                _ => "front bolster",
            };
            let sentence = format!(
                "The {case} finds no room: its joint doesn't go from one side of the tang to the \
                 other with a scale left beside it. Make it shorter, or move the scales' front."
            );
            (case, Severity::Stop, format!("The {case} finds no room on the tang."), sentence)
        }
        // No offset for having too many corners is told as such.
        ScaleLayoutError::Overhang(_)
            if ctx.scales.is_some_and(|scales| scales.outline.has_too_many_sides()) =>
        {
            return None;
        }
        ScaleLayoutError::Overhang(part) => (
            "overhang",
            Severity::Care,
            format!(
                "The {} has no room for its trim allowance of {}.",
                part.label(),
                ctx.brief(ctx.knife.handle.overhang_mm())
            ),
            format!(
                "Over the {} left to trim, the {} can't be sawn larger than it ends up: its front \
                 would run back into it. It is drawn flush. Lean the front less, make its radius \
                 larger, or leave less to trim.",
                ctx.length(ctx.knife.handle.overhang_mm()),
                part.label()
            ),
        ),
        ScaleLayoutError::Bevel { setback_mm } => (
            "bevel",
            Severity::Care,
            format!("The bevelled front runs {} back, off its piece.", ctx.brief(setback_mm)),
            format!(
                "Bevelled so, the front lies {} farther back on the outer face, where its line \
                 doesn't go across the foremost piece. Make the bevel steeper, the front's radius \
                 larger or the bolster longer.",
                ctx.length(setback_mm)
            ),
        ),
    };
    let finding = RULE.finding(severity, short, sentence).case(case).about([PartId::Scales]);
    Some(match fault {
        ScaleLayoutError::Narrow { radius_mm, half_mm } => {
            finding.measured(LimitSide::AtLeast, radius_mm, half_mm, "geometry")
        }
        ScaleLayoutError::Bevel { setback_mm } => {
            finding.measured(LimitSide::AtMost, setback_mm, 0.0, "geometry")
        }
        ScaleLayoutError::Off | ScaleLayoutError::Bolster(_) | ScaleLayoutError::Overhang(_) => {
            finding
        }
    })
}

/// Whether a line there misses the blank.
fn misses(ctx: &FindingContext<'_>, x_mm: f64) -> bool {
    ctx.profile.is_none_or(|profile| x_mm <= profile.bounds.x0 || x_mm >= profile.bounds.x1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, drilled, found};
    use knife::{Bolster, FrontCurve, Knife, Scales};

    fn scaled() -> Knife {
        let mut knife = blank();
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
        knife
    }

    fn cases(knife: &Knife) -> Vec<&'static str> {
        found(knife, RULE.key).iter().map(|finding| finding.case).collect()
    }

    fn bolster(length_mm: f64) -> Option<Bolster> {
        Some(Bolster { length_mm, material: None })
    }

    // By hand: a tang 30 mm wide and 80 mm long behind the front.
    #[test]
    fn what_finds_no_room_is_told() {
        let plain = scaled();
        assert!(cases(&plain).is_empty());
        let mut knife = plain.clone();
        knife.handle.front.curve = FrontCurve::Hollow(14.0);
        assert_eq!(cases(&knife), ["front too round"]);
        knife.handle.front.curve = FrontCurve::Hollow(16.0);
        assert!(cases(&knife).is_empty());
        for (front, rear, message) in [
            (79.0, None, &[][..]),
            (81.0, None, &["front bolster"]),
            (20.0, Some(59.0), &[]),
            (20.0, Some(61.0), &["rear bolster"]),
            (81.0, Some(81.0), &["front bolster", "rear bolster"]),
        ] {
            let mut knife = plain.clone();
            knife.handle.front_bolster = bolster(front);
            knife.handle.rear_bolster = rear.and_then(bolster);
            assert_eq!(cases(&knife), message, "{front} {rear:?}");
        }
        // A front behind the butt is told by the rule for lines beside the blank, and only there.
        let mut knife = plain;
        knife.scales = Some(Scales { front_x_mm: 210.0, thickness_mm: 6.0 });
        assert!(cases(&knife).is_empty());
        assert_eq!(found(&knife, "line-off-the-blank").len(), 1);
    }

    // By hand: 6 mm thick at 45° sets back by 6 mm, at 80° by 34 mm; a hollow front with a bolster
    // of 5 mm has the bevel's line beyond it; a round one of 20 mm has shrunk to nothing 34 mm back.
    #[test]
    fn a_bevel_that_leaves_its_piece_is_told() {
        let mut knife = scaled();
        knife.handle.front_bolster = bolster(5.0);
        assert_eq!(cases(&knife), ["bevel"]);
        knife.handle.front_bolster = bolster(7.0);
        assert!(cases(&knife).is_empty());
        knife.handle.front_bolster = None;
        knife.handle.front.curve = FrontCurve::Round(20.0);
        knife.handle.front.bevel_deg = Some(80.0);
        assert_eq!(cases(&knife), ["bevel"]);
    }

    // By hand: joints at x 130 and 190; a 4 mm hole reaches 2 mm to both sides.
    #[test]
    fn a_joint_through_a_hole_is_told() {
        for (x, message) in
            [(131.0, true), (129.0, true), (133.0, false), (191.5, true), (170.0, false)]
        {
            let mut knife = drilled(&[(x, 0.0, 4.0)]);
            knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
            knife.handle.front_bolster = bolster(10.0);
            knife.handle.rear_bolster = bolster(10.0);
            assert_eq!(cases(&knife) == ["hole on a joint"], message, "{x}");
            assert_eq!(cases(&knife).len(), usize::from(message), "{x}");
        }
    }
}
