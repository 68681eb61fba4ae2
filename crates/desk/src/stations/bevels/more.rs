//! What not every blade has: taper, swedge, a final edge decided beforehand.

use super::bands;
use crate::canvas::{Read, hover};
use crate::command::Commands;
use crate::session::Session;
use crate::stations::readings::readings;
use crate::stations::{fold, place_along, quiet};
use egui::Ui;
use knife::{Edit, Sharpening, Swedge, Taper};

/// What a taper leaves at the tip to begin with, of the bar's thickness: this program's choice.
const TAPERED: f64 = 0.6;
/// A final edge to begin with, degrees a side (common practice, no source).
const SHARP_DEG: f64 = 20.0;

/// The distal taper.
pub(super) fn taper(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit, stated) = (read.palette, read.knife.unit, read.knife.taper);
    let now = stated.map_or_else(
        || "none".to_owned(),
        |taper| format!("to {} at the tip", hover::short(taper.tip_mm, unit)),
    );
    let about = "The stock thinned evenly towards the tip.";
    if !fold(ui, "Distal taper", about, &now, session, p) {
        return;
    }
    let Some(taper) = stated else {
        if let Some(first) = first_taper(read)
            && ui.button("Taper the blade").on_hover_text(about).clicked()
        {
            out.edit(Edit::SetTaper(Some(first)));
        }
        return;
    };
    let field = ("Taper from", "Where it begins: its place along the knife.");
    if let Some(mm) = place_along(ui, read, session, field, taper.from_x_mm) {
        out.edit(Edit::SetTaper(Some(Taper { from_x_mm: mm, ..taper })));
    }
    let field = ("Thickness at the tip", "Of the stock, before the bevels are ground.");
    if let Some(mm) = session.drafts.length(ui, p, field, taper.tip_mm, unit) {
        out.edit(Edit::SetTaper(Some(Taper { tip_mm: mm, ..taper })));
    }
    if ui.button("Remove the taper").clicked() {
        out.edit(Edit::SetTaper(None));
    }
}

/// A taper to begin with: from the plunge, or the middle, to the tip.
fn first_taper(read: &Read<'_>) -> Option<Taper> {
    let profile = read.derived.reckoning.profile.as_ref()?;
    let from_x_mm = read.knife.bevel.map_or(profile.bounds.center().x, |bevel| bevel.plunge_x_mm);
    Some(Taper { from_x_mm, tip_mm: read.knife.bar.thickness_mm * TAPERED })
}

/// The swedge.
pub(super) fn swedge(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit, stated) = (read.palette, read.knife.unit, read.knife.swedge);
    let angle_deg = read.derived.reckoning.swedge.as_ref().map(|swedge| swedge.angle_deg);
    let now = match (stated, angle_deg) {
        (None, _) => "none".to_owned(),
        (Some(_), Some(deg)) => format!("{} per side", units::show_angle(deg, 1)),
        (Some(swedge), None) => format!("{} high", hover::short(swedge.height_mm, unit)),
    };
    let about = "A false edge: the spine bevelled from the tip back, alike on both faces.";
    if !fold(ui, "Swedge", about, &now, session, p) {
        return;
    }
    let Some(swedge) = stated else {
        if let Some(first) = first_swedge(read)
            && ui.button("Grind a swedge").on_hover_text(about).clicked()
        {
            out.edit(Edit::SetSwedge(Some(first)));
        }
        return;
    };
    let set = |swedge: Swedge| Edit::SetSwedge(Some(swedge));
    let field = ("Swedge end", "Where it ends towards the butt: its place along the knife.");
    if let Some(mm) = place_along(ui, read, session, field, swedge.from_x_mm) {
        out.edit(set(Swedge { from_x_mm: mm, ..swedge }));
    }
    let field = ("Swedge height", "How far down from the spine it reaches.");
    if let Some(mm) = session.drafts.length(ui, p, field, swedge.height_mm, unit) {
        out.edit(set(Swedge { height_mm: mm, ..swedge }));
    }
    let field = ("Left on the spine", "Thickness that the swedge leaves there. It is no edge.");
    if let Some(mm) = session.drafts.length(ui, p, field, swedge.thickness_mm, unit) {
        out.edit(set(Swedge { thickness_mm: mm, ..swedge }));
    }
    if ui.button("Remove the swedge").clicked() {
        out.edit(Edit::SetSwedge(None));
    }
}

/// A swedge to begin with: a third of the blade, a fifth of its height, half of its thickness.
fn first_swedge(read: &Read<'_>) -> Option<Swedge> {
    let profile = read.derived.reckoning.profile.as_ref()?;
    profile.edge.as_ref()?;
    let most_mm = *knife::limits::grind_height_on(&read.knife.profile).end();
    let tip = read.knife.profile.tip.and_then(|id| read.knife.profile.node(id))?.at.x;
    let end = read.knife.bevel.map_or(profile.bounds.center().x, |bevel| bevel.plunge_x_mm);
    Some(Swedge {
        from_x_mm: tip + (end - tip) * 0.4,
        height_mm: (profile.width_mm * 0.15).clamp(1.0, 50.0).min(most_mm),
        thickness_mm: read.knife.bar.thickness_mm * 0.5,
    })
}

/// The final edge.
pub(super) fn sharpening(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit, stated) = (read.palette, read.knife.unit, read.knife.sharpening);
    let now = stated.map_or_else(
        || "not decided".to_owned(),
        |stated| format!("{} per side", units::show_angle(stated.angle_deg, 1)),
    );
    let about = "The final edge, cut after hardening and the last grinding.";
    if !fold(ui, "Sharpening", about, &now, session, p) {
        return;
    }
    let Some(stated) = stated else {
        if ui.button("Set sharpening angle").on_hover_text(about).clicked() {
            let first = Sharpening { angle_deg: SHARP_DEG, edge_mm: None };
            out.edit(Edit::SetSharpening(Some(first)));
        }
        return;
    };
    let set = |sharpening: Sharpening| Edit::SetSharpening(Some(sharpening));
    let field = ("Sharpening angle", "A side, between the stone and the middle plane.");
    if let Some(deg) = session.drafts.angle(ui, p, field, Some(stated.angle_deg)) {
        out.edit(set(Sharpening { angle_deg: deg, ..stated }));
    }
    quiet(ui, &bands::edge(stated.angle_deg), p);
    let field = (
        "Edge before sharpening",
        "Thickness at the edge when the grinding after hardening is done. Until it is typed, \
         what was left before hardening counts.",
    );
    let typed = match stated.edge_mm {
        Some(mm) => session.drafts.length(ui, p, field, mm, unit),
        None => session.drafts.new_length(ui, p, field, unit),
    };
    if let Some(mm) = typed {
        out.edit(set(Sharpening { edge_mm: Some(mm), ..stated }));
    }
    readings(ui, read, |title| title == "Sharpening", &["Angle a side", "Sharpening angle"]);
    ui.horizontal_wrapped(|ui| {
        if stated.edge_mm.is_some() && ui.button("As before hardening").clicked() {
            out.edit(set(Sharpening { edge_mm: None, ..stated }));
        }
        if ui.button("Leave it open").clicked() {
            out.edit(Edit::SetSharpening(None));
        }
    });
}
