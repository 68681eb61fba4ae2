//! Filling the tang between its pins with relief holes.

use super::drill;
use crate::state::ReliefChoice;
use crate::widgets::Form;
use knife::{HoleKind, Knife};

/// Whether the knife has two pins to put a row between.
pub(crate) fn has_room(knife: &Knife) -> bool {
    knife.holes.iter().filter(|hole| hole.kind == HoleKind::Pin).count() >= 2
}

pub(super) fn card(form: &mut Form<'_>, options: &mut ReliefChoice) {
    let context = form.context;
    if !has_room(context.knife) {
        return;
    }
    form.heading("Relief holes");
    let ask = options.ask(context.shop());
    let now = (ask.diameter_mm, ask.drill.as_deref());
    if let Some(drilled) = drill::field(form, "Relief drill", now, 104.0, drill::drillable) {
        (options.diameter_mm, options.drill) = drilled;
    }
    let tooltip = "Steel to leave to the outline, to the scales' front and between holes.";
    if let Some(mm) = form.length(("Minimum web", tooltip), ask.web_mm).value {
        options.web_mm = Some(mm.max(0.0));
    }
    let Some(row) = context.derived.relief() else { return };
    form.note(&row.describe());
    if let Some(edit) = row.edit() {
        let label = edit.label();
        form.edit_button((&label, "Between the pins, along the middle."), edit);
    }
}
