//! Tracing a picture: the picture with the outline proposed over it, and what can be chosen.

mod choices;
mod handles;
mod mapping;
mod shown;

use crate::action::Action;
use crate::state::{SquaringChoice, Tracing, UseOf};
use crate::text::sentence;
use crate::theme::Palette;
use crate::widgets::{Form, modal, width_up_to};
use egui::{Button, ProgressBar, RichText, ScrollArea, Ui, vec2};
use trace::{Found, TraceError};
use units::show_mm;

/// Width of the column of choices, points.
const CHOICES: f32 = 300.0;
/// Height of what is told below the picture, points.
const OUTCOME: f32 = 92.0;

/// Shows it; whether it stays open.
pub(super) fn ui(form: &mut Form<'_>, tracing: &mut Box<Tracing>) -> bool {
    tracing.poll();
    let context = form.context;
    let palette = context.palette;
    let Form { ui, state, actions, .. } = form;
    let stays = modal(ui, "tracing", width_up_to(ui, 1040.0, 40.0), |ui| {
        ui.heading("Trace a picture");
        let height = (ui.ctx().content_rect().height() - 150.0).clamp(180.0, 620.0);
        ui.horizontal_top(|ui| {
            let width = (ui.available_width() - CHOICES - 24.0).max(160.0);
            ui.vertical(|ui| {
                ui.set_width(width);
                shown::picture(ui, vec2(width, height - OUTCOME - 8.0), tracing, palette);
                let area = ScrollArea::vertical().id_salt("outcome").auto_shrink(false);
                area.max_height(OUTCOME).show(ui, |ui| outcome(ui, tracing, palette));
            });
            ui.add_space(8.0);
            ui.vertical(|ui| {
                let area = ScrollArea::vertical().max_height(height).min_scrolled_height(height);
                area.auto_shrink(false).show(ui, |ui| {
                    choices::ui(&mut Form { ui, context, state, actions }, tracing);
                });
            });
        });
        ui.add_space(4.0);
        let row = ui.horizontal(|ui| {
            let ready = tracing.progress().is_none();
            let outline = ready && tracing.outline().is_some();
            let text = "Puts the outline in place of the one that is open, as one step.";
            let button = ui.add_enabled(outline, Button::new("Use this outline"));
            let outline = button.on_hover_text(text).clicked();
            let squared = ready && tracing.squared.is_some();
            let text = "Lays only the picture under the blank, at true size, to draw over.";
            let button = ui.add_enabled(squared, Button::new("Lay the picture under the blank"));
            let picture = button.on_hover_text(text).clicked();
            let of = if outline { Some(UseOf::Outline) } else { picture.then_some(UseOf::Picture) };
            if let Some(of) = of {
                actions.push(Action::UseTracing(tracing.clone(), of));
            }
            ui.button("Cancel").clicked() || of.is_some()
        });
        row.inner
    });
    if !stays {
        tracing.stop();
    }
    stays
}

/// What wakes the desk when the thread is done.
fn wake(ui: &Ui) -> impl Fn() + Send + 'static {
    let ctx = ui.ctx().clone();
    move || ctx.request_repaint()
}

/// What was found, or why nothing was.
fn outcome(ui: &mut Ui, tracing: &mut Tracing, palette: &Palette) {
    if let Some(share) = tracing.progress() {
        ui.label("Tracing…");
        ui.horizontal(|ui| {
            ui.add(ProgressBar::new(share).desired_width(180.0));
            if ui.button("Stop").clicked() {
                tracing.stop();
                tracing.traced = Some(Err(TraceError::Cancelled));
            }
        });
        // The bar moves on.
        ui.ctx().request_repaint_after(std::time::Duration::from_millis(100));
        return;
    }
    match &tracing.traced {
        None if tracing.squaring == SquaringChoice::Points => {
            let text = "Drag the two points to both ends of something that you have measured, and \
                        type its length.";
            ui.label(RichText::new(text).color(palette.weak));
        }
        None => {}
        Some(Err(why)) => {
            ui.label(RichText::new(sentence(&why.to_string())).color(palette.care));
        }
        Some(Ok(traced)) => {
            if let Some(squared) = &tracing.squared {
                ui.label(by_what(&squared.found));
            }
            ui.label(format!(
                "{} nodes, {} holes; nowhere more than {} off the contour (the ring shows where); \
                 ±{} in all.",
                traced.node_count(),
                traced.holes.len(),
                show_mm(traced.max_distance_mm, 2),
                show_mm(traced.error_mm(), 2)
            ));
            for note in &traced.notes {
                ui.label(RichText::new(note.to_string()).color(palette.weak));
            }
        }
    }
}

fn by_what(found: &Found) -> String {
    match found {
        Found::Density { dpi } => format!("Scan at {dpi:.0} dots per inch."),
        Found::TwoPoints => "Scaled by two points.".to_owned(),
        Found::Rectangle { size, .. } => {
            format!("Sheet of {:.1} × {}.", size.width, show_mm(size.height, 1))
        }
        Found::Mat { columns, rows, used } => {
            format!("Tracing mat of {columns} × {rows} targets, {used} used.")
        }
    }
}
