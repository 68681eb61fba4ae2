//! Bevels: plunge line, grind line, edge.

use super::{heading, quiet, readings};
use crate::canvas::{self, Read, Sight, handles, hover};
use crate::command::Commands;
use crate::session::Session;
use egui::{Id, Ui, vec2};
use knife::{Bevel, Edit};
use kurbo::{ParamCurve as _, Point};

/// What is left at the edge before hardening when nothing was decided, mm (0.020 in, common
/// practice, no source).
const EDGE_MM: f64 = 0.508;

pub(super) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    let Some(bevel) = read.knife.bevel else {
        heading(ui, "No bevels yet", p);
        quiet(ui, "Begin with a plunge line just ahead of the heel and a grind two thirds up.", p);
        if let Some(first) = first(read)
            && ui.button("Begin the bevels").clicked()
        {
            out.edit(Edit::SetBevel(Some(first)));
        }
        return;
    };
    heading(ui, "As decided", p);
    let field = ("Plunge line", "Where the grind begins: its place along the knife.");
    if let Some(mm) = session.drafts.length(ui, p, field, bevel.plunge_x_mm, unit) {
        out.edit(Edit::SetBevel(Some(Bevel { plunge_x_mm: mm, ..bevel })));
    }
    let field = ("Grind height", "How far up from the edge the bevel reaches: the grind line.");
    if let Some(mm) = session.drafts.length(ui, p, field, bevel.grind_height_mm, unit) {
        out.edit(Edit::SetBevel(Some(Bevel { grind_height_mm: mm, ..bevel })));
    }
    let field = (
        "Edge thickness",
        "What is left at the edge before hardening, so that it doesn't warp or burn.",
    );
    if let Some(mm) = session.drafts.length(ui, p, field, bevel.edge_thickness_mm, unit) {
        out.edit(Edit::SetBevel(Some(Bevel { edge_thickness_mm: mm, ..bevel })));
    }
    if ui.button("Remove the bevels").clicked() {
        out.edit(Edit::SetBevel(None));
    }
    readings(
        ui,
        read,
        |title| title == "Bevels",
        &["Plunge line", "Grind height", "Edge before hardening"],
    );
}

/// A bevel to begin with: plunge at the heel, grind line two thirds up the blade.
fn first(read: &Read<'_>) -> Option<Bevel> {
    let profile = read.derived.reckoning.profile.as_ref()?;
    let heel = read.knife.profile.heel.and_then(|id| read.knife.profile.node(id));
    let middle = profile.bounds.center().x - profile.towards_butt * profile.length_mm / 20.0;
    Some(Bevel {
        plunge_x_mm: heel.map_or(middle, |node| node.at.x),
        grind_height_mm: (profile.width_mm * 0.55).clamp(1.0, 100.0),
        edge_thickness_mm: EDGE_MM.min(read.knife.bar.thickness_mm),
    })
}

pub(super) fn on_canvas(
    ui: &Ui,
    read: &Read<'_>,
    sight: &Sight,
    session: &mut Session,
    out: &mut Commands,
) {
    let Some(bevel) = read.knife.bevel else { return };
    plunge(ui, read, sight, session, out, bevel);
    grind(ui, read, sight, session, out, bevel);
}

fn plunge(
    ui: &Ui,
    read: &Read<'_>,
    sight: &Sight,
    session: &mut Session,
    out: &mut Commands,
    bevel: Bevel,
) {
    let line = read.derived.reckoning.bevel.as_ref().and_then(|bevel| bevel.plunge);
    let middle_y = read.derived.reckoning.outline.as_ref().map_or(0.0, |o| o.bounds().center().y);
    let stand = line.map_or(Point::new(bevel.plunge_x_mm, middle_y), |line| line.eval(0.5));
    let at = sight.ui_from_knife(stand);
    let response = handles::spot(
        ui,
        Id::unique("plunge line"),
        at,
        handles::REACH + 4.0,
        "Plunge line",
        false,
    );
    if let Some((begun, by)) = handles::dragged(&response, stand, sight, session, out) {
        let moved = Bevel { plunge_x_mm: begun.x + by.x, ..bevel };
        out.preview(vec![Edit::SetBevel(Some(moved))]);
    }
    if response.has_focus()
        && let Some(by) = canvas::nudge(ui, read.knife.unit)
    {
        out.edit(Edit::SetBevel(Some(Bevel { plunge_x_mm: bevel.plunge_x_mm + by.x, ..bevel })));
    }
    handles::paint(ui, at, handles::Look::Grip, &response, response.dragged(), read.palette);
    if response.dragged() || response.hovered() {
        let words = format!("plunge line at {}", hover::length(bevel.plunge_x_mm, read.knife.unit));
        hover::tag(ui, at + vec2(14.0, -10.0), egui::Align2::LEFT_BOTTOM, &words, read.palette);
    }
}

fn grind(
    ui: &Ui,
    read: &Read<'_>,
    sight: &Sight,
    session: &mut Session,
    out: &mut Commands,
    bevel: Bevel,
) {
    // Beside the middle of the edge; from there straight off the edge into the blade.
    let Some(profile) = &read.derived.reckoning.profile else { return };
    let Some(edge) = profile.edge.as_ref().filter(|edge| !edge.segs.is_empty()) else { return };
    let seg = edge.segs[edge.segs.len() / 2];
    let foot = seg.eval(0.5);
    let into = kurbo::Vec2::new(0.0, if profile.edge_is_up { -1.0 } else { 1.0 });
    let stand = foot + into * bevel.grind_height_mm;
    let at = sight.ui_from_knife(stand);
    let response =
        handles::spot(ui, Id::unique("grind line"), at, handles::REACH + 4.0, "Grind line", false);
    if let Some((begun, by)) = handles::dragged(&response, stand, sight, session, out) {
        let height = ((begun + by) - foot).dot(into).max(0.2);
        out.preview(vec![Edit::SetBevel(Some(Bevel { grind_height_mm: height, ..bevel }))]);
    }
    if response.has_focus()
        && let Some(by) = canvas::nudge(ui, read.knife.unit)
    {
        let height = (bevel.grind_height_mm + by.y).max(0.2);
        out.edit(Edit::SetBevel(Some(Bevel { grind_height_mm: height, ..bevel })));
    }
    if response.dragged() || response.hovered() {
        hover::measure(ui, sight.ui_from_knife(foot), at, read.palette);
    }
    handles::paint(ui, at, handles::Look::Grip, &response, response.dragged(), read.palette);
    if response.dragged() || response.hovered() {
        let angle = read.derived.reckoning.bevel.as_ref().map_or(0.0, |b| b.angle_deg);
        let words = format!(
            "grind height {}\nangle a side {}",
            hover::length(bevel.grind_height_mm, read.knife.unit),
            units::show_angle(angle, 2)
        );
        hover::tag(ui, at + vec2(14.0, -10.0), egui::Align2::LEFT_BOTTOM, &words, read.palette);
    }
}
