//! A new knife: which bar, and how to begin.

use super::new_bar;
use crate::action::Action;
use crate::canvas::thumbnail;
use crate::command::Command;
use crate::state::Thumbnails;
use crate::widgets::{Form, modal, width_up_to};
use egui::{RichText, ScrollArea, vec2};
use knife::Bar;

/// The ways to begin: a label, what it means, and the command.
const WAYS: &[(&str, &str, Command)] = &[
    ("Start from a knife", "Take a finished blank and change it.", Command::Starters),
    ("Draw my own", "Draw an outline on the bar, point by point.", Command::DrawNew),
    ("Trace a picture", "Take the outline of a scan or a photo.", Command::TracePicture),
    ("Import outline", "Take the outline of a vector drawing.", Command::ImportOutline),
];

/// Asks for the bar and the way to begin; whether it stays open.
pub(super) fn ui(form: &mut Form<'_>, bar: &mut Bar, files: &Thumbnails) -> bool {
    let tall = form.ui.ctx().content_rect().height() - 150.0;
    let Form { ui, context, state, actions } = form;
    modal(ui, "begin", width_up_to(ui, 640.0, 60.0), |ui| {
        ui.heading("New knife");
        let mut done = false;
        let area = ScrollArea::vertical().max_height(tall).auto_shrink([false, true]);
        let area = area.min_scrolled_height(tall);
        area.show(ui, |ui| {
            let form = &mut Form { ui, context, state, actions };
            let text = "Which bar of steel? You can change its size at any time at the Bar \
                        station.";
            form.ui.label(RichText::new(text).color(context.palette.weak));
            new_bar::fields(form, bar);
            form.heading("How to begin");
            done |= ways(form, bar);
            if !files.recents.is_empty() {
                form.heading("Recent files");
                done |= thumbnail::recents(form.ui, files, context.palette, form.actions);
            }
        });
        ui.add_space(6.0);
        ui.button("Cancel").clicked() || done
    })
}

/// The ways to begin, each with what it means; whether one was chosen.
fn ways(form: &mut Form<'_>, bar: &Bar) -> bool {
    let mut done = false;
    let usual = new_bar::usual(form.context.settings.unit);
    for (label, text, command) in WAYS {
        form.ui.horizontal(|ui| {
            let button = egui::Button::new(*label).min_size(vec2(170.0, 0.0));
            if ui.add(button).on_hover_text(*text).clicked() {
                let placed = new_bar::with_origin(bar.clone());
                form.actions.push(if *command == Command::DrawNew {
                    Action::DrawOnBar(Box::new(placed))
                } else {
                    // A bar that nobody chose doesn't take the place of the knife's own.
                    let chosen = (*bar != usual).then(|| Box::new(placed));
                    Action::BeginOn(chosen, *command)
                });
                done = true;
            }
            ui.label(RichText::new(*text).color(form.context.palette.weak));
        });
    }
    done
}
