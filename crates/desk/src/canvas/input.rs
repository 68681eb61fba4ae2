//! Clicks, rubber bands and arrow keys on the canvas.

use super::paint;
use crate::action::{Action, ActionQueue};
use crate::context::CanvasContext;
use crate::state::PointerState;
use egui::{Key, Modifiers, PointerButton, Rect, Stroke, StrokeKind, Ui};
use knife::PartId;
use kurbo::Vec2;
use units::LengthUnit;

/// How near the pointer must come to a line, points.
const REACH: f64 = 8.0;

impl CanvasContext<'_> {
    /// Whether Shift is held, to extend the selection.
    pub(crate) fn extends(&self) -> bool {
        self.ui.input(|input| input.modifiers.shift)
    }

    /// Selects the part under a click; a click on the bare background clears the selection.
    pub(crate) fn choose_by_click(&mut self, wanted: impl Fn(PartId) -> bool) {
        if !self.background.clicked() {
            return;
        }
        let Some(pos) = self.background.interact_pointer_pos() else { return };
        let extend = self.extends();
        let at = self.knife_view.view.mm_from_ui(pos);
        let reach_mm = self.knife_view.mm(REACH);
        match paint::part_at(&self.context.derived.drawing, at, reach_mm, wanted) {
            Some(part) => self.selection.choose(part, extend),
            None if !extend => self.selection.clear(),
            None => {}
        }
    }

    /// A rubber band over the background: what lies in it when it is let go, as a box of the
    /// screen.
    pub(crate) fn band(&mut self) -> Option<Rect> {
        let (ui, view) = (self.ui, &self.knife_view.view);
        if self.background.drag_started_by(PointerButton::Primary) && !self.pointer.panning {
            let origin = ui.input(|input| input.pointer.press_origin());
            self.pointer.band = origin.map(|pos| view.mm_from_ui(pos));
        }
        let from = view.ui_from_mm(self.pointer.band?);
        let rect = Rect::from_two_pos(from, self.background.interact_pointer_pos()?);
        if self.background.drag_stopped() {
            self.pointer.band = None;
            return Some(rect);
        }
        let colour = self.context.palette.grip_chosen;
        let edge = Stroke::new(1.0, colour);
        ui.painter().rect(rect, 2.0, colour.gamma_multiply(0.12), edge, StrokeKind::Inside);
        None
    }

    /// The arrow keys as a nudge of what is selected, in the plane of the screen, mm: one step of
    /// the unit, ten with Shift, a tenth with Ctrl or Alt.
    pub(crate) fn nudge(&self) -> Option<Vec2> {
        self.nudge_by(None)
    }

    /// The same by steps of another length, mm.
    pub(crate) fn nudge_by(&self, own_step_mm: Option<f64>) -> Option<Vec2> {
        if self.ui.ctx().text_edit_focused() {
            return None;
        }
        let (direction, modifiers) = self.ui.input(|input| {
            let presses = |key| f64::from(u32::try_from(input.num_presses(key)).unwrap_or(0));
            let x = presses(Key::ArrowRight) - presses(Key::ArrowLeft);
            let y = presses(Key::ArrowUp) - presses(Key::ArrowDown);
            (Vec2::new(x, y), input.modifiers)
        });
        let steps = match modifiers {
            Modifiers { shift: true, .. } => 10.0,
            Modifiers { command: true, .. } | Modifiers { alt: true, .. } => 0.1,
            _ => 1.0,
        };
        let step_mm = own_step_mm.unwrap_or(match self.context.unit() {
            LengthUnit::Millimetre => 0.5,
            LengthUnit::Inch => 25.4 / 64.0,
        });
        (direction != Vec2::ZERO).then(|| direction * step_mm * steps)
    }
}

/// Whether Ctrl or Alt is held, for a tenth of a step and for dragging freely.
pub(crate) fn is_fine(ui: &Ui) -> bool {
    ui.input(|input| input.modifiers.command || input.modifiers.alt)
}

/// Takes a drag under way back when Escape is pressed; whether there was one.
pub(crate) fn cancel_drag(ui: &Ui, pointer: &mut PointerState, actions: &mut ActionQueue) -> bool {
    let dragging = pointer.is_dragging() || pointer.band.is_some();
    if !dragging || !ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape)) {
        return false;
    }
    pointer.drag = None;
    pointer.band = None;
    ui.ctx().stop_dragging();
    actions.push(Action::CancelGesture);
    true
}
