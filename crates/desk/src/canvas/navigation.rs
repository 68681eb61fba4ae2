//! Moving the view: where it was asked to go, wheel, pinch and panning.

use super::handles;
use crate::settings::Settings;
use crate::state::{Camera, PointerState, SETTLED_S, View, ViewRequest, ViewState};
use egui::{Event, Key, MouseWheelUnit, PointerButton, Rect, Response, Sense, Ui};
use std::time::Duration;

/// Screen dots to the millimetre of a screen that was never matched: 96 to the inch.
const UNMATCHED_PER_MM: f64 = 96.0 / 25.4;
/// Nearer by this for one notch of the wheel.
const NOTCH: f64 = 1.18;

/// What everything lies on.
pub(crate) fn background(ui: &Ui, rect: Rect, name: &str) -> Response {
    let id = ui.make_persistent_id(name);
    let response = ui.interact(rect, id, Sense::click_and_drag());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, name));
    if response.has_focus() {
        handles::hold_arrows(ui, id);
    }
    if response.clicked() {
        response.request_focus();
    }
    response
}

/// Points to the millimetre at true size on this screen.
pub(crate) fn true_points_per_mm(settings: &Settings, pixels_per_point: f32) -> f64 {
    settings.pixels_per_mm.unwrap_or(UNMATCHED_PER_MM) / f64::from(pixels_per_point)
}

/// Moves the view where it was asked to go.
pub(crate) fn apply_view_request(
    view: &mut View,
    request: Option<ViewRequest>,
    fitted: Camera,
    settings: &Settings,
    pixels_per_point: f32,
) {
    match request {
        None => {}
        Some(ViewRequest::Fit | ViewRequest::FitSelection) => view.camera = fitted,
        Some(ViewRequest::TrueSize) => {
            view.camera = view.camera.at_zoom(true_points_per_mm(settings, pixels_per_point));
        }
        Some(ViewRequest::ZoomTo(times)) => {
            view.camera =
                view.camera.at_zoom(times * true_points_per_mm(settings, pixels_per_point));
        }
        Some(ViewRequest::Zoom(by)) => view.camera = view.zoomed_at(view.rect.center(), by),
        Some(ViewRequest::CentreOn(centre)) => view.camera.centre = centre,
    }
}

/// Whether the camera moves; another frame is asked for when it will be still.
pub(crate) fn is_moving(ui: &Ui, state: &mut ViewState, moved: bool) -> bool {
    let moves = state.is_moving(moved, ui.input(|input| input.time));
    if moves {
        ui.ctx().request_repaint_after(Duration::from_secs_f64(SETTLED_S));
    }
    moves
}

/// How much nearer wheel and pinch ask for, and by how many points they pan.
pub(crate) fn wheel(ui: &Ui) -> (f64, egui::Vec2) {
    ui.input(|input| {
        let wheel = input.raw.events.iter().filter_map(|event| match event {
            Event::MouseWheel { unit, delta, modifiers, .. } => Some((*unit, *delta, *modifiers)),
            _ => None,
        });
        let mut by = egui::Vec2::ZERO;
        let mut notches = 0.0_f64;
        for (unit, delta, modifiers) in wheel {
            let across = modifiers.shift || delta.x != 0.0;
            if unit == MouseWheelUnit::Line && !across {
                notches += f64::from(delta.y);
            } else if !modifiers.command {
                let step = if unit == MouseWheelUnit::Point { 1.0 } else { 40.0 };
                let delta =
                    if modifiers.shift { egui::vec2(delta.x + delta.y, 0.0) } else { delta };
                by += delta * step;
            }
        }
        let pinch = if notches == 0.0 { f64::from(input.zoom_delta()) } else { 1.0 };
        (pinch * NOTCH.powf(notches), by)
    })
}

/// Wheel, pinch and panning.
pub(crate) fn pan_zoom(
    ui: &Ui,
    response: &Response,
    view: View,
    pointer: &mut PointerState,
) -> Camera {
    let mut view = view;
    // Whatever lies on the background covers it, but is zoomed over all the same. What is dragged
    // goes by its delta on the screen, so that nothing may change under it.
    let over = response.contains_pointer() && !pointer.is_dragging();
    if let Some(pos) = ui.input(|input| input.pointer.hover_pos()).filter(|_| over) {
        let (pinch, by) = wheel(ui);
        if (pinch - 1.0).abs() > 1e-9 {
            view.camera = view.zoomed_at(pos, pinch);
        }
        view.camera = view.panned(by);
    }
    let space = ui.input(|input| input.key_down(Key::Space)) && !ui.ctx().text_edit_focused();
    let (begins, held, by) = ui.input(|input| {
        let buttons = [(PointerButton::Middle, true), (PointerButton::Primary, space)];
        let pressed = |button| input.pointer.button_pressed(button);
        let begins = buttons.iter().any(|(button, may)| *may && pressed(*button));
        let held = buttons.iter().any(|(button, _)| input.pointer.button_down(*button));
        (begins, held, input.pointer.delta())
    });
    if begins && over {
        pointer.panning = true;
        // Neither the background nor what lies on it is dragged by this press.
        ui.ctx().stop_dragging();
    }
    pointer.panning &= held;
    if pointer.panning {
        view.camera = view.panned(by);
    }
    if space || pointer.panning {
        ui.ctx().set_cursor_icon(if pointer.panning {
            egui::CursorIcon::Grabbing
        } else {
            egui::CursorIcon::Grab
        });
    }
    view.camera
}
