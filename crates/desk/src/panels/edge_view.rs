//! The knife seen on edge, below the blank and aligned with it along the bar.

use crate::action::ActionQueue;
use crate::canvas::steel::cut_faces;
use crate::context::{CanvasContext, KnifeView, ViewContext};
use crate::state::{Camera, Session, View};
use crate::stations;
use crate::theme::figures;
use egui::{Align2, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2};
use kurbo::{Affine, Point};

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
    let camera = knife_view.view.camera;
    let centre = Point::new(camera.centre.x, 0.0);
    let strip = View { rect: across, camera: Camera { centre, ..camera } };
    let background = ui.interact(across, ui.make_persistent_id("on edge"), Sense::click());
    background.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, "Knife on edge"));
    cut_faces(painter, &strip, &context.derived.on_edge, p);
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
