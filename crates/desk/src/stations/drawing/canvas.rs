//! The drawing on the canvas: clicks, keys, the live curve and its figures.

use crate::action::{Action, ActionQueue};
use crate::canvas::handles::{self, HandleShape};
use crate::canvas::{hover, paint};
use crate::command::Command;
use crate::context::CanvasContext;
use crate::state::{DrawTool, Pen};
use crate::theme::Ink;
use egui::{Align2, CursorIcon, Id, Key, Modifiers, PointerButton, Response, Ui, vec2};
use knife::Edit;
use kurbo::{BezPath, Line, PathSeg, Point};
use outline::{Knot, Run, arcs_split, closed_curve_through, curve_through};

/// What the pointer and the keys do while an outline is drawn.
pub(crate) const POINTER: &[(&str, &str)] = &[
    ("Click", "Add a point; the curve runs smoothly through"),
    ("Shift + click", "Add a corner; on a point: make it a corner, or smooth again"),
    ("Ctrl while clicking", "Freely, without snapping"),
    ("Drag a point", "Move it"),
    ("L", "The next run is a straight line, or a curve again"),
    ("A", "The next run is an arc: click a point on it, then its end"),
    ("H", "Draw by hand: press and draw; H again goes back to points"),
    ("C, S", "Make the last point a corner, or smooth"),
    ("Backspace", "Remove the last point"),
    ("Enter, or click the first point", "Close the outline"),
    ("Escape", "Discard the drawing"),
];

/// Takes the keys that mean something while an outline is drawn; whether one was pressed.
pub(crate) fn keys(ui: &Ui, tool: &mut DrawTool, actions: &mut ActionQueue) -> bool {
    let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    if pressed(Key::Escape) {
        if let Some((at, start)) = tool.dragged.take() {
            tool.move_to(at, start);
            ui.ctx().stop_dragging();
        } else {
            if tool.has_points() {
                let message = "The drawing is discarded. O begins another";
                actions.push(Action::Toast(message.to_owned()));
            }
            tool.discard();
        }
        return true;
    }
    let focused = ui.memory(|memory| memory.focused());
    let elsewhere = focused.is_some_and(|id| !tool.focusable.contains(&id));
    let last = tool.knots.len().wrapping_sub(1);
    if !elsewhere && pressed(Key::Enter) {
        actions.run(Command::CloseOutline);
    } else if pressed(Key::Backspace) || pressed(Key::Delete) {
        tool.remove_last();
    } else if pressed(Key::L) {
        toggle(tool, Pen::Straight);
    } else if pressed(Key::A) {
        toggle(tool, Pen::Arc);
    } else if pressed(Key::H) {
        toggle(tool, Pen::Hand);
    } else if pressed(Key::C) {
        tool.set_corner(last, true);
    } else if pressed(Key::S) {
        tool.set_corner(last, false);
    } else {
        return false;
    }
    true
}

/// Takes a pen, or goes back to the curve.
fn toggle(tool: &mut DrawTool, pen: Pen) {
    tool.set_pen(if tool.pen() == pen { Pen::Curve } else { pen });
}

/// The points so far, the curve through them and on to the pointer, and what the pointer does.
pub(crate) fn on_canvas(cx: &mut CanvasContext<'_>) {
    let points = points(cx);
    let first = points.first().filter(|_| cx.drawing.can_close());
    let by_clicks = cx.drawing.pen() != Pen::Hand;
    let closes = by_clicks && first.is_some_and(|first| first.hovered() || first.has_focus());
    let next = if by_clicks { next(cx) } else { by_hand(cx) };
    lines(cx, next, closes);
    let palette = cx.context.palette;
    for (knot, response) in cx.drawing.knots.iter().zip(&points) {
        let at = cx.knife_view.ui_from_knife(knot.at);
        let shape = if knot.corner { HandleShape::Corner } else { HandleShape::Smooth };
        handles::paint(cx.ui, at, shape, response, false, palette);
    }
    if let Some(first) = points.first().filter(|_| cx.drawing.can_close()) {
        let radius = if closes { 11.0 } else { 8.5 };
        let at = first.rect.center();
        handles::ring(cx.ui, at, radius + 1.5, palette.steel_low);
        handles::ring(cx.ui, at, radius, palette.grip_chosen);
    }
    tags(cx, next, closes);
    let focusable = points.iter().map(|point| point.id).chain([cx.background.id]);
    cx.drawing.focusable = focusable.collect();
}

/// What a point is called.
fn name(number: usize, knot: &Knot) -> String {
    let corner = if knot.corner { ", corner" } else { "" };
    format!("Point {number}{corner}")
}

/// The points, to be dragged, nudged and clicked.
fn points(cx: &mut CanvasContext<'_>) -> Vec<Response> {
    let mut all = Vec::with_capacity(cx.drawing.knots.len());
    for i in 0..cx.drawing.knots.len() {
        let knot = cx.drawing.knots[i];
        let at = cx.knife_view.ui_from_knife(knot.at);
        let id = Id::unique(("drawn point", i));
        if cx.drawing.pen() == Pen::Hand {
            // A stroke may begin and end on a point.
            let rect = egui::Rect::from_center_size(at, vec2(2.0, 2.0) * handles::REACH);
            all.push(cx.ui.interact(rect, id, egui::Sense::hover()));
            continue;
        }
        let response = handles::spot(cx.ui, id, at, handles::REACH, &name(i + 1, &knot), false);
        let closes = i == 0 && cx.drawing.can_close();
        if response.clicked() && closes {
            if cx.extends() {
                cx.drawing.set_corner(0, true);
            }
            cx.actions.run(Command::CloseOutline);
        } else if response.clicked() && cx.extends() {
            cx.drawing.set_corner(i, !knot.corner);
        }
        drag(cx, &response, i);
        if response.has_focus()
            && let Some(by) = cx.nudge()
        {
            cx.drawing.move_to(i, knot.at + by);
        }
        all.push(if closes {
            response.on_hover_cursor(CursorIcon::PointingHand)
        } else {
            response
        });
    }
    all
}

/// Follows a drag of one point.
fn drag(cx: &mut CanvasContext<'_>, response: &Response, i: usize) {
    if response.drag_started_by(PointerButton::Primary) {
        cx.drawing.dragged = Some((i, cx.drawing.knots[i].at));
    }
    let Some((_, start)) = cx.drawing.dragged.filter(|(dragged, _)| *dragged == i) else { return };
    if response.drag_stopped() {
        cx.drawing.dragged = None;
    } else if let Some(by) = response.total_drag_delta().filter(|_| response.dragged()) {
        let wanted = start + cx.knife_view.knife_from_ui_vec(by);
        let to = cx.snap_drawn(others(cx.drawing, Some(i)), wanted);
        cx.drawing.move_to(i, to);
    }
}

/// The points but one, each with its number.
fn others(tool: &DrawTool, but: Option<usize>) -> impl Iterator<Item = (usize, Point)> {
    let all = tool.knots.iter().enumerate();
    all.filter(move |(i, _)| Some(*i) != but).map(|(i, knot)| (i + 1, knot.at))
}

/// A stroke drawn by hand while the pointer is held; where it is let go near the first point the
/// outline is closed.
fn by_hand(cx: &mut CanvasContext<'_>) -> Option<Knot> {
    let background = cx.background;
    cx.ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
    if cx.pointer.panning || cx.drawing.dragged.is_some() {
        return None;
    }
    let view = cx.knife_view;
    let place = |pos| view.knife_from_ui(pos);
    let near = |at: Point, knot: Option<&Knot>| {
        knot.map(|knot| knot.at).filter(|to| to.distance(at) <= view.mm(STROKE_JOINS))
    };
    if background.drag_started_by(PointerButton::Primary) {
        let origin = cx.ui.input(|input| input.pointer.press_origin()).map(place);
        let joined = origin.map(|at| near(at, cx.drawing.knots.last()).unwrap_or(at));
        cx.drawing.stroke = joined.into_iter().collect();
    }
    if let Some(at) = background.interact_pointer_pos().map(place)
        && !cx.drawing.stroke.is_empty()
    {
        cx.drawing.stroke.push(at);
    }
    if background.drag_stopped() && !cx.drawing.stroke.is_empty() {
        let end = cx.drawing.stroke.last().copied();
        let home = end.and_then(|end| near(end, cx.drawing.knots.first()));
        let added = cx.drawing.add_stroke(view.mm(STROKE_TOLERANCE));
        if added && home.is_some() && cx.drawing.can_close() {
            cx.actions.run(Command::CloseOutline);
        }
        cx.ui.ctx().request_repaint();
    }
    let line: Vec<_> = cx.drawing.stroke.iter().map(|at| view.ui_from_knife(*at)).collect();
    if line.len() > 1 {
        let ink = egui::Stroke::new(2.0, cx.context.palette.grip_chosen);
        cx.ui.painter().add(egui::Shape::line(line, ink));
    }
    None
}

/// A stroke that begins or ends so near to a point joins it, points of the screen.
const STROKE_JOINS: f64 = 12.0;
/// A stroke is followed within this, points of the screen: the shake of a hand is not.
const STROKE_TOLERANCE: f64 = 2.5;

/// Where a click would put the next point; puts it when there is one.
fn next(cx: &mut CanvasContext<'_>) -> Option<Knot> {
    let background = cx.background;
    if background.drag_started_by(PointerButton::Primary) && !cx.pointer.panning {
        cx.drawing.pressed = true;
    }
    // A press that is let go somewhere else is a click there: the curve follows until then.
    let pulled = background.drag_stopped() && std::mem::take(&mut cx.drawing.pressed);
    if cx.pointer.panning || cx.drawing.dragged.is_some() {
        return None;
    }
    let clicked = pulled || background.clicked_by(PointerButton::Primary);
    let at = if clicked || background.dragged_by(PointerButton::Primary) {
        background.interact_pointer_pos().map(|pos| cx.knife_view.view.mm_from_ui(pos))
    } else {
        cx.pointer.position
    };
    let wanted = cx.knife_view.knife_from_plane(at?);
    let at = cx.snap_drawn(others(cx.drawing, None), wanted);
    let corner = cx.extends();
    cx.ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
    if clicked {
        cx.drawing.add(at, corner);
        cx.ui.ctx().request_repaint();
        return None;
    }
    Some(Knot { corner, ..Knot::smooth(at) })
}

/// The curve so far and on to the pointer; or closed, when that is what a click would do.
fn lines(cx: &CanvasContext<'_>, next: Option<Knot>, closes: bool) {
    let CanvasContext { ui, context, knife_view, drawing, .. } = cx;
    let (p, view, painter) = (context.palette, &knife_view.view, ui.painter());
    let path = |segs: &[PathSeg]| {
        knife_view.plane_from_knife * BezPath::from_path_segments(segs.iter().copied())
    };
    let scribed = p.on_steel(marks::Pen::Cut);
    let halo = Ink::solid(p.halo, 5.0);
    let drawn = &drawing.knots;
    if closes {
        let whole = path(&closed_curve_through(&arcs_split(drawn, true)));
        painter.extend(paint::filled(
            view,
            &whole,
            p.blank,
            p.blank.lerp_to_gamma(p.steel_low, 0.25),
        ));
        paint::path_line(painter, view, &whole, &halo);
        paint::path_line(painter, view, &whole, &scribed);
        return;
    }
    let mut knots: Vec<Knot> = drawn.iter().copied().chain(next).collect();
    if let (Some(next), Some(last)) = (next, drawn.len().checked_sub(1)) {
        match (drawing.pen(), drawing.through) {
            (Pen::Arc, Some(through)) => knots[last].run = drawing.arc_to(through, next.at),
            (Pen::Arc, None) => knots[last].run = Run::Straight,
            _ => {}
        }
    }
    let split = arcs_split(&knots, false);
    let segs = curve_through(&split);
    let begins = drawn.last().filter(|_| next.is_some()).map(|last| last.at);
    let begins = begins.and_then(|at| split.iter().rposition(|knot| knot.at == at));
    let (done, live) = segs.split_at(begins.unwrap_or(segs.len()).min(segs.len()));
    paint::path_line(painter, view, &path(&segs), &halo);
    if let (Some(first), Some(last)) = (knots.first(), knots.last())
        && knots.len() > 2
    {
        let pale =
            Ink { colour: p.scribed_soft.gamma_multiply(0.55), width: 1.0, dashes: vec![5.0, 5.0] };
        let home = PathSeg::Line(Line::new(last.at, first.at));
        paint::path_line(painter, view, &path(&[home]), &pale);
    }
    paint::path_line(painter, view, &path(done), &scribed);
    let ink = Ink { colour: p.grip_chosen, ..scribed };
    paint::path_line(painter, view, &path(live), &ink);
}

/// Figures at the pointer, and along the foot of the canvas what can be done next.
fn tags(cx: &CanvasContext<'_>, next: Option<Knot>, closes: bool) {
    let (context, tool) = (cx.context, &*cx.drawing);
    // First, so that other tags keep clear of it.
    let foot = cx.knife_view.view.rect.left_bottom() + vec2(14.0, -12.0);
    cx.tag(foot, Align2::LEFT_BOTTOM, hint(tool));
    let (at, away, lines) = if let Some((dragged, _)) = tool.dragged {
        let knot = &tool.knots[dragged];
        (knot.at, 16.0, vec![name(dragged + 1, knot), context.point(knot.at)])
    } else if closes {
        (tool.knots[0].at, 16.0, vec!["Close the outline here".to_owned()])
    } else if let Some(next) = next {
        let mut lines = vec![context.point(next.at)];
        if let Some(last) = tool.knots.last() {
            let run = next.at - last.at;
            let (length, number) = (context.short(run.hypot()), tool.knots.len());
            let angle = units::show_angle(run.angle().to_degrees(), 1);
            lines.push(format!("{length} at {angle} from point {number}"));
        }
        if tool.knots.len() > 1 {
            lines.push(format!("{} drawn", context.short(tool.length_mm())));
        }
        lines.extend(next.corner.then(|| "corner".to_owned()));
        (next.at, 18.0, lines)
    } else {
        return;
    };
    let at = cx.knife_view.ui_from_knife(at) + vec2(away, -away);
    cx.tag(at, Align2::LEFT_BOTTOM, &lines.join("\n"));
}

fn hint(tool: &DrawTool) -> &'static str {
    match (tool.pen(), tool.through) {
        (Pen::Hand, _) => return "Press and draw along the outline.   H: back to points.",
        (Pen::Arc, None) => return "Click a point on the arc.   A: a curve again.",
        (Pen::Arc, Some(_)) => return "Click where the arc ends.   Backspace: one back.",
        _ => {}
    }
    match (tool.knots.len(), tool.is_straight()) {
        (0, _) => "Click where the outline begins: at the tip, say.\nShift + click: a corner.",
        (_, true) => "Straight to the next point.   L: a curve again.",
        (1 | 2, _) => {
            "Click along spine and edge.   Shift + click: a corner.\n\
             L: straight to the next point.   Backspace: one back."
        }
        _ => {
            "Shift + click: a corner.   L: straight to the next point.   Backspace: one back.\n\
             Enter, or a click on the first point: close."
        }
    }
}

/// Where tip and heel were guessed, shown beside their nodes while they are offered; at every
/// other corner a click makes it the tip or the heel instead.
pub(crate) fn marks(cx: &mut CanvasContext<'_>) {
    let profile = &cx.context.knife.profile;
    for (mark, label) in [(profile.tip, "tip"), (profile.heel, "heel")] {
        let Some(node) = mark.and_then(|id| profile.node(id)) else { continue };
        let at = cx.knife_view.ui_from_knife(node.at);
        handles::ring(cx.ui, at, 10.0, cx.context.palette.grip_chosen);
        hover::tag(cx.ui, at + vec2(0.0, 16.0), Align2::CENTER_TOP, label, cx.context.palette);
    }
    let others = profile.nodes.iter().filter(|node| !node.kind.is_smooth());
    for node in others {
        let mut along = -22.0;
        for (mark, label) in [(profile.tip, "tip?"), (profile.heel, "heel?")] {
            if mark == Some(node.id) || [profile.tip, profile.heel].contains(&Some(node.id)) {
                continue;
            }
            let at = cx.knife_view.ui_from_knife(node.at) + vec2(along, 24.0);
            along += 44.0;
            let name = format!("Node {} is the {}", node.id.0, label.trim_end_matches('?'));
            let rect = egui::Rect::from_center_size(at, vec2(40.0, 20.0));
            let response = handles::area(cx.ui, Id::unique(&name), rect, &name, false);
            let p = cx.context.palette;
            let strong = response.hovered() || response.has_focus();
            let fill = if strong { p.grip_chosen } else { p.tag };
            let text = if strong { p.steel_low } else { p.tag_text };
            cx.ui.painter().rect_filled(rect, 5.0, fill);
            let font = crate::theme::figures(12.5);
            cx.ui.painter().text(at, Align2::CENTER_CENTER, label, font, text);
            if response.clicked() {
                let is_tip = label == "tip?";
                cx.actions.edit(if is_tip {
                    Edit::MarkTip(node.id)
                } else {
                    Edit::MarkHeel(node.id)
                });
            }
        }
    }
}
