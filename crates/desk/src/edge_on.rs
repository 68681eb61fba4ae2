//! The knife seen on edge, below the blank and aligned with it along the bar.

use crate::canvas::{Read, View};
use crate::theme::figures;
use egui::{Align2, Painter, Pos2, Rect, Stroke, pos2};
use kurbo::Point;

/// How high the strip is when the canvas has this height, points; nothing on a low one.
pub(crate) fn height(canvas: f32) -> f32 {
    if canvas < 240.0 { 0.0 } else { (canvas * 0.17).clamp(56.0, 104.0) }
}

/// Paints the strip.
pub(crate) fn paint(painter: &Painter, rect: Rect, view: &View, read: &Read<'_>) {
    if rect.height() < 20.0 {
        return;
    }
    let p = read.palette;
    let painter = &painter.with_clip_rect(rect);
    painter.rect_filled(rect, 0.0, p.rule);
    painter.hline(rect.x_range(), rect.min.y, Stroke::new(1.0, p.hair));
    let Some(outline) = &read.derived.reckoning.outline else { return };
    let bar = &read.knife.bar;
    let bar_from_knife = bar.placement.bar_from_knife();
    let placed = outline.transformed(bar_from_knife).bounds();
    let middle = rect.center().y;
    let x = |mm: f64| view.ui_from_mm(Point::new(mm, 0.0)).x;
    let half = view.points(bar.thickness_mm / 2.0);
    let edge = Stroke::new(1.0, p.text);
    let scale_half =
        read.knife.scales.map(|scales| (scales, half + view.points(scales.thickness_mm)));
    if let (Some((_, reach)), Some(scales)) = (scale_half, &read.derived.reckoning.scales) {
        let lies = scales.outline.transformed(bar_from_knife).bounds();
        for (from, to) in [(middle - reach, middle - half), (middle + half, middle + reach)] {
            let wood = Rect::from_min_max(pos2(x(lies.x0), from), pos2(x(lies.x1), to));
            painter.rect(wood, 2.0, p.wood, Stroke::new(1.0, p.hair), egui::StrokeKind::Inside);
        }
    }
    steel(painter, read, (x(placed.x0), x(placed.x1)), middle, half, edge, &x);
    let line = egui::Shape::dashed_line_with_offset(
        &[pos2(rect.min.x, middle), pos2(rect.max.x, middle)],
        Stroke::new(1.0, p.weak),
        &[14.0, 2.0],
        &[4.0, 4.0],
        0.0,
    );
    painter.extend(line);
    let words =
        format!("on edge · stock {}", units::write_length(bar.thickness_mm, read.knife.unit));
    let at = pos2(rect.min.x + 10.0, rect.max.y - 6.0);
    painter.text(at, Align2::LEFT_BOTTOM, words, figures(12.5), p.weak);
}

/// The steel: full stock behind the plunge, ahead of it the edge as the bevel leaves it.
fn steel(
    painter: &Painter,
    read: &Read<'_>,
    (from, to): (f32, f32),
    middle: f32,
    half: f32,
    edge: Stroke,
    x: &dyn Fn(f64) -> f32,
) {
    let p = read.palette;
    let whole = Rect::from_min_max(pos2(from, middle - half), pos2(to, middle + half));
    painter.rect(whole, 0.0, p.metal, edge, egui::StrokeKind::Inside);
    let (Some(bevel), Some(profile)) = (&read.knife.bevel, &read.derived.reckoning.profile) else {
        return;
    };
    // The ground faces, seen from the edge: a darker wedge that narrows to the edge's thickness.
    let bar_from_knife = read.knife.bar.placement.bar_from_knife();
    let at_x = |x_mm: f64| x((bar_from_knife * Point::new(x_mm, profile.centroid.y)).x);
    let plunge = at_x(bevel.plunge_x_mm);
    let tip =
        if profile.towards_butt > 0.0 { at_x(profile.bounds.x0) } else { at_x(profile.bounds.x1) };
    let stock_mm = read.knife.bar.thickness_mm.max(1e-6);
    #[expect(clippy::cast_possible_truncation, reason = "a part of one")]
    let edge_half = half * (bevel.edge_thickness_mm / stock_mm).clamp(0.0, 1.0) as f32;
    let run_out = plunge + (tip - plunge).signum() * half.min((tip - plunge).abs());
    let shade = p.metal.lerp_to_gamma(p.ink, 0.38);
    for up in [-1.0_f32, 1.0] {
        let face: Vec<Pos2> = vec![
            pos2(plunge, middle + up * half),
            pos2(run_out, middle + up * edge_half),
            pos2(tip, middle + up * edge_half),
            pos2(tip, middle + up * half),
        ];
        painter.add(egui::Shape::convex_polygon(face, shade, Stroke::new(0.8, p.text)));
    }
}
