//! The grid on a card: whether it is there, and how far apart its lines are.

use crate::action::Action;
use crate::command::Command;
use crate::context::ViewContext;
use crate::settings::GRID_MM;
use crate::widgets::{Field, Form, read_length};

pub(super) fn card(form: &mut Form<'_>) {
    let context = form.context;
    form.heading("Grid");
    let tooltip = "Shows a grid in step with the rulers. Whatever is dragged snaps to it; hold \
                   Ctrl to drag freely.  (G)";
    form.command_tick(Command::Grid, context.settings.grid, ("Snap to the grid", tooltip));
    let tooltip =
        "From one line to the next. Zoomed out, only every second, fifth or tenth is drawn.";
    let value = context.typed_length(context.settings.pitch_mm(context.unit()));
    let field = Field::new(("Grid pitch", tooltip), value);
    if let Some(mm) = form.field(field, |text| read_pitch(text, context)).value {
        form.actions.push(Action::SetGridPitch(mm));
    }
}

fn read_pitch(text: &str, context: &ViewContext<'_>) -> Result<f64, String> {
    let mm = read_length(text, context.unit())?;
    if GRID_MM.contains(&mm) {
        return Ok(mm);
    }
    let show = |mm: f64| context.typed_length(mm);
    let (min, max) = (show(*GRID_MM.start()), show(*GRID_MM.end()));
    Err(format!("a grid can't have a pitch of {}; type one from {min} to {max}", show(mm)))
}
