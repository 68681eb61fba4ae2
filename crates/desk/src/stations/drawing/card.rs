//! What the card says while an outline is drawn, when there is none, and when it was just closed.

use crate::command::Command;
use crate::state::{DrawTool, Pen};
use crate::theme::figures;
use crate::widgets::{Caption, Form};
use egui::{Align, Align2, Id, Key, Layout, RichText, TextEdit};
use knife::{Edit, Node, NodeId, Profile};

/// The beginning of the card; whether there is no outline.
pub(crate) fn ui(form: &mut Form<'_>, tool: &mut DrawTool) -> bool {
    let knife = form.context.knife;
    if !knife.profile.nodes.is_empty() {
        just_closed(form, tool);
        return false;
    }
    if tool.takes_canvas(knife) {
        drawing(form, tool);
    } else {
        no_outline(form);
    }
    true
}

/// What a station says that works on an outline when there is none.
pub(crate) fn no_outline(form: &mut Form<'_>) {
    form.heading("No outline yet");
    form.note("Draw the outline first; the rest follows from it.");
    form.ui.add_space(4.0);
    form.command(Command::DrawOutline, true);
    form.command(Command::ImportOutline, true);
    form.command(Command::TracePicture, true);
}

fn drawing(form: &mut Form<'_>, tool: &mut DrawTool) {
    let context = form.context;
    form.heading("Draw the outline");
    form.note(&format!(
        "Click along spine and edge, all the way round; a smooth curve runs through the points. \
         Few points make a fair curve. Or type x and y, counted {} at the mark.",
        context.origin.from_phrase()
    ));
    form.ui.add_space(4.0);
    typed(form, tool);
    let tooltip = "The outline may have a corner there.";
    form.tick(&mut tool.corner, ("Typed point is a corner", tooltip));
    form.note("To the next point:  (L straight, A arc, H by hand)");
    if let Some(pen) = form.radio(&Pen::ALL, tool.pen()).value {
        tool.set_pen(pen);
    }
    form.ui.add_space(4.0);
    form.wrapped(|form| {
        form.command(Command::CloseOutline, tool.can_close());
        let caption = ("Remove last point", "Backspace does the same.");
        if form.button_if(tool.has_points(), caption) {
            tool.remove_last();
        }
        if form.button(("Discard drawing", "Removes all points. Escape does the same.")) {
            tool.discard();
        }
    });
    form.heading("So far");
    let rows = [
        ("Points", tool.knots.len().to_string()),
        ("Length drawn", context.short(tool.length_mm())),
    ];
    for (label, figure) in rows {
        form.ui.horizontal(|ui| {
            ui.label(label);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.label(RichText::new(figure).font(figures(15.5)));
            });
        });
    }
}

/// The two fields for a point, for those who draw by the keyboard: Enter goes on to y, then adds
/// the point and comes back to x; in two empty fields it closes the outline.
fn typed(form: &mut Form<'_>, tool: &mut DrawTool) {
    let (context, ui) = (form.context, &mut *form.ui);
    let (unit, origin) = (context.unit(), &context.origin);
    let labels = ["Point x", "Point y"];
    let tooltips = ["Along the knife", "Up as the drawing lies"]
        .map(|axis| format!("{axis}. Counted {}.", origin.from_phrase()));
    let ids = labels.map(Id::unique);
    let mut entered = None;
    for i in 0..2 {
        ui.horizontal(|ui| {
            let label = ui.label(labels[i]).on_hover_text(&tooltips[i]);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let edit = TextEdit::singleline(&mut tool.typed[i])
                    .id(ids[i])
                    .font(figures(15.5))
                    .align(Align2::RIGHT_CENTER)
                    .desired_width(104.0);
                let response = ui.add(edit).labelled_by(label.id);
                if response.changed() {
                    tool.refusal = None;
                }
                if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
                    entered = Some(i);
                }
            });
        });
    }
    let focus = |i: usize| ui.memory_mut(|memory| memory.request_focus(ids[i]));
    let both_empty = tool.typed.iter().all(|text| text.trim().is_empty());
    match entered {
        Some(0) if both_empty => form.actions.run(Command::CloseOutline),
        Some(0) => focus(1),
        Some(_) => focus(if tool.add_typed(unit, origin) { 0 } else { 1 }),
        None => {}
    }
    if let Some(why) = &tool.refusal {
        ui.label(RichText::new(why).small().color(context.palette.stop));
    }
    if form.button_if(!both_empty, ("Add point", "Adds the typed point.")) {
        tool.add_typed(unit, origin);
    }
}

/// Offers tip and heel as they were guessed.
fn just_closed(form: &mut Form<'_>, tool: &mut DrawTool) {
    if !tool.just_closed {
        return;
    }
    let profile = &form.context.knife.profile;
    form.heading("Outline drawn");
    form.note(
        "Tip and heel were guessed: the sharpest corner at an end, and the corner of the lower \
         side a little less than halfway behind it. If one is wrong, choose another node here, or \
         click the node and mark it.",
    );
    let caption = ("Tip", "Where edge and spine meet.");
    if let Some(node) = pick_node(form, caption, profile, profile.tip) {
        form.actions.edit(Edit::MarkTip(node));
    }
    let caption = ("Heel", "Where the edge ends.");
    if let Some(node) = pick_node(form, caption, profile, profile.heel) {
        form.actions.edit(Edit::MarkHeel(node));
    }
    let tooltip = "Tip and heel are right; closes this part of the card.";
    if form.button(("Keep tip and heel", tooltip)) {
        tool.just_closed = false;
    }
}

/// A choice of one node; which was chosen anew.
fn pick_node(
    form: &mut Form<'_>,
    caption: Caption<'_>,
    profile: &Profile,
    now: Option<NodeId>,
) -> Option<NodeId> {
    let name = |node: &Node| format!("Node {}: {}", node.id.0, node.kind.label());
    let names: Vec<String> = profile.nodes.iter().map(name).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let now = now.and_then(|id| profile.node(id)).map_or_else(String::new, name);
    let chosen = form.pick(caption, &now, &names, 150.0).value?;
    profile.nodes.get(chosen).map(|node| node.id)
}
