//! Profile: the outline's nodes and handles.

use super::{drawing, editing, grid, picture};
use crate::action::Action;
use crate::canvas::handles::{self, HandleShape};
use crate::canvas::paint;
use crate::command::Command;
use crate::context::{CanvasContext, ViewContext};
use crate::state::{DrawTool, PictureState, Selection, Tools};
use crate::theme::Ink;
use crate::widgets::Form;
use egui::{Align2, Id, Pos2, Stroke, Ui, vec2};
use knife::{Edit, HandleSide, Node, NodeId, NodeKind, PartId};
use kurbo::{BezPath, Vec2};

pub(crate) fn card(
    form: &mut Form<'_>,
    selection: &Selection,
    tool: &mut DrawTool,
    under: &mut PictureState,
    tools: &mut Tools,
    radii: bool,
) {
    let context = form.context;
    let drawn = !drawing::card::ui(form, tool);
    if drawn {
        // What waits to be accepted stands first.
        let fairing = tools.fairing.active;
        if fairing {
            editing::fair::card(form, selection, &mut tools.fairing, radii);
        }
        selected(form, selection);
        editing::arrange::card(form, selection);
        if !fairing {
            editing::fair::card(form, selection, &mut tools.fairing, radii);
        }
    }
    form.heading("Whole blank");
    form.text(("Name", "Printed on every sheet."), &context.knife.name).edit(Edit::Rename);
    picture::traced_mark(form);
    if drawn {
        if let Some(profile) = &context.reckoning().profile {
            let tooltip = "Scales the outline and the places on it; drills stay as they are.";
            let caption = ("Scale to length", tooltip);
            form.length(caption, profile.length_mm).edit(Edit::ScaleToLength);
            let caption = ("Rotate by", "About the middle of its box, counter-clockwise.");
            form.angle(caption, None).edit(Edit::Turn);
        }
        let has_outline = context.reckoning().outline.is_some();
        form.wrapped(|form| {
            form.command(Command::FlipVertical, has_outline);
            form.command(Command::FlipHorizontal, has_outline);
        });
    }
    picture::card(form, under);
    grid::card(form);
    if drawn {
        form.readings("Profile", &["Second moment about x", "Second moment about y"]);
    }
}

/// What can be done with the selected nodes or segments.
fn selected(form: &mut Form<'_>, selection: &Selection) {
    let profile = &form.context.knife.profile;
    let (nodes, segments) = (selection.nodes(), selection.segments());
    match (nodes.as_slice(), segments.as_slice()) {
        ([], []) => {
            form.heading("Nothing selected");
            return form.note(
                "Drag a node, the end of a handle or the outline itself. Double-click the outline \
                 to add a node. Click a segment to straighten, curve or split it.",
            );
        }
        ([], [one]) => form.heading(&format!("Segment from node {}", one.0)),
        ([], many) => form.heading(&format!("{} segments", many.len())),
        ([one], _) => form.heading(&format!("Node {}", one.0)),
        (many, _) => form.heading(&format!("{} nodes", many.len())),
    }
    if let [id] = nodes[..]
        && let Some(node) = profile.node(id)
    {
        place(form, node);
    }
    form.wrapped(|form| {
        if nodes.is_empty() {
            form.command(Command::Straighten, true);
            form.command(Command::MakeCurved, true);
        } else {
            let smooth = |id: &NodeId| profile.node(*id).is_some_and(|node| node.kind.is_smooth());
            let is = |id: &NodeId, kind| profile.node(*id).is_some_and(|node| node.kind == kind);
            form.command(Command::MakeCorner, nodes.iter().any(smooth));
            form.command(Command::MakeSmooth, !nodes.iter().all(|id| is(id, NodeKind::Smooth)));
            let kind = NodeKind::Symmetric;
            form.command(Command::MakeSymmetric, !nodes.iter().all(|id| is(id, kind)));
            let kind = NodeKind::CurvatureContinuous;
            form.command(Command::MakeContinuous, !nodes.iter().all(|id| is(id, kind)));
            form.command(Command::MarkTip, nodes.len() == 1);
            form.command(Command::MarkHeel, nodes.len() == 1);
            form.command(Command::Delete, true);
        }
    });
    if let ([], [segment]) = (nodes.as_slice(), segments.as_slice()) {
        let clicked = selection.on_outline.filter(|(on, _)| on == segment);
        notches(form, *segment, clicked.map_or(0.5, |(_, t)| t));
        editing::segment::card(form, *segment);
    }
    if let [node] = nodes[..] {
        let caption = ("Round to radius", "Puts a true arc of this radius in place of the corner.");
        form.length(caption, None).edit(|radius_mm| Edit::RoundCorner { node, radius_mm });
    }
}

/// Notches of a typed diameter where the segment was clicked.
fn notches(form: &mut Form<'_>, stretch: NodeId, t: f64) {
    let kinds = [
        (
            "Sharpening choil",
            "Its diameter; it is cut half as deep, where the segment was clicked.",
            0.5,
            0.0,
        ),
        (
            "Finger groove",
            "Its diameter; it is cut a third as deep, with rounded lips.",
            1.0 / 3.0,
            0.12,
        ),
    ];
    for (label, tooltip, deep, lips) in kinds {
        form.length((label, tooltip), None).edit(|diameter_mm| Edit::InsertNotch {
            stretch,
            t: t.clamp(0.001, 0.999),
            diameter_mm,
            depth_mm: diameter_mm * deep,
            lip_radius_mm: diameter_mm * lips,
        });
    }
}

/// The place of a node, typed.
fn place(form: &mut Form<'_>, node: &Node) {
    let context = form.context;
    form.point("Node", node.at).edit(|to| Edit::PlaceNode { node: node.id, to });
    if node.at == context.origin.at {
        form.note("Coordinates count from here: type how far it is to be moved.");
    }
    if context.knife.profile.tip == Some(node.id) {
        form.note("This is the tip.");
    }
    if context.knife.profile.heel == Some(node.id) {
        form.note("This is the heel: the edge ends here.");
    }
    let ends = [
        (HandleSide::In, "Handle in", node.handle_in),
        (HandleSide::Out, "Handle out", node.handle_out),
    ];
    let tooltip = "Where the ends of its handles are, counted from the origin.";
    if ends.iter().any(|(_, _, end)| end.is_some()) && form.section("Handles", tooltip, "") {
        for (side, label, end) in ends {
            if let Some(end) = end {
                let edit = |to| Edit::MoveHandle { node: node.id, side, to };
                form.point(label, end).edit(edit);
            }
        }
    }
}

pub(super) fn on_canvas(cx: &mut CanvasContext<'_>) {
    let (context, knife_view) = (cx.context, cx.knife_view);
    if cx.drawing.takes_canvas(context.knife) {
        return drawing::canvas::on_canvas(cx);
    }
    on_outline(cx);
    choose_segment(cx);
    segments(cx);
    editing::fair::on_canvas(cx);
    let nodes = &context.knife.profile.nodes;
    let pulled = editing::segment::pull(cx);
    let band = if pulled { None } else { cx.band() };
    if let Some(band) = band {
        if !cx.extends() {
            cx.selection.clear();
        }
        let inside = nodes.iter().filter(|n| band.contains(knife_view.ui_from_knife(n.at)));
        cx.selection.parts.extend(inside.map(|node| PartId::Node(node.id)));
    }
    for (i, node) in nodes.iter().enumerate() {
        if shows_handles(context, cx.selection, i) {
            node_handles(cx, node);
        }
    }
    let seen = knife_view.view.rect.expand(handles::REACH);
    for node in nodes.iter().filter(|n| seen.contains(knife_view.ui_from_knife(n.at))) {
        one_node(cx, node);
    }
    editing::frame::on_canvas(cx);
    if cx.drawing.just_closed {
        drawing::canvas::marks(cx);
    }
    nudged(cx);
}

/// Figures under the pointer, and a double click that adds a node there.
fn on_outline(cx: &mut CanvasContext<'_>) {
    if cx.pointer.is_dragging() || cx.pointer.band.is_some() {
        return;
    }
    let Some(found) = cx.show_figures() else { return };
    if cx.background.double_clicked()
        && let Some(node) = cx.context.knife.profile.nodes.get(found.segment)
    {
        cx.actions.edit(Edit::AddNode { stretch: node.id, t: found.t.clamp(0.001, 0.999) });
    }
}

/// A click on the outline selects the segment under it.
fn choose_segment(cx: &mut CanvasContext<'_>) {
    if !cx.background.clicked() {
        return;
    }
    let Some(pos) = cx.background.interact_pointer_pos() else { return };
    let extend = cx.extends();
    let outline = cx.context.reckoning().outline.as_ref();
    let near = outline
        .map(|outline| outline.nearest(cx.knife_view.knife_from_ui(pos)))
        .filter(|found| found.distance_mm <= cx.knife_view.mm(8.0));
    let nodes = &cx.context.knife.profile.nodes;
    match near.and_then(|found| Some((nodes.get(found.segment)?, found.t))) {
        Some((node, t)) => {
            cx.selection.choose(PartId::Stretch(node.id), extend);
            cx.selection.on_outline = Some((node.id, t));
        }
        None if !extend => cx.selection.clear(),
        None => {}
    }
}

/// The selected segments, drawn over the cut line.
fn segments(cx: &CanvasContext<'_>) {
    let Some(outline) = &cx.context.reckoning().outline else { return };
    let ink = Ink::solid(cx.context.palette.grip_chosen, 3.2);
    for id in cx.selection.segments() {
        let seg = cx.context.knife.profile.index_of(id).and_then(|i| outline.segs().get(i));
        let Some(seg) = seg else { continue };
        let path = BezPath::from_path_segments([*seg].into_iter());
        let path = cx.knife_view.plane_from_knife * path;
        paint::path_line(cx.ui.painter(), &cx.knife_view.view, &path, &ink);
    }
}

/// The handles of selected nodes show, and those of the segments beside them.
fn shows_handles(context: &ViewContext<'_>, selection: &Selection, i: usize) -> bool {
    let nodes = &context.knife.profile.nodes;
    let n = nodes.len();
    let is = |i: usize| selection.contains(PartId::Node(nodes[i % n].id));
    let segment = |i: usize| selection.contains(PartId::Stretch(nodes[i % n].id));
    is(i) || is(i + 1) || is(i + n - 1) || segment(i) || segment(i + n - 1)
}

fn node_handles(cx: &mut CanvasContext<'_>, node: &Node) {
    let (ui, context, knife_view) = (cx.ui, cx.context, cx.knife_view);
    let palette = context.palette;
    let from = knife_view.ui_from_knife(node.at);
    for (side, end, word) in
        [(HandleSide::In, node.handle_in, "in to"), (HandleSide::Out, node.handle_out, "out of")]
    {
        let Some(end) = end else { continue };
        let at = knife_view.ui_from_knife(end);
        let name = format!("Handle {word} node {}", node.id.0);
        let id = Id::unique(("handle", node.id, word));
        let response = handles::spot(ui, id, at, handles::REACH, &name, false);
        if let Some((start, by)) = cx.dragged(&response, end) {
            cx.actions.preview(vec![Edit::MoveHandle { node: node.id, side, to: start + by }]);
        }
        if response.has_focus()
            && let Some(by) = cx.nudge()
        {
            cx.actions.edit(Edit::MoveHandle { node: node.id, side, to: end + by });
        }
        let line = Stroke::new(1.2, palette.grip.gamma_multiply(0.85));
        ui.painter().line_segment([from, at], Stroke::new(3.0, palette.halo));
        ui.painter().line_segment([from, at], line);
        handles::paint(ui, at, HandleShape::Tip, &response, false, palette);
        if response.dragged() {
            let arm = end - node.at;
            let angle = units::show_angle(arm.angle().to_degrees(), 1);
            let text = format!("{} at {angle}", context.length(arm.hypot()));
            cx.tag(at + vec2(14.0, -12.0), Align2::LEFT_BOTTOM, &text);
        }
    }
}

fn one_node(cx: &mut CanvasContext<'_>, node: &Node) {
    let profile = &cx.context.knife.profile;
    let part = PartId::Node(node.id);
    let at = cx.knife_view.ui_from_knife(node.at);
    let mut name = format!("Node {}", node.id.0);
    if profile.tip == Some(node.id) {
        name.push_str(", tip");
    }
    if profile.heel == Some(node.id) {
        name.push_str(", heel");
    }
    let selected = cx.selection.contains(part);
    let id = Id::unique(("node", node.id));
    let response = handles::spot(cx.ui, id, at, handles::REACH, &name, selected);
    cx.choose(&response, part);
    if let Some((start, by)) = cx.dragged(&response, node.at) {
        let mut nodes = cx.selection.nodes();
        if !nodes.contains(&node.id) {
            nodes = vec![node.id];
        }
        let moving: Vec<PartId> = nodes.iter().map(|id| PartId::Node(*id)).collect();
        let to = cx.snap(&moving, start + straightened(cx.ui, by));
        let by = straightened(cx.ui, to - start);
        cx.actions.preview(vec![Edit::MoveNodes { nodes, by }]);
    }
    let shape = if node.kind.is_smooth() { HandleShape::Smooth } else { HandleShape::Corner };
    handles::paint(cx.ui, at, shape, &response, selected, cx.context.palette);
    kind_mark(cx, node, at);
    if response.dragged() || response.hovered() {
        tag_node(cx, node, name, at);
    }
}

/// What a smooth node keeps: a bar for handles of one length, a dot for a continuous curvature.
fn kind_mark(cx: &CanvasContext<'_>, node: &Node, at: Pos2) {
    let (painter, colour) = (cx.ui.painter(), cx.context.palette.steel_low);
    match node.kind {
        NodeKind::Symmetric => {
            painter
                .line_segment([at - vec2(2.6, 0.0), at + vec2(2.6, 0.0)], Stroke::new(1.6, colour));
        }
        NodeKind::CurvatureContinuous => {
            painter.circle_filled(at, 1.9, colour);
        }
        NodeKind::Corner | NodeKind::Smooth => {}
    }
}

/// A drag with Shift runs straight along or across the knife.
fn straightened(ui: &Ui, by: Vec2) -> Vec2 {
    if !ui.input(|input| input.modifiers.shift) {
        by
    } else if by.x.abs() >= by.y.abs() {
        Vec2::new(by.x, 0.0)
    } else {
        Vec2::new(0.0, by.y)
    }
}

fn tag_node(cx: &CanvasContext<'_>, node: &Node, name: String, at: Pos2) {
    let context = cx.context;
    let place = context.origin.to_local(node.at);
    let mut lines = vec![
        name,
        format!("x {}", context.length(place.x)),
        format!("y {}", context.length(place.y)),
    ];
    if let Some(profile) = &context.reckoning().profile {
        lines.push(format!("overall {}", context.length(profile.length_mm)));
    }
    cx.tag(at + vec2(16.0, -16.0), Align2::LEFT_BOTTOM, &lines.join("\n"));
}

fn nudged(cx: &mut CanvasContext<'_>) {
    let nodes = cx.selection.nodes();
    if nodes.is_empty() || cx.pointer.is_dragging() {
        return;
    }
    if let Some(by) = cx.nudge() {
        cx.actions.push(Action::Edit(vec![Edit::MoveNodes { nodes, by }]));
    }
}
