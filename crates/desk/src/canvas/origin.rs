//! The knife's origin on the canvas: its mark, and what it is called.

use super::handles;
use crate::context::CanvasContext;
use egui::{Align2, Pos2, Stroke, vec2};

/// Radius of its ring, points.
const RADIUS: f32 = 9.0;
/// How far its arms reach, points.
const ARM: f32 = 26.0;

/// The mark: the open circle in which running dimensions begin (ISO 129-1), with an arm out of
/// it along each axis, ended by a stop on the side to which it grows.
pub(crate) fn mark(cx: &CanvasContext<'_>) {
    let (ui, context, knife_view) = (cx.ui, cx.context, cx.knife_view);
    let (origin, p) = (&context.origin, context.palette);
    let at = knife_view.ui_from_knife(origin.at);
    if !knife_view.view.rect.contains(at) {
        return;
    }
    let axes = origin.axes().map(|axis| {
        let there = knife_view.ui_from_knife(origin.at + axis);
        (there - at).normalized()
    });
    for (width, colour) in [(4.5, p.halo), (1.6, p.scribed)] {
        symbol(ui.painter(), at, axes, Stroke::new(width, colour));
    }
    let near = ui.input(|input| input.pointer.hover_pos());
    let label = format!("Origin: {}", origin.origin.label());
    handles::labeled_spot(ui, "origin", at, &label);
    if near.is_some_and(|pos| pos.distance(at) < RADIUS + 3.0) {
        let text = format!("{label}\ncoordinates count from here");
        cx.tag(at + vec2(-16.0, 16.0), Align2::RIGHT_TOP, &text);
    }
}

/// The mark's lines. `axes` are unit vectors on the screen.
pub(crate) fn symbol(painter: &egui::Painter, at: Pos2, axes: [egui::Vec2; 2], stroke: Stroke) {
    painter.circle_stroke(at, RADIUS, stroke);
    for axis in axes {
        let (from, to) = (at + axis * RADIUS, at + axis * ARM);
        painter.line_segment([from, to], stroke);
        let stop = axis.rot90() * 3.5;
        painter.line_segment([to - stop, to + stop], stroke);
    }
}
