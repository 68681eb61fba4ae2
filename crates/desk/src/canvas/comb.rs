//! Radii written where the outline bends most and least.

use super::hover;
use crate::context::CanvasContext;
use egui::Align2;

/// How far from the outline a radius stands, points.
const AWAY: f64 = 16.0;

/// Writes the radii of the comb.
pub(crate) fn radii(cx: &CanvasContext<'_>) {
    for (at, normal, radius_mm) in &cx.context.derived.comb_radii {
        let place = *at + *normal * cx.knife_view.mm(AWAY);
        let from = cx.knife_view.ui_from_knife(*at);
        let to = cx.knife_view.ui_from_knife(place);
        let way = (to - from).normalized();
        let align = match (way.x, way.y) {
            (x, _) if x > 0.7 => Align2::LEFT_CENTER,
            (x, _) if x < -0.7 => Align2::RIGHT_CENTER,
            (_, y) if y < 0.0 => Align2::CENTER_BOTTOM,
            _ => Align2::CENTER_TOP,
        };
        let text = format!("R {}", cx.context.short(*radius_mm));
        hover::tag(cx.ui, to, align, &text, cx.context.palette);
    }
}
