//! Finding: a notch in the belly doesn't lie between edge and plunge line as it should.

use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use crate::Edge;
use knife::{Bevel, Edit, PartId};
use kurbo::{ParamCurve, ParamCurveDeriv, PathSeg, Point};
use outline::Outline;

/// An inside curve tighter than this is a notch, not the sweep of a handle, mm (common
/// practice, no source).
const NOTCH_RADIUS_MM: f64 = 8.0;
/// How far behind the heel a notch is looked for, along x, mm.
const NEAR_HEEL_MM: f64 = 15.0;
/// The plunge line may miss the notch by this, mm (common practice, no source).
const SLACK_MM: f64 = 2.0;
const OWN: &str = "common practice, no source";
/// Looks at each stretch of the outline.
const LOOKS: u32 = 24;
/// More hollow places near the heel than this are no notch but a rough outline.
const MAX_EVALUATIONS: usize = 500;

pub(super) static RULE: Rule = Rule {
    key: "notch-out-of-order",
    checks: "That a notch lies behind the heel and the plunge line meets it.",
    rationale: "A notch in the edge catches; a grind that runs past the notch thins what lies behind.",
    remedy: "Mark the heel in front of the notch, and move the plunge line to the notch.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(outline), Some(profile)) = (ctx.outline, ctx.profile) else { return };
    let (Some(edge), sense) = (&profile.edge, profile.towards_butt) else { return };
    let Some(heel) = ctx.heel().map(|node| node.at) else { return };
    let hollows = hollows(outline);
    let on_edge = edge_range(ctx, outline, edge);
    let ahead = |hollow: &&NotchHollow| {
        (hollow.at.x - heel.x) * sense < -SLACK_MM && on_edge(hollow.segment)
    };
    let at = hollows.iter().find(ahead).map(|hollow| hollow.at);
    if let Some(at) = at {
        let ahead_mm = (heel.x - at.x) * sense;
        findings.push(
            RULE.finding(
                Severity::Care,
                format!(
                    "The edge has a notch {} ahead of the heel.",
                    ctx.brief((heel.x - at.x) * sense)
                ),
                format!(
                    "The edge has a notch at {}, ahead of the heel. Mark the heel in front of the \
                 notch.",
                    ctx.place(at)
                ),
            )
            .measured(LimitSide::AtMost, ahead_mm, SLACK_MM, OWN)
            .about([PartId::Profile])
            .at(at),
        );
    }
    let Some(bevel) = ctx.knife.bevel else { return };
    let behind = |hollow: &&NotchHollow| {
        let along = (hollow.at.x - heel.x) * sense;
        (-SLACK_MM..=NEAR_HEEL_MM).contains(&along)
    };
    let up = if profile.edge_is_up { -1.0 } else { 1.0 };
    let on_belly = |hollow: &&NotchHollow| is_belly(hollow.at, up, outline);
    let ends = hollows.iter().filter(behind).take(MAX_EVALUATIONS).filter(on_belly);
    let ends = ends.map(|hollow| hollow.at.x * sense);
    let Some(end) = ends.max_by(f64::total_cmp) else { return };
    let past_mm = bevel.plunge_x_mm * sense - end;
    if past_mm > SLACK_MM {
        let past = ctx.length(past_mm);
        let moved = Bevel { plunge_x_mm: end * sense, ..bevel };
        findings.push(RULE.finding(
            Severity::Care,
            format!("The plunge line lies {} behind the notch.", ctx.brief(past_mm)),
            format!(
                "The plunge line lies {past} behind the notch at the heel, so the grind runs past \
                 it. Move the plunge line forward to the notch."
            ),
        ).measured(LimitSide::AtMost, past_mm, SLACK_MM, OWN).about([PartId::Plunge]).mended_by(Remedy::new("Move it to the notch", Edit::SetBevel(Some(moved)))));
    }
}

/// A place of the outline that bends inward as tightly as a notch.
struct NotchHollow {
    segment: usize,
    at: Point,
}

/// Whether a segment of the outline belongs to the edge.
fn edge_range(ctx: &FindingContext<'_>, outline: &Outline, edge: &Edge) -> impl Fn(usize) -> bool {
    let tip = ctx.knife.profile.tip.and_then(|id| ctx.knife.profile.index_of(id)).unwrap_or(0);
    let (n, count) = (outline.segs().len(), edge.segs.len());
    let runs_on = edge.segs.first() == outline.segs().get(tip);
    let first = if runs_on { tip } else { (tip + n - count.min(n)) % n };
    move |segment| (segment + n - first) % n < count
}

/// Places of the outline that bend inward as tightly as a notch.
fn hollows(outline: &Outline) -> Vec<NotchHollow> {
    let sense = outline.signed_area().signum();
    let mut found = Vec::new();
    for (segment, seg) in outline.segs().iter().enumerate() {
        let PathSeg::Cubic(curve) = seg else { continue };
        let (first, second) = (curve.deriv(), curve.deriv().deriv());
        for i in 0..=LOOKS {
            let t = f64::from(i) / f64::from(LOOKS);
            let (d, dd) = (first.eval(t).to_vec2(), second.eval(t).to_vec2());
            let bend = -sense * d.cross(dd) / d.hypot().powi(3);
            if bend.is_finite() && bend > 1.0 / NOTCH_RADIUS_MM {
                found.push(NotchHollow { segment, at: curve.eval(t) });
            }
        }
    }
    found
}

/// Whether a place of the outline lies on the edge's side: below the material there.
fn is_belly(p: Point, up: f64, outline: &Outline) -> bool {
    let lift = |by: f64| outline.contains(Point::new(p.x, p.y + up * by));
    lift(0.05) && !lift(-0.05)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Bevel, Edit, Knife};

    /// The blank with a notch of 6 mm whose middle lies `along` mm behind node 3 (x 100).
    fn notched(along: f64) -> Knife {
        let (node, t) = if along > 0.0 { (2, along / 100.0) } else { (1, 1.0 + along / 100.0) };
        let mut knife = blank();
        knife.bevel = Some(Bevel {
            plunge_x_mm: 101.0,
            grind_height_mm: 12.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        });
        let stretch = knife.profile.nodes[node].id;
        Edit::InsertNotch { stretch, t, diameter_mm: 6.0, depth_mm: 3.0, lip_radius_mm: 0.0 }
            .apply(&knife)
            .unwrap()
    }

    #[test]
    fn a_notch_at_the_heel_is_in_order_and_one_in_the_edge_is_not() {
        assert!(found(&notched(4.0), RULE.key).is_empty());
        let message = found(&notched(-30.0), RULE.key);
        assert_eq!(message.len(), 1);
        assert!(message[0].sentence.contains("ahead of the heel"), "{}", message[0].sentence);
        let mut knife = notched(4.0);
        knife.bevel = Some(Bevel {
            plunge_x_mm: 112.0,
            grind_height_mm: 12.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        });
        for mirror in [None, Some(Edit::MirrorAlong), Some(Edit::MirrorAcross)] {
            let knife = mirror.map_or(knife.clone(), |edit| edit.apply(&knife).unwrap());
            let message = found(&knife, RULE.key).remove(0);
            assert!((message.measured_mm.unwrap() - 5.0).abs() < 0.2, "{message:?}");
        }
    }
}
