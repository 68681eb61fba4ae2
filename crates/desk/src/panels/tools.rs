//! The tool strip at the left: what is used all the time, each as a sign with its name and key.

use super::menu::MenuContext;
use crate::action::ActionQueue;
use crate::command::{Command, info_of, shortcut_text};
use crate::state::{Session, Station};
use crate::theme::Palette;
use crate::widgets::{Icon, icons};
use egui::{Rect, Role, Sense, Stroke, StrokeKind, Ui, UiBuilder, WidgetInfo, pos2, vec2};

/// A button's side, and the room from one to the next, points.
const SIDE: f32 = 30.0;
const PITCH: f32 = 33.0;
/// Room between groups, points.
const GROUP: f32 = 8.0;

/// A sign, its name for those who hear it, and what it does.
type Tool = (Icon, &'static str, Command);

/// The tools in their groups.
const TOOLS: &[&[Tool]] = &[
    &[
        (Icon::Select, "Select tool", Command::SelectNone),
        (Icon::Pen, "Pen tool", Command::DrawOutline),
        (Icon::Hole, "Hole tool", Command::AddHole),
        (Icon::Measure, "Measure tool", Command::Measure),
    ],
    &[(Icon::Undo, "Undo tool", Command::Undo), (Icon::Redo, "Redo tool", Command::Redo)],
    &[
        (Icon::ZoomIn, "Zoom in tool", Command::ZoomIn),
        (Icon::ZoomOut, "Zoom out tool", Command::ZoomOut),
        (Icon::Fit, "Fit tool", Command::Fit),
        (Icon::FitSelection, "Fit selection tool", Command::FitSelection),
        (Icon::TrueSize, "True size tool", Command::TrueSize),
    ],
    &[
        (Icon::Card, "Card tool", Command::Card),
        (Icon::Findings, "Problems tool", Command::Findings),
    ],
];

/// How wide the strip must be where there is this much height, points: in as many columns as hold
/// all of it.
pub(crate) fn width(height: f32) -> f32 {
    columns(height) * PITCH + 8.0
}

fn columns(height: f32) -> f32 {
    let gaps = GROUP * count(TOOLS.len().saturating_sub(1));
    let room = ((height - gaps - 8.0) / PITCH).floor().max(1.0);
    (count(TOOLS.iter().map(|group| group.len()).sum()) / room).ceil().max(1.0)
}

#[expect(clippy::cast_precision_loss, reason = "a handful")]
fn count(n: usize) -> f32 {
    n as f32
}

/// Shows the tools.
pub(crate) fn ui(
    ui: &mut Ui,
    session: &Session,
    context: &MenuContext<'_>,
    actions: &mut ActionQueue,
) {
    let room = ui.max_rect();
    let columns = columns(room.height());
    let (mut column, mut y) = (0.0, room.min.y + 4.0);
    for (i, group) in TOOLS.iter().enumerate() {
        if i > 0 {
            y += GROUP;
        }
        for tool in *group {
            if y + SIDE > room.max.y && column + 1.0 < columns {
                (column, y) = (column + 1.0, room.min.y + 4.0);
            }
            let at = pos2(room.min.x + 4.0 + column * PITCH, y);
            let rect = Rect::from_min_size(at, vec2(SIDE, SIDE));
            let is_on = is_on(tool.2, session, context);
            if button(ui, rect, *tool, is_on, context) {
                actions.run(tool.2);
            }
            y += PITCH;
        }
    }
}

/// Whether a tool is the one in hand, or what it shows is shown; `None` for what is done at once.
fn is_on(command: Command, session: &Session, context: &MenuContext<'_>) -> Option<bool> {
    let knife = context.document.knife();
    let holes = session.holes.active && session.station == Station::Holes;
    let draws = session.is_drawing(knife);
    match command {
        Command::SelectNone => Some(!holes && !draws && !session.tools.measuring.active),
        Command::Measure => Some(session.tools.measuring.active),
        Command::AddHole => Some(holes),
        Command::DrawOutline => Some(draws),
        Command::Card => Some(context.settings.card),
        Command::Findings => Some(context.settings.findings),
        _ => None,
    }
}

/// One tool; whether it was pressed.
fn button(
    ui: &mut Ui,
    rect: Rect,
    (icon, name, command): Tool,
    is_on: Option<bool>,
    context: &MenuContext<'_>,
) -> bool {
    let Some(info) = info_of(command) else { return false };
    let enabled = (context.enabled)(command);
    let label = info.label.trim_end_matches('…');
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect));
    if !enabled {
        child.disable();
    }
    let id = child.make_persistent_id(("tool", name));
    let response = child.interact(rect, id, Sense::click());
    response.widget_info(|| match is_on {
        Some(is) => WidgetInfo::selected(Role::Button, enabled, is, name),
        None => WidgetInfo::labeled(Role::Button, enabled, name),
    });
    let near = response.hovered() || response.has_focus();
    look(&child, rect, (icon, is_on == Some(true)), near, enabled, context.palette);
    let key = info.shortcut.as_ref().map(|key| shortcut_text(ui.ctx(), key));
    let key = key.map_or_else(String::new, |key| format!("  ({key})"));
    let tooltip = format!("{label}{key}\n{}.", info.tooltip);
    response.on_hover_text(&tooltip).on_disabled_hover_text(&tooltip).clicked()
}

fn look(ui: &Ui, rect: Rect, (icon, is_on): (Icon, bool), near: bool, enabled: bool, p: &Palette) {
    let fill = match (is_on, near && enabled) {
        (true, _) => Some(p.chosen),
        (false, true) => Some(p.button_near),
        (false, false) => None,
    };
    if let Some(fill) = fill {
        let edge = Stroke::new(1.0, if is_on { p.accent } else { p.hair });
        ui.painter().rect(rect, 6.0, fill, edge, StrokeKind::Inside);
    }
    let colour = if enabled { p.text } else { p.weak.gamma_multiply(0.5) };
    icons::paint(ui.painter(), rect.shrink(5.0), icon, colour);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_strip_takes_as_many_columns_as_it_needs() {
        let tools = count(TOOLS.iter().map(|group| group.len()).sum());
        for height in [120.0, 200.0, 300.0, 480.0, 900.0] {
            let room = ((height - 3.0 * GROUP - 8.0) / PITCH).floor();
            assert!(columns(height) * room >= tools, "{height}");
        }
        assert_eq!(columns(900.0), 1.0);
        assert!(width(200.0) > width(900.0));
    }
}
