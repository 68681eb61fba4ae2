//! What the card says while an outline is drawn, when there is none, and when it was just closed.

use super::{DrawTool, is_drawing};
use crate::Session;
use crate::canvas::{Read, hover};
use crate::command::{Command, Commands};
use crate::stations::{button, heading, pick, quiet, tick};
use crate::theme::{Palette, figures};
use egui::{Align2, Id, Key, RichText, TextEdit, Ui};
use knife::{Edit, Node, NodeId, Profile};

/// The whole card while there is no outline; whether there is none.
pub(crate) fn ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) -> bool {
    if !read.knife.profile.nodes.is_empty() {
        just_closed(ui, read, session, out);
        return false;
    }
    if is_drawing(session, read.knife) {
        drawing(ui, read, session, out);
    } else {
        none_yet(ui, read.palette, out);
    }
    true
}

/// What a station says that works on an outline when there is none.
pub(crate) fn none_yet(ui: &mut Ui, palette: &Palette, out: &mut Commands) {
    heading(ui, "No outline yet", palette);
    quiet(ui, "Draw the outline first; the rest follows from it.", palette);
    ui.add_space(4.0);
    button(ui, Command::DrawOutline, true, out);
    button(ui, Command::TakeOutline, true, out);
}

fn drawing(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    heading(ui, "Draw the outline", p);
    let about = format!(
        "Click along spine and edge, all the way round; a smooth curve runs through the points. \
         Few points make a fair curve. Or type x and y, counted {} at the mark.",
        read.origin.from_phrase()
    );
    quiet(ui, &about, p);
    ui.add_space(4.0);
    typed(ui, &mut session.draw, read, out);
    let draw = &mut session.draw;
    tick(
        ui,
        &mut draw.corner,
        "Typed point is a corner",
        "The curve may break its direction there.",
        p,
    );
    let mut straight = draw.is_straight();
    let about = "From the last point to the next runs a straight line.  (L)";
    ui.add_enabled_ui(draw.has_points(), |ui| {
        if tick(ui, &mut straight, "Straight to the next point", about, p) {
            draw.set_straight(straight);
        }
    });
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        button(ui, Command::CloseOutline, draw.can_close(), out);
        let about = "Backspace does the same.";
        let back = egui::Button::new("Take last point back");
        if ui.add_enabled(draw.has_points(), back).on_hover_text(about).clicked() {
            draw.take_back();
        }
        let about = "All points go. Escape does the same.";
        if ui.button("Discard drawing").on_hover_text(about).clicked() {
            draw.discard();
        }
    });
    heading(ui, "So far", p);
    let rows = [
        ("Points", draw.knots.len().to_string()),
        ("Length drawn", hover::short(draw.length_mm(), unit)),
    ];
    for (name, figure) in rows {
        ui.horizontal(|ui| {
            ui.label(name);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.label(RichText::new(figure).font(figures(15.5)));
            });
        });
    }
}

/// The two fields for a point, for those who draw by the keyboard: Enter goes on to y, then adds
/// the point and comes back to x; in two empty fields it closes the outline.
fn typed(ui: &mut Ui, draw: &mut DrawTool, read: &Read<'_>, out: &mut Commands) {
    let (unit, origin) = (read.knife.unit, &read.origin);
    let names = ["Point x", "Point y"];
    let about = ["Along the knife", "Up as the drawing lies"]
        .map(|way| format!("{way}. Counted {}.", origin.from_phrase()));
    let ids = names.map(Id::unique);
    let mut entered = None;
    for i in 0..2 {
        ui.horizontal(|ui| {
            let label = ui.label(names[i]).on_hover_text(&about[i]);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let edit = TextEdit::singleline(&mut draw.typed[i])
                    .id(ids[i])
                    .font(figures(15.5))
                    .align(Align2::RIGHT_CENTER)
                    .desired_width(104.0);
                let response = ui.add(edit).labelled_by(label.id);
                if response.changed() {
                    draw.refusal = None;
                }
                if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
                    entered = Some(i);
                }
            });
        });
    }
    let focus = |i: usize| ui.memory_mut(|memory| memory.request_focus(ids[i]));
    let both_empty = draw.typed.iter().all(|text| text.trim().is_empty());
    match entered {
        Some(0) if both_empty => out.run(Command::CloseOutline),
        Some(0) => focus(1),
        Some(_) => focus(if draw.add_typed(unit, origin) { 0 } else { 1 }),
        None => {}
    }
    if let Some(why) = &draw.refusal {
        ui.label(RichText::new(why).small().color(read.palette.stop));
    }
    let add = egui::Button::new("Add point");
    if ui.add_enabled(!both_empty, add).on_hover_text("Adds the typed point.").clicked() {
        draw.add_typed(unit, origin);
    }
}

/// Offers tip and heel as they were guessed.
fn just_closed(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    if !session.draw.just_closed {
        return;
    }
    let (p, profile) = (read.palette, &read.knife.profile);
    heading(ui, "Outline drawn", p);
    quiet(
        ui,
        "Tip and heel were guessed: the sharpest corner at an end, and the corner of the lower \
         side a little less than halfway behind it. If one is wrong, choose another node here, or \
         click the node and mark it.",
        p,
    );
    if let Some(node) = mark(ui, ("Tip", "Where edge and spine meet."), profile, profile.tip) {
        out.edit(Edit::MarkTip(node));
    }
    if let Some(node) = mark(ui, ("Heel", "Where the edge ends."), profile, profile.heel) {
        out.edit(Edit::MarkHeel(node));
    }
    let about = "Tip and heel are right; puts this part of the card away.";
    if ui.button("Keep tip and heel").on_hover_text(about).clicked() {
        session.draw.just_closed = false;
    }
}

/// A choice of one node; which was chosen anew.
fn mark(
    ui: &mut Ui,
    words: (&str, &str),
    profile: &Profile,
    now: Option<NodeId>,
) -> Option<NodeId> {
    let name = |node: &Node| {
        let kind = if node.smooth { "smooth" } else { "corner" };
        format!("Node {}: {kind}", node.id.0)
    };
    let names: Vec<String> = profile.nodes.iter().map(name).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let now = now.and_then(|id| profile.node(id)).map_or_else(String::new, name);
    let chosen = pick(ui, words, &now, &names, 150.0)?;
    profile.nodes.get(chosen).map(|node| node.id)
}
