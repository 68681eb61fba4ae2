//! Bevels: how the blade is ground, filed and sharpened.

mod bands;
mod filing;
mod handles;
mod line;
mod more;
mod shape;

use super::section;
use crate::command::Command;
use crate::context::ViewContext;
use crate::state::{SectionState, Selection};
use crate::widgets::Form;
use knife::{Bevel, Edit};

pub(super) use handles::{on_canvas, on_edge};
pub(crate) use line::{added_point, removed_point};

/// What is left at the edge before hardening when nothing was decided, mm (0.020 in, common
/// practice, no source).
const EDGE_MM: f64 = 0.508;

pub(crate) fn card(form: &mut Form<'_>, selection: &mut Selection, section: &mut SectionState) {
    let context = form.context;
    if let Some(bevel) = context.knife.bevel {
        form.heading("Dimensions");
        shape::card(form, bevel, selection);
        form.ui.add_space(4.0);
        shape::plunge(form, bevel);
        more::taper(form);
        more::swedge(form);
        filing::card(form);
        more::sharpening(form);
        let tooltip = "The blade stays as thick as the bar. Taper and swedge stay as they are.";
        form.edit_button(("Remove the bevels", tooltip), Edit::SetBevel(None));
    } else {
        let text = "Begin with a plunge line just ahead of the heel and a grind two thirds up.";
        form.missing("No bevels yet", text, "Begin the bevels", first(context).map(set));
        more::taper(form);
        more::swedge(form);
    }
    form.command(Command::Heat, true);
    section::card(form, section);
    // Grinding moves the whole knife's balance as well, once it is known.
    if matches!(context.reckoning().whole, Some(Ok(_))) {
        form.readings("Whole knife", &["Scales", "Pins", "Glue"]);
    }
    let at_handle = ["Centre of mass", "Behind the scale front", "Behind the front pin"];
    form.readings("Steel alone", &at_handle);
}

fn set(bevel: Bevel) -> Edit {
    Edit::SetBevel(Some(bevel))
}

/// A bevel to begin with: plunge at the heel, grind line two thirds up the blade.
fn first(context: &ViewContext<'_>) -> Option<Bevel> {
    let profile = context.reckoning().profile.as_ref()?;
    let max_mm = *knife::limits::grind_height_on(&context.knife.profile).end();
    let heel = context.knife.profile.heel.and_then(|id| context.knife.profile.node(id));
    let middle = profile.bounds.center().x - profile.towards_butt * profile.length_mm / 20.0;
    Some(Bevel {
        plunge_x_mm: heel.map_or(middle, |node| node.at.x),
        grind_height_mm: (profile.width_mm * 0.55).clamp(1.0, 100.0).min(max_mm),
        edge_thickness_mm: EDGE_MM.min(context.knife.bar.thickness_mm),
        ..Bevel::default()
    })
}
