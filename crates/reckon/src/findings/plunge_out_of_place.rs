//! Finding: plunge line, heel and scale front don't stand in order.

use super::{Finding, Given, Rule, Severity, limit_source};
use knife::PartId;

/// The plunge line may lie this far ahead of the heel, mm: it is filed a little forward, and a
/// node is not set to the tenth (common practice, no source).
const AHEAD_MM: f64 = 1.0;

pub(super) static RULE: Rule = Rule {
    key: "plunge-out-of-place",
    checks: "That the plunge line lies at the heel and clear of the scales' front.",
    matters: "Ahead of the heel the edge stays thick; under the scales the grind leaves a gap.",
    cure: "Move the plunge line to the heel, or the scales' front back.",
    check,
};

fn check(given: &Given<'_>, findings: &mut Vec<Finding>) {
    let (Some(profile), Some(bevel)) = (given.profile, given.knife.bevel) else { return };
    let (sense, limits) = (profile.towards_butt, &given.shop.limits);
    let mut tell = |sentence: String, measured_mm, limit_mm, key, other| {
        let mut finding = RULE.finding(Severity::Care, sentence);
        finding.measured_mm = Some(measured_mm);
        finding.limit_mm = Some(limit_mm);
        finding.limit_source = limit_source(key);
        finding.parts.push(PartId::Plunge);
        finding.parts.extend(other);
        findings.push(finding);
    };
    if let Some(scales) = given.knife.scales {
        let room_mm = (scales.front_x_mm - bevel.plunge_x_mm) * sense;
        let limit_mm = limits.plunge_front_mm;
        let (room, limit) = (given.length(room_mm.abs()), given.length(limit_mm));
        let sentence = if room_mm < 0.0 {
            format!(
                "The plunge line lies {room} under the scales, where the grind leaves a gap. Move \
                 it forward, {limit} clear of their front."
            )
        } else {
            format!(
                "Between the plunge line and the scales' front are {room}; the rule asks for \
                 {limit}. Move one of them."
            )
        };
        if room_mm < limit_mm - ROUNDING_MM {
            tell(sentence, room_mm, limit_mm, "plunge_front_mm", Some(PartId::Scales));
        }
    }
    let heel = given.knife.profile.heel.and_then(|id| given.knife.profile.node(id));
    let Some(heel) = heel else { return };
    let behind_mm = (bevel.plunge_x_mm - heel.at.x) * sense;
    let by = given.length(behind_mm.abs());
    let heel = Some(PartId::Node(heel.id));
    if behind_mm < -AHEAD_MM {
        let sentence = format!(
            "The last {by} of the edge lie behind the plunge line and stay as thick as the bar. \
             Move the plunge line back to the heel."
        );
        tell(sentence, behind_mm, 0.0, "plunge_heel_mm", heel);
    } else if behind_mm > limits.plunge_heel_mm + ROUNDING_MM {
        let limit = given.length(limits.plunge_heel_mm);
        let sentence = format!(
            "The plunge line lies {by} behind the heel, so the grind runs on where there is no \
             edge; the rule allows {limit}. Move it to the heel."
        );
        tell(sentence, behind_mm, limits.plunge_heel_mm, "plunge_heel_mm", heel);
    }
}

/// A line placed exactly at the limit passes.
const ROUNDING_MM: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Bevel, Edit, Scales};

    #[test]
    fn heel_plunge_and_front_come_in_that_order() {
        // The heel lies at x 100.
        for (plunge_x_mm, front_x_mm, told) in [
            (100.0, 110.0, 0),
            (99.5, 103.0, 0),
            (100.0, 102.0, 1),
            (106.0, 104.0, 1),
            (90.0, 110.0, 1),
            (111.0, 130.0, 1),
            (120.0, 110.0, 2),
        ] {
            let mut knife = blank();
            let bevel = Bevel {
                plunge_x_mm,
                grind_height_mm: 12.0,
                edge_thickness_mm: 0.5,
                ..Bevel::default()
            };
            knife.bevel = Some(bevel);
            knife.scales = Some(Scales { front_x_mm, thickness_mm: 6.35 });
            assert_eq!(found(&knife, RULE.key).len(), told, "{plunge_x_mm} {front_x_mm}");
            let mirrored = Edit::MirrorAlong.apply(&knife).unwrap();
            assert_eq!(found(&mirrored, RULE.key).len(), told, "mirrored {plunge_x_mm}");
        }
    }
}
