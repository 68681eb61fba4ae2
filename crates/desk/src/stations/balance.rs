//! Where the knife balances, marked on the canvas.

use crate::canvas::handles::labeled_spot;
use crate::context::CanvasContext;
use crate::text::short_length;
use egui::{Align2, Color32, Pos2, Shape, Stroke, pos2, vec2};
use std::f32::consts::FRAC_PI_2;
use units::LengthUnit;

/// Size of the mark, points.
const RADIUS: f32 = 7.0;

/// The mark at the centre of mass, and how far that lies from scales and pin: of the whole knife
/// once that is known, else of the steel.
pub(super) fn mark(cx: &CanvasContext<'_>) {
    let (reckoning, p) = (cx.context.reckoning(), cx.context.palette);
    let (Some(mass), Some(outline)) = (&reckoning.mass, &reckoning.outline) else { return };
    let unit = cx.context.unit();
    let (of, centre, front_mm, pin_mm) = match &reckoning.whole {
        Some(Ok(whole)) => {
            let front_mm = Some(whole.behind_scale_front_mm);
            ("whole knife", whole.centre, front_mm, whole.behind_front_pin_mm)
        }
        _ => ("steel alone", mass.centre, mass.behind_scale_front_mm, mass.behind_front_pin_mm),
    };
    let at = cx.knife_view.ui_from_knife(centre);
    let from = [(front_mm, "front of the scales"), (pin_mm, "front pin")];
    let lines: Vec<String> =
        from.iter().filter_map(|(mm, what)| Some(away((*mm)?, what, unit))).collect();
    let text = if lines.is_empty() { "no scales and no pin".into() } else { lines.join(", ") };
    labeled_spot(cx.ui, "balance", at, &format!("Balance point: {text}, {of}"));
    // Hung below the blank, where it hides nothing.
    let placed = outline.transformed(cx.knife_view.plane_from_knife).bounds();
    let foot = cx.knife_view.view.ui_from_mm(placed.origin());
    let hang = pos2(at.x, foot.y.max(at.y + RADIUS) + 8.0);
    for (width, colour) in [(3.5, p.halo), (1.2, p.grip_chosen)] {
        let line = Stroke::new(width, colour);
        cx.ui.painter().line_segment([at + vec2(0.0, RADIUS), hang], line);
    }
    quartered(cx.ui.painter(), at, p.scribed, p.steel_low);
    let lines: Vec<String> = std::iter::once(format!("balance, {of}")).chain(lines).collect();
    let near = cx.ui.input(|input| input.pointer.hover_pos());
    if cx.pointer.is_dragging() || near.is_some_and(|pos| pos.distance(at) < 2.0 * RADIUS) {
        cx.tag(hang, Align2::CENTER_TOP, &lines.join("\n"));
    }
}

/// How far the balance lies from something, in words.
fn away(behind_mm: f64, what: &str, unit: LengthUnit) -> String {
    let side = if behind_mm < 0.0 { "ahead of" } else { "behind" };
    format!("{} {side} the {what}", short_length(behind_mm.abs(), unit))
}

/// A disc in quarters, as a centre of mass is drawn.
fn quartered(painter: &egui::Painter, at: Pos2, light: Color32, dark: Color32) {
    painter.circle_filled(at, RADIUS + 1.5, dark);
    painter.circle_filled(at, RADIUS, light);
    for quarter in [0.0, 2.0] {
        let direction = |i: u8| egui::Vec2::angled((quarter + f32::from(i) / 8.0) * FRAC_PI_2);
        let arc = (0..=8).map(|i| at + direction(i) * RADIUS);
        let points: Vec<Pos2> = std::iter::once(at).chain(arc).collect();
        painter.add(Shape::convex_polygon(points, dark, Stroke::NONE));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_told_on_which_side_it_lies() {
        let shown = |mm| away(mm, "front pin", LengthUnit::Millimetre);
        assert_eq!(shown(3.5), "3.50 mm behind the front pin");
        assert_eq!(shown(-12.0), "12.00 mm ahead of the front pin");
    }
}
