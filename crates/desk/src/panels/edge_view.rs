//! The knife seen on edge, below the blank: all of it, aligned with the blank as long as that is
//! seen whole too.

use crate::action::ActionQueue;
use crate::canvas::steel::cut_faces;
use crate::context::{CanvasContext, KnifeView, ViewContext};
use crate::state::{Camera, Session, View};
use crate::stations;
use crate::theme::{HandleColors, figures};
use egui::{Align2, Painter, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2};
use kurbo::{Affine, Point};

/// Room left at both ends, and above and below, points.
const AROUND: (f32, f32) = (20.0, 8.0);

/// How high the strip is when the canvas has this height, points; nothing on a low one.
pub(crate) fn height(canvas: f32) -> f32 {
    if canvas < 240.0 { 0.0 } else { (canvas * 0.17).clamp(56.0, 104.0) }
}

/// Shows the strip, and on it whatever is dragged at this station. A click pins the
/// cross-section there.
pub(crate) fn show(
    ui: &Ui,
    rect: Rect,
    knife_view: &KnifeView,
    context: &ViewContext<'_>,
    session: &mut Session,
    actions: &mut ActionQueue,
) {
    if rect.height() < 20.0 {
        return;
    }
    let p = context.palette;
    let painter = &ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, 0.0, p.rule);
    painter.hline(rect.x_range(), rect.min.y, Stroke::new(1.0, p.hair));
    let bar = &context.knife.bar;
    // The canvas's own x; y is the distance from the centre plane.
    let across = Rect::from_x_y_ranges(knife_view.view.rect.x_range(), rect.y_range());
    let camera = if session.pointer.is_dragging() {
        // What is dragged must not change its scale under the hand.
        session.view.edge_camera
    } else {
        None
    };
    let camera = camera.unwrap_or_else(|| camera_of(across, knife_view, context));
    session.view.edge_camera = Some(camera);
    let strip = View { rect: across, camera };
    let background = ui.interact(across, ui.make_persistent_id("on edge"), Sense::click());
    background.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, "Knife on edge"));
    let colors = HandleColors::of(&context.knife.handle, p);
    cut_faces(painter, &strip, &context.derived.on_edge, p, |_| colors.scales[0]);
    looked_at(painter, &strip, &knife_view.view, p.accent);
    let label = format!("on edge · stock {}", context.typed_length(bar.thickness_mm));
    let at = pos2(rect.min.x + 10.0, rect.max.y - 6.0);
    painter.text(at, Align2::LEFT_BOTTOM, label, figures(12.5), p.weak);
    let middle = context.reckoning().outline.as_ref().map(|outline| outline.bounds().center());
    if let (Some(x_mm), Some(middle)) = (context.derived.section_mm(), middle)
        && context.settings.section
    {
        let x = strip.ui_from_mm(knife_view.plane_from_knife * Point::new(x_mm, middle.y)).x;
        painter.vline(x, rect.y_range(), Stroke::new(1.2, p.accent));
    }
    if let Some(pos) = background.interact_pointer_pos().filter(|_| background.clicked()) {
        let placed = middle.map_or(0.0, |middle| (knife_view.plane_from_knife * middle).y);
        let on_plane = Point::new(strip.mm_from_ui(pos).x, placed);
        session.section.pinned_mm = Some(knife_view.knife_from_plane(on_plane).x);
    }
    let knife_view = KnifeView { view: strip, plane_from_knife: Affine::IDENTITY, ..*knife_view };
    let Session { pointer, selection, holes, drawing, picture, tools, .. } = session;
    stations::on_edge(&mut CanvasContext {
        ui,
        context,
        knife_view: &knife_view,
        background: &background,
        pointer,
        selection,
        holes,
        drawing,
        picture,
        tools,
        actions,
    });
}

/// The canvas's own camera as long as that shows the knife from end to end and face to face; else
/// one that does.
fn camera_of(rect: Rect, knife_view: &KnifeView, context: &ViewContext<'_>) -> Camera {
    let camera = knife_view.view.camera;
    let own = Camera { centre: Point::new(camera.centre.x, 0.0), ..camera };
    let bounds = context.reckoning().outline.as_ref();
    let bounds = bounds.map(|outline| outline.transformed(knife_view.plane_from_knife).bounds());
    let Some(knife) = bounds else { return own };
    let thick_mm = context.derived.on_edge.bounds().map_or(0.0, |all| all.height());
    fitting(rect, (knife.x0, knife.x1), thick_mm, own)
}

fn fitting(rect: Rect, (x0, x1): (f64, f64), thick_mm: f64, own: Camera) -> Camera {
    let seen = View { rect, camera: own }.seen();
    if seen.x0 <= x0 && x1 <= seen.x1 && thick_mm <= seen.height() {
        return own;
    }
    let room = rect.shrink2(egui::vec2(AROUND.0, AROUND.1));
    let along = f64::from(room.width()) / (x1 - x0).max(1.0);
    let across = f64::from(room.height()) / thick_mm.max(1.0);
    let centre = Point::new(f64::midpoint(x0, x1), 0.0);
    Camera { centre, ..own }.at_zoom(along.min(across))
}

/// Brackets around the part that the canvas shows, where that is not all of the knife.
fn looked_at(painter: &Painter, strip: &View, canvas: &View, colour: egui::Color32) {
    if strip.camera.points_per_mm >= canvas.camera.points_per_mm - 1e-9 {
        return;
    }
    let seen = canvas.seen();
    let (top, foot) = (strip.rect.min.y + 5.0, strip.rect.max.y - 5.0);
    for (x_mm, inward) in [(seen.x0, 6.0), (seen.x1, -6.0)] {
        let x = strip.ui_from_mm(Point::new(x_mm, 0.0)).x;
        let bracket = [pos2(x + inward, top), pos2(x, top), pos2(x, foot), pos2(x + inward, foot)];
        painter.add(egui::Shape::line(bracket.to_vec(), Stroke::new(1.5, colour)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_whole_knife_is_always_seen() {
        let rect = Rect::from_min_size(pos2(24.0, 500.0), egui::vec2(900.0, 80.0));
        for points_per_mm in [0.5, 2.0, 3.5, 12.0, 300.0] {
            for x in [-80.0, 110.0, 400.0] {
                let own = Camera { centre: Point::new(x, 0.0), points_per_mm };
                let camera = fitting(rect, (0.0, 230.0), 18.0, own);
                let seen = View { rect, camera }.seen();
                assert!(seen.x0 <= 0.0 && seen.x1 >= 230.0, "{points_per_mm} {x}: {seen:?}");
                assert!(seen.height() >= 18.0, "{points_per_mm}");
            }
        }
        let own = Camera { centre: Point::new(115.0, 0.0), points_per_mm: 3.5 };
        assert_eq!(fitting(rect, (0.0, 230.0), 18.0, own), own, "aligned while both are whole");
    }
}
