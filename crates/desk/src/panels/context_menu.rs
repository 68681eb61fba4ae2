//! What a right click on the canvas offers: commands for what is under the pointer.

use super::menu::MenuContext;
use crate::action::ActionQueue;
use crate::canvas::paint;
use crate::command::{Command, info_of, shortcut_text};
use crate::context::{KnifeView, ViewContext};
use crate::state::{Session, Station};
use egui::{Button, Popup, PopupCloseBehavior, Pos2, Response, SetOpenCommand, Ui};
use knife::PartId;
use kurbo::Circle;

/// How near the pointer must come to a node or a line, points.
const REACH: f64 = 9.0;

/// What can be done with nodes.
const NODES: &[Command] = &[
    Command::MakeSmooth,
    Command::MakeSymmetric,
    Command::MakeContinuous,
    Command::MakeCorner,
    Command::Fair,
    Command::MarkTip,
    Command::MarkHeel,
    Command::Cut,
    Command::Copy,
    Command::Delete,
];
/// What can be done with segments.
const SEGMENTS: &[Command] =
    &[Command::AddNode, Command::Straighten, Command::MakeCurved, Command::Copy, Command::Paste];
/// What can be done with holes.
const HOLES: &[Command] = &[Command::Cut, Command::Copy, Command::Duplicate, Command::Delete];
/// What can be done anywhere.
const VIEW: &[Command] = &[
    Command::Undo,
    Command::Redo,
    Command::SelectAll,
    Command::Fit,
    Command::FitSelection,
    Command::TrueSize,
    Command::Measure,
    Command::PinSection,
    Command::Shaded,
    Command::Turn,
    Command::Grid,
];

/// Shows the menu where a right click asks for it. What was clicked is selected first, unless it
/// is among what is selected already.
pub(crate) fn show(
    ui: &Ui,
    background: &Response,
    knife_view: &KnifeView,
    context: &ViewContext<'_>,
    session: &mut Session,
    menus: &MenuContext<'_>,
    actions: &mut ActionQueue,
) {
    let pressed = ui.input(|input| input.pointer.secondary_clicked());
    let at = ui.input(|input| input.pointer.interact_pos());
    let at =
        at.filter(|pos| pressed && background.contains_pointer() && background.rect.contains(*pos));
    if let Some(at) = at {
        session.pointer.menu_at = Some(knife_view.view.mm_from_ui(at));
        if let Some(part) = part_under(knife_view, context, at)
            && !session.selection.contains(part)
        {
            session.selection.choose(part, false);
        }
    }
    let popup = Popup::from_response(background)
        .id(background.id.with("context menu"))
        .at_pointer_fixed()
        .open_memory(at.map(|_| SetOpenCommand::Bool(true)))
        .close_behavior(PopupCloseBehavior::CloseOnClick)
        .style(egui::containers::menu::menu_style)
        .accessible_name("What can be done here")
        .layout(egui::Layout::top_down_justified(egui::Align::Min));
    popup.show(|ui| {
        ui.set_min_width(270.0);
        ui.spacing_mut().item_spacing.y = 1.0;
        let own = own(context.station, session);
        for command in own {
            entry(ui, *command, menus, actions);
        }
        if !own.is_empty() {
            ui.separator();
        }
        for command in VIEW {
            entry(ui, *command, menus, actions);
        }
    });
}

/// What can be done with what is selected.
fn own(station: Station, session: &Session) -> &'static [Command] {
    let selection = &session.selection;
    match station {
        Station::Profile if !selection.nodes().is_empty() => NODES,
        Station::Profile if !selection.segments().is_empty() => SEGMENTS,
        Station::Holes if !selection.holes().is_empty() => HOLES,
        Station::Holes => &[Command::AddHole, Command::Paste],
        Station::Bevels => &[Command::AddLinePoint, Command::Delete],
        Station::Bar => &[Command::RotateToFit, Command::Chain],
        _ => &[],
    }
}

fn entry(ui: &mut Ui, command: Command, menus: &MenuContext<'_>, actions: &mut ActionQueue) {
    let Some(info) = info_of(command).filter(|_| (menus.enabled)(command)) else { return };
    let mut button = Button::new(info.label);
    if let Some(key) = &info.shortcut {
        button = button.shortcut_text(shortcut_text(ui.ctx(), key));
    }
    if ui.add(button).on_hover_text(format!("{}.", info.tooltip)).clicked() {
        actions.run(command);
    }
}

/// The part of this station that lies under a point of the screen.
fn part_under(knife_view: &KnifeView, context: &ViewContext<'_>, at: Pos2) -> Option<PartId> {
    let (knife, place) = (context.knife, knife_view.knife_from_ui(at));
    let reach_mm = knife_view.mm(REACH);
    match context.station {
        Station::Profile => {
            let nodes = knife.profile.nodes.iter().map(|node| (node.at.distance(place), node.id));
            let node = nodes.filter(|(away, _)| *away <= reach_mm);
            if let Some((_, id)) = node.min_by(|a, b| a.0.total_cmp(&b.0)) {
                return Some(PartId::Node(id));
            }
            let outline = context.reckoning().outline.as_ref()?;
            let near = outline.nearest(place);
            let start = knife.profile.nodes.get(near.segment)?.id;
            (near.distance_mm <= reach_mm).then_some(PartId::Stretch(start))
        }
        Station::Holes => {
            let holes = knife.holes.iter().map(|hole| {
                let Circle { center, radius } = hole.circle();
                (center.distance(place) - radius, hole.id)
            });
            let nearest = holes.min_by(|a, b| a.0.total_cmp(&b.0));
            nearest.filter(|(away, _)| *away <= reach_mm).map(|(_, id)| PartId::Hole(id))
        }
        station => {
            let on_plane = knife_view.view.mm_from_ui(at);
            let wanted = |part| station.works_on(part);
            paint::part_at(&context.derived.drawing, on_plane, reach_mm, wanted)
        }
    }
}
