//! Profile: the outline's nodes and handles.

use super::readings::readings;
use super::{at, button, grid, heading, quiet};
use crate::canvas::{self, Hands, Read, Sight, handles, hover};
use crate::command::{Command, Commands, Wish};
use crate::session::Session;
use egui::{Id, Stroke, Ui};
use knife::PartId;
use knife::{Edit, HandleSide, Node};
use kurbo::Vec2;

pub(super) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let p = read.palette;
    if crate::draw::card::ui(ui, read, session, out) {
        return bare(ui, read, session, out);
    }
    chosen(ui, read, session, out);
    heading(ui, "Whole blank", p);
    if let Some(name) =
        session.drafts.words(ui, p, ("Name", "Printed on every sheet."), &read.knife.name)
    {
        out.edit(Edit::Rename(name));
    }
    if let Some(profile) = &read.derived.reckoning.profile {
        let field = (
            "Scale to length",
            "Scales the outline and the places on it; drills stay as they are.",
        );
        if let Some(mm) = session.drafts.length(ui, p, field, profile.length_mm, read.knife.unit) {
            out.edit(Edit::ScaleToLength(mm));
        }
        let field = ("Rotate by", "About the middle of its box, counter-clockwise.");
        if let Some(deg) = session.drafts.angle(ui, p, field, None) {
            out.edit(Edit::Turn(deg));
        }
    }
    ui.horizontal_wrapped(|ui| {
        let has = read.derived.reckoning.outline.is_some();
        button(ui, Command::MirrorAcross, has, out);
        button(ui, Command::MirrorAlong, has, out);
    });
    grid(ui, read, session, out);
    readings(
        ui,
        read,
        |title| title == "Profile",
        &["Second moment about x", "Second moment about y"],
    );
}

/// What can be said of a blank that has no outline yet.
fn bare(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    heading(ui, "Whole blank", read.palette);
    let field = ("Name", "Printed on every sheet.");
    if let Some(name) = session.drafts.words(ui, read.palette, field, &read.knife.name) {
        out.edit(Edit::Rename(name));
    }
    grid(ui, read, session, out);
}

/// What can be done with the chosen nodes or stretches.
fn chosen(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let p = read.palette;
    let (nodes, stretches) = (session.nodes(), session.stretches());
    match (nodes.as_slice(), stretches.as_slice()) {
        ([], []) => {
            heading(ui, "Nothing selected", p);
            quiet(
                ui,
                "Drag a node or the end of a handle. Double-click the outline to add a node. \
                 Click a segment to straighten or curve it.",
                p,
            );
            return;
        }
        ([], [one]) => heading(ui, &format!("Segment from node {}", one.0), p),
        ([], many) => heading(ui, &format!("{} segments", many.len()), p),
        ([one], _) => heading(ui, &format!("Node {}", one.0), p),
        (many, _) => heading(ui, &format!("{} nodes", many.len()), p),
    }
    if let [id] = nodes[..]
        && let Some(node) = read.knife.profile.node(id)
    {
        place(ui, read, node, session, out);
    }
    ui.horizontal_wrapped(|ui| {
        if !nodes.is_empty() {
            let smooth =
                |id: &knife::NodeId| read.knife.profile.node(*id).is_some_and(|n| n.smooth);
            button(ui, Command::Corner, nodes.iter().any(smooth), out);
            button(ui, Command::Smooth, !nodes.iter().all(smooth), out);
            button(ui, Command::MarkTip, nodes.len() == 1, out);
            button(ui, Command::MarkHeel, nodes.len() == 1, out);
            button(ui, Command::Delete, true, out);
        } else {
            button(ui, Command::Straighten, true, out);
            button(ui, Command::Bend, true, out);
        }
    });
    if let ([], [stretch]) = (nodes.as_slice(), stretches.as_slice()) {
        notches(ui, read, *stretch, session, out);
    }
    if let [id] = nodes[..] {
        let field = ("Round to radius", "Puts a true arc of this radius in place of the corner.");
        if let Some(radius_mm) = session.drafts.new_length(ui, p, field, read.knife.unit) {
            out.edit(Edit::RoundCorner { node: id, radius_mm });
        }
    }
}

/// Notches of a typed diameter where the stretch was clicked.
fn notches(
    ui: &mut Ui,
    read: &Read<'_>,
    stretch: knife::NodeId,
    session: &mut Session,
    out: &mut Commands,
) {
    let t = session.on_line.filter(|(on, _)| *on == stretch).map_or(0.5, |(_, t)| t);
    let kinds = [
        ("Sharpening choil", "Diameter. Half of it deep, where the segment was clicked.", 0.5, 0.0),
        ("Finger groove", "Diameter. A third of it deep, its lips rounded.", 1.0 / 3.0, 0.12),
    ];
    for (name, about, deep, lips) in kinds {
        let unit = read.knife.unit;
        let typed = session.drafts.new_length(ui, read.palette, (name, about), unit);
        if let Some(diameter_mm) = typed {
            out.edit(Edit::InsertNotch {
                stretch,
                t: t.clamp(0.001, 0.999),
                diameter_mm,
                depth_mm: diameter_mm * deep,
                lip_radius_mm: diameter_mm * lips,
            });
        }
    }
}

/// The place of a node, typed.
fn place(ui: &mut Ui, read: &Read<'_>, node: &Node, session: &mut Session, out: &mut Commands) {
    let p = read.palette;
    if let Some(to) = at(ui, read, session, "Node", node.at) {
        out.edit(Edit::PlaceNode { node: node.id, to });
    }
    if node.at == read.origin.at {
        quiet(ui, "Coordinates count from here: type how far it is to be moved.", p);
    }
    let profile = &read.knife.profile;
    if profile.tip == Some(node.id) {
        quiet(ui, "This is the tip.", p);
    }
    if profile.heel == Some(node.id) {
        quiet(ui, "This is the heel: the edge ends here.", p);
    }
}

pub(super) fn on_canvas(hands: &mut Hands<'_>) {
    let (ui, read, sight) = (hands.ui, hands.read, hands.sight);
    if crate::draw::is_drawing(hands.session, read.knife) {
        return crate::draw::hand::on_canvas(hands);
    }
    on_outline(hands);
    choose_stretch(hands);
    stretches(ui, read, sight, hands.session);
    if let Some(band) = canvas::band(ui, hands.ground, &sight.view, hands.session, read.palette) {
        let more = ui.input(|input| input.modifiers.shift);
        if !more {
            hands.session.selection.clear();
        }
        for node in &read.knife.profile.nodes {
            if band.contains(sight.ui_from_knife(node.at)) {
                hands.session.selection.insert(PartId::Node(node.id));
            }
        }
    }
    let seen = sight.view.rect.expand(handles::REACH);
    for i in 0..read.knife.profile.nodes.len() {
        if shows_handles(read, hands.session, i) {
            node_handles(hands, i);
        }
    }
    for node in &read.knife.profile.nodes {
        if seen.contains(sight.ui_from_knife(node.at)) {
            one_node(hands, node);
        }
    }
    if hands.session.draw.just_closed {
        crate::draw::hand::marks(hands);
    }
    nudged(ui, read, hands.session, hands.out);
}

/// Figures under the pointer, and a double click that adds a node there.
fn on_outline(hands: &mut Hands<'_>) {
    let (ui, read, sight) = (hands.ui, hands.read, hands.sight);
    if hands.session.grip.is_some() || hands.session.band.is_some() {
        return;
    }
    let Some(found) = hover::show(ui, read, sight, hands.session) else { return };
    if hands.ground.double_clicked()
        && let Some(node) = read.knife.profile.nodes.get(found.segment)
    {
        hands.out.edit(Edit::AddNode { stretch: node.id, t: found.t.clamp(0.001, 0.999) });
    }
}

/// A click on the outline chooses the stretch under it.
fn choose_stretch(hands: &mut Hands<'_>) {
    let (ui, read, sight) = (hands.ui, hands.read, hands.sight);
    if !hands.ground.clicked() {
        return;
    }
    let Some(pos) = hands.ground.interact_pointer_pos() else { return };
    let more = ui.input(|input| input.modifiers.shift);
    let near = read
        .derived
        .reckoning
        .outline
        .as_ref()
        .map(|outline| outline.nearest(sight.knife_from_ui(pos)))
        .filter(|found| found.distance_mm <= sight.mm(8.0));
    let nodes = &read.knife.profile.nodes;
    match near.and_then(|found| Some((nodes.get(found.segment)?, found.t))) {
        Some((node, t)) => {
            hands.session.choose(PartId::Stretch(node.id), more);
            hands.session.on_line = Some((node.id, t));
        }
        None if !more => hands.session.selection.clear(),
        None => {}
    }
}

/// The chosen stretches, drawn over the cut line.
fn stretches(ui: &Ui, read: &Read<'_>, sight: &Sight, session: &Session) {
    let Some(outline) = &read.derived.reckoning.outline else { return };
    let ink =
        crate::theme::Ink { colour: read.palette.grip_chosen, width: 3.2, dashes: Vec::new() };
    for id in session.stretches() {
        let Some(seg) = read.knife.profile.index_of(id).and_then(|i| outline.segs().get(i)) else {
            continue;
        };
        let path = sight.plane_from_knife * kurbo::BezPath::from_path_segments([*seg].into_iter());
        canvas::paint::path_line(ui.painter(), &sight.view, &path, &ink);
    }
}

/// The handles of chosen nodes show, and those of the stretches beside them.
fn shows_handles(read: &Read<'_>, session: &Session, i: usize) -> bool {
    let nodes = &read.knife.profile.nodes;
    let n = nodes.len();
    let is = |i: usize| session.selection.contains(&PartId::Node(nodes[i % n].id));
    let stretch = |i: usize| session.selection.contains(&PartId::Stretch(nodes[i % n].id));
    is(i) || is(i + 1) || is(i + n - 1) || stretch(i) || stretch(i + n - 1)
}

fn node_handles(hands: &mut Hands<'_>, i: usize) {
    let (ui, read, sight) = (hands.ui, hands.read, hands.sight);
    let node = &read.knife.profile.nodes[i];
    let from = sight.ui_from_knife(node.at);
    for (side, end, word) in
        [(HandleSide::In, node.handle_in, "in to"), (HandleSide::Out, node.handle_out, "out of")]
    {
        let Some(end) = end else { continue };
        let at = sight.ui_from_knife(end);
        let name = format!("Handle {word} node {}", node.id.0);
        let id = Id::unique(("handle", node.id, word));
        let response = handles::spot(ui, id, at, handles::REACH, &name, false);
        if let Some((begun, by)) = handles::dragged(&response, end, sight, hands.session, hands.out)
        {
            hands.out.preview(vec![Edit::MoveHandle { node: node.id, side, to: begun + by }]);
        }
        if response.has_focus()
            && let Some(by) = canvas::nudge(ui, read.knife.unit)
        {
            hands.out.edit(Edit::MoveHandle { node: node.id, side, to: end + by });
        }
        let line = Stroke::new(1.2, read.palette.grip.gamma_multiply(0.85));
        ui.painter().line_segment([from, at], Stroke::new(3.0, read.palette.halo));
        ui.painter().line_segment([from, at], line);
        handles::paint(ui, at, handles::Look::Tip, &response, false, read.palette);
        if response.dragged() {
            let way = end - node.at;
            let words = format!(
                "{} at {}",
                hover::length(way.hypot(), read.knife.unit),
                units::show_angle(way.angle().to_degrees(), 1)
            );
            hover::tag(
                ui,
                at + egui::vec2(14.0, -12.0),
                egui::Align2::LEFT_BOTTOM,
                &words,
                read.palette,
            );
        }
    }
}

fn one_node(hands: &mut Hands<'_>, node: &Node) {
    let (ui, read, sight) = (hands.ui, hands.read, hands.sight);
    let part = PartId::Node(node.id);
    let at = sight.ui_from_knife(node.at);
    let profile = &read.knife.profile;
    let mut name = format!("Node {}", node.id.0);
    if profile.tip == Some(node.id) {
        name.push_str(", tip");
    }
    if profile.heel == Some(node.id) {
        name.push_str(", heel");
    }
    let is = hands.session.selection.contains(&part);
    let response = handles::spot(ui, Id::unique(("node", node.id)), at, handles::REACH, &name, is);
    handles::choose(ui, &response, part, hands.session);
    if let Some((begun, by)) = handles::dragged(&response, node.at, sight, hands.session, hands.out)
    {
        let mut nodes = hands.session.nodes();
        if !nodes.contains(&node.id) {
            nodes = vec![node.id];
        }
        let moving: Vec<PartId> = nodes.iter().map(|id| PartId::Node(*id)).collect();
        let to = canvas::caught(ui, read, sight, &moving, begun + straightened(ui, by));
        let by = straightened(ui, to - begun);
        hands.out.preview(vec![Edit::MoveNodes { nodes, by }]);
    }
    let look = if node.smooth { handles::Look::Smooth } else { handles::Look::Corner };
    handles::paint(ui, at, look, &response, is, read.palette);
    if response.dragged() || response.hovered() {
        tell(ui, read, node, &name, at);
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

fn tell(ui: &Ui, read: &Read<'_>, node: &Node, name: &str, at: egui::Pos2) {
    let unit = read.knife.unit;
    let mut lines = vec![
        name.to_owned(),
        format!("x {}", hover::length(read.origin.to_local_x(node.at.x), unit)),
        format!("y {}", hover::length(read.origin.to_local_y(node.at.y), unit)),
    ];
    if let Some(profile) = &read.derived.reckoning.profile {
        lines.push(format!("overall {}", hover::length(profile.length_mm, unit)));
    }
    let place = at + egui::vec2(16.0, -16.0);
    hover::tag(ui, place, egui::Align2::LEFT_BOTTOM, &lines.join("\n"), read.palette);
}

fn nudged(ui: &Ui, read: &Read<'_>, session: &Session, out: &mut Commands) {
    let nodes = session.nodes();
    if nodes.is_empty() || session.grip.is_some() {
        return;
    }
    if let Some(by) = canvas::nudge(ui, read.knife.unit) {
        out.push(Wish::Edit(vec![Edit::MoveNodes { nodes, by }]));
    }
}
