//! Measuring on the canvas: what is picked, what it would give, and what was found.

use crate::canvas::handles::{self, HandleShape};
use crate::canvas::paint;
use crate::context::CanvasContext;
use crate::state::{Pick, Wanted};
use crate::theme::Ink;
use drawing::views;
use egui::{Align2, CursorIcon, Id, PointerButton, Stroke, vec2};
use knife::{Anchor, Boundary, Dimension};
use kurbo::Point;
use reckon::measure;

/// How near the pointer must come to the outline, points.
const REACH: f64 = 9.0;

/// Everything that was measured and what is kept for the plan.
pub(crate) fn results(cx: &CanvasContext<'_>) {
    let context = cx.context;
    let ink = Ink::solid(context.palette.grip_chosen, 1.3);
    for dimension in &cx.tools.measuring.results {
        show(cx, dimension, &ink);
    }
    let quiet = Ink::solid(context.palette.scribed_soft, 1.1);
    for found in context.reckoning().dimensions.iter().flatten() {
        if !cx.tools.measuring.results.contains(&found.dimension) {
            let marks = views::measured(found, context.unit());
            let marks = marks.moved(cx.knife_view.plane_from_knife);
            paint::drawing(cx.ui.painter(), &cx.knife_view.view, &marks, |_| Some(quiet.clone()));
        }
    }
}

fn show(cx: &CanvasContext<'_>, dimension: &Dimension, ink: &Ink) {
    let outline = cx.context.reckoning().outline.as_ref();
    let Some(found) = measure(cx.context.knife, outline, dimension) else { return };
    let marks = views::measured(&found, cx.context.unit()).moved(cx.knife_view.plane_from_knife);
    paint::drawing(cx.ui.painter(), &cx.knife_view.view, &marks, |_| Some(ink.clone()));
}

/// Takes clicks as picks.
pub(crate) fn on_canvas(cx: &mut CanvasContext<'_>) {
    let spot = spots(cx);
    let background = cx.background;
    let pos = if background.clicked_by(PointerButton::Primary) {
        background.interact_pointer_pos().map(|pos| cx.knife_view.knife_from_ui(pos))
    } else {
        cx.pointer.position.map(|at| cx.knife_view.knife_from_plane(at))
    };
    let clicked = background.clicked_by(PointerButton::Primary);
    let hovered = spot.or_else(|| {
        let pick = pick_at(cx, pos?)?;
        Some((pick, clicked))
    });
    cx.ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
    for pick in cx.tools.measuring.picks.clone() {
        mark(cx, pick);
    }
    let tool = &cx.tools.measuring;
    let foot = cx.knife_view.view.rect.left_bottom() + vec2(14.0, -12.0);
    let hint = format!("{}\nEscape: one back, then stop.", tool.kind.hint(tool.picks.len()));
    cx.tag(foot, Align2::LEFT_BOTTOM, &hint);
    let Some((pick, chosen)) = hovered else { return };
    mark(cx, pick);
    if let Some(dimension) = cx.tools.measuring.with(pick) {
        show(cx, &dimension, &Ink::solid(cx.context.palette.grip_chosen, 1.3));
    }
    if chosen && !cx.pointer.panning {
        cx.tools.measuring.pick(pick);
        cx.ui.ctx().request_repaint();
    }
}

/// Nodes and holes, to be picked by the pointer, the keyboard or by name; the one that is pointed
/// at, and whether it was chosen.
fn spots(cx: &CanvasContext<'_>) -> Option<(Pick, bool)> {
    let (ui, knife) = (cx.ui, cx.context.knife);
    let wanted = cx.tools.measuring.wanted();
    let mut found = None;
    let seen = cx.knife_view.view.rect.expand(handles::REACH);
    let nodes = knife.profile.nodes.iter().filter(|_| wanted != Wanted::Edge);
    for node in nodes {
        let at = cx.knife_view.ui_from_knife(node.at);
        if !seen.contains(at) {
            continue;
        }
        let name = format!("Node {}", node.id.0);
        let id = Id::unique(("measured node", node.id));
        let response = handles::spot(ui, id, at, handles::REACH, &name, false);
        let shape = if node.kind.is_smooth() { HandleShape::Smooth } else { HandleShape::Corner };
        handles::paint(ui, at, shape, &response, false, cx.context.palette);
        if response.hovered() || response.clicked() || response.has_focus() {
            found = Some((Pick::Point(Anchor::Node(node.id)), response.clicked()));
        }
    }
    for (i, hole) in knife.holes.iter().enumerate() {
        if matches!(wanted, Wanted::OnOutline) {
            break;
        }
        let at = cx.knife_view.ui_from_knife(hole.at);
        let reach = cx.knife_view.view.points(hole.diameter_mm / 2.0).max(handles::REACH);
        let id = Id::unique(("measured hole", hole.id));
        let response = handles::spot(ui, id, at, reach, &format!("Hole {}", i + 1), false);
        if response.hovered() || response.clicked() || response.has_focus() {
            let pick = if wanted == Wanted::Edge {
                Pick::Edge(Boundary::Hole(hole.id))
            } else {
                Pick::Point(Anchor::Hole(hole.id))
            };
            found = Some((pick, response.clicked()));
        }
    }
    found
}

/// What a place of the knife would pick: the outline where it is near, else the place itself
/// where a mere place will do.
fn pick_at(cx: &CanvasContext<'_>, at: Point) -> Option<Pick> {
    let wanted = cx.tools.measuring.wanted();
    let outline = cx.context.reckoning().outline.as_ref();
    let near = outline.map(|outline| outline.nearest(at));
    let near = near.filter(|near| near.distance_mm <= cx.knife_view.mm(REACH));
    let on = near.and_then(|near| {
        let stretch = cx.context.knife.profile.nodes.get(near.segment)?.id;
        Some((stretch, near.t))
    });
    match (wanted, on) {
        (Wanted::Edge, Some((stretch, _))) => Some(Pick::Edge(Boundary::Stretch(stretch))),
        (Wanted::Edge, None) => None,
        (_, Some((stretch, t))) => Some(Pick::Point(Anchor::Outline { stretch, t })),
        (Wanted::Point, None) => Some(Pick::Point(Anchor::Place(at))),
        (Wanted::OnOutline | Wanted::Round, None) => None,
    }
}

/// Shows what was picked.
fn mark(cx: &CanvasContext<'_>, pick: Pick) {
    let knife = cx.context.knife;
    let outline = cx.context.reckoning().outline.as_ref();
    let colour = cx.context.palette.grip_chosen;
    let place = match pick {
        Pick::Point(Anchor::Place(at)) => Some(at),
        Pick::Point(Anchor::Node(id)) => knife.profile.node(id).map(|node| node.at),
        Pick::Point(Anchor::Hole(id)) | Pick::Edge(Boundary::Hole(id)) => {
            knife.hole(id).map(|hole| hole.at)
        }
        Pick::Point(Anchor::Outline { stretch, t }) => knife
            .profile
            .index_of(stretch)
            .zip(outline)
            .map(|(segment, outline)| outline.point_at(segment, t)),
        Pick::Edge(Boundary::Stretch(id)) => {
            if let Some((i, outline)) = knife.profile.index_of(id).zip(outline)
                && let Some(seg) = outline.segs().get(i)
            {
                let path = kurbo::BezPath::from_path_segments([*seg].into_iter());
                let path = cx.knife_view.plane_from_knife * path;
                let ink = Ink::solid(colour, 3.0);
                paint::path_line(cx.ui.painter(), &cx.knife_view.view, &path, &ink);
            }
            None
        }
    };
    if let Some(place) = place {
        let at = cx.knife_view.ui_from_knife(place);
        cx.ui.painter().circle_stroke(at, 6.0, Stroke::new(1.6, colour));
    }
}
