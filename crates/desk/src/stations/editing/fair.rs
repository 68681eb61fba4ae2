//! Fairing on the card and on the canvas: what it would do is shown before it is done.

use crate::canvas::paint;
use crate::command::Command;
use crate::context::CanvasContext;
use crate::state::{FairResult, Fairing, Selection};
use crate::theme::Ink;
use crate::widgets::{Field, Form, figure_column, figure_row, in_range, read_length};
use knife::Edit;

/// Tolerances that may be typed, mm.
const TOLERANCE_MM: std::ops::RangeInclusive<f64> = 0.001..=10.0;

/// The part of the card for curves: fairing, and fewer nodes.
pub(crate) fn card(form: &mut Form<'_>, selection: &Selection, fairing: &mut Fairing, radii: bool) {
    let context = form.context;
    if context.reckoning().outline.is_none() {
        return;
    }
    let nodes = selection.nodes();
    let which = match nodes.len() {
        0 => "all nodes".to_owned(),
        1 => "1 node".to_owned(),
        n => format!("{n} nodes"),
    };
    let tooltip = "Fair: move nodes and handles a little, so that the curvature changes evenly. \
                   Simplify: remove nodes that the shape does not need.";
    if !form.section("Fair curves", tooltip, &which) && !fairing.active {
        return;
    }
    let unit = context.unit();
    let tooltip = "Nothing moves further than this: no node, and no point of the outline.";
    let field =
        Field::new(("Tolerance", tooltip), context.typed_length(fairing.tolerance_mm(unit)));
    let parse = |text: &str| {
        in_range(read_length(text, unit)?, &TOLERANCE_MM, |mm| context.typed_length(mm))
    };
    if let Some(mm) = form.field(field, parse).value {
        fairing.typed_mm = Some(mm);
    }
    let tolerance_mm = fairing.tolerance_mm(unit);
    if fairing.active {
        preview(form, fairing);
    } else {
        form.wrapped(|form| {
            form.command(Command::Fair, true);
            let tooltip = "Removes as many nodes as can go within the tolerance; corners, tip and \
                           heel stay.";
            let edit = Edit::Simplify { nodes: nodes.clone(), tolerance_mm };
            form.edit_button(("Simplify", tooltip), edit);
        });
    }
    let tooltip = "Radii are written where the outline bends most and least.";
    form.command_tick(Command::CombRadii, radii, ("Radii on the comb", tooltip));
}

fn preview(form: &mut Form<'_>, fairing: &mut Fairing) {
    let context = form.context;
    let Some(preview) = &fairing.preview else { return };
    match &preview.result {
        Err(why) => form.note(why),
        Ok(found) => {
            form.note(
                "Before in grey, after in colour: teeth should rise and fall evenly. Nothing is \
                 changed yet.",
            );
            let rows = rows(found, |mm| context.short(mm));
            figure_column(form.ui, |ui| {
                for (name, text) in rows {
                    figure_row(ui, name, &text, 14.5, context.palette);
                }
            });
        }
    }
    let edit = preview.result.is_ok().then(|| Edit::FairNodes {
        nodes: preview.nodes.clone(),
        tolerance_mm: preview.tolerance_mm,
    });
    let mut done = false;
    form.wrapped(|form| {
        if form.button_if(edit.is_some(), ("Accept fairing", "Changes the outline, as one step."))
            && let Some(edit) = edit.clone()
        {
            form.actions.edit(edit);
            done = true;
        }
        done |= form.button(("Discard fairing", "Leaves the outline as it is."));
    });
    if done {
        fairing.active = false;
        fairing.preview = None;
    }
}

/// What fairing would do, in figures.
fn rows(found: &FairResult, length: impl Fn(f64) -> String) -> Vec<(&'static str, String)> {
    let [before, after] = found.variation;
    let times = if after > 0.0 { before / after } else { f64::INFINITY };
    let fairer = match times {
        t if !t.is_finite() || t > 9_999.0 => "over 9999 times fairer".to_owned(),
        t if t < 1.005 => "as fair as it can be".to_owned(),
        t if t < 10.0 => format!("{} times fairer", units::show_number(t, 1)),
        t => format!("{} times fairer", units::show_number(t, 0)),
    };
    vec![("Curvature changes", fairer), ("Furthest moved", length(found.moved_mm))]
}

/// The outline as it would be, and both combs.
pub(crate) fn on_canvas(cx: &CanvasContext<'_>) {
    let fairing = &cx.tools.fairing;
    let Some(preview) = fairing.preview.as_ref().filter(|_| fairing.active) else { return };
    let Ok(found) = &preview.result else { return };
    let (painter, view, p) = (cx.ui.painter(), &cx.knife_view.view, cx.context.palette);
    let before = Ink::solid(p.scribed_soft.gamma_multiply(0.55), 0.8);
    let after = Ink::solid(p.grip_chosen, 1.0);
    paint::drawing(painter, view, &found.combs[0], |_| Some(before.clone()));
    paint::drawing(painter, view, &found.combs[1], |_| Some(after.clone()));
    let path = cx.knife_view.plane_from_knife * found.outline.to_path();
    paint::path_line(painter, view, &path, &Ink::solid(p.grip_chosen, 1.6));
}
