//! The drawing on the canvas: clicks, keys, the live curve and its figures.

use super::{DrawTool, is_drawing};
use crate::Session;
use crate::canvas::{self, Hands, Sight, handles, hover, paint};
use crate::command::{Command, Commands, Wish};
use crate::theme::Ink;
use egui::{Align2, CursorIcon, Id, Key, Modifiers, PointerButton, Response, Ui, vec2};
use knife::Knife;
use kurbo::{BezPath, PathSeg, Point};
use marks::Pen;
use outline::{Knot, closed_curve_through, curve_through};

/// What is told of the pointer while it draws.
pub(crate) const POINTER: &[(&str, &str)] = &[
    ("Click", "Add a point; the curve runs smoothly through"),
    ("Shift + click", "Add a corner; on a point: make it a corner, or smooth again"),
    ("Ctrl while clicking", "Freely, sticking to nothing"),
    ("Drag a point", "Move it"),
    ("L", "The next run is a straight line, or a curve again"),
    ("C, S", "Make the last point a corner, or smooth"),
    ("Backspace", "Take the last point back"),
    ("Enter, or click the first point", "Close the outline"),
    ("Escape", "Discard the drawing"),
];

/// Takes the keys that mean something while an outline is drawn; whether one was pressed.
pub(crate) fn keys(ui: &Ui, session: &mut Session, knife: &Knife, out: &mut Commands) -> bool {
    if !is_drawing(session, knife) || session.typing || ui.ctx().text_edit_focused() {
        return false;
    }
    let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    let draw = &mut session.draw;
    if pressed(Key::Escape) {
        match draw.held.take() {
            Some((at, stood)) => {
                draw.put(at, stood);
                ui.ctx().stop_dragging();
            }
            None => {
                if draw.has_points() {
                    out.push(Wish::Say("The drawing is discarded. O begins another".to_owned()));
                }
                draw.discard();
            }
        }
        return true;
    }
    let focused = ui.memory(|memory| memory.focused());
    let elsewhere = focused.is_some_and(|id| !draw.own.contains(&id));
    if !elsewhere && pressed(Key::Enter) {
        out.run(Command::CloseOutline);
    } else if pressed(Key::Backspace) || pressed(Key::Delete) {
        draw.take_back();
    } else if pressed(Key::L) {
        draw.set_straight(!draw.is_straight());
    } else if pressed(Key::C) {
        draw.set_corner(draw.knots.len().wrapping_sub(1), true);
    } else if pressed(Key::S) {
        draw.set_corner(draw.knots.len().wrapping_sub(1), false);
    } else {
        return false;
    }
    true
}

/// The points so far, the curve through them and on to the pointer, and what the pointer does.
pub(crate) fn on_canvas(hands: &mut Hands<'_>) {
    let points = points(hands);
    let closes = hands.session.draw.can_close()
        && points.first().is_some_and(|first| first.hovered() || first.has_focus());
    let next = next(hands);
    lines(hands, next, closes);
    let palette = hands.read.palette;
    for (knot, response) in hands.session.draw.knots.iter().zip(&points) {
        let at = hands.sight.ui_from_knife(knot.at);
        let look = if knot.corner { handles::Look::Corner } else { handles::Look::Smooth };
        handles::paint(hands.ui, at, look, response, false, palette);
    }
    if let Some(first) = points.first().filter(|_| hands.session.draw.can_close()) {
        let radius = if closes { 11.0 } else { 8.5 };
        let at = first.rect.center();
        handles::ring(hands.ui, at, radius + 1.5, palette.steel_low);
        handles::ring(hands.ui, at, radius, palette.grip_chosen);
    }
    told(hands, next, closes);
    let mut own: Vec<Id> = points.iter().map(|point| point.id).collect();
    own.push(hands.ground.id);
    hands.session.draw.own = own;
}

/// What a point is called.
fn name(number: usize, knot: &Knot) -> String {
    let corner = if knot.corner { ", corner" } else { "" };
    format!("Point {number}{corner}")
}

/// The points, to be dragged, nudged and clicked.
fn points(hands: &mut Hands<'_>) -> Vec<Response> {
    let Hands { ui, read, sight, session, out, .. } = hands;
    let shift = ui.input(|input| input.modifiers.shift);
    let mut all = Vec::with_capacity(session.draw.knots.len());
    for i in 0..session.draw.knots.len() {
        let knot = session.draw.knots[i];
        let at = sight.ui_from_knife(knot.at);
        let id = Id::unique(("drawn point", i));
        let response = handles::spot(ui, id, at, handles::REACH, &name(i + 1, &knot), false);
        let closes = i == 0 && session.draw.can_close();
        if response.clicked() && closes {
            if shift {
                session.draw.set_corner(0, true);
            }
            out.run(Command::CloseOutline);
        } else if response.clicked() && shift {
            session.draw.set_corner(i, !knot.corner);
        }
        drag(ui, &response, i, (*read, *sight), &mut session.draw);
        if response.has_focus()
            && let Some(by) = canvas::nudge(ui, read.knife.unit)
        {
            session.draw.put(i, knot.at + by);
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
fn drag(
    ui: &Ui,
    response: &Response,
    i: usize,
    (read, sight): (&canvas::Read<'_>, &Sight),
    draw: &mut DrawTool,
) {
    if response.drag_started_by(PointerButton::Primary) {
        draw.held = Some((i, draw.knots[i].at));
    }
    let Some((_, stood)) = draw.held.filter(|(held, _)| *held == i) else { return };
    if response.drag_stopped() {
        draw.held = None;
    } else if let Some(by) = response.total_drag_delta().filter(|_| response.dragged()) {
        let wanted = stood + sight.knife_from_ui_vec(by);
        let to = canvas::caught_drawn(ui, read, sight, others(draw, Some(i)), wanted);
        draw.put(i, to);
    }
}

/// The points but one, each with its number.
fn others(draw: &DrawTool, but: Option<usize>) -> impl Iterator<Item = (usize, Point)> {
    let all = draw.knots.iter().enumerate();
    all.filter(move |(i, _)| Some(*i) != but).map(|(i, knot)| (i + 1, knot.at))
}

/// Where a click would put the next point; puts it when there is one.
fn next(hands: &mut Hands<'_>) -> Option<Knot> {
    let Hands { ui, read, ground, sight, session, .. } = hands;
    if ground.drag_started_by(PointerButton::Primary) && !session.panning {
        session.draw.pressed = true;
    }
    // A press that is let go somewhere else is a click there: the curve follows until then.
    let pulled = ground.drag_stopped() && std::mem::take(&mut session.draw.pressed);
    if session.panning || session.draw.held.is_some() {
        return None;
    }
    let clicked = pulled || ground.clicked_by(PointerButton::Primary);
    let at = if clicked || ground.dragged_by(PointerButton::Primary) {
        ground.interact_pointer_pos().map(|pos| sight.view.mm_from_ui(pos))
    } else {
        session.pointer
    };
    let wanted = sight.plane_from_knife.inverse() * at?;
    let at = canvas::caught_drawn(ui, read, sight, others(&session.draw, None), wanted);
    let corner = ui.input(|input| input.modifiers.shift);
    ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
    if clicked {
        session.draw.add(at, corner);
        ui.ctx().request_repaint();
        return None;
    }
    Some(Knot { corner, ..Knot::smooth(at) })
}

/// The curve so far and on to the pointer; or closed, when that is what a click would do.
fn lines(hands: &Hands<'_>, next: Option<Knot>, closes: bool) {
    let Hands { ui, read, sight, session, .. } = hands;
    let (p, view, painter) = (read.palette, &sight.view, ui.painter());
    let path = |segs: &[PathSeg]| {
        sight.plane_from_knife * BezPath::from_path_segments(segs.iter().copied())
    };
    let scribed = p.on_steel(Pen::Cut);
    let halo = Ink { colour: p.halo, width: 5.0, dashes: Vec::new() };
    let drawn = &session.draw.knots;
    if closes {
        let whole = path(&closed_curve_through(drawn));
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
    let knots: Vec<Knot> = drawn.iter().copied().chain(next).collect();
    let segs = curve_through(&knots);
    let (done, live) = segs.split_at(segs.len() - usize::from(next.is_some() && !segs.is_empty()));
    paint::path_line(painter, view, &path(&segs), &halo);
    if let (Some(first), Some(last)) = (knots.first(), knots.last())
        && knots.len() > 2
    {
        let way =
            Ink { colour: p.scribed_soft.gamma_multiply(0.55), width: 1.0, dashes: vec![5.0, 5.0] };
        let home = PathSeg::Line(kurbo::Line::new(last.at, first.at));
        paint::path_line(painter, view, &path(&[home]), &way);
    }
    paint::path_line(painter, view, &path(done), &scribed);
    let ink = Ink { colour: p.grip_chosen, ..scribed };
    paint::path_line(painter, view, &path(live), &ink);
}

/// Figures at the pointer, and along the foot of the canvas what can be done next.
fn told(hands: &Hands<'_>, next: Option<Knot>, closes: bool) {
    let Hands { ui, read, sight, session, .. } = hands;
    let (p, draw, unit) = (read.palette, &session.draw, read.knife.unit);
    let length = |mm: f64| hover::short(mm, unit);
    // First, so that other tags keep clear of it.
    let foot = sight.view.rect.left_bottom() + vec2(14.0, -12.0);
    hover::tag(ui, foot, Align2::LEFT_BOTTOM, hint(draw), p);
    if let Some((held, _)) = draw.held {
        let at = draw.knots[held].at;
        let words = format!("{}\n{}", name(held + 1, &draw.knots[held]), hover::place(read, at));
        let place = sight.ui_from_knife(at) + vec2(16.0, -16.0);
        hover::tag(ui, place, Align2::LEFT_BOTTOM, &words, p);
    } else if closes {
        let place = sight.ui_from_knife(draw.knots[0].at) + vec2(16.0, -16.0);
        hover::tag(ui, place, Align2::LEFT_BOTTOM, "Close the outline here", p);
    } else if let Some(next) = next {
        let mut words = vec![hover::place(read, next.at)];
        if let Some(last) = draw.knots.last() {
            let way = next.at - last.at;
            let angle = units::show_angle(way.angle().to_degrees(), 1);
            words.push(format!(
                "{} at {angle} from point {}",
                length(way.hypot()),
                draw.knots.len()
            ));
        }
        if draw.knots.len() > 1 {
            words.push(format!("{} drawn", length(draw.length_mm())));
        }
        if next.corner {
            words.push("corner".to_owned());
        }
        let place = sight.ui_from_knife(next.at) + vec2(18.0, -18.0);
        hover::tag(ui, place, Align2::LEFT_BOTTOM, &words.join("\n"), p);
    }
}

fn hint(draw: &DrawTool) -> &'static str {
    match (draw.knots.len(), draw.is_straight()) {
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

/// Where tip and heel were guessed, told beside their nodes while they are offered.
pub(crate) fn marks(hands: &Hands<'_>) {
    let Hands { ui, read, sight, .. } = hands;
    let profile = &read.knife.profile;
    for (mark, words) in [(profile.tip, "tip"), (profile.heel, "heel")] {
        let Some(node) = mark.and_then(|id| profile.node(id)) else { continue };
        let at = sight.ui_from_knife(node.at);
        handles::ring(ui, at, 10.0, read.palette.grip_chosen);
        let place = at + vec2(0.0, 16.0);
        hover::tag(ui, place, Align2::CENTER_TOP, words, read.palette);
    }
}
