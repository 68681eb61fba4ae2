//! Which commands can be done now: the others stand in the menus, but grey.

use crate::command::Command;
use crate::derived::Derived;
use crate::document::Document;
use crate::state::{DrawTool, Session, Station};

/// Whether a command can be done now.
pub(super) fn enabled(
    command: Command,
    document: &Document,
    session: &Session,
    derived: &Derived,
    tabs: usize,
) -> bool {
    let has_outline = derived.reckoning.outline.is_some();
    let drawing = session.is_drawing(document.knife()).then_some(&session.drawing);
    let selection = &session.selection;
    match command {
        Command::Undo => {
            let has_points = drawing.is_some_and(DrawTool::has_points);
            has_points
                || document.history().undo_label().is_some()
                || document.history().in_gesture()
        }
        Command::Redo => {
            let removed = drawing.is_some_and(DrawTool::can_restore);
            removed || document.history().redo_label().is_some()
        }
        Command::DrawOutline => document.knife().profile.nodes.is_empty(),
        Command::CloseOutline => drawing.is_some_and(DrawTool::can_close),
        Command::Delete => {
            let point = session.station == Station::Bevels && selection.grind_point.is_some();
            point || !selection.nodes().is_empty() || !selection.holes().is_empty()
        }
        Command::AddLinePoint => {
            session.station == Station::Bevels && derived.reckoning.bevel.is_some()
        }
        Command::MakeCorner
        | Command::MakeSmooth
        | Command::MakeSymmetric
        | Command::MakeContinuous => !selection.nodes().is_empty(),
        Command::Copy | Command::Cut | Command::Duplicate => {
            selection.nodes().len() > 1
                || !selection.holes().is_empty()
                || !selection.segments().is_empty()
        }
        Command::Paste => session.tools.copied.is_some(),
        Command::Fair | Command::Measure => has_outline,
        Command::MarkTip | Command::MarkHeel => selection.nodes().len() == 1,
        Command::Straighten | Command::MakeCurved => !selection.segments().is_empty(),
        Command::AddNode => {
            has_outline && session.pointer.at().is_some() && session.station == Station::Profile
        }
        Command::RotateToFit => derived.reckoning.bar.is_some(),
        Command::AddHole
        | Command::FlipVertical
        | Command::FlipHorizontal
        | Command::Print
        | Command::Export => has_outline,
        Command::Picture => document.knife().picture.is_some(),
        Command::NextTab | Command::PreviousTab | Command::CloseTab => tabs > 1,
        Command::OpenPdf => session.print.printed.is_some(),
        Command::SelectAll => matches!(session.station, Station::Profile | Station::Holes),
        _ => true,
    }
}
