//! Which commands can be done now: the others stand in the menus, but grey.

use crate::command::Command;
use crate::derived::Derived;
use crate::open::Open;
use crate::session::Session;
use crate::{Station, draw};

/// Whether a command can be done now.
pub(super) fn enabled(command: Command, open: &Open, session: &Session, derived: &Derived) -> bool {
    let has_outline = derived.reckoning.outline.is_some();
    let draws = draw::is_drawing(session, open.knife());
    let drawing = draws.then_some(&session.draw);
    match command {
        Command::Undo => {
            let drawn = drawing.is_some_and(draw::DrawTool::has_points);
            drawn || open.history().undo_label().is_some() || open.history().in_gesture()
        }
        Command::Redo => {
            let taken_back = drawing.is_some_and(draw::DrawTool::can_put_again);
            taken_back || open.history().redo_label().is_some()
        }
        Command::DrawOutline => open.knife().profile.nodes.is_empty(),
        Command::CloseOutline => drawing.is_some_and(draw::DrawTool::can_close),
        Command::Delete => {
            let point = session.station == Station::Bevels && session.grind_point.is_some();
            point || !session.nodes().is_empty() || !session.holes().is_empty()
        }
        Command::AddLinePoint => {
            session.station == Station::Bevels && derived.reckoning.bevel.is_some()
        }
        Command::Corner | Command::Smooth => !session.nodes().is_empty(),
        Command::MarkTip | Command::MarkHeel => session.nodes().len() == 1,
        Command::Straighten | Command::Bend => !session.stretches().is_empty(),
        Command::AddNode => {
            has_outline && session.pointer.is_some() && session.station == Station::Profile
        }
        Command::TurnToFit => derived.reckoning.bar.is_some(),
        Command::AddHole | Command::MirrorAcross | Command::MirrorAlong | Command::Print => {
            has_outline
        }
        Command::OpenPdf => session.printed.is_some(),
        Command::ChooseAll => matches!(session.station, Station::Profile | Station::Holes),
        _ => true,
    }
}
