//! The knife's origin on the canvas: its mark, and what it is called.

use super::{Read, Sight, handles, hover};
use egui::{Align2, Pos2, Stroke, Ui, vec2};
use reckon::OriginFrame;

/// Radius of its ring, points.
const RADIUS: f32 = 9.0;
/// How far its arms reach, points.
const ARM: f32 = 26.0;

/// The mark: the open circle in which running dimensions begin (ISO 129-1), with an arm out of
/// it along each axis, ended by a stop on the side to which it grows.
pub(super) fn mark(ui: &Ui, read: &Read<'_>, sight: &Sight) {
    let (origin, p) = (&read.origin, read.palette);
    let at = sight.ui_from_knife(origin.at);
    if !sight.view.rect.contains(at) {
        return;
    }
    let ways = origin.axes().map(|way| {
        let there = sight.ui_from_knife(origin.at + way);
        (there - at).normalized()
    });
    for (width, colour) in [(4.5, p.halo), (1.6, p.scribed)] {
        symbol(ui.painter(), at, ways, Stroke::new(width, colour));
    }
    let near = ui.input(|input| input.pointer.hover_pos());
    handles::spot_to_look_at(ui, "origin", at, &words(origin));
    if near.is_some_and(|pos| pos.distance(at) < RADIUS + 3.0) {
        let told = format!("{}\ncoordinates count from here", words(origin));
        hover::tag(ui, at + vec2(-16.0, 16.0), Align2::RIGHT_TOP, &told, p);
    }
}

/// The mark's lines. `ways` are unit ways on the screen.
pub(crate) fn symbol(painter: &egui::Painter, at: Pos2, ways: [egui::Vec2; 2], stroke: Stroke) {
    painter.circle_stroke(at, RADIUS, stroke);
    for way in ways {
        let (from, to) = (at + way * RADIUS, at + way * ARM);
        painter.line_segment([from, to], stroke);
        let stop = way.rot90() * 3.5;
        painter.line_segment([to - stop, to + stop], stroke);
    }
}

/// `Origin: tip`.
pub(crate) fn words(origin: &OriginFrame) -> String {
    format!("Origin: {}", origin.origin.label())
}
