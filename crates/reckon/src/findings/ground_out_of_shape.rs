//! Finding: taper, swedge, grind line and sharpening that don't go with the bevels.

use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use crate::sharpening;
use knife::{Edit, GrindLine, GroundSides, PartId, Sharpening};
use kurbo::Point;

pub(super) static RULE: Rule = Rule {
    key: "ground-out-of-shape",
    checks: "That taper, swedge, own grind line and sharpening go with the bevels.",
    rationale: "What can't be ground as stated is in no figure: mass, sections and facets would be \
              those of another knife.",
    remedy: "Change the part named until it goes with the bevels.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let mut tell = |case, part, (short, sentence, remedy): Telling, held, measured: f64, limit| {
        findings.push(
            RULE.finding(Severity::Care, short, sentence)
                .mended_by(remedy)
                .case(case)
                .measured(held, measured, limit, "geometry")
                .about([part]),
        );
    };
    let (knife, stock_mm) = (ctx.knife, ctx.knife.bar.thickness_mm);
    let length = |mm: f64| ctx.length(mm);
    let without_taper = || Some(Remedy::new("Remove the taper", Edit::SetTaper(None)));
    let without_swedge = || Some(Remedy::new("Remove the swedge", Edit::SetSwedge(None)));
    if let Some(taper) = knife.taper {
        let edge_mm = knife.bevel.map_or(0.0, |bevel| bevel.edge_thickness_mm);
        if taper.tip_mm > stock_mm {
            let sentence = format!(
                "The taper ends {} thick at the tip, but the bar is only {}. Give the tip less.",
                length(taper.tip_mm),
                length(stock_mm)
            );
            tell(
                "taper over the bar",
                PartId::Profile,
                (
                    format!(
                        "The taper ends {} thick, thicker than the bar.",
                        ctx.brief(taper.tip_mm)
                    ),
                    sentence,
                    without_taper(),
                ),
                LimitSide::AtMost,
                taper.tip_mm,
                stock_mm,
            );
        } else if knife.bevel.is_some() && taper.tip_mm <= edge_mm {
            let sentence = format!(
                "The taper leaves {} at the tip, no more than the {} of the edge: there is no \
                 bevel left there. Give the tip more, or the edge less.",
                length(taper.tip_mm),
                length(edge_mm)
            );
            tell(
                "taper under the edge",
                PartId::Profile,
                (
                    format!(
                        "The taper leaves only {} at the tip: no bevel.",
                        ctx.brief(taper.tip_mm)
                    ),
                    sentence,
                    None,
                ),
                LimitSide::AtLeast,
                taper.tip_mm,
                edge_mm,
            );
        }
        if ctx.profile.is_some_and(|profile| {
            let end =
                if profile.towards_butt > 0.0 { profile.bounds.x0 } else { profile.bounds.x1 };
            (taper.from_x_mm - end) * profile.towards_butt <= 0.0
        }) {
            let sentence = format!(
                "The taper begins at {}, ahead of the tip, so nothing is tapered. Move its \
                 beginning back.",
                ctx.along(taper.from_x_mm)
            );
            tell(
                "taper off the blade",
                PartId::Profile,
                (
                    "The taper begins ahead of the tip, so nothing is tapered.".to_owned(),
                    sentence,
                    without_taper(),
                ),
                LimitSide::AtLeast,
                taper.from_x_mm,
                taper.from_x_mm,
            );
        }
    }
    if let Some(swedge) = knife.swedge {
        if swedge.thickness_mm >= stock_mm {
            let sentence = format!(
                "The swedge leaves {} on the spine, but the bar is only {}: there is nothing to \
                 grind. Leave less.",
                length(swedge.thickness_mm),
                length(stock_mm)
            );
            tell(
                "swedge over the bar",
                PartId::GrindLine,
                (
                    format!(
                        "The swedge leaves {} on the spine, no less than the bar.",
                        ctx.brief(swedge.thickness_mm)
                    ),
                    sentence,
                    without_swedge(),
                ),
                LimitSide::AtMost,
                swedge.thickness_mm,
                stock_mm,
            );
        } else if ctx.profile.is_some_and(|profile| profile.edge.is_some())
            && ctx.swedge.is_none_or(|swedge| swedge.grind.is_empty())
        {
            let sentence = format!(
                "The swedge is to reach {} down from the spine, lower than the blade anywhere ahead \
                 of its end. Make it lower, or move its end back.",
                length(swedge.height_mm)
            );
            tell(
                "swedge off the blade",
                PartId::GrindLine,
                (
                    format!(
                        "The swedge reaches {} down, below the blade everywhere ahead of its end.",
                        ctx.brief(swedge.height_mm)
                    ),
                    sentence,
                    without_swedge(),
                ),
                LimitSide::AtMost,
                swedge.height_mm,
                0.0,
            );
        }
    }
    if let Some((at, mm)) = ground_through(ctx) {
        let sentence = format!(
            "Bevel and swedge cut through each other: {} nothing is left of the blade between \
             edge and spine, so it ends inside its outline. Make the swedge lower or shorter, \
             leave it thicker, or grind both faces.",
            ctx.along(at.x)
        );
        let short = format!("Bevel and swedge cut through each other {}.", ctx.along(at.x));
        let telling = (short, sentence, None);
        tell("swedge through the bevel", PartId::GrindLine, telling, LimitSide::AtMost, mm, 0.0);
    }
    if let (GrindLine::Through(points), Some(bevel)) = (&knife.grind_line, ctx.bevel)
        && bevel.grind.is_empty()
        && ctx.profile.is_some_and(|profile| profile.edge.is_some())
    {
        let sentence = format!(
            "The grind line through {} points lies nowhere on the blade ahead of the plunge. Move \
             its points onto the blade, or let the bevels go to a height.",
            points.len()
        );
        let short = "The grind line lies nowhere on the blade ahead of the plunge.".to_owned();
        let by_height =
            Remedy::new("Grind to a height instead", Edit::SetGrindLine(GrindLine::Height));
        let telling = (short, sentence, Some(by_height));
        tell("grind line off the blade", PartId::GrindLine, telling, LimitSide::AtLeast, 0.0, 0.0);
    }
    if let (Some(stated), Some(bevel)) = (knife.sharpening, ctx.bevel)
        && sharpening::figures(knife, bevel).is_some_and(|edge| edge.facet.is_none())
        && let Some(flattest_deg) = sharpening::flattest_deg(knife, bevel)
    {
        let sentence = format!(
            "Sharpening at {} per side doesn't meet the bevel below its grind line: that takes more \
             than {}. Sharpen steeper, or grind higher.",
            units::show_angle(stated.angle_deg, 1),
            units::show_angle(flattest_deg, 2)
        );
        tell(
            "sharpening too flat",
            PartId::GrindLine,
            (
                format!(
                    "Sharpening at {} per side passes over the bevel.",
                    units::show_angle(stated.angle_deg, 1)
                ),
                sentence,
                steeper(stated, flattest_deg),
            ),
            LimitSide::AtLeast,
            stated.angle_deg,
            flattest_deg,
        );
    }
}

/// Where along edge and spine the faces pass each other most, and by how much, mm. Only a bevel
/// that lies all on one face goes so far that a swedge meets it.
fn ground_through(ctx: &FindingContext<'_>) -> Option<(Point, f64)> {
    /// Less than this is rounding, mm.
    const MIN_MM: f64 = 1e-3;
    let field = ctx.field?;
    let is_one_sided = ctx.knife.bevel.is_some_and(|bevel| bevel.sides != GroundSides::Both);
    if !is_one_sided || ctx.knife.swedge.is_none() {
        return None;
    }
    let places = field.bevels.iter().flat_map(|ground| every_mm(ground.from.points()));
    let through = places.map(|p| (p, field.ground_through_mm(p)));
    through.filter(|(_, mm)| *mm > MIN_MM).max_by(|a, b| a.1.total_cmp(&b.1))
}

/// Places along a polyline, no farther apart than a millimetre.
fn every_mm(points: &[Point]) -> Vec<Point> {
    let (mut places, mut since_mm) = (points.first().copied().into_iter().collect::<Vec<_>>(), 0.0);
    for ends in points.windows(2) {
        let long_mm = ends[0].distance(ends[1]);
        since_mm += long_mm;
        if since_mm >= 1.0 {
            let parts = long_mm.ceil().max(1.0);
            places.extend((1..=parts as u32).map(|i| ends[0].lerp(ends[1], f64::from(i) / parts)));
            since_mm = 0.0;
        }
    }
    places
}

/// Short text, sentence and remedy.
type Telling = (String, String, Option<Remedy>);

/// Sharpened steeper, by whole degrees, so that it surely meets the bevel.
fn steeper(stated: Sharpening, flattest_deg: f64) -> Option<Remedy> {
    let angle_deg = (flattest_deg + 1.0).ceil();
    knife::limits::SHARPENING_DEG.contains(&angle_deg).then(|| {
        let label = format!("Sharpen at {}", units::show_angle(angle_deg, 0));
        Remedy::new(label, Edit::SetSharpening(Some(Sharpening { angle_deg, ..stated })))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Bevel, Knife, Sharpening, Swedge, Taper};
    use kurbo::Point;

    fn ground() -> Knife {
        let mut knife = blank();
        knife.bevel = Some(Bevel {
            plunge_x_mm: 100.0,
            grind_height_mm: 20.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        });
        knife
    }

    #[track_caller]
    fn message(change: impl Fn(&mut Knife), words: &str) {
        let mut knife = ground();
        change(&mut knife);
        let found = found(&knife, RULE.key);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].sentence.contains(words), "{}", found[0].sentence);
    }

    #[test]
    fn what_does_not_go_together_is_told() {
        assert!(found(&ground(), RULE.key).is_empty());
        message(|k| k.taper = Some(Taper { from_x_mm: 100.0, tip_mm: 4.0 }), "bar is only");
        message(|k| k.taper = Some(Taper { from_x_mm: 100.0, tip_mm: 0.4 }), "no bevel left");
        message(|k| k.taper = Some(Taper { from_x_mm: -5.0, tip_mm: 1.0 }), "ahead of the tip");
        let swedge = Swedge { from_x_mm: 50.0, height_mm: 5.0, thickness_mm: 1.0 };
        message(|k| k.swedge = Some(Swedge { thickness_mm: 3.5, ..swedge }), "nothing to grind");
        message(|k| k.swedge = Some(Swedge { height_mm: 60.0, ..swedge }), "lower than the blade");
        let away = GrindLine::Through([(0.0, 90.0), (80.0, 90.0)].map(Point::from).to_vec());
        message(|k| k.grind_line = away.clone(), "nowhere on the blade");
        // All on one face, a swedge from above meets the bevel at the tip's end, 30 mm tall.
        let through = Swedge { height_mm: 29.0, thickness_mm: 0.4, ..swedge };
        let one_sided = |k: &mut Knife| {
            k.swedge = Some(through);
            k.bevel.as_mut().unwrap().sides = GroundSides::Left;
        };
        message(one_sided, "cut through each other");
        message(one_sided, "grind both faces");
    }

    #[test]
    fn a_sound_taper_swedge_line_and_sharpening_have_nothing_to_tell() {
        let mut knife = ground();
        knife.taper = Some(Taper { from_x_mm: 100.0, tip_mm: 1.5 });
        knife.swedge = Some(Swedge { from_x_mm: 50.0, height_mm: 5.0, thickness_mm: 1.0 });
        let line = [(5.0, -5.0), (50.0, 0.0), (100.0, 4.0)].map(Point::from).to_vec();
        knife.grind_line = GrindLine::Through(line);
        knife.sharpening = Some(Sharpening { angle_deg: 18.0, edge_mm: None });
        assert!(found(&knife, RULE.key).is_empty(), "{:?}", found(&knife, RULE.key));
        // A short steep bevel, 2.7 mm high, stands at 26° itself.
        knife.grind_line = GrindLine::Height;
        knife.bevel.as_mut().unwrap().grind_height_mm = 2.7;
        assert_eq!(found(&knife, RULE.key).len(), 1);
    }
}
