//! The picture that is traced, with the outline proposed over it.

use super::mapping::Shown;
use super::{handles, wake};
use crate::state::{SquaringChoice, Tracing};
use crate::theme::Palette;
use egui::{
    Color32, ColorImage, Rect, Role, Sense, Stroke, TextureOptions, Ui, Vec2, WidgetInfo, pos2,
    vec2,
};
use kurbo::{Point, Shape as _};
use trace::Seen;

/// Longest side of the picture shown, px.
const SHOWN_PX: usize = 2000;

/// The picture with everything over it.
pub(super) fn picture(ui: &mut Ui, room: Vec2, tracing: &mut Tracing, palette: &Palette) {
    let (rect, response) = ui.allocate_exact_size(room, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "The picture"));
    ui.painter().rect_filled(rect, 4.0, palette.field);
    let Some(picture) = tracing.picture.clone() else { return };
    let gray = &picture.gray;
    let size = vec2(gray.width() as f32, gray.height() as f32);
    let scale = (rect.width() / size.x).min(rect.height() / size.y);
    let shown = Shown { origin: rect.center() - size * scale / 2.0, scale };
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    let area = Rect::from_min_size(shown.origin, size * scale);
    if let Some(seen) = &picture.seen {
        ui.painter().image(texture(ui, seen, tracing), area, whole, Color32::WHITE);
    }
    outline(ui, shown, tracing, palette);
    let moved = match tracing.squaring {
        SquaringChoice::Sheet => {
            let mut corners = tracing.corners_or_usual(gray);
            let moved = handles::ui(ui, rect, shown, &picture, &mut corners, tracing, palette);
            if moved.any {
                tracing.corners = Some(corners);
            }
            moved
        }
        SquaringChoice::Points => {
            let mut points = tracing.points_or_usual(gray);
            let moved = handles::ui(ui, rect, shown, &picture, &mut points, tracing, palette);
            if moved.any {
                tracing.points = Some(points);
            }
            moved
        }
        _ => handles::Moved::default(),
    };
    let pointed = response.interact_pointer_pos().filter(|at| area.contains(*at));
    let clicked = pointed.filter(|_| response.clicked());
    if let Some(at) = clicked {
        tracing.extract.at = Some(shown.px(at));
    }
    if moved.done || clicked.is_some() {
        tracing.again(wake(ui));
    }
}

/// The picture as a texture, made once.
fn texture(ui: &Ui, seen: &Seen, tracing: &mut Tracing) -> egui::TextureId {
    let texture = tracing.texture.0.get_or_insert_with(|| {
        let small = seen.reduced_to(SHOWN_PX);
        let image = ColorImage::from_rgb(small.size(), small.rgb());
        ui.ctx().load_texture("traced picture", image, TextureOptions::LINEAR)
    });
    texture.id()
}

/// The outline proposed, its holes, its nodes, and a ring where it lies farthest off the contour.
fn outline(ui: &Ui, shown: Shown, tracing: &Tracing, palette: &Palette) {
    let (Some(traced), Some(squared)) = (tracing.outline(), &tracing.squared) else { return };
    let line = Stroke::new(2.0, palette.stop);
    let on_screen = |mm: Point| shown.screen(squared.plane.px(mm));
    let closed = |path: kurbo::BezPath| {
        let mut points = Vec::new();
        kurbo::flatten(path, 0.05, |el| {
            if let kurbo::PathEl::MoveTo(p) | kurbo::PathEl::LineTo(p) = el {
                points.push(on_screen(p));
            }
        });
        egui::Shape::closed_line(points, line)
    };
    ui.painter().add(closed(traced.outline.to_path()));
    for hole in &traced.holes {
        ui.painter().add(closed(hole.to_path(0.01)));
    }
    for node in traced.outline.nodes() {
        ui.painter().circle(on_screen(node), 3.5, palette.card, Stroke::new(1.5, palette.stop));
    }
    let at = on_screen(traced.farthest_at);
    ui.painter().circle_stroke(at, 9.0, Stroke::new(3.0, palette.halo));
    ui.painter().circle_stroke(at, 9.0, Stroke::new(1.5, palette.accent));
}
