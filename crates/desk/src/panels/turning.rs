//! The finished knife in the round, in place of the canvas.

use crate::action::ActionQueue;
use crate::canvas::{handles, navigation};
use crate::command::Command;
use crate::context::ViewContext;
use crate::state::{CutWay, Session, TurnState, ViewRequest};
use crate::text::{capitalized, sentence};
use crate::widgets::Form;
use egui::{
    Align2, Color32, ColorImage, FontId, Key, Modifiers, PointerButton, Rect, Response, RichText,
    Role, Sense, Slider, TextureOptions, Ui, WidgetInfo, pos2, vec2,
};
use exchange::view::{Frame, Lie, Picture, Side};
use kurbo::Point;
use std::sync::Arc;
use std::time::Duration;

/// So far it turns for a point that it is dragged, degrees.
const TURN_DEG: f64 = 0.4;
/// So far it turns for an arrow key, degrees.
const STEP_DEG: f64 = 3.0;
/// Sides with the key that, with Ctrl, looks from them.
const KEYS: [(Key, Side); 6] = [
    (Key::Num1, Side::Left),
    (Key::Num2, Side::Right),
    (Key::Num3, Side::Edge),
    (Key::Num4, Side::Spine),
    (Key::Num5, Side::Tip),
    (Key::Num6, Side::Butt),
];

/// What keys and pointer do here, for the list of shortcuts.
pub(crate) const SHORTCUTS: &[(&str, &str)] = &[
    ("Drag", "Turn it"),
    ("Arrow keys", "Turn it by 3°; with Shift by 30°, with Ctrl by 0.3°"),
    ("Page up, Page down", "Roll it by the same steps"),
    ("Ctrl + 1 to 6", "Left face, right face, edge, spine, tip, butt"),
    ("Home, double-click", "Three quarters, whole, not cut"),
    ("Right button + drag", "Pan"),
];

/// The view in all the room there is.
pub(crate) fn ui(
    ui: &mut Ui,
    context: &ViewContext<'_>,
    session: &mut Session,
    actions: &mut ActionQueue,
) {
    let whole = ui.available_rect_before_wrap();
    let is_blocked = session.dialogs.is_blocking();
    // The canvas is not seen: nothing on it is pointed at or lit.
    session.pointer.position = None;
    session.view.shade_request = None;
    let request = session.view.request.take();
    let state = &mut session.turning;
    let ctx = ui.ctx().clone();
    state.refresh(context.knife, context.shop(), move || ctx.request_repaint());
    let seen = state.seen();
    let lie =
        seen.as_ref().map_or_else(|| Lie::of(context.reckoning().profile.as_ref()), |s| s.lie);
    ui.painter().rect_filled(whole, 0.0, context.palette.bench);
    let head = egui::Frame::new().fill(context.palette.head).inner_margin(vec2(12.0, 6.0));
    head.show(ui, |ui| {
        ui.set_width(ui.available_width());
        let form = &mut Form { ui, context, state: &mut session.form, actions };
        sides(form, state, &lie);
        cut(form, state);
    });
    let rect = Rect::from_min_max(pos2(whole.min.x, ui.cursor().min.y), whole.max);
    ui.advance_cursor_after_rect(whole);
    if rect.width() < 40.0 || rect.height() < 40.0 {
        return;
    }
    let response = background(ui, rect, state, &lie);
    let Some(seen) = seen else { return message(ui, rect, &progress(state), context) };
    // Casting saturates; a window has some thousand points.
    let (width, height) = (rect.width() as usize, rect.height() as usize);
    let frame = state.frame(&seen, width, height);
    let moves = !is_blocked
        && (pointer(ui, &response, state, &frame, &lie) | keys(ui, &response, state, &lie));
    let frame = state.frame(&seen, width, height);
    apply(ui, request, state, &frame, context);
    let frame = state.frame(&seen, width, height);
    let left_s = state.moving_for(ui.input(|input| input.time), moves);
    if let Some(left_s) = left_s {
        // A finer picture is still to come.
        ui.ctx().request_repaint_after(Duration::from_secs_f64(left_s));
    }
    state.draw(&seen, &frame, f64::from(ui.ctx().pixels_per_point()), left_s.is_some());
    paint(ui, rect, state);
    foot(ui, rect, state, context);
    if state.is_busy() {
        let (at, font) = (rect.min + vec2(14.0, 12.0), FontId::proportional(14.0));
        let palette = context.palette;
        ui.painter().text(at, Align2::LEFT_TOP, progress(state), font, palette.weak);
    }
}

/// Why there is no solid, or that it is being made.
fn progress(state: &TurnState) -> String {
    state.fault().map_or_else(|| "Working it out…".to_owned(), |why| sentence(&why.to_string()))
}

/// What is looked at, which takes drags and keys.
fn background(ui: &Ui, rect: Rect, state: &TurnState, lie: &Lie) -> Response {
    let id = ui.make_persistent_id("finished knife");
    let response = ui.interact(rect, id, Sense::click_and_drag());
    let label = match state.side(lie) {
        _ if state.fault().is_some() => format!("Finished knife: {}", progress(state)),
        Some(side) => format!("Finished knife, {}", side.label().to_lowercase()),
        None => "Finished knife, turned".to_owned(),
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &label));
    if response.has_focus() {
        handles::hold_arrows(ui, id);
    }
    if response.clicked() || response.drag_started() {
        response.request_focus();
    }
    response.on_hover_and_drag_cursor(egui::CursorIcon::Grab)
}

/// Buttons for the named sides.
fn sides(form: &mut Form<'_>, state: &mut TurnState, lie: &Lie) {
    let now = state.side(lie);
    let (ui, actions) = (&mut *form.ui, &mut *form.actions);
    ui.horizontal_wrapped(|ui| {
        for side in Side::ALL {
            let key = KEYS.iter().position(|(_, other)| *other == side);
            let key = key.map_or_else(|| "Home".to_owned(), |at| format!("Ctrl+{}", at + 1));
            let button = ui.selectable_label(now == Some(side), side.label());
            if button.on_hover_text(format!("Look from this side ({key}).")).clicked() {
                state.look_from(side, lie);
            }
        }
        ui.separator();
        if ui
            .button("Reset the view")
            .on_hover_text("Three quarters, whole, not cut (Home).")
            .clicked()
        {
            state.reset();
        }
        let back = ui.button("Back to the blank").on_hover_text("Show the canvas again (Shift+V).");
        if back.clicked() {
            actions.run(Command::Turn);
        }
    });
}

/// Where it is cut open.
fn cut(form: &mut Form<'_>, state: &mut TurnState) {
    let seen = state.seen();
    let context = form.context;
    form.wrapped(|form| {
        form.ui.label(RichText::new("Cut open").color(context.palette.weak));
        for (way, label, tooltip) in [
            (CutWay::None, "not", "The whole knife."),
            (CutWay::Across, "across", "Square to its length: bevel, tang, scales."),
            (CutWay::Along, "along", "Parallel to its faces: tang, pins, taper."),
        ] {
            Form::outline_ticks(form.ui, context);
            form.ui.radio_value(&mut state.cut, way, label).on_hover_text(tooltip);
        }
        let Some((seen, at)) = seen.as_ref().and_then(|s| Some((s, state.cut_at_mm(s)?))) else {
            return;
        };
        let axis = if state.cut == CutWay::Across { 0 } else { 2 };
        let (low, high) = (seen.bounds.0[axis], seen.bounds.1[axis]);
        let mut slid = at;
        form.ui.spacing_mut().slider_width = 180.0;
        let slider = Slider::new(&mut slid, low..=high).show_value(false);
        let slider = form.ui.add(slider).accessible_name("Place of the cut");
        if slider.changed() {
            state.set_cut_mm(slid);
        }
        let place = if axis == 0 { context.origin.to_local_x(at) } else { at };
        form.ui.label(match axis {
            0 => format!("at x {}", context.short(place)),
            _ if place.abs() < 5e-3 => "in the middle".to_owned(),
            _ => format!("{} off the middle", context.short(place.abs())),
        });
        let tooltip = "Keep what lies on the other side of the cut.";
        form.tick(&mut state.other_half, ("Other half", tooltip));
    });
}

/// Dragging and wheel; whether it moves.
fn pointer(ui: &Ui, response: &Response, state: &mut TurnState, frame: &Frame, lie: &Lie) -> bool {
    let mut moves = false;
    if response.double_clicked() {
        state.reset();
    }
    let space = ui.input(|input| input.key_down(Key::Space)) && !ui.ctx().text_edit_focused();
    // The first frame of a drag brings what moved before it was known to be one.
    let by = if response.drag_started() {
        response.total_drag_delta().unwrap_or(response.drag_delta())
    } else {
        response.drag_delta()
    };
    let pans = [PointerButton::Middle, PointerButton::Secondary];
    if pans.iter().any(|button| response.dragged_by(*button))
        || (space && response.dragged_by(PointerButton::Primary))
    {
        state.pan(frame, f64::from(by.x), f64::from(by.y));
        moves = true;
    } else if response.dragged_by(PointerButton::Primary) {
        state.turn(lie, f64::from(by.x) * TURN_DEG, f64::from(by.y) * TURN_DEG);
        // A hand that holds still waits for the finer picture too.
        moves = by != egui::Vec2::ZERO;
    }
    if let Some(pos) = response.hover_pos() {
        let (by, across) = navigation::wheel(ui);
        if (by - 1.0).abs() > 1e-9 {
            let at = pos - response.rect.min;
            state.zoom(frame, Point::new(f64::from(at.x), f64::from(at.y)), by);
            moves = true;
        }
        if across != egui::Vec2::ZERO {
            state.pan(frame, f64::from(across.x), f64::from(across.y));
            moves = true;
        }
    }
    moves
}

/// Arrow keys and named sides; whether it moves.
fn keys(ui: &Ui, response: &Response, state: &mut TurnState, lie: &Lie) -> bool {
    let is_free = response.has_focus() || ui.memory(|memory| memory.focused().is_none());
    if !is_free || ui.ctx().text_edit_focused() {
        return false;
    }
    for (key, side) in KEYS {
        if ui.input_mut(|input| input.consume_key(Modifiers::COMMAND, key)) {
            state.look_from(side, lie);
        }
    }
    if ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Home)) {
        state.reset();
    }
    let (right, down, roll, modifiers) = ui.input(|input| {
        let presses = |key| f64::from(u32::try_from(input.num_presses(key)).unwrap_or(0));
        let pair = |more, less| presses(more) - presses(less);
        let right = pair(Key::ArrowRight, Key::ArrowLeft);
        let down = pair(Key::ArrowDown, Key::ArrowUp);
        (right, down, pair(Key::PageUp, Key::PageDown), input.modifiers)
    });
    let step_deg = match modifiers {
        Modifiers { shift: true, .. } => 10.0 * STEP_DEG,
        Modifiers { command: true, .. } | Modifiers { alt: true, .. } => 0.1 * STEP_DEG,
        _ => STEP_DEG,
    };
    if right != 0.0 || down != 0.0 {
        state.turn(lie, right * step_deg, down * step_deg);
    }
    if roll != 0.0 {
        state.roll(lie, roll * step_deg);
    }
    right != 0.0 || down != 0.0 || roll != 0.0
}

/// Moves the view where a command asked it to go.
fn apply(
    ui: &Ui,
    request: Option<ViewRequest>,
    state: &mut TurnState,
    frame: &Frame,
    context: &ViewContext<'_>,
) {
    let true_size = navigation::true_points_per_mm(context.settings, ui.ctx().pixels_per_point());
    let middle = Point::new(frame.width as f64 / 2.0, frame.height as f64 / 2.0);
    match request {
        None | Some(ViewRequest::CentreOn(_)) => {}
        Some(ViewRequest::Fit | ViewRequest::FitSelection) => state.fit(),
        Some(ViewRequest::Zoom(by)) => state.zoom(frame, middle, by),
        Some(ViewRequest::TrueSize) => state.set_scale(frame, true_size),
        Some(ViewRequest::ZoomTo(times)) => state.set_scale(frame, times * true_size),
    }
}

fn paint(ui: &Ui, rect: Rect, state: &mut TurnState) {
    let Some((_, _, picture)) = state.picture() else { return };
    let picture = Arc::clone(picture);
    if let Some((shown, texture)) = &mut state.texture {
        if !Arc::ptr_eq(shown, &picture) {
            texture.set(image(&picture), TextureOptions::LINEAR);
            *shown = Arc::clone(&picture);
        }
    } else {
        let options = TextureOptions::LINEAR;
        let texture = ui.ctx().load_texture("finished knife", image(&picture), options);
        state.texture = Some((Arc::clone(&picture), texture));
    }
    let Some((_, texture)) = &state.texture else { return };
    let shown = Rect::from_min_size(rect.min, vec2(rect.width().floor(), rect.height().floor()));
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    ui.painter().image(texture.id(), shown, whole, Color32::WHITE);
}

fn image(picture: &Picture) -> ColorImage {
    let size = [picture.width, picture.height];
    ColorImage::from_rgba_unmultiplied(size, picture.dots.as_flattened())
}

/// What it is made of, along the foot.
fn foot(ui: &Ui, rect: Rect, state: &TurnState, context: &ViewContext<'_>) {
    let Some(seen) = state.seen() else { return };
    let all = seen.materials.iter().map(|(kind, of)| format!("{}: {of}", capitalized(kind)));
    let text = all.collect::<Vec<_>>().join("   ");
    let font = FontId::proportional(13.0);
    let room = rect.width() - 28.0;
    let galley = ui.painter().layout(text, font, context.palette.weak, room);
    let at = pos2(rect.min.x + 14.0, rect.max.y - 10.0 - galley.size().y);
    ui.painter().galley(at, galley, context.palette.weak);
}

fn message(ui: &Ui, rect: Rect, text: &str, context: &ViewContext<'_>) {
    let font = FontId::proportional(16.0);
    let room = (rect.width() - 60.0).max(60.0);
    let galley = ui.painter().layout(text.to_owned(), font, context.palette.text, room);
    let at = rect.center() - galley.size() / 2.0;
    ui.painter().galley(at, galley, context.palette.text);
}
