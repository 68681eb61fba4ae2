//! Buttons, ticks and choices of a card.

use super::basic::{command_button, text_width};
use super::form::{Caption, Change, Form, NARROW};
use crate::command::Command;
use crate::context::ViewContext;
use egui::{Align, Button, ComboBox, Layout, Response, Stroke, TextStyle, Ui};
use knife::Edit;

impl Form<'_> {
    /// A button; whether it was clicked.
    pub(crate) fn button(&mut self, caption: Caption<'_>) -> bool {
        self.button_if(true, caption)
    }

    /// A button that may be disabled; whether it was clicked.
    pub(crate) fn button_if(&mut self, enabled: bool, (label, tooltip): Caption<'_>) -> bool {
        let response = self.ui.add_enabled(enabled, Button::new(label));
        if tooltip.is_empty() { response } else { response.on_hover_text(tooltip) }.clicked()
    }

    /// A button that makes an edit, if there is one to make.
    pub(crate) fn edit_button(&mut self, caption: Caption<'_>, edit: impl Into<Option<Edit>>) {
        if let Some(edit) = edit.into()
            && self.button(caption)
        {
            self.actions.edit(edit);
        }
    }

    /// A button for a command of the table.
    pub(crate) fn command(&mut self, command: Command, enabled: bool) {
        command_button(self.ui, command, enabled, self.actions);
    }

    /// Makes the boxes and rings of what can be ticked stand out, in this part of the window.
    pub(crate) fn outline_ticks(ui: &mut Ui, context: &ViewContext<'_>) {
        ui.visuals_mut().widgets.inactive.bg_stroke = Stroke::new(1.2, context.palette.weak);
    }

    /// A check box; whether it was changed.
    pub(crate) fn tick(&mut self, ticked: &mut bool, (label, tooltip): Caption<'_>) -> bool {
        let context = self.context;
        self.ui
            .scope(|ui| {
                Self::outline_ticks(ui, context);
                ui.checkbox(ticked, label).on_hover_text(tooltip).changed()
            })
            .inner
    }

    /// A check box for a command that switches something.
    pub(crate) fn command_tick(&mut self, command: Command, mut on: bool, caption: Caption<'_>) {
        if self.tick(&mut on, caption) {
            self.actions.run(command);
        }
    }

    /// A choice of one from a few in a row of their own.
    pub(crate) fn radio<T: Copy + PartialEq>(
        &mut self,
        options: &[(T, &str)],
        value: T,
    ) -> Change<'_, T> {
        let context = self.context;
        let mut chosen = None;
        self.ui.horizontal_wrapped(|ui| {
            Self::outline_ticks(ui, context);
            for (option, label) in options {
                if ui.radio(value == *option, *label).clicked() && value != *option {
                    chosen = Some(*option);
                }
            }
        });
        self.change(chosen)
    }

    /// A choice of one from a few.
    pub(crate) fn choice<T: Copy + PartialEq>(
        &mut self,
        (label, tooltip): Caption<'_>,
        options: &[(T, &str)],
        value: T,
    ) -> Change<'_, T> {
        let (context, ui) = (self.context, &mut *self.ui);
        let mut chosen = None;
        let mut buttons = |ui: &mut Ui| {
            Self::outline_ticks(ui, context);
            for (option, label) in options.iter().rev() {
                let response = ui.radio(value == *option, *label).on_hover_text(tooltip);
                if response.clicked() && value != *option {
                    chosen = Some(*option);
                }
            }
        };
        let right = Layout::right_to_left(Align::Center);
        let spacing = ui.spacing();
        let around = spacing.icon_width + spacing.icon_spacing + spacing.item_spacing.x;
        let font = TextStyle::Body.resolve(ui.style());
        let wide = |text: &str| text_width(ui, text, font.clone());
        let long: f32 = options.iter().map(|(_, label)| around + wide(label)).sum();
        // Below their name where there is no room beside it.
        if ui.available_width() < NARROW.max(wide(label) + long + 8.0) {
            ui.label(label).on_hover_text(tooltip);
            ui.horizontal(|ui| ui.with_layout(right, &mut buttons));
        } else {
            ui.horizontal(|ui| {
                ui.label(label).on_hover_text(tooltip);
                ui.with_layout(right, &mut buttons);
            });
        }
        self.change(chosen)
    }

    /// A choice of one from a list, by its name; its place in the list.
    pub(crate) fn pick(
        &mut self,
        caption: Caption<'_>,
        value: &str,
        options: &[&str],
        width: f32,
    ) -> Change<'_, usize> {
        let entries = options.iter().map(|option| (*option, String::new(), *option == value));
        let (chosen, response) = self.list(caption, value, entries, width);
        response.on_hover_text(value);
        self.change(chosen.filter(|chosen| options[*chosen] != value))
    }

    /// A choice of one from a list of names with tooltips and whether each is the one chosen;
    /// which was clicked.
    pub(crate) fn list<'b>(
        &mut self,
        (label, tooltip): Caption<'_>,
        value: &str,
        entries: impl Iterator<Item = (&'b str, String, bool)>,
        width: f32,
    ) -> (Option<usize>, Response) {
        let mut clicked = None;
        let row = self.ui.horizontal(|ui| {
            let named = ui.label(label).on_hover_text(tooltip);
            let list = ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let width = width.min(ui.available_width() - 4.0).max(60.0);
                let combo = ComboBox::from_id_salt(label).selected_text(value).width(width);
                let shown = combo.truncate().show_ui(ui, |ui| {
                    for (i, (name, tooltip, is)) in entries.enumerate() {
                        let mut entry = ui.selectable_label(is, name);
                        if !tooltip.is_empty() {
                            entry = entry.on_hover_text(tooltip);
                        }
                        if entry.clicked() {
                            clicked = Some(i);
                        }
                    }
                });
                shown.response.labelled_by(named.id)
            });
            list.inner
        });
        (clicked, row.inner)
    }
}
