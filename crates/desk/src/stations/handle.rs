//! Handle: the pair of scales.

use super::{heading, quiet, readings};
use crate::canvas::{self, Read, Sight, handles, hover};
use crate::command::Commands;
use crate::session::Session;
use egui::{Id, Ui, vec2};
use knife::{Edit, Scales};
use kurbo::Point;

/// A scale to begin with, mm thick (3/8 in, common practice, no source).
const THICK_MM: f64 = 9.525;

pub(super) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    let Some(scales) = read.knife.scales else {
        heading(ui, "No scales yet", p);
        quiet(ui, "Scales follow the tang from the butt to their front line.", p);
        if let Some(first) = first(read)
            && ui.button("Begin the scales").clicked()
        {
            out.edit(Edit::SetScales(Some(first)));
        }
        return;
    };
    heading(ui, "As decided", p);
    let field = ("Scale front", "Where the scales end towards the blade.");
    if let Some(mm) = session.drafts.length(ui, p, field, scales.front_x_mm, unit) {
        out.edit(Edit::SetScales(Some(Scales { front_x_mm: mm, ..scales })));
    }
    let field = ("Scale thickness", "Of one scale, before it is shaped.");
    if let Some(mm) = session.drafts.length(ui, p, field, scales.thickness_mm, unit) {
        out.edit(Edit::SetScales(Some(Scales { thickness_mm: mm, ..scales })));
    }
    if ui.button("Remove the scales").clicked() {
        out.edit(Edit::SetScales(None));
    }
    readings(ui, read, |title| title == "Scales", &["Front line", "Thickness"]);
}

/// Scales to begin with: the front a little behind the plunge line, or at the middle.
fn first(read: &Read<'_>) -> Option<Scales> {
    let profile = read.derived.reckoning.profile.as_ref()?;
    let behind = profile.towards_butt * 6.0;
    let front_x_mm = read
        .knife
        .bevel
        .map_or_else(|| profile.bounds.center().x, |bevel| bevel.plunge_x_mm + behind);
    Some(Scales { front_x_mm, thickness_mm: THICK_MM })
}

pub(super) fn on_canvas(
    ui: &Ui,
    read: &Read<'_>,
    sight: &Sight,
    session: &mut Session,
    out: &mut Commands,
) {
    let Some(scales) = read.knife.scales else { return };
    let Some(outline) = &read.derived.reckoning.outline else { return };
    let stand = Point::new(scales.front_x_mm, outline.bounds().center().y);
    let at = sight.ui_from_knife(stand);
    let response = handles::spot(
        ui,
        Id::unique("scale front"),
        at,
        handles::REACH + 4.0,
        "Scale front",
        false,
    );
    if let Some((begun, by)) = handles::dragged(&response, stand, sight, session, out) {
        let moved = Scales { front_x_mm: begun.x + by.x, ..scales };
        out.preview(vec![Edit::SetScales(Some(moved))]);
    }
    if response.has_focus()
        && let Some(by) = canvas::nudge(ui, read.knife.unit)
    {
        out.edit(Edit::SetScales(Some(Scales { front_x_mm: scales.front_x_mm + by.x, ..scales })));
    }
    handles::paint(ui, at, handles::Look::Grip, &response, response.dragged(), read.palette);
    if response.dragged() || response.hovered() {
        let words = format!("scale front at {}", hover::length(scales.front_x_mm, read.knife.unit));
        hover::tag(ui, at + vec2(14.0, -10.0), egui::Align2::LEFT_BOTTOM, &words, read.palette);
    }
}
