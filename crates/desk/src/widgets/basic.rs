//! Buttons of the table, figures in rows, dialogs over the desk.

use crate::action::ActionQueue;
use crate::command::{Command, info_of, shortcut_text};
use crate::theme::{Palette, figures};
use egui::{
    Align, Button, Color32, FontId, Frame, Id, Layout, Modal, Response, RichText, Sense, Ui,
};
use egui_plot::Plot;

/// A button for a command of the table, explained and enabled as in the menus.
pub(crate) fn command_button(
    ui: &mut Ui,
    command: Command,
    enabled: bool,
    actions: &mut ActionQueue,
) {
    let Some(info) = info_of(command) else { return };
    let mut tooltip = format!("{}.", info.tooltip);
    if let Some(key) = &info.shortcut {
        tooltip.push_str(&format!("  ({})", shortcut_text(ui.ctx(), key)));
    }
    let response = ui.add_enabled(enabled, Button::new(info.label));
    if response.on_hover_text(&tooltip).on_disabled_hover_text(&tooltip).clicked() {
        actions.run(command);
    }
}

/// A dialog over everything; whether it stays open. `show` says whether it is done.
pub(crate) fn modal(ui: &Ui, id: &str, width: f32, show: impl FnOnce(&mut Ui) -> bool) -> bool {
    let frame = Frame::window(&ui.ctx().global_style());
    let modal = Modal::new(Id::unique(id)).frame(frame).show(ui.ctx(), |ui| {
        ui.set_width(width);
        show(ui)
    });
    !modal.inner && !modal.should_close()
}

/// A width, or what the window has less `around`, points.
pub(crate) fn width_up_to(ui: &Ui, width: f32, around: f32) -> f32 {
    width.min(ui.ctx().content_rect().width() - around)
}

/// How wide a text is, points.
pub(crate) fn text_width(ui: &Ui, text: &str, font: FontId) -> f32 {
    ui.painter().layout_no_wrap(text.to_owned(), font, Color32::PLACEHOLDER).size().x
}

/// A plot that is looked at only.
pub(crate) fn bare_plot<'a>(name: &'a str) -> Plot<'a> {
    Plot::new(name)
        .show_x(false)
        .show_y(false)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .sense(Sense::hover())
        .label_formatter(|_| None)
}

/// Figures closer together than what is typed.
pub(crate) fn figure_column(ui: &mut Ui, rows: impl FnOnce(&mut Ui)) {
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.spacing_mut().interact_size.y = 22.0;
        rows(ui);
    });
}

/// A name on the left and its figure on the right. What has no room beside the name goes below
/// it: the nearest fraction, or all of it.
pub(crate) fn figure_row(
    ui: &mut Ui,
    name: &str,
    value: &str,
    size: f32,
    palette: &Palette,
) -> Response {
    let room = ui.available_width()
        - text_width(ui, name, FontId::proportional(size))
        - ui.spacing().item_spacing.x;
    let fits = |text: &str| text_width(ui, text, figures(size)) <= room;
    let (beside, fraction, below) = match value.split_once(" (") {
        _ if fits(value) => (value, "", ""),
        Some((exact, fraction)) if fits(exact) => (exact, fraction.trim_end_matches(')'), ""),
        _ => ("", "", value),
    };
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.horizontal(|ui| {
            ui.label(RichText::new(name).size(size).color(palette.weak));
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.label(RichText::new(beside).font(figures(size)));
            });
        });
        if !fraction.is_empty() {
            ui.with_layout(Layout::top_down(Align::Max), |ui| {
                ui.label(RichText::new(fraction).font(figures(13.0)).color(palette.weak));
            });
        }
        if !below.is_empty() {
            ui.label(RichText::new(below).font(figures(size)));
        }
    })
    .response
}
