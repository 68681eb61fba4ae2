//! What can be dragged on the canvas: small marks with a name, moved by their total drag.

use super::{Hands, Sight, caught, caught_along, hover, nudge_by};
use crate::command::{Commands, Wish};
use crate::session::Session;
use crate::theme::Palette;
use egui::{
    Align2, Color32, CursorIcon, Id, PointerButton, Pos2, Rect, Response, Role, Sense, Stroke, Ui,
    WidgetInfo, vec2,
};
use knife::Edit;
use knife::PartId;
use kurbo::{Point, Vec2};

/// How near the pointer must come to a handle, points.
pub(crate) const REACH: f32 = 9.0;

/// A place that can be taken hold of, with its name for screen readers and tests.
pub(crate) fn spot(ui: &Ui, id: Id, at: Pos2, reach: f32, name: &str, chosen: bool) -> Response {
    let rect = Rect::from_center_size(at, vec2(2.0 * reach, 2.0 * reach));
    area(ui, id, rect, name, chosen)
}

/// A place that is only looked at, with its words for screen readers and tests.
pub(crate) fn spot_to_look_at(ui: &Ui, id: &str, at: Pos2, words: &str) {
    let rect = Rect::from_center_size(at, vec2(2.0 * REACH, 2.0 * REACH));
    let response = ui.interact(rect, Id::unique(id), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, words));
}

/// The same for an area of the canvas.
pub(crate) fn area(ui: &Ui, id: Id, rect: Rect, name: &str, chosen: bool) -> Response {
    let response = ui.interact(rect, id, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, name));
    if response.has_focus() {
        hold_arrows(ui, response.id);
    }
    response.on_hover_and_drag_cursor(CursorIcon::Grab)
}

/// Keeps the arrow keys with what is focused, to nudge it.
pub(crate) fn hold_arrows(ui: &Ui, id: Id) {
    let filter = egui::EventFilter {
        tab: false,
        horizontal_arrows: true,
        vertical_arrows: true,
        escape: false,
    };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
}

/// Follows a drag of something that stands at `at` in the knife's plane. Begins and commits the
/// gesture, and tells where it stood when the drag began and the whole way since, mm.
pub(crate) fn dragged(
    response: &Response,
    at: Point,
    sight: &Sight,
    session: &mut Session,
    out: &mut Commands,
) -> Option<(Point, Vec2)> {
    if response.drag_started_by(PointerButton::Primary) && !session.panning {
        session.grip = Some((response.id, at));
        out.push(Wish::Begin);
    }
    let held = session.grip.filter(|(held, _)| *held == response.id)?;
    if response.drag_stopped() {
        session.grip = None;
        out.push(Wish::Commit);
        return None;
    }
    if !response.dragged_by(PointerButton::Primary) {
        return None;
    }
    Some((held.1, sight.knife_from_ui_vec(response.total_drag_delta()?)))
}

/// What a grip sticks to while it is dragged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Sticks {
    /// Nothing.
    Free,
    /// The grid's lines across the bar.
    Along,
    /// Bar edges, centre line, nodes, holes and the grid.
    Place,
}

/// A line that is dragged across by a grip on it, or nudged while it has the keyboard.
pub(crate) struct Grip<'a> {
    /// Its name.
    pub(crate) name: &'a str,
    /// Where it stands, in the plane of the sight.
    pub(crate) at: Point,
    /// Where it is shown, when it stands where it can't be seen.
    pub(crate) shown: Point,
    /// How far an arrow key moves it, mm.
    pub(crate) step_mm: f64,
    /// How far it goes for each millimetre of a drag.
    pub(crate) gear: f64,
    /// What it sticks to while it is dragged.
    pub(crate) sticks: Sticks,
    /// Whether it is chosen.
    pub(crate) chosen: bool,
}

impl<'a> Grip<'a> {
    /// A grip of a line across the knife, which sticks to the grid.
    pub(crate) fn across(name: &'a str, at: Point, step_mm: f64) -> Self {
        Self { sticks: Sticks::Along, ..Self::new(name, at, step_mm) }
    }

    /// A grip of a place, which sticks to all that a place can.
    pub(crate) fn place(name: &'a str, at: Point, step_mm: f64) -> Self {
        Self { sticks: Sticks::Place, ..Self::new(name, at, step_mm) }
    }

    /// A grip that is shown where it stands and goes with the pointer.
    pub(crate) fn new(name: &'a str, at: Point, step_mm: f64) -> Self {
        Self { name, at, shown: at, step_mm, gear: 1.0, sticks: Sticks::Free, chosen: false }
    }
}

/// Shows a grip and follows it. `edit` is what moving it does: from where it stood when that
/// began, and by how much, mm. `words` are told beside it while it is held or pointed at.
pub(crate) fn grip(
    hands: &mut Hands<'_>,
    grip: &Grip<'_>,
    edit: impl Fn(Point, Vec2) -> Edit,
    words: impl FnOnce() -> String,
) -> Response {
    let Hands { ui, read, sight, session, out, .. } = hands;
    let at = sight.ui_from_knife(grip.shown);
    let response = spot(ui, Id::unique(grip.name), at, REACH + 4.0, grip.name, grip.chosen);
    if let Some((begun, by)) = dragged(&response, grip.at, sight, session, out) {
        let free = begun + by * grip.gear;
        let to = match grip.sticks {
            Sticks::Free => free,
            Sticks::Along => caught_along(ui, read, sight, free),
            Sticks::Place => caught(ui, read, sight, &[], free),
        };
        out.preview(vec![edit(begun, to - begun)]);
    }
    if response.has_focus()
        && let Some(by) = nudge_by(ui, grip.step_mm)
    {
        out.edit(edit(grip.at, by));
    }
    paint(ui, at, Look::Grip, &response, response.dragged() || grip.chosen, read.palette);
    if response.dragged() || response.hovered() || response.has_focus() {
        hover::tag(ui, at + vec2(14.0, -10.0), Align2::LEFT_BOTTOM, &words(), read.palette);
    }
    response
}

/// Chooses the part of a handle that was clicked, reached by the keyboard or taken hold of.
pub(crate) fn choose(ui: &Ui, response: &Response, part: PartId, session: &mut Session) {
    let is = session.selection.contains(&part);
    let more = ui.input(|input| input.modifiers.shift);
    if response.clicked() {
        session.choose(part, more);
        response.request_focus();
    } else if response.gained_focus() && !is && !response.is_pointer_button_down_on() {
        session.choose(part, false);
    } else if response.drag_started() && !is {
        session.choose(part, more);
    }
}

/// How a handle looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Look {
    /// A corner: a small square.
    Corner,
    /// A smooth node: a small disc.
    Smooth,
    /// The end of a handle: a ring.
    Tip,
    /// A line that is dragged across: a bar with a grip.
    Grip,
}

/// Paints a handle.
pub(crate) fn paint(
    ui: &Ui,
    at: Pos2,
    look: Look,
    response: &Response,
    chosen: bool,
    palette: &Palette,
) {
    let near = response.hovered() || response.dragged() || response.has_focus();
    let size = if near || chosen { 5.0 } else { 4.0 };
    let fill = if chosen { palette.grip_chosen } else { palette.grip };
    let edge = Stroke::new(1.5, palette.steel_low);
    let painter = ui.painter();
    match look {
        Look::Corner => {
            let rect = Rect::from_center_size(at, vec2(2.0, 2.0) * (size - 0.5));
            painter.rect(rect, 1.0, fill, edge, egui::StrokeKind::Outside);
        }
        Look::Smooth => {
            // Two discs cost a tenth of a disc with a line around it; there may be thousands.
            painter.circle_filled(at, size + edge.width / 2.0, edge.color);
            painter.circle_filled(at, size - edge.width / 2.0, fill);
        }
        Look::Tip => {
            painter.circle(at, size - 0.5, palette.steel_low, Stroke::new(1.8, fill));
        }
        Look::Grip => {
            painter.circle(at, size + 2.0, fill, edge);
            painter.circle_filled(at, 2.0, palette.steel_low);
        }
    }
    if response.has_focus() {
        ring(ui, at, size + 5.0, palette.grip_chosen);
    }
}

/// A ring around what has the keyboard.
pub(crate) fn ring(ui: &Ui, at: Pos2, radius: f32, colour: Color32) {
    ui.painter().circle_stroke(at, radius, Stroke::new(1.5, colour));
}
