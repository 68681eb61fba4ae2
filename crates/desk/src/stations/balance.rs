//! Where the knife balances, marked on the canvas.

use crate::canvas::handles::spot_to_look_at;
use crate::canvas::{Hands, hover};
use egui::{Align2, Color32, Pos2, Shape, Stroke, pos2, vec2};
use std::f32::consts::FRAC_PI_2;
use units::LengthUnit;

/// Size of the mark, points.
const RADIUS: f32 = 7.0;

/// The mark at the centre of mass, and how far that lies from scales and pin: of the whole knife
/// once that is known, else of the steel.
pub(super) fn mark(hands: &Hands<'_>) {
    let (reckoning, p) = (&hands.read.derived.reckoning, hands.read.palette);
    let (Some(mass), Some(outline)) = (&reckoning.mass, &reckoning.outline) else { return };
    let unit = hands.read.knife.unit;
    let (of, centre, front_mm, pin_mm) = match &reckoning.whole {
        Some(Ok(whole)) => {
            let front_mm = Some(whole.behind_scale_front_mm);
            ("whole knife", whole.centre, front_mm, whole.behind_front_pin_mm)
        }
        _ => ("steel alone", mass.centre, mass.behind_scale_front_mm, mass.behind_front_pin_mm),
    };
    let at = hands.sight.ui_from_knife(centre);
    let from = [(front_mm, "scale front"), (pin_mm, "front pin")];
    let lines: Vec<String> =
        from.iter().filter_map(|(mm, what)| Some(away((*mm)?, what, unit))).collect();
    let told = if lines.is_empty() { "no scales and no pin".into() } else { lines.join(", ") };
    spot_to_look_at(hands.ui, "balance", at, &format!("Balance point: {told}, {of}"));
    // Hung below the blank, where it hides nothing.
    let placed = outline.transformed(hands.sight.plane_from_knife).bounds();
    let foot = hands.sight.view.ui_from_mm(placed.origin());
    let hang = pos2(at.x, foot.y.max(at.y + RADIUS) + 8.0);
    for (width, colour) in [(3.5, p.halo), (1.2, p.grip_chosen)] {
        let line = Stroke::new(width, colour);
        hands.ui.painter().line_segment([at + vec2(0.0, RADIUS), hang], line);
    }
    quartered(hands.ui.painter(), at, p.scribed, p.steel_low);
    let words = [format!("balance, {of}")].into_iter().chain(lines);
    let words = words.collect::<Vec<_>>().join("\n");
    hover::tag(hands.ui, hang, Align2::CENTER_TOP, &words, p);
}

/// How far the balance lies from something, in words.
fn away(behind_mm: f64, what: &str, unit: LengthUnit) -> String {
    let way = if behind_mm < 0.0 { "ahead of" } else { "behind" };
    format!("{} {way} the {what}", hover::short(behind_mm.abs(), unit))
}

/// A disc in quarters, as a centre of mass is drawn.
fn quartered(painter: &egui::Painter, at: Pos2, light: Color32, dark: Color32) {
    painter.circle_filled(at, RADIUS + 1.5, dark);
    painter.circle_filled(at, RADIUS, light);
    for quarter in [0.0, 2.0] {
        let way = |i: u8| egui::Vec2::angled((quarter + f32::from(i) / 8.0) * FRAC_PI_2);
        let arc = (0..=8).map(|i| at + way(i) * RADIUS);
        let points: Vec<Pos2> = std::iter::once(at).chain(arc).collect();
        painter.add(Shape::convex_polygon(points, dark, Stroke::NONE));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_told_on_which_side_it_lies() {
        let told = |mm| away(mm, "front pin", LengthUnit::Millimetre);
        assert_eq!(told(3.5), "3.50 mm behind the front pin");
        assert_eq!(told(-12.0), "12.00 mm ahead of the front pin");
    }
}
