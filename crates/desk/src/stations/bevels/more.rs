//! What not every blade has: taper, swedge, a final edge decided beforehand.

use super::bands;
use crate::context::ViewContext;
use crate::widgets::Form;
use knife::{Edit, Sharpening, Swedge, Taper};

/// What a taper leaves at the tip to begin with, of the bar's thickness: this program's choice.
const TAPERED: f64 = 0.6;
/// A final edge to begin with, degrees a side (common practice, no source).
const SHARP_DEG: f64 = 20.0;

/// The distal taper.
pub(super) fn taper(form: &mut Form<'_>) {
    let (context, stated) = (form.context, form.context.knife.taper);
    let set = |taper: Taper| Edit::SetTaper(Some(taper));
    let summary = stated.map_or_else(
        || "none".to_owned(),
        |taper| format!("to {} at the tip", context.short(taper.tip_mm)),
    );
    let caption = ("Distal taper", "The stock thinned evenly towards the tip.");
    let first = || first_taper(context).map(set);
    let shown = form.optional_section(caption, &summary, stated, "Taper the blade", first);
    let Some(taper) = shown else { return };
    let caption = ("Taper from", "Where it begins: its place along the knife.");
    form.x(caption, taper.from_x_mm).edit(|mm| set(Taper { from_x_mm: mm, ..taper }));
    let caption = ("Thickness at the tip", "Of the stock, before the bevels are ground.");
    form.length(caption, taper.tip_mm).edit(|mm| set(Taper { tip_mm: mm, ..taper }));
    form.edit_button(("Remove the taper", ""), Edit::SetTaper(None));
}

/// A taper to begin with: from the plunge, or the middle, to the tip.
fn first_taper(context: &ViewContext<'_>) -> Option<Taper> {
    let profile = context.reckoning().profile.as_ref()?;
    let from_x_mm = context.knife.bevel.map_or(profile.bounds.center().x, |b| b.plunge_x_mm);
    Some(Taper { from_x_mm, tip_mm: context.knife.bar.thickness_mm * TAPERED })
}

/// The swedge.
pub(super) fn swedge(form: &mut Form<'_>) {
    let (context, stated) = (form.context, form.context.knife.swedge);
    let set = |swedge: Swedge| Edit::SetSwedge(Some(swedge));
    let angle_deg = context.reckoning().swedge.as_ref().map(|swedge| swedge.angle_deg);
    let summary = match (stated, angle_deg) {
        (None, _) => "none".to_owned(),
        (Some(_), Some(deg)) => format!("{} per side", units::show_angle(deg, 1)),
        (Some(swedge), None) => format!("{} high", context.short(swedge.height_mm)),
    };
    let caption =
        ("Swedge", "A false edge: the spine bevelled from the tip back, the same on both faces.");
    let first = || first_swedge(context).map(set);
    let shown = form.optional_section(caption, &summary, stated, "Grind a swedge", first);
    let Some(swedge) = shown else { return };
    let caption = ("Swedge end", "Where it ends towards the butt: its place along the knife.");
    form.x(caption, swedge.from_x_mm).edit(|mm| set(Swedge { from_x_mm: mm, ..swedge }));
    let caption = ("Swedge height", "How far down from the spine it reaches.");
    form.length(caption, swedge.height_mm).edit(|mm| set(Swedge { height_mm: mm, ..swedge }));
    let caption = ("Left on the spine", "Thickness that the swedge leaves there; it is not sharp.");
    form.length(caption, swedge.thickness_mm).edit(|mm| set(Swedge { thickness_mm: mm, ..swedge }));
    form.edit_button(("Remove the swedge", ""), Edit::SetSwedge(None));
}

/// A swedge to begin with: a third of the blade, a fifth of its height, half of its thickness.
fn first_swedge(context: &ViewContext<'_>) -> Option<Swedge> {
    let (knife, profile) = (context.knife, context.reckoning().profile.as_ref()?);
    profile.edge.as_ref()?;
    let max_mm = *knife::limits::grind_height_on(&knife.profile).end();
    let tip = knife.profile.tip.and_then(|id| knife.profile.node(id))?.at.x;
    let end = knife.bevel.map_or(profile.bounds.center().x, |bevel| bevel.plunge_x_mm);
    Some(Swedge {
        from_x_mm: tip + (end - tip) * 0.4,
        height_mm: (profile.width_mm * 0.15).clamp(1.0, 50.0).min(max_mm),
        thickness_mm: knife.bar.thickness_mm * 0.5,
    })
}

/// The final edge.
pub(super) fn sharpening(form: &mut Form<'_>) {
    let stated = form.context.knife.sharpening;
    let set = |sharpening: Sharpening| Edit::SetSharpening(Some(sharpening));
    let summary = stated.map_or_else(
        || "not decided".to_owned(),
        |stated| format!("{} per side", units::show_angle(stated.angle_deg, 1)),
    );
    let caption = ("Sharpening", "The final edge, cut after hardening and the last grinding.");
    let first = || Some(set(Sharpening { angle_deg: SHARP_DEG, edge_mm: None }));
    let shown = form.optional_section(caption, &summary, stated, "Set sharpening angle", first);
    let Some(stated) = shown else { return };
    let caption = ("Sharpening angle", "Per side, between the stone and the middle plane.");
    form.angle(caption, stated.angle_deg).edit(|deg| set(Sharpening { angle_deg: deg, ..stated }));
    form.note(&bands::edge(stated.angle_deg));
    let caption = (
        "Edge before sharpening",
        "Thickness at the edge when the grinding after hardening is done. Until it is typed, \
         what was left before hardening counts.",
    );
    form.length(caption, stated.edge_mm).edit(|mm| set(Sharpening { edge_mm: Some(mm), ..stated }));
    form.readings("Sharpening", &["Angle per side", "Sharpening angle"]);
    form.wrapped(|form| {
        if stated.edge_mm.is_some() {
            let edit = set(Sharpening { edge_mm: None, ..stated });
            form.edit_button(("As before hardening", ""), edit);
        }
        form.edit_button(("Leave it open", ""), Edit::SetSharpening(None));
    });
}
