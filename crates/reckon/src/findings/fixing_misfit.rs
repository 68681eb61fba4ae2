//! Finding: a tube or a screw whose diameters don't go together, or that has no room.

use super::holes_overlap::capital;
use super::{Finding, FindingContext, LimitSide, MAX_GATHERED, Remedy, Rule, Severity};
use crate::{HoleFigures, PinFigures, PinKind};
use knife::{Edit, Fixing, HoleKind, PartId};

pub(super) static RULE: Rule = Rule {
    key: "fixing-misfit",
    checks: "That a tube is thicker than its bore, a screw's head wider than its hole and no deeper than \
             its scale, and that heads have room beside each other.",
    rationale: "A head that goes through holds nothing; one too deep leaves no scale to clamp.",
    remedy: "Take another tube or screw, or thicker scales.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    for (id, fixing) in &ctx.knife.handle.fixings {
        let Some(hole) = ctx.holes.iter().find(|hole| hole.id == *id) else { continue };
        match *fixing {
            Fixing::Tube { bore_mm } => findings.extend(bore(ctx, hole, bore_mm)),
            Fixing::Screw { head_mm, .. } => findings.extend(head(ctx, hole, head_mm)),
        }
        findings.extend(useless(hole, *fixing));
    }
    let Some(fit) = ctx.fit else { return };
    let heads = || fit.pins.iter().filter(|pin| matches!(pin.kind, PinKind::Screw { .. }));
    findings.extend(heads().filter_map(|pin| deep(ctx, pin)));
    for (i, a) in heads().enumerate() {
        if findings.len() >= MAX_GATHERED {
            break;
        }
        findings.extend(heads().skip(i + 1).filter_map(|b| crowded(ctx, a, b)));
    }
}

/// A tube without a wall.
fn bore(ctx: &FindingContext<'_>, hole: &HoleFigures, bore_mm: f64) -> Option<Finding> {
    let stock = ctx.knife.hole(hole.id).and_then(|hole| hole.pin_mm);
    let outer_mm = stock.unwrap_or(hole.diameter_mm);
    (bore_mm > outer_mm - ROUNDING_MM).then(|| {
        let sentence = format!(
            "{}: its tube is {} thick outside and has a bore of {}, which leaves no wall. Type \
             the tube's two diameters again.",
            capital(&hole.label()),
            ctx.length(outer_mm),
            ctx.length(bore_mm),
        );
        let wall_mm = (outer_mm - bore_mm) / 2.0;
        let short = format!("Hole {}: the tube's bore leaves no wall.", hole.number);
        of_hole(
            "bore",
            Severity::Stop,
            (short, sentence),
            hole,
            (LimitSide::AtLeast, wall_mm, 0.0),
            GEOMETRY,
        )
    })
}

/// A head that slips through its hole.
fn head(ctx: &FindingContext<'_>, hole: &HoleFigures, head_mm: f64) -> Option<Finding> {
    let over_mm = head_mm - hole.diameter_mm;
    (over_mm < ROUNDING_MM).then(|| {
        let sentence = format!(
            "{}: its screw's head of {} goes through the hole of {}. Take a larger head or a smaller \
             hole.",
            capital(&hole.label()),
            ctx.length(head_mm),
            ctx.length(hole.diameter_mm),
        );
        let short = format!(
            "Hole {}: the screw's head of {} slips through its hole.",
            hole.number,
            ctx.brief(head_mm)
        );
        of_hole("head", Severity::Stop, (short, sentence), hole, (LimitSide::AtLeast, over_mm, 0.0), GEOMETRY)
    })
}

/// A fixing where none goes.
fn useless(hole: &HoleFigures, fixing: Fixing) -> Option<Finding> {
    let (short, why) = match (hole.kind, fixing) {
        (HoleKind::Relief, _) => (
            "is a relief hole and takes no tube or screw",
            "is hidden under the scales and takes neither tube nor screw",
        ),
        (HoleKind::Thong, Fixing::Screw { .. }) => (
            "is a lanyard hole and takes no screw",
            "stays open for a lanyard: a tube may line it, no screw",
        ),
        _ => return None,
    };
    let sentence = format!("{} {why}. Take it out, or make it a pin hole.", capital(&hole.label()));
    let short = format!("Hole {} {short}.", hole.number);
    Some(
        RULE.finding(Severity::Care, short, sentence)
            .mended_by(Remedy::new("Take it out", Edit::SetFixing { hole: hole.id, fixing: None }))
            .case("wrong hole")
            .about([PartId::Hole(hole.id)])
            .at(hole.at),
    )
}

/// A recess that leaves too little of the scale under the head.
fn deep(ctx: &FindingContext<'_>, pin: &PinFigures) -> Option<Finding> {
    let PinKind::Screw { head_deep_mm, .. } = pin.kind else { return None };
    let (left_mm, limit_mm) = (pin.scale_mm - head_deep_mm, ctx.shop.limits.head_web_mm);
    if left_mm >= limit_mm - ROUNDING_MM {
        return None;
    }
    let hole = ctx.holes.iter().find(|hole| hole.id == pin.hole)?;
    let words = capital(&hole.label());
    let number = hole.number;
    let (severity, short, sentence) = if left_mm < ROUNDING_MM {
        let sentence = format!(
            "{words}: the recess for its screw's head, {} deep, goes through the scale, {} thick \
             there. Make it shallower or the scales thicker.",
            ctx.length(head_deep_mm),
            ctx.length(pin.scale_mm),
        );
        let deep = ctx.brief(head_deep_mm);
        let short = format!("Hole {number}: the screw's recess of {deep} goes through the scale.");
        (Severity::Stop, short, sentence)
    } else {
        let sentence = format!(
            "{words}: the recess for its screw's head leaves {} of scale under it; the rule asks \
             for {}. Make it shallower or the scales thicker.",
            ctx.length(left_mm),
            ctx.length(limit_mm),
        );
        let left = ctx.brief(left_mm);
        let short = format!("Hole {number}: only {left} of scale is left under the screw's head.");
        (Severity::Care, short, sentence)
    };
    let source = ctx.source(&["head_web_mm"]);
    Some(of_hole(
        "depth",
        severity,
        (short, sentence),
        hole,
        (LimitSide::AtLeast, left_mm, limit_mm),
        source,
    ))
}

/// Two heads with too little scale between them.
fn crowded(ctx: &FindingContext<'_>, a: &PinFigures, b: &PinFigures) -> Option<Finding> {
    let reach_mm = (a.scale_hole_mm() + b.scale_hole_mm()) / 2.0;
    let (web_mm, limit_mm) = (a.at.distance(b.at) - reach_mm, ctx.shop.limits.head_web_mm);
    if web_mm >= limit_mm - ROUNDING_MM {
        return None;
    }
    let severity = if web_mm < 0.0 { Severity::Stop } else { Severity::Care };
    let between = if web_mm < 0.0 {
        format!("overlap by {}", ctx.length(-web_mm))
    } else {
        format!("leave {} of scale between them", ctx.length(web_mm))
    };
    let sentence = format!(
        "The screws' heads in holes {} and {} {between}; the rule asks for {}. Move them apart or \
         take smaller heads.",
        a.number,
        b.number,
        ctx.length(limit_mm),
    );
    let heads = format!("holes {} and {}", a.number, b.number);
    let short = if web_mm < 0.0 {
        format!("The screws' heads in {heads} overlap by {}.", ctx.brief(-web_mm))
    } else {
        format!("Only {} of scale between the screws' heads in {heads}.", ctx.brief(web_mm))
    };
    Some(
        RULE.finding(severity, short, sentence)
            .case("heads")
            .measured(LimitSide::AtLeast, web_mm, limit_mm, ctx.source(&["head_web_mm"]))
            .about([PartId::Hole(a.hole), PartId::Hole(b.hole)])
            .at(a.at.midpoint(b.at)),
    )
}

fn of_hole(
    case: &'static str,
    severity: Severity,
    (short, sentence): (String, String),
    hole: &HoleFigures,
    (held, measured_mm, limit_mm): (LimitSide, f64, f64),
    source: &'static str,
) -> Finding {
    RULE.finding(severity, short, sentence)
        .case(case)
        .measured(held, measured_mm, limit_mm, source)
        .about([PartId::Hole(hole.id)])
        .at(hole.at)
}

const GEOMETRY: &str = "geometry";
/// A measure exactly at its limit passes.
const ROUNDING_MM: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, found};
    use knife::{HoleId, Knife, Scales};

    fn with(fixing: Fixing) -> Knife {
        let mut knife = drilled(&[(150.0, 0.0, 5.0)]);
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
        knife.handle.fixings = vec![(HoleId(1), fixing)];
        knife
    }

    fn findings(knife: &Knife) -> Vec<(&'static str, Severity)> {
        found(knife, RULE.key).iter().map(|finding| (finding.case, finding.severity)).collect()
    }

    #[test]
    fn a_tube_has_a_wall_by_the_stock_that_is_stated() {
        let mut knife = with(Fixing::Tube { bore_mm: 4.0 });
        assert_eq!(findings(&knife), []);
        knife.holes[0].pin_mm = Some(4.0);
        assert_eq!(findings(&knife), [("bore", Severity::Stop)]);
        assert_eq!(findings(&with(Fixing::Tube { bore_mm: 5.0 })), [("bore", Severity::Stop)]);
    }

    // By hand: a hole of 5 mm, scales of 6 mm; 2 mm under a head is common practice, no source.
    #[test]
    fn a_head_is_wider_than_its_hole_and_shallower_than_its_scale() {
        for (head_mm, head_deep_mm, expected) in [
            (8.0, 4.0, &[][..]),
            (5.0, 3.0, &[("head", Severity::Stop)]),
            (8.0, 4.5, &[("depth", Severity::Care)]),
            (8.0, 6.0, &[("depth", Severity::Stop)]),
            (4.0, 7.0, &[("head", Severity::Stop), ("depth", Severity::Stop)]),
        ] {
            let knife = with(Fixing::Screw { head_mm, head_deep_mm });
            assert_eq!(findings(&knife), expected, "{head_mm} {head_deep_mm}");
        }
    }

    #[test]
    fn a_fixing_in_the_wrong_hole_is_told() {
        let mut knife = with(Fixing::Screw { head_mm: 8.0, head_deep_mm: 3.0 });
        for kind in [HoleKind::Relief, HoleKind::Thong] {
            knife.holes[0].kind = kind;
            assert_eq!(findings(&knife), [("wrong hole", Severity::Care)]);
        }
        knife.handle.fixings = vec![(HoleId(1), Fixing::Tube { bore_mm: 4.0 })];
        assert_eq!(findings(&knife), []);
    }

    // By hand: heads of 8 mm at 9.9 and 10.1 mm, at 7.9 mm they overlap by a tenth.
    #[test]
    fn heads_need_room_beside_each_other() {
        for (apart, expected) in
            [(10.1, None), (9.9, Some(Severity::Care)), (7.9, Some(Severity::Stop))]
        {
            let mut knife = drilled(&[(150.0, 0.0, 3.0), (150.0 + apart, 0.0, 3.0)]);
            knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
            let screw = Fixing::Screw { head_mm: 8.0, head_deep_mm: 2.0 };
            knife.handle.fixings = vec![(HoleId(1), screw), (HoleId(2), screw)];
            let findings = found(&knife, RULE.key);
            assert_eq!(findings.first().map(|finding| finding.severity), expected, "{apart}");
        }
    }
}
