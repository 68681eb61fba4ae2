//! Measuring on the card: what to measure, what was found, what is kept for the plan.

use crate::command::Command;
use crate::state::{MeasureKind, MeasureTool};
use crate::widgets::{Form, figure_row};
use drawing::views;
use egui::{Button, RichText};
use knife::{Dimension, Edit};
use reckon::{Measured, measure};

/// The part of the card for measuring: at its head while it is measured, else when there is
/// something that was.
pub(crate) fn ui(form: &mut Form<'_>, tool: &mut MeasureTool) {
    let kept = &form.context.knife.dimensions;
    if !tool.active && tool.results.is_empty() && kept.is_empty() {
        return;
    }
    // What is only kept for the plan takes no room from what is worked on.
    if tool.active || !tool.results.is_empty() {
        form.heading("Measure");
    } else {
        let summary = format!("{} on the plan", kept.len());
        if !form.section("Measured", "Dimensions that are printed on the plan.", &summary) {
            return;
        }
    }
    if tool.active {
        if let Some(kind) = form.radio(&MeasureKind::ALL, tool.kind).value {
            tool.set_kind(kind);
        }
        form.note(tool.kind.hint(tool.picks.len()));
    }
    found(form, tool);
    plan(form);
    form.wrapped(|form| {
        if !tool.active {
            form.command(Command::Measure, true);
        } else if form.button(("Stop measuring", "M or Escape does the same.")) {
            form.actions.run(Command::Measure);
        }
        let caption = ("Clear measurements", "Those on the plan stay.");
        if form.button_if(!tool.results.is_empty(), caption) {
            tool.results.clear();
        }
    });
}

fn measured(form: &Form<'_>, dimension: &Dimension) -> Option<Measured> {
    measure(form.context.knife, form.context.reckoning().outline.as_ref(), dimension)
}

/// What was measured, each with a button that keeps it for the plan.
fn found(form: &mut Form<'_>, tool: &mut MeasureTool) {
    let mut gone = None;
    for (i, dimension) in tool.results.iter().enumerate() {
        let Some(found) = measured(form, dimension) else {
            gone = Some(i);
            continue;
        };
        let context = form.context;
        let text = views::measured_text(&found, context.unit());
        figure_row(form.ui, found.name, &text, 14.5, context.palette);
        let is_kept = context.knife.dimensions.contains(dimension);
        form.ui.push_id(("measured", i), |ui| {
            ui.horizontal(|ui| {
                let label = RichText::new("Put on plan").small();
                let tooltip =
                    "Keeps it in the file and prints it as a dimension on the plan sheet.";
                if ui.add_enabled(!is_kept, Button::new(label)).on_hover_text(tooltip).clicked() {
                    form.actions.edit(Edit::AddDimension(*dimension));
                }
                if ui.add(Button::new(RichText::new("Clear").small())).clicked() {
                    gone = Some(i);
                }
            });
        });
    }
    if let Some(i) = gone {
        tool.results.remove(i);
    }
}

/// What is kept for the plan.
fn plan(form: &mut Form<'_>) {
    let context = form.context;
    let kept = &context.reckoning().dimensions;
    if kept.is_empty() {
        return;
    }
    form.note("On the plan:");
    for (i, found) in kept.iter().enumerate() {
        let (name, text) = match found {
            Some(found) => (found.name, views::measured_text(found, context.unit())),
            None => ("Nothing to measure", String::new()),
        };
        figure_row(form.ui, name, &text, 14.5, context.palette);
        form.ui.push_id(("kept", i), |ui| {
            let button = Button::new(RichText::new("Remove from plan").small());
            if ui.add(button).clicked() {
                form.actions.edit(Edit::RemoveDimension(i));
            }
        });
    }
    if kept.len() > 1 {
        form.edit_button(("Remove all from plan", ""), Edit::ClearDimensions);
    }
}
