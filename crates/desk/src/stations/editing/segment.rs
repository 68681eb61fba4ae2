//! A segment of the outline that is dragged itself: a curve bends, a straight run goes along.

use crate::action::Action;
use crate::context::CanvasContext;
use crate::widgets::{Field, Form};
use egui::{Align2, CursorIcon, PointerButton, vec2};
use knife::{Edit, NodeId, PartId};
use kurbo::{PathSeg, Point};

/// How near the pointer must come to the outline, points.
const REACH: f64 = 7.0;

/// Follows a drag that began on the outline; whether there is one.
pub(crate) fn pull(cx: &mut CanvasContext<'_>) -> bool {
    let background = cx.background;
    if background.drag_started_by(PointerButton::Primary) && !cx.pointer.panning && !cx.extends() {
        let origin = cx.ui.input(|input| input.pointer.press_origin());
        cx.tools.pulled = origin.and_then(|pos| at(cx, cx.knife_view.knife_from_ui(pos)));
    }
    let Some((stretch, t)) = cx.tools.pulled else {
        show_cursor(cx);
        return false;
    };
    let Some((_, by)) = cx.dragged(background, Point::ORIGIN) else {
        if !cx.pointer.is_dragging() {
            cx.tools.pulled = None;
        }
        return true;
    };
    cx.selection.parts = [PartId::Stretch(stretch)].into();
    cx.selection.on_outline = Some((stretch, t));
    cx.ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
    cx.actions.push(Action::Preview(vec![Edit::PullStretch { stretch, t, by }]));
    if let Some(pos) = background.interact_pointer_pos() {
        let text = format!("by x {}, y {}", cx.context.short(by.x), cx.context.short(by.y));
        cx.tag(pos + vec2(16.0, -16.0), Align2::LEFT_BOTTOM, &text);
    }
    true
}

/// The segment that is near a place of the knife, and where on it.
fn at(cx: &CanvasContext<'_>, place: Point) -> Option<(NodeId, f64)> {
    let outline = cx.context.reckoning().outline.as_ref()?;
    let found = outline.nearest(place);
    let node = cx.context.knife.profile.nodes.get(found.segment)?;
    (found.distance_mm <= cx.knife_view.mm(REACH)).then_some((node.id, found.t))
}

/// Over a segment that can be dragged the pointer is a hand.
fn show_cursor(cx: &CanvasContext<'_>) {
    let idle = !cx.pointer.is_dragging() && cx.pointer.band.is_none();
    if let Some(place) = cx.pointer.position.filter(|_| idle && cx.background.hovered())
        && at(cx, cx.knife_view.knife_from_plane(place)).is_some()
    {
        cx.ui.ctx().set_cursor_icon(CursorIcon::Grab);
    }
}

/// What can be typed for one segment.
pub(crate) fn card(form: &mut Form<'_>, stretch: NodeId) {
    let profile = &form.context.knife.profile;
    let field = Field::new(("Split into", "How many equally long segments; the shape stays."), "")
        .width(60.0);
    let parse = |text: &str| {
        let count = text.trim().parse::<usize>().ok().filter(|n| (2..=100).contains(n));
        count.ok_or_else(|| format!("\"{text}\" isn't a number of parts; type one from 2 to 100"))
    };
    form.field(field, parse).edit(|parts| Edit::SplitStretch { stretch, parts });
    let at = profile.index_of(stretch);
    let outline = form.context.reckoning().outline.as_ref();
    if let Some(PathSeg::Line(_)) = at.and_then(|i| outline?.segs().get(i)) {
        form.note("Drag it to move it with both its ends.");
    } else {
        form.note("Drag it to bend it.");
    }
}
