//! What can be dragged on the canvas: small marks with a name, moved by their total drag.

use super::hover;
use crate::action::Action;
use crate::context::CanvasContext;
use crate::state::Station;
use crate::theme::Palette;
use egui::{
    Align2, Color32, CursorIcon, Id, PointerButton, Pos2, Rect, Response, Role, Sense, Stroke, Ui,
    WidgetInfo, vec2,
};
use knife::{Edit, PartId};
use kurbo::{Point, Vec2};

/// How near the pointer must come to a handle, points.
pub(crate) const REACH: f32 = 9.0;

/// A spot that can be dragged, with its name for screen readers and tests.
pub(crate) fn spot(ui: &Ui, id: Id, at: Pos2, reach: f32, name: &str, selected: bool) -> Response {
    let rect = Rect::from_center_size(at, vec2(2.0 * reach, 2.0 * reach));
    area(ui, id, rect, name, selected)
}

/// A spot that is only looked at, with its label for screen readers and tests.
pub(crate) fn labeled_spot(ui: &Ui, id: &str, at: Pos2, label: &str) {
    let rect = Rect::from_center_size(at, vec2(2.0 * REACH, 2.0 * REACH));
    let response = ui.interact(rect, Id::unique(id), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, label));
}

/// The same for an area of the canvas.
pub(crate) fn area(ui: &Ui, id: Id, rect: Rect, name: &str, selected: bool) -> Response {
    let response = ui.interact(rect, id, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, selected, name));
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

/// What a handle snaps to while it is dragged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum SnapMode {
    /// Nothing.
    Free,
    /// The grid's lines across the bar.
    Along,
    /// Bar edges, centre line, nodes, holes and the grid.
    Point,
}

/// A handle that changes one thing as it is dragged, or nudged while it has the keyboard.
pub(crate) struct DragHandle<'a> {
    /// Its name.
    pub(crate) name: &'a str,
    /// Where it stands, in the plane of the view.
    pub(crate) at: Point,
    /// Where it is shown, when it stands where it can't be seen.
    pub(crate) shown: Point,
    /// How far an arrow key moves it, mm; else the usual step.
    pub(crate) step_mm: Option<f64>,
    /// How far it goes for each millimetre of a drag.
    pub(crate) gear: f64,
    /// What it snaps to while it is dragged.
    pub(crate) snap: SnapMode,
    /// Whether it is selected.
    pub(crate) selected: bool,
}

impl<'a> DragHandle<'a> {
    /// A handle of a line across the knife, which snaps to the grid.
    pub(crate) fn across(name: &'a str, at: Point) -> Self {
        Self { snap: SnapMode::Along, ..Self::new(name, at) }
    }

    /// A handle of a point, which snaps to all that a point can.
    pub(crate) fn point(name: &'a str, at: Point) -> Self {
        Self { snap: SnapMode::Point, ..Self::new(name, at) }
    }

    /// A handle that is shown where it stands and goes with the pointer.
    pub(crate) fn new(name: &'a str, at: Point) -> Self {
        Self {
            name,
            at,
            shown: at,
            step_mm: None,
            gear: 1.0,
            snap: SnapMode::Free,
            selected: false,
        }
    }
}

impl CanvasContext<'_> {
    /// Begins and commits the gesture of dragging something that stands at `at`, and says where
    /// it stood when that began while it lasts.
    pub(crate) fn gesture(&mut self, response: &Response, at: Point) -> Option<Point> {
        if response.drag_started_by(PointerButton::Primary) && !self.pointer.panning {
            self.pointer.drag = Some((response.id, at));
            self.actions.push(Action::BeginGesture);
        }
        let (_, start) = self.pointer.drag.filter(|(id, _)| *id == response.id)?;
        if response.drag_stopped() {
            self.pointer.drag = None;
            self.actions.push(Action::CommitGesture);
            return None;
        }
        response.dragged_by(PointerButton::Primary).then_some(start)
    }

    /// The same for what stands in the knife's plane, with the whole delta since, mm.
    pub(crate) fn dragged(&mut self, response: &Response, at: Point) -> Option<(Point, Vec2)> {
        let start = self.gesture(response, at)?;
        Some((start, self.knife_view.knife_from_ui_vec(response.total_drag_delta()?)))
    }

    /// Shows a handle and follows it. `edit` is what moving it does: from where it stood when
    /// that began, and by how much, mm. `label` stands beside it while it is dragged or hovered.
    pub(crate) fn drag_handle(
        &mut self,
        handle: &DragHandle<'_>,
        edit: impl Fn(Point, Vec2) -> Edit,
        label: impl FnOnce() -> String,
    ) -> Response {
        let ui = self.ui;
        let at = self.knife_view.ui_from_knife(handle.shown);
        let id = Id::unique(handle.name);
        let response = spot(ui, id, at, REACH + 4.0, handle.name, handle.selected);
        if let Some((start, by)) = self.dragged(&response, handle.at) {
            let free = start + by * handle.gear;
            let to = match handle.snap {
                SnapMode::Free => free,
                SnapMode::Along => self.snap_along(free),
                SnapMode::Point => self.snap(&[], free),
            };
            self.actions.preview(vec![edit(start, to - start)]);
        }
        if response.has_focus()
            && let Some(by) = self.nudge_by(handle.step_mm)
        {
            self.actions.edit(edit(handle.at, by));
        }
        let strong = response.dragged() || handle.selected;
        paint(ui, at, HandleShape::Grip, &response, strong, self.context.palette);
        if response.dragged() || response.hovered() || response.has_focus() {
            self.tag(at + vec2(14.0, -10.0), Align2::LEFT_BOTTOM, &label());
        }
        response
    }

    /// Selects the part of a handle that was clicked, reached by the keyboard or dragged.
    pub(crate) fn choose(&mut self, response: &Response, part: PartId) {
        let selected = self.selection.contains(part);
        if response.clicked() {
            self.selection.choose(part, self.extends());
            response.request_focus();
        } else if response.gained_focus() && !selected && !response.is_pointer_button_down_on() {
            self.selection.choose(part, false);
        } else if response.drag_started() && !selected {
            self.selection.choose(part, self.extends());
        }
    }

    /// A small tag on the canvas while something is dragged, drawn or about to be put there; else
    /// its lines in the status line, where they cover nothing.
    pub(crate) fn tag(&self, at: Pos2, align: Align2, text: &str) {
        if self.pointer.is_dragging() || self.holes.active || self.is_drawing() {
            hover::tag(self.ui, at, align, text, self.context.palette);
        } else {
            hover::tell(self.ui, text);
        }
    }

    /// Whether an outline is being drawn here.
    fn is_drawing(&self) -> bool {
        self.context.station == Station::Profile && self.drawing.takes_canvas(self.context.knife)
    }
}

/// How a handle looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum HandleShape {
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
    shape: HandleShape,
    response: &Response,
    selected: bool,
    palette: &Palette,
) {
    let near = response.hovered() || response.dragged() || response.has_focus();
    let size = if near || selected { 5.0 } else { 4.0 };
    let fill = if selected { palette.grip_chosen } else { palette.grip };
    let edge = Stroke::new(1.5, palette.ink);
    let painter = ui.painter();
    match shape {
        HandleShape::Corner => {
            let rect = Rect::from_center_size(at, vec2(2.0, 2.0) * (size - 0.5));
            painter.rect(rect, 1.0, fill, edge, egui::StrokeKind::Outside);
        }
        HandleShape::Smooth => {
            // Two discs cost a tenth of a disc with a line around it; there may be thousands.
            painter.circle_filled(at, size + edge.width / 2.0, edge.color);
            painter.circle_filled(at, size - edge.width / 2.0, fill);
        }
        HandleShape::Tip => {
            painter.circle(at, size - 0.5, palette.steel_low, Stroke::new(1.8, fill));
        }
        HandleShape::Grip => {
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
