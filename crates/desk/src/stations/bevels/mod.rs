//! Bevels: how the blade is ground, filed and sharpened.

mod bands;
mod filing;
mod hands;
mod line;
mod more;
mod shape;

use super::readings::readings;
use super::{button, heading, not_yet};
use crate::canvas::Read;
use crate::command::{Command, Commands};
use crate::section;
use crate::session::Session;
use egui::Ui;
use knife::{Bevel, Edit};

pub(super) use hands::on_canvas;
pub(crate) use hands::on_edge;
pub(crate) use line::{one_more, removed};

/// What is left at the edge before hardening when nothing was decided, mm (0.020 in, common
/// practice, no source).
const EDGE_MM: f64 = 0.508;

pub(super) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let p = read.palette;
    if let Some(bevel) = read.knife.bevel {
        heading(ui, "Dimensions", p);
        shape::ui(ui, read, bevel, session, out);
        ui.add_space(4.0);
        shape::plunge(ui, read, bevel, session, out);
        more::taper(ui, read, session, out);
        more::swedge(ui, read, session, out);
        filing::ui(ui, read, session, out);
        more::sharpening(ui, read, session, out);
        let about = "The blade stays as thick as the bar. Taper and swedge stay as they are.";
        if ui.button("Remove the bevels").on_hover_text(about).clicked() {
            out.edit(Edit::SetBevel(None));
        }
    } else {
        let words = (
            "No bevels yet",
            "Begin with a plunge line just ahead of the heel and a grind two thirds up.",
            "Begin the bevels",
        );
        not_yet(ui, words, first(read).map(set), read, out);
        more::taper(ui, read, session, out);
        more::swedge(ui, read, session, out);
    }
    button(ui, Command::Heat, true, out);
    section::card(ui, read, session);
    // Grinding moves the whole knife's balance as well, once it is known.
    if matches!(read.derived.reckoning.whole, Some(Ok(_))) {
        readings(ui, read, |title| title == "Whole knife", &["Scales", "Pins", "Glue"]);
    }
    let at_handle = ["Centre of mass", "Behind the scale front", "Behind the front pin"];
    readings(ui, read, |title| title == "Steel alone", &at_handle);
}

fn set(bevel: Bevel) -> Edit {
    Edit::SetBevel(Some(bevel))
}

/// A bevel to begin with: plunge at the heel, grind line two thirds up the blade.
fn first(read: &Read<'_>) -> Option<Bevel> {
    let profile = read.derived.reckoning.profile.as_ref()?;
    let most_mm = *knife::limits::grind_height_on(&read.knife.profile).end();
    let heel = read.knife.profile.heel.and_then(|id| read.knife.profile.node(id));
    let middle = profile.bounds.center().x - profile.towards_butt * profile.length_mm / 20.0;
    Some(Bevel {
        plunge_x_mm: heel.map_or(middle, |node| node.at.x),
        grind_height_mm: (profile.width_mm * 0.55).clamp(1.0, 100.0).min(most_mm),
        edge_thickness_mm: EDGE_MM.min(read.knife.bar.thickness_mm),
        ..Bevel::default()
    })
}
