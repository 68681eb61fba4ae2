//! Finding: too little of the scale or bolster beside a pin, or beside a screw's head.

use super::holes_overlap::capital;
use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity, room};
use crate::{HoleFigures, PinFigures, PinKind, ScalePiece};
use knife::PartId;
use kurbo::Circle;

pub(super) static RULE: Rule = Rule {
    key: "pin-near-scale-edge",
    checks: "That pins lie two diameters from the edges and joints of their scale or bolster, and that \
             it goes round the heads of screws.",
    rationale: "Near an edge a pin splits the scale when it swells or is struck; a head may break out.",
    remedy: "Move the hole inward, take a thinner pin or a smaller head, or change the bolster's length.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(scales), Some(fit)) = (ctx.scales, ctx.fit) else { return };
    for pin in fit.pins.iter().filter(|pin| !pin.is_thong) {
        let piece = scales.pieces.iter().find(|piece| piece.holes.contains(&pin.hole));
        let hole = ctx.holes.iter().find(|hole| hole.id == pin.hole);
        let Some((piece, hole)) = piece.zip(hole) else { continue };
        let centre_mm = piece.outline.web(Circle::new(pin.at, 0.0));
        let found = beside_pin(ctx, (piece, pin, hole), centre_mm, || {
            scales.outline.web(Circle::new(pin.at, 0.0))
        });
        findings.extend(found);
        findings.extend(beside_head(ctx, (piece, pin, hole), centre_mm));
    }
}

type PinPlace<'a> = (&'a ScalePiece, &'a PinFigures, &'a HoleFigures);

fn beside_pin(
    ctx: &FindingContext<'_>,
    (piece, pin, hole): PinPlace<'_>,
    centre_mm: f64,
    whole_mm: impl Fn() -> f64,
) -> Option<Finding> {
    let limits = &ctx.shop.limits;
    let wanted_mm = limits.scale_edge_diameters * pin.diameter_mm;
    if centre_mm >= wanted_mm - ROUNDING_MM || piece.on_joint.contains(&pin.hole) {
        return None;
    }
    let at_joint = centre_mm < whole_mm() - ROUNDING_MM;
    // At the front and at the tang's own outline other rules may have spoken already.
    let tang_mm = hole.edge_web_mm? + hole.diameter_mm / 2.0;
    let told_of_tang = tang_mm < limits.edge_care_diameters * hole.diameter_mm - ROUNDING_MM;
    let at_front = centre_mm < tang_mm - ROUNDING_MM;
    if !at_joint && (told_of_tang || at_front) {
        return None;
    }
    let (web_mm, limit_mm) = (centre_mm - pin.hole_mm / 2.0, wanted_mm - pin.hole_mm / 2.0);
    let border = if at_joint { "joint" } else { "edge" };
    let sentence = format!(
        "{} leaves {} of {} up to its {border}; the rule asks for {}, so that the pin's centre lies \
         {} × its diameter from there. Move it by {}, or take a thinner pin.",
        capital(&hole.label()),
        ctx.length(web_mm),
        piece.part.label(),
        ctx.length(limit_mm),
        limits.scale_edge_diameters,
        ctx.length(limit_mm - web_mm),
    );
    let short = format!(
        "Hole {}: only {} of {} up to its {border}.",
        hole.number,
        ctx.brief(web_mm),
        piece.part.label()
    );
    let source = ctx.source(&["scale_edge_diameters"]);
    let finding = RULE
        .finding(Severity::Care, short, sentence)
        .mended_by(inward(ctx, (piece, pin, hole), limit_mm - web_mm))
        .measured(LimitSide::AtLeast, web_mm, limit_mm, source);
    Some(placed(finding, pin))
}

fn beside_head(
    ctx: &FindingContext<'_>,
    (piece, pin, hole): PinPlace<'_>,
    centre_mm: f64,
) -> Option<Finding> {
    let PinKind::Screw { head_mm, .. } = pin.kind else { return None };
    let (web_mm, limit_mm) = (centre_mm - head_mm / 2.0, ctx.shop.limits.head_web_mm);
    if web_mm >= limit_mm - ROUNDING_MM {
        return None;
    }
    let (words, part) = (capital(&hole.label()), piece.part.label());
    let number = hole.number;
    let (severity, short, sentence) = if web_mm < 0.0 {
        let out = ctx.length(-web_mm);
        let message = format!(
            "{words}: the head of its screw reaches {out} out of the {part}. Move it inward or \
             take a smaller head."
        );
        let out = ctx.brief(-web_mm);
        let short = format!("Hole {number}: its screw's head reaches {out} out of the {part}.");
        (Severity::Stop, short, message)
    } else {
        let message = format!(
            "{words}: the head of its screw leaves {} of {part} beside it; the rule asks for {}. \
             Move it inward or take a smaller head.",
            ctx.length(web_mm),
            ctx.length(limit_mm),
        );
        let left = ctx.brief(web_mm);
        let short = format!("Hole {number}: only {left} of {part} beside its screw's head.");
        (Severity::Care, short, message)
    };
    let finding = RULE
        .finding(severity, short, sentence)
        .mended_by(inward(ctx, (piece, pin, hole), limit_mm - web_mm))
        .case("head")
        .measured(LimitSide::AtLeast, web_mm, limit_mm, ctx.source(&["head_web_mm"]));
    Some(placed(finding, pin))
}

/// Moves the hole away from the nearest border of its piece by what is lacking.
fn inward(
    ctx: &FindingContext<'_>,
    (piece, pin, hole): PinPlace<'_>,
    lacking_mm: f64,
) -> Option<Remedy> {
    let away = (pin.at - piece.outline.nearest(pin.at).at).normalize();
    let before_mm = piece.outline.web(Circle::new(pin.at, 0.0));
    let by_mm = lacking_mm + room::SPARE_MM;
    let to = pin.at + away * by_mm;
    let enough = piece.outline.web(Circle::new(to, 0.0)) >= before_mm + lacking_mm;
    let label = format!("Move it by {}", ctx.brief(by_mm));
    if enough { room::moved(ctx, hole, to, label) } else { None }
}

fn placed(finding: Finding, pin: &PinFigures) -> Finding {
    finding.about([PartId::Hole(pin.hole), PartId::Scales]).at(pin.at)
}

/// A pin placed exactly at the limit passes.
const ROUNDING_MM: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{found, scaled};
    use knife::{Bolster, Fixing, HoleId};

    // By hand: the scale's edge at y 15. A pin of 4 mm wants its centre 8 mm inside; from 6 mm
    // inward the tang's own rule (1.5 diameters) says nothing, nearer it speaks instead.
    #[test]
    fn two_diameters_to_the_long_edge_are_asked_for() {
        for (y, message) in [(6.9, false), (7.1, true), (8.9, true), (9.1, false)] {
            let findings = found(&scaled(&[(160.0, y, 4.0)]), RULE.key);
            assert_eq!(findings.len(), usize::from(message), "{y}");
        }
        let finding = found(&scaled(&[(160.0, 8.0, 4.0)]), RULE.key).remove(0);
        assert!((finding.measured_mm.unwrap() - 5.0).abs() < 1e-9);
        assert!((finding.limit_mm.unwrap() - 6.0).abs() < 1e-9);
        assert!(!found(&scaled(&[(160.0, 9.1, 4.0)]), "web-to-edge").is_empty());
        // The pin counts, not its hole: 3 mm want 6 mm.
        let mut knife = scaled(&[(160.0, 8.0, 4.0)]);
        knife.holes[0].pin_mm = Some(3.0);
        assert!(found(&knife, RULE.key).is_empty());
        // At the front the rule for the front speaks.
        assert!(found(&scaled(&[(125.0, 0.0, 4.0)]), RULE.key).is_empty());
    }

    // By hand: a joint at x 140; a pin of 4 mm wants 8 mm from it, on either side.
    #[test]
    fn a_joint_is_an_edge_too() {
        for (x, message) in [(131.5, false), (133.0, true), (147.0, true), (148.5, false)] {
            let mut knife = scaled(&[(x, 0.0, 4.0)]);
            knife.handle.front_bolster = Some(Bolster { length_mm: 20.0, material: None });
            let findings = found(&knife, RULE.key);
            assert_eq!(findings.len(), usize::from(message), "{x}");
            assert!(findings.iter().all(|f| f.sentence.contains("up to its joint")), "{x}");
        }
    }

    // By hand: a head of 10 mm reaches 5 mm: with its middle 7 mm from the edge 2 mm are left.
    #[test]
    fn heads_want_scale_around_them() {
        for (y, severity) in [
            (7.9, None),
            (8.1, Some(Severity::Care)),
            (9.9, Some(Severity::Care)),
            (10.1, Some(Severity::Stop)),
        ] {
            let mut knife = scaled(&[(160.0, y, 3.0)]);
            let screw = Fixing::Screw { head_mm: 10.0, head_deep_mm: 2.0 };
            knife.handle.fixings = vec![(HoleId(1), screw)];
            let findings = found(&knife, RULE.key);
            let head = findings.iter().find(|finding| finding.case == "head");
            assert_eq!(head.map(|finding| finding.severity), severity, "{y}");
        }
    }
}
