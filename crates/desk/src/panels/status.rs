//! The line at the foot: live figures of what is under the pointer, and how large it is shown.

use crate::action::{Action, ActionQueue};
use crate::canvas::{hover, navigation};
use crate::command::Command;
use crate::context::ViewContext;
use crate::state::{Session, Station, ViewRequest};
use crate::theme::{Palette, figures};
use egui::{
    Align, Button, DragValue, Label, Layout, Rect, RichText, Role, Spinner, Ui, UiBuilder,
    WidgetInfo,
};
use std::time::Duration;

/// How high the line is, points.
pub(crate) const HEIGHT: f32 = 26.0;
/// The least and the most that can be typed, per cent of true size.
const PERCENT: std::ops::RangeInclusive<f64> = 2.0..=20_000.0;

/// So long somebody waits before it is said, seconds: what is sooner there would only flicker.
const TOLD_AFTER_S: f64 = 0.2;
/// What is said then of figures, and of pages.
const BEHIND: &str = "Working out the figures: those shown are from before the last change";
const LAYING_OUT: &str = "Laying out the pages";
/// What is said when nothing comes.
const FAILED: &str = "The last change can't be worked out: undo it";

/// Shows the line in the room that was kept for it.
pub(crate) fn show(
    ui: &mut Ui,
    rect: Rect,
    context: &ViewContext<'_>,
    session: &Session,
    actions: &mut ActionQueue,
) {
    let p = context.palette;
    let layout = Layout::right_to_left(Align::Center);
    let inner = rect.shrink2(egui::vec2(10.0, 0.0));
    let mut line = ui.new_child(UiBuilder::new().max_rect(inner).layout(layout));
    line.set_clip_rect(rect.intersect(ui.clip_rect()));
    line.spacing_mut().item_spacing.x = 6.0;
    line.spacing_mut().interact_size.y = 20.0;
    line.spacing_mut().button_padding.y = 1.0;
    behind(&mut line, context);
    let in_the_round = session.turning.shown && context.station != Station::Paper;
    if in_the_round {
        return;
    }
    zoom(&mut line, context, session, actions);
    let text = text(&line, context, session);
    let left = Layout::left_to_right(Align::Center);
    line.with_layout(left, |ui| {
        let shown = RichText::new(&text).font(figures(13.5)).color(color(&text, p));
        let line = ui.add(Label::new(shown).truncate());
        line.widget_info(|| WidgetInfo::labeled(Role::Status, true, &text));
    });
}

/// Says from the right, once somebody waits, that what is shown is behind the blank.
fn behind(ui: &mut Ui, context: &ViewContext<'_>) {
    let derived = context.derived;
    let id = ui.scope_id().with("behind since");
    if !(derived.is_behind() || derived.are_pages_behind()) {
        ui.data_mut(|data| data.remove::<f64>(id));
        return;
    }
    let now = ui.input(|input| input.time);
    let since = ui.data_mut(|data| *data.get_temp_mut_or(id, now));
    let say = |ui: &mut Ui, text: &str, color: egui::Color32| {
        ui.label(RichText::new(text).size(13.5).color(color));
    };
    if derived.has_failed() {
        say(ui, FAILED, context.palette.stop);
    } else if now - since >= TOLD_AFTER_S {
        say(ui, if derived.is_behind() { BEHIND } else { LAYING_OUT }, context.palette.weak);
        ui.add(Spinner::new().size(14.0));
    } else {
        ui.ctx().request_repaint_after(Duration::from_secs_f64(TOLD_AFTER_S - (now - since)));
    }
}

fn color(text: &str, palette: &Palette) -> egui::Color32 {
    if text.is_empty() { palette.weak } else { palette.text }
}

/// What the line tells: figures of what is under the pointer, else where the pointer is, else what
/// is selected.
fn text(ui: &Ui, context: &ViewContext<'_>, session: &Session) -> String {
    if context.station == Station::Paper {
        return "Sheets are shown as they print".to_owned();
    }
    let text = hover::status_text(ui);
    if !text.is_empty() {
        return text;
    }
    if let Some(at) = session.pointer.position {
        let knife_from_plane = context.derived.plane().plane_from_knife(context.knife).inverse();
        return context.point(knife_from_plane * at);
    }
    selected(session)
}

/// What is selected, in words.
fn selected(session: &Session) -> String {
    let counted = |n: usize, one: &str| match n {
        0 => None,
        1 => Some(format!("1 {one}")),
        n => Some(format!("{n} {one}s")),
    };
    let selection = &session.selection;
    let all = [
        counted(selection.nodes().len(), "node"),
        counted(selection.segments().len(), "segment"),
        counted(selection.holes().len(), "hole"),
    ];
    let all: Vec<String> = all.into_iter().flatten().collect();
    if all.is_empty() { String::new() } else { format!("{} selected", all.join(", ")) }
}

/// How large it is shown, in per cent of true size, and the ways to change that; from the right.
fn zoom(ui: &mut Ui, context: &ViewContext<'_>, session: &Session, actions: &mut ActionQueue) {
    let camera = match context.station {
        Station::Paper => session.view.paper_camera,
        _ => session.view.camera,
    };
    let Some(camera) = camera else { return };
    let full = navigation::true_points_per_mm(context.settings, ui.ctx().pixels_per_point());
    let small = |text: &str| Button::new(RichText::new(text).size(13.5)).small();
    if ui.add(small("100 %")).on_hover_text("Show it at true size.  (0)").clicked() {
        actions.run(Command::TrueSize);
    }
    let mut percent = 100.0 * camera.points_per_mm / full;
    let decimals = if percent < 10.0 { 1 } else { 0 };
    let value =
        DragValue::new(&mut percent).range(PERCENT).speed(1.0).max_decimals(decimals).suffix(" %");
    let value = ui.add(value);
    let label = ui.label(RichText::new("Zoom").size(13.5).color(context.palette.weak));
    let tooltip = "Of true size: 100 % is as large as the knife will be, once the screen is \
                   matched (View). Drag it, or click and type.";
    if value.labelled_by(label.id).on_hover_text(tooltip).changed() {
        actions.push(Action::View(ViewRequest::ZoomTo(percent / 100.0)));
    }
}
