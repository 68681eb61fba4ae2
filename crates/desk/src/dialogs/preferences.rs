//! The maker's settings: they apply at once and are kept between runs.

use crate::action::{Action, ActionQueue};
use crate::context::ViewContext;
use crate::settings::{GRID_MM, SCALE, Settings};
use crate::theme::{ColorTheme, bold};
use crate::widgets::{Form, modal, width_up_to};
use egui::{DragValue, RichText, ScrollArea, Slider, Ui};
use units::LengthUnit;

/// Shows them; whether they stay open.
pub(super) fn ui(ui: &Ui, context: &ViewContext<'_>, actions: &mut ActionQueue) -> bool {
    let tall = ui.ctx().content_rect().height() - 150.0;
    modal(ui, "preferences", width_up_to(ui, 440.0, 60.0), |ui| {
        ui.heading("Preferences");
        let mut settings = context.settings.clone();
        let area = ScrollArea::vertical().max_height(tall).auto_shrink([false, true]);
        let area = area.min_scrolled_height(tall);
        area.show(ui, |ui| {
            Form::outline_ticks(ui, context);
            appearance(ui, &mut settings, context);
            units(ui, &mut settings, context);
            files(ui, &mut settings, context);
        });
        if settings != *context.settings {
            actions.push(Action::SetSettings(Box::new(settings)));
        }
        ui.add_space(6.0);
        ui.button("Close").clicked()
    })
}

fn heading(ui: &mut Ui, text: &str, context: &ViewContext<'_>) {
    ui.add_space(8.0);
    ui.label(RichText::new(text).font(bold(15.5)).color(context.palette.accent));
}

fn appearance(ui: &mut Ui, settings: &mut Settings, context: &ViewContext<'_>) {
    heading(ui, "Appearance", context);
    ui.horizontal(|ui| {
        ui.radio_value(&mut settings.color_theme, ColorTheme::Dark, "Dark theme");
        ui.radio_value(&mut settings.color_theme, ColorTheme::Light, "Light theme");
    });
    ui.horizontal(|ui| {
        // While it is dragged the whole window would grow under the pointer, so it goes in steps.
        let label = ui.label("Text size");
        let slider = Slider::new(&mut settings.scale, SCALE).step_by(0.125).show_value(false);
        let slider = ui.add(slider);
        let percent = format!("{:.0} %", 100.0 * settings.scale);
        ui.label(RichText::new(percent).color(context.palette.weak));
        slider.labelled_by(label.id);
    });
    ui.checkbox(&mut settings.card, "Show the card");
    ui.checkbox(&mut settings.findings, "Show the list of problems");
    ui.checkbox(&mut settings.section, "Show the cross-section");
}

fn units(ui: &mut Ui, settings: &mut Settings, context: &ViewContext<'_>) {
    heading(ui, "New knives", context);
    ui.horizontal(|ui| {
        ui.radio_value(&mut settings.unit, LengthUnit::Inch, "Inches");
        ui.radio_value(&mut settings.unit, LengthUnit::Millimetre, "Millimetres");
    });
    ui.label(
        RichText::new("The knife that is open keeps its own unit (View).")
            .small()
            .color(context.palette.weak),
    );
    heading(ui, "Grid", context);
    ui.checkbox(&mut settings.grid, "Show the grid");
    ui.horizontal(|ui| {
        let label = ui.label("Grid spacing");
        let (unit_mm, suffix) = match context.unit() {
            LengthUnit::Inch => (25.4, " in"),
            LengthUnit::Millimetre => (1.0, " mm"),
        };
        let mut pitch = settings.pitch_mm(context.unit()) / unit_mm;
        let range = GRID_MM.start() / unit_mm..=GRID_MM.end() / unit_mm;
        let value = DragValue::new(&mut pitch).range(range).speed(0.1 / unit_mm);
        let value = value.max_decimals(4).update_while_editing(false).suffix(suffix);
        if ui.add(value).labelled_by(label.id).changed() {
            settings.grid_mm = Some(pitch * unit_mm);
        }
    });
}

fn files(ui: &mut Ui, settings: &mut Settings, context: &ViewContext<'_>) {
    heading(ui, "Files", context);
    ui.checkbox(&mut settings.reopen, "Open the last file at startup");
    let tooltip = "A knife that has a file is saved to it half a minute after a change. Unsaved work \
                   is kept for recovery in any case.";
    ui.checkbox(&mut settings.autosave, "Save to the file automatically").on_hover_text(tooltip);
}
