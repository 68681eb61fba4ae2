//! Finding: a wheel too small for its bevel.

use super::{Finding, FindingContext, LimitSide, Remedy, Rule, Severity};
use crate::solid::{BevelSurface, Face, FaceShape};
use knife::{Bevel, Edit, Grind, PartId};
use kurbo::{Point, Vec2};
use units::LengthUnit;

/// Places along the edge that are looked at.
const PLACES: usize = 40;
/// A waist thinner than the edge by no more than this is none, mm.
const ROUNDING_MM: f64 = 1e-3;

pub(super) static RULE: Rule = Rule {
    key: "hollow-too-deep",
    checks: "That a hollow face is nowhere thinner than its edge, and that its wheel spans it.",
    rationale: "The blade would be thinnest inside the grind: it buckles there, or is ground through.",
    remedy: "Take a larger wheel, or lower the grind.",
    check,
};

fn check(ctx: &FindingContext<'_>, findings: &mut Vec<Finding>) {
    let (Some(field), Some(stated)) = (ctx.field, ctx.knife.bevel) else { return };
    let (Some(ground), Grind::Hollow(wheel_mm) | Grind::Convex(wheel_mm)) =
        (field.bevels.first(), stated.grind)
    else {
        return;
    };
    let faces: Vec<(Point, Face)> = faces(ground, |x| field.stock_at(x) / 2.0);
    let is_hollow = matches!(ground.shape, FaceShape::Hollow(_));
    let mut tell = |severity, short: String, sentence, at: Point, measured, limit, remedy| {
        findings.push(
            RULE.finding(severity, short, sentence)
                .measured(LimitSide::AtLeast, measured, limit, "geometry")
                .about([PartId::GrindLine])
                .at(at)
                .mended_by(remedy),
        );
    };
    let (size, what) = if is_hollow { (1.0, "wheel of") } else { (0.5, "radius of") };
    let longest = faces.iter().max_by(|a, b| a.1.chord_mm().total_cmp(&b.1.chord_mm()));
    if let Some((at, face)) = longest.filter(|(_, face)| !face.spans()) {
        let min_mm = size * face.chord_mm();
        let sentence = format!(
            "A {what} {} can't touch both the edge and the grind line {} above it. Take at least \
             {}, or lower the grind.",
            ctx.length(wheel_mm),
            ctx.length(face.height_mm),
            wheel(sure_mm(min_mm, ctx.knife.unit), ctx.knife.unit),
        );
        let short =
            format!("A {what} {} is too small to span the bevel.", wheel(wheel_mm, ctx.knife.unit));
        let remedy = larger(ctx, stated, is_hollow, min_mm);
        return tell(Severity::Stop, short, sentence, *at, wheel_mm, min_mm, remedy);
    }
    let thin = |face: &Face| 2.0 * face.thinnest().1;
    let thinnest = faces.iter().min_by(|a, b| thin(&a.1).total_cmp(&thin(&b.1)));
    let Some((at, face)) = thinnest.filter(|(_, face)| is_hollow && face.edge_mm > 0.0) else {
        return;
    };
    let (left_mm, edge_mm) = (thin(face), 2.0 * face.edge_mm);
    if left_mm >= edge_mm - ROUNDING_MM {
        return;
    }
    let wheels = faces.iter().filter_map(|(_, face)| face.min_wheel_mm());
    let min_mm = wheels.fold(0.0, f64::max);
    let place = ctx.length(face.thinnest().0);
    let (severity, short, left) = if left_mm <= 0.0 {
        (
            Severity::Stop,
            "The wheel grinds through the blade.".to_owned(),
            "grinds through the blade".to_owned(),
        )
    } else {
        let short =
            format!("The wheel leaves only {} of steel above the edge.", ctx.brief(left_mm));
        (Severity::Care, short, format!("leaves {} of steel", ctx.length(left_mm)))
    };
    let sentence = format!(
        "A wheel of {} {left} {place} above the edge, less than the {} of the edge itself. Take \
         a wheel of at least {}, or lower the grind.",
        ctx.length(wheel_mm),
        ctx.length(edge_mm),
        wheel(sure_mm(min_mm, ctx.knife.unit), ctx.knife.unit),
    );
    let remedy = larger(ctx, stated, true, min_mm);
    tell(severity, short, sentence, *at, left_mm, edge_mm, remedy);
}

/// A wheel, or a radius, that is surely large enough.
fn larger(ctx: &FindingContext<'_>, stated: Bevel, is_hollow: bool, min_mm: f64) -> Option<Remedy> {
    let sure = sure_mm(min_mm, ctx.knife.unit);
    knife::limits::WHEEL_MM.contains(&sure).then(|| {
        let (grind, what) = if is_hollow {
            (Grind::Hollow(sure), "wheel")
        } else {
            (Grind::Convex(sure), "radius")
        };
        let label = format!("Take a {what} of {}", wheel(sure, ctx.knife.unit));
        Remedy::new(label, Edit::SetBevel(Some(Bevel { grind, ..stated })))
    })
}

/// A wheel that is surely large enough: rounded up to a whole millimetre or a tenth of an inch.
fn sure_mm(min_mm: f64, unit: LengthUnit) -> f64 {
    let step = match unit {
        LengthUnit::Millimetre => 1.0,
        LengthUnit::Inch => 2.54,
    };
    (min_mm / step - 1e-9).ceil() * step
}

fn wheel(mm: f64, unit: LengthUnit) -> String {
    units::show_decimal(mm, unit, (0, 1))
}

/// The face in section at places along the edge.
fn faces(ground: &BevelSurface, half_at: impl Fn(f64) -> f64) -> Vec<(Point, Face)> {
    let points = ground.from.points();
    let step = (points.len() / PLACES).max(1);
    let sides = points.windows(2).step_by(step);
    sides
        .flat_map(|side| {
            let middle = side[0].midpoint(side[1]);
            let off: Vec2 = (side[1] - side[0]).turn_90().normalize() * 0.05;
            [side[0], middle, side[1]].into_iter().flat_map(move |p| [p + off, p - off])
        })
        .filter_map(|p| Some((p, ground.face(p, half_at(p.x))?.0)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, found};
    use knife::{Knife, Taper};

    fn hollow(stock: f64, edge: f64, height: f64, grind: Grind) -> Knife {
        let mut knife = blank();
        knife.bar.thickness_mm = stock;
        knife.bevel = Some(Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm: height,
            edge_thickness_mm: edge,
            grind,
            ..Bevel::default()
        });
        knife
    }

    /// Machinery's Handbook, segments of circles: 3.175 and 0.508 mm over 25.4 mm by a wheel of
    /// 254 mm leave 0.21722 mm 6.075 mm above the edge; from 485.143 mm on there is no waist.
    #[test]
    fn a_waist_is_told_with_the_wheel_that_leaves_none() {
        let knife = hollow(3.175, 0.508, 25.4, Grind::Hollow(254.0));
        let message = found(&knife, RULE.key);
        assert_eq!(message.len(), 1);
        assert_eq!(message[0].severity, Severity::Care);
        assert!((message[0].measured_mm.unwrap() - 0.217_22).abs() < 6e-6);
        assert!(message[0].sentence.contains("6.08 mm above"), "{}", message[0].sentence);
        assert!(message[0].sentence.contains("at least 486 mm"), "{}", message[0].sentence);
        assert_eq!(message[0].remedy.as_ref().unwrap().label, "Take a wheel of 486 mm");
        let inches = Knife { unit: LengthUnit::Inch, ..knife.clone() };
        assert!(found(&inches, RULE.key)[0].sentence.contains("at least 19.2 in"));
        let mended = message[0].remedy.as_ref().unwrap().apply(&knife).unwrap();
        assert!(found(&mended, RULE.key).is_empty());
        // 4.7625 and 0.508 over 19.05 mm by the same wheel: thinnest at the edge.
        assert!(found(&hollow(4.7625, 0.508, 19.05, Grind::Hollow(254.0)), RULE.key).is_empty());
        // Thin enough, it is ground through.
        let through = found(&hollow(3.175, 0.2, 25.4, Grind::Hollow(100.0)), RULE.key);
        assert_eq!(through[0].severity, Severity::Stop);
    }

    #[test]
    fn a_wheel_that_cannot_touch_is_a_stop() {
        for grind in [Grind::Hollow(20.0), Grind::Convex(10.0)] {
            let message = found(&hollow(3.175, 0.5, 25.4, grind), RULE.key);
            assert_eq!(message[0].severity, Severity::Stop);
            assert!(message[0].sentence.contains("can't touch"));
        }
        assert!(found(&hollow(3.175, 0.5, 25.4, Grind::Convex(300.0)), RULE.key).is_empty());
        assert!(found(&hollow(3.175, 0.5, 25.4, Grind::Flat), RULE.key).is_empty());
    }

    /// A taper thins the stock, and with it the rise that keeps a hollow from having a waist.
    #[test]
    fn a_taper_may_bring_a_waist() {
        let mut knife = hollow(4.7625, 0.508, 19.05, Grind::Hollow(254.0));
        knife.taper = Some(Taper { from_x_mm: 90.0, tip_mm: 1.0 });
        assert_eq!(found(&knife, RULE.key).len(), 1);
    }
}
