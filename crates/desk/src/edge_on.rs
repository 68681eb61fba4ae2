//! The knife seen on edge, below the blank and aligned with it along the bar.

use crate::Station;
use crate::canvas::{Camera, Hands, Read, Sight, View, paint};
use crate::command::Commands;
use crate::session::Session;
use crate::stations::{bevels, handle};
use crate::theme::{Ink, Palette, figures};
use egui::{Align2, Painter, Rect, Sense, Stroke, Ui, WidgetInfo, pos2};
use kurbo::{Affine, Point};
use marks::{Drawing, Mark, Pen};

/// How high the strip is when the canvas has this height, points; nothing on a low one.
pub(crate) fn height(canvas: f32) -> f32 {
    if canvas < 240.0 { 0.0 } else { (canvas * 0.17).clamp(56.0, 104.0) }
}

/// Shows the strip, and on it whatever is dragged at this station. A click pins the
/// cross-section there.
pub(crate) fn show(
    ui: &Ui,
    rect: Rect,
    sight: &Sight,
    read: &Read<'_>,
    session: &mut Session,
    out: &mut Commands,
) {
    if rect.height() < 20.0 {
        return;
    }
    let p = read.palette;
    let painter = &ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, 0.0, p.rule);
    painter.hline(rect.x_range(), rect.min.y, Stroke::new(1.0, p.hair));
    let bar = &read.knife.bar;
    // The canvas's own x; y is the distance from the centre plane.
    let across = Rect::from_x_y_ranges(sight.view.rect.x_range(), rect.y_range());
    let camera = sight.view.camera;
    let centre = Point::new(camera.centre.x, 0.0);
    let strip = View { rect: across, camera: Camera { centre, ..camera } };
    let ground = ui.interact(across, ui.make_persistent_id("on edge"), Sense::click());
    ground.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, "Knife on edge"));
    cut_faces(painter, &strip, &read.derived.on_edge, p);
    let words =
        format!("on edge · stock {}", units::write_length(bar.thickness_mm, read.knife.unit));
    let at = pos2(rect.min.x + 10.0, rect.max.y - 6.0);
    painter.text(at, Align2::LEFT_BOTTOM, words, figures(12.5), p.weak);
    let middle = read.derived.reckoning.outline.as_ref().map(|outline| outline.bounds().center());
    if let (Some(x_mm), Some(middle)) = (read.derived.section_mm(), middle)
        && read.settings.section
    {
        let x = strip.ui_from_mm(sight.plane_from_knife * Point::new(x_mm, middle.y)).x;
        painter.vline(x, rect.y_range(), Stroke::new(1.2, p.accent));
    }
    if let Some(pos) = ground.interact_pointer_pos().filter(|_| ground.clicked()) {
        let placed = middle.map_or(0.0, |middle| (sight.plane_from_knife * middle).y);
        let on_plane = Point::new(strip.mm_from_ui(pos).x, placed);
        session.pinned_mm = Some((sight.plane_from_knife.inverse() * on_plane).x);
    }
    let sight = Sight { view: strip, plane_from_knife: Affine::IDENTITY, ..*sight };
    let station = session.station;
    let mut hands = Hands { ui, read, ground: &ground, sight: &sight, session, out };
    match station {
        Station::Bevels => bevels::on_edge(&mut hands),
        Station::Handle => handle::on_edge(&mut hands),
        _ => {}
    }
}

/// Paints the knife as bare metal between its scales.
pub(crate) fn cut_faces(painter: &Painter, view: &View, drawing: &Drawing, p: &Palette) {
    for item in &drawing.items {
        let Mark::Path(path) = &item.mark else { continue };
        let fill = match item.pen {
            Pen::Scale => p.wood,
            Pen::Cut => p.metal,
            _ => continue,
        };
        painter.extend(paint::filled(view, path, fill, fill.lerp_to_gamma(p.ink, 0.12)));
    }
    paint::drawing(painter, view, drawing, |item| {
        let (colour, width) = match item.pen {
            Pen::Cut => (p.text, 1.2),
            Pen::Centre => (p.weak, 1.0),
            Pen::Scale => (p.hair, 1.0),
            _ => (p.ink, 1.0),
        };
        let dashes = if item.pen == Pen::Centre { vec![14.0, 4.0, 2.0, 4.0] } else { Vec::new() };
        Some(Ink { colour, width, dashes })
    });
}
