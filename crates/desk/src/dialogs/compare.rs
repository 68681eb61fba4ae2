//! Another knife under this one: which, and what differs.

use crate::action::{Action, ActionQueue};
use crate::command::Command;
use crate::context::ViewContext;
use crate::state::{Ghost, Session};
use crate::theme::{bold, figures};
use crate::widgets::{modal, width_up_to};
use egui::{Align, Label, Layout, RichText, ScrollArea, Ui, vec2};
use knife::{STARTERS, starter};
use reckon::Comparison;

/// Shows it; whether it stays open.
pub(super) fn ui(
    ui: &Ui,
    context: &ViewContext<'_>,
    session: &Session,
    actions: &mut ActionQueue,
) -> bool {
    let tall = ui.ctx().content_rect().height() - 240.0;
    modal(ui, "compare", width_up_to(ui, 720.0, 60.0), |ui| {
        ui.heading("Compare");
        let text = "Another knife is shown under this one as a dashed line, with both origins at \
                    the same place, and marked where the two differ most.";
        ui.label(RichText::new(text).color(context.palette.weak));
        let area = ScrollArea::vertical().max_height(tall).auto_shrink([false, true]);
        let area = area.min_scrolled_height(tall);
        area.show(ui, |ui| {
            choices(ui, context, session, actions);
            if let Some((ghost, comparison)) =
                session.ghost.as_ref().zip(context.derived.ghost.comparison())
            {
                table(ui, ghost, comparison, context);
            }
        });
        ui.add_space(6.0);
        ui.horizontal(|ui| {
            let close = ui.button("Close").clicked();
            if session.ghost.is_some() && ui.button("Hide the other knife").clicked() {
                actions.push(Action::HideGhost);
            }
            close
        })
        .inner
    })
}

/// What can be shown: starters, recent files, versions, another file.
fn choices(ui: &mut Ui, context: &ViewContext<'_>, session: &Session, actions: &mut ActionQueue) {
    let shown = session.ghost.as_ref().map_or("Nothing", |ghost| &ghost.name);
    ui.horizontal_wrapped(|ui| {
        let label = ui.label("Show under this knife");
        let combo = egui::ComboBox::from_id_salt("ghost").selected_text(shown).width(220.0);
        let combo = combo.show_ui(ui, |ui| {
            for known in STARTERS {
                let Some(knife) = starter(known.key).map(knife::Starter::knife) else { continue };
                let name = knife.name.trim().to_owned();
                if ui.selectable_label(name == shown, &name).clicked() {
                    actions.push(Action::ShowGhost(Box::new(Ghost::new(name, knife))));
                }
            }
        });
        combo.response.labelled_by(label.id);
        if ui.button("A version…").clicked() {
            actions.run(Command::Versions);
        }
        if ui.button("A file…").clicked() {
            actions.push(Action::AskPath(crate::state::Purpose::Compare));
        }
    });
    if context.settings.recents.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Recent files").color(context.palette.weak));
        for path in context.settings.recents.iter().take(6) {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            let name = name.trim_end_matches(knife::file::EXTENSION);
            if ui.button(name).on_hover_text(path.display().to_string()).clicked() {
                actions.push(Action::GhostFromFile(path.clone()));
            }
        }
    });
}

/// Where the outlines part, and the figures that differ.
fn table(ui: &mut Ui, ghost: &Ghost, comparison: &Comparison, context: &ViewContext<'_>) {
    let p = context.palette;
    ui.add_space(8.0);
    let most = comparison.gaps.first().map(|gap| units::show_mm(gap.mm, 2));
    let text = match most {
        Some(most) => format!("The outlines differ by {most} at most."),
        None => "The outlines are the same.".to_owned(),
    };
    ui.label(text);
    if comparison.changed.is_empty() {
        ui.label("No figure differs.");
        return;
    }
    ui.label(RichText::new("Figures that differ").font(bold(15.5)).color(p.accent));
    row(ui, ["", "This knife", &ghost.name].map(|head| RichText::new(head).color(p.weak)));
    let mut group = "";
    for changed in &comparison.changed {
        if changed.group != group {
            group = &changed.group;
            ui.label(RichText::new(group).font(bold(14.0)));
        }
        let value = |text: &Option<String>| {
            RichText::new(text.as_deref().unwrap_or("–")).font(figures(13.5))
        };
        let name = RichText::new(changed.name).color(p.weak);
        row(ui, [name, value(&changed.this), value(&changed.other)]);
    }
}

/// The share of the width that each column has: what it is, and the two knives.
const SHARES: [f32; 3] = [0.32, 0.34, 0.34];

/// A row of the table; what is long runs over several lines.
fn row(ui: &mut Ui, cells: [RichText; 3]) {
    let room = ui.available_width() - 2.0 * ui.spacing().item_spacing.x;
    ui.horizontal_top(|ui| {
        for (text, share) in cells.into_iter().zip(SHARES) {
            let size = vec2(room * share, 0.0);
            ui.allocate_ui_with_layout(size, Layout::top_down(Align::Min), |ui| {
                ui.set_width(size.x);
                ui.add(Label::new(text).wrap());
            });
        }
    });
}
