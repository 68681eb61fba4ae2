//! Finding: plunge line, heel and scale front don't stand in order.

use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use crate::ProfileFigures;
use knife::{Bevel, Edit, Node, PartId, Scales};

/// The plunge line may lie this far ahead of the heel, mm: it is filed a little forward, and a
/// node is not set to the tenth (common practice, no source).
const AHEAD_MM: f64 = 1.0;
const OWN: &str = "common practice, no source";

pub(super) static RULE: Rule = Rule {
    key: "plunge-out-of-place",
    checks: "That the plunge line lies at the heel and clear of the scales' front.",
    rationale: "Ahead of the heel the edge stays thick; under the scales the grind leaves a gap.",
    remedy: "Move the plunge line to the heel, or the scales' front back.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(profile), Some(bevel)) = (ctx.profile, ctx.knife.bevel) else { return };
    let x = bevel.plunge_x_mm;
    // A line that misses the blank has a rule of its own.
    if !on_blank(profile, x) {
        return;
    }
    let heel = ctx.heel();
    findings.extend(to_front(ctx, profile, x, heel.map(|node| node.at.x)));
    findings.extend(heel.and_then(|heel| to_heel(ctx, profile, x, heel)));
}

fn on_blank(profile: &ProfileFigures, x: f64) -> bool {
    (profile.bounds.x0..=profile.bounds.x1).contains(&x)
}

/// Held against the scales' front.
fn to_front(
    ctx: &FindingContext<'_>,
    profile: &ProfileFigures,
    x: f64,
    heel_x: Option<f64>,
) -> Option<Finding> {
    let front_x = ctx.knife.scales?.front_x_mm;
    let (sense, limit_mm) = (profile.towards_butt, ctx.shop.limits.plunge_front_mm);
    let room_mm = (front_x - x) * sense;
    if room_mm >= limit_mm - ROUNDING_MM || !on_blank(profile, front_x) {
        return None;
    }
    let (room, limit) = (ctx.length(room_mm.abs()), ctx.length(limit_mm));
    let brief = ctx.brief(room_mm.abs());
    let (short, wrong) = if room_mm < 0.0 {
        let wrong =
            format!("The plunge line lies {room} under the scales, where the grind leaves a gap.");
        (format!("The plunge line lies {brief} under the scales."), wrong)
    } else {
        let wrong = format!(
            "Between the plunge line and the scales' front are {room}; the rule asks for {limit}."
        );
        (format!("Only {brief} between the plunge line and the front of the scales."), wrong)
    };
    // Clear of this front the plunge line would lie too far ahead of the heel.
    let too_far = |heel_x: f64| (front_x - heel_x) * sense - limit_mm < -AHEAD_MM;
    let advice = match heel_x {
        Some(heel_x) if too_far(heel_x) => {
            format!("Move the scales' front back, to {limit} behind the heel.")
        }
        _ => format!("Move the plunge line forward, or the front back, until {limit} are between."),
    };
    let source = ctx.source(&["plunge_front_mm"]);
    let back_x = match heel_x {
        Some(heel_x) if too_far(heel_x) => heel_x + sense * limit_mm,
        _ => x + sense * limit_mm,
    };
    Some(
        RULE.finding(Severity::Care, short, format!("{wrong} {advice}"))
            .measured(LimitSide::AtLeast, room_mm, limit_mm, source)
            .about([PartId::Plunge, PartId::Scales])
            .mended_by(on_blank(profile, back_x).then(|| {
                let scales = ctx.knife.scales.map(|scales| Scales { front_x_mm: back_x, ..scales });
                Remedy::new("Move the front back", Edit::SetScales(scales))
            })),
    )
}

/// Held against the heel.
fn to_heel(
    ctx: &FindingContext<'_>,
    profile: &ProfileFigures,
    x: f64,
    heel: &Node,
) -> Option<Finding> {
    let behind_mm = (x - heel.at.x) * profile.towards_butt;
    let max_mm = ctx.shop.limits.plunge_heel_mm;
    let by = ctx.length(behind_mm.abs());
    let edge_mm = profile.edge.as_ref().map_or(f64::INFINITY, |edge| edge.straight_mm);
    let off = ctx.brief(behind_mm.abs());
    let (short, sentence, held, limit_mm, source) = if behind_mm < -AHEAD_MM {
        let part = if -behind_mm < edge_mm { format!("last {by} of the") } else { "whole".into() };
        let sentence = format!(
            "The {part} edge lies behind the plunge line and stays as thick as the bar. Move the \
             plunge line back to the heel."
        );
        let short = if -behind_mm < edge_mm {
            format!("The last {off} of the edge lies behind the plunge line.")
        } else {
            "The whole edge lies behind the plunge line.".to_owned()
        };
        (short, sentence, LimitSide::AtLeast, -AHEAD_MM, OWN)
    } else if behind_mm > max_mm + ROUNDING_MM {
        let sentence = format!(
            "The plunge line lies {by} behind the heel, so the grind runs on where there is no \
             edge; the rule allows {}. Move it to the heel.",
            ctx.length(max_mm)
        );
        let short = format!("The plunge line lies {off} behind the heel.");
        (short, sentence, LimitSide::AtMost, max_mm, ctx.source(&["plunge_heel_mm"]))
    } else {
        return None;
    };
    Some(
        RULE.finding(Severity::Care, short, sentence)
            .measured(held, behind_mm, limit_mm, source)
            .about([PartId::Plunge, PartId::Node(heel.id)])
            .mended_by(ctx.knife.bevel.map(|bevel| {
                let at_heel = Bevel { plunge_x_mm: heel.at.x, ..bevel };
                Remedy::new("Move it to the heel", Edit::SetBevel(Some(at_heel)))
            })),
    )
}

/// A line placed exactly at the limit passes.
const ROUNDING_MM: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Bevel, Edit, Knife, Scales};

    /// The sample blank with its plunge line and its scales' front at these stations.
    fn ground(plunge_x_mm: f64, front_x_mm: f64) -> Knife {
        let mut knife = blank();
        knife.bevel = Some(Bevel {
            plunge_x_mm,
            grind_height_mm: 12.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        });
        knife.scales = Some(Scales { front_x_mm, thickness_mm: 6.35 });
        knife
    }

    // Each piece of advice, followed, leaves nothing to say.
    #[test]
    fn the_advice_can_be_followed() {
        let message = |plunge_x_mm, front_x_mm| {
            let knife = ground(plunge_x_mm, front_x_mm);
            let findings = found(&knife, RULE.key);
            findings.iter().map(|f| f.sentence.clone()).collect::<Vec<_>>().join(" ")
        };
        // 3 mm clear of a front at x 90 would leave 13 mm of edge thick.
        assert!(
            message(100.0, 90.0).contains("Move the scales' front back, to 3.00 mm behind the")
        );
        assert_eq!(message(100.0, 103.0), "");
        assert!(message(106.0, 104.0).contains("until 3.00 mm are between"));
        assert_eq!(message(101.0, 104.0), "");
        // Far off the blank another rule speaks; ahead of the tip no 90 mm of edge are left.
        assert_eq!(message(5000.0, 110.0) + &message(-40.0, 110.0) + &message(100.0, -50.0), "");
        assert!(message(60.0, 110.0).contains("The last 40.00 mm of the edge lies behind"));
        assert!(message(0.0, 110.0).contains("The whole edge lies behind the plunge line"));
    }

    #[test]
    fn heel_plunge_and_front_come_in_that_order() {
        // The heel lies at x 100.
        for (plunge_x_mm, front_x_mm, message) in [
            (100.0, 110.0, 0),
            (99.5, 103.0, 0),
            (100.0, 102.0, 1),
            (106.0, 104.0, 1),
            (90.0, 110.0, 1),
            (111.0, 130.0, 1),
            (120.0, 110.0, 2),
        ] {
            let knife = ground(plunge_x_mm, front_x_mm);
            assert_eq!(found(&knife, RULE.key).len(), message, "{plunge_x_mm} {front_x_mm}");
            let mirrored = Edit::MirrorAlong.apply(&knife).unwrap();
            assert_eq!(found(&mirrored, RULE.key).len(), message, "mirrored {plunge_x_mm}");
        }
    }
}
