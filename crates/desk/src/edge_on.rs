//! The knife seen on edge, below the blank and aligned with it along the bar.

use crate::canvas::{Camera, Read, View, paint};
use crate::theme::{Ink, figures};
use drawing::{Mark, Pen};
use egui::{Align2, Painter, Rect, Stroke, pos2};
use kurbo::Point;

/// How high the strip is when the canvas has this height, points; nothing on a low one.
pub(crate) fn height(canvas: f32) -> f32 {
    if canvas < 240.0 { 0.0 } else { (canvas * 0.17).clamp(56.0, 104.0) }
}

/// Paints the strip.
pub(crate) fn show(painter: &Painter, rect: Rect, view: &View, read: &Read<'_>) {
    if rect.height() < 20.0 {
        return;
    }
    let p = read.palette;
    let painter = &painter.with_clip_rect(rect);
    painter.rect_filled(rect, 0.0, p.rule);
    painter.hline(rect.x_range(), rect.min.y, Stroke::new(1.0, p.hair));
    let bar = &read.knife.bar;
    // The canvas's own x; y is the distance from the centre plane.
    let across = Rect::from_x_y_ranges(view.rect.x_range(), rect.y_range());
    let centre = Point::new(view.camera.centre.x, 0.0);
    let strip = View { rect: across, camera: Camera { centre, ..view.camera } };
    for item in &read.derived.on_edge.items {
        let Mark::Path(path) = &item.mark else { continue };
        let fill = match item.pen {
            Pen::Scale => p.wood,
            Pen::Cut => p.metal,
            _ => continue,
        };
        painter.extend(paint::filled(&strip, path, fill, fill.lerp_to_gamma(p.ink, 0.12)));
    }
    paint::drawing(painter, &strip, &read.derived.on_edge, |item| {
        let (colour, width) = match item.pen {
            Pen::Cut => (p.text, 1.2),
            Pen::Centre => (p.weak, 1.0),
            Pen::Scale => (p.hair, 1.0),
            _ => (p.ink, 1.0),
        };
        let dashes = if item.pen == Pen::Centre { vec![14.0, 4.0, 2.0, 4.0] } else { Vec::new() };
        Some(Ink { colour, width, dashes })
    });
    let words =
        format!("on edge · stock {}", units::write_length(bar.thickness_mm, read.knife.unit));
    let at = pos2(rect.min.x + 10.0, rect.max.y - 6.0);
    painter.text(at, Align2::LEFT_BOTTOM, words, figures(12.5), p.weak);
}
