//! What the hand holds on to: jimping on the steel, scallops on the scales.

use super::{along, read_number};
use crate::context::ViewContext;
use crate::text::trimmed;
use crate::widgets::{Field, Form};
use knife::{Edit, Groove, Jimping, OutlineSide, Pitch, ScallopSpacing, Scallops};

/// Lines to the inch of a checkering file to begin with (common practice, no source).
const LINES: f64 = 20.0;
/// How deep jimping goes to begin with, mm (common practice, no source).
const JIMPING_MM: f64 = 0.5;
/// How long it is to begin with, mm: about a thumb's breadth (common practice, no source).
const RUN_MM: f64 = 25.0;
/// The V of a file to begin with, degrees (common practice, no source).
const VEE_DEG: f64 = 60.0;
/// A round file to begin with, mm (common practice, no source).
const ROUND_MM: f64 = 3.0;

pub(super) fn jimping(form: &mut Form<'_>) {
    let context = form.context;
    let stated = context.knife.handle.jimping;
    let set = |jimping: Jimping| Edit::SetJimping(Some(jimping));
    let summary = match stated.map(|jimping| jimping.side) {
        None => "none",
        Some(OutlineSide::Spine) => "on the spine",
        Some(OutlineSide::Edge) => "on the edge's side",
    };
    let caption = ("Jimping", "A run of small notches that keep the thumb from slipping.");
    let first = || first_jimping(context).map(set);
    let shown = form.optional_section(caption, summary, stated, "Cut jimping", first);
    let Some(stated) = shown else { return };
    let sides = [(OutlineSide::Spine, "Spine"), (OutlineSide::Edge, "Underside")];
    let tooltip = "On the upper side, or the lower: edge, choil and the handle's underside.";
    form.choice(("Side", tooltip), &sides, stated.side)
        .edit(|side| set(Jimping { side, ..stated }));
    let caption = ("Jimping from", "Where it begins: its place along the knife.");
    form.x(caption, stated.from_x_mm).edit(|mm| set(Jimping { from_x_mm: mm, ..stated }));
    let caption = ("Jimping to", "Where it ends: its place along the knife.");
    form.x(caption, stated.to_x_mm).edit(|mm| set(Jimping { to_x_mm: mm, ..stated }));
    pitch(form, stated);
    let caption = ("Jimping depth", "How deep each notch is.");
    form.length(caption, stated.depth_mm).edit(|mm| set(Jimping { depth_mm: mm, ..stated }));
    groove(form, stated);
    form.readings("Jimping", &["Pitch", "Depth"]);
    form.edit_button(("Remove the jimping", ""), Edit::SetJimping(None));
}

/// How far apart the notches are.
fn pitch(form: &mut Form<'_>, stated: Jimping) {
    let set = |pitch: Pitch| Edit::SetJimping(Some(Jimping { pitch, ..stated }));
    let (by_length, by_lines) = match stated.pitch {
        Pitch::Mm(mm) => (stated.pitch, Pitch::PerInch(25.4 / mm)),
        Pitch::PerInch(_) => (Pitch::Mm(stated.pitch.mm()), stated.pitch),
    };
    let kinds = [(by_length, "Pitch"), (by_lines, "Lines")];
    let tooltip = "By the distance from one notch to the next, or by a file's lines to the inch.";
    form.choice(("Spaced by", tooltip), &kinds, stated.pitch).edit(set);
    match stated.pitch {
        Pitch::Mm(mm) => {
            let caption = ("Jimping pitch", "From one notch to the next, along the curve.");
            form.length(caption, mm).edit(|mm| set(Pitch::Mm(mm)));
        }
        Pitch::PerInch(lines) => {
            let caption = ("Lines to the inch", "As checkering files are sold.");
            let parse = |text: &str| read_number(text, "lines to the inch");
            form.field(Field::new(caption, trimmed(lines, 2)), parse)
                .edit(|lines| set(Pitch::PerInch(lines)));
        }
    }
}

/// The section of a notch.
fn groove(form: &mut Form<'_>, stated: Jimping) {
    let set = |groove: Groove| Edit::SetJimping(Some(Jimping { groove, ..stated }));
    let (vee, round) = match stated.groove {
        Groove::Vee(_) => (stated.groove, Groove::Round(ROUND_MM)),
        Groove::Round(_) => (Groove::Vee(VEE_DEG), stated.groove),
    };
    let tooltip = "A V, as a checkering or three-square file cuts it, or round.";
    let kinds = [(vee, "V"), (round, "Rounded")];
    form.choice(("Groove", tooltip), &kinds, stated.groove).edit(set);
    match stated.groove {
        Groove::Vee(deg) => {
            let caption = ("Groove angle", "Included angle of the V.");
            form.angle(caption, deg).edit(|deg| set(Groove::Vee(deg)));
        }
        Groove::Round(mm) => {
            let caption = ("Groove file", "Diameter of the round file.");
            form.length(caption, mm).edit(|mm| set(Groove::Round(mm)));
        }
    }
}

/// A run to begin with: on the spine, ahead of the scales' front.
fn first_jimping(context: &ViewContext<'_>) -> Option<Jimping> {
    let (front, butt) = along(context)?;
    let ahead = if butt >= front { -RUN_MM } else { RUN_MM };
    Some(Jimping {
        side: OutlineSide::Spine,
        from_x_mm: front + ahead,
        to_x_mm: front,
        pitch: Pitch::PerInch(LINES),
        depth_mm: JIMPING_MM,
        groove: Groove::Vee(VEE_DEG),
    })
}

/// Scallops to begin with (common practice, no source).
const SCALLOPS: Scallops = Scallops {
    spacing: ScallopSpacing::Count(4),
    front_mm: 15.0,
    butt_mm: 15.0,
    drum_mm: 25.4,
    angle_deg: 45.0,
    depth_mm: 3.0,
};

pub(super) fn scallops(form: &mut Form<'_>) {
    let context = form.context;
    let stated = context.knife.handle.scallops;
    let set = |scallops: Scallops| Edit::SetScallops(Some(scallops));
    let summary = match stated.map(|scallops| scallops.spacing) {
        None => "none".to_owned(),
        Some(ScallopSpacing::Count(count)) => format!("{count} above"),
        Some(ScallopSpacing::Pitch(mm)) => format!("{} apart", context.short(mm)),
    };
    let caption =
        ("Scallops", "Cut by a drum across the long corners; the lower row half a pitch along.");
    let first = || Some(set(SCALLOPS));
    let shown = form.optional_section(caption, &summary, stated, "Cut scallops", first);
    let Some(stated) = shown else { return };
    steps(form, stated);
    let caption = ("From the front", "From the front line to the first of the upper row.");
    form.length(caption, stated.front_mm).edit(|mm| set(Scallops { front_mm: mm, ..stated }));
    let caption = ("From the butt", "From the last of either row to the butt, at least.");
    form.length(caption, stated.butt_mm).edit(|mm| set(Scallops { butt_mm: mm, ..stated }));
    let caption = ("Drum", "Its diameter.");
    form.length(caption, stated.drum_mm).edit(|mm| set(Scallops { drum_mm: mm, ..stated }));
    let caption = ("Drum angle", "Between the scale's face and the drum's axis.");
    form.angle(caption, stated.angle_deg).edit(|deg| set(Scallops { angle_deg: deg, ..stated }));
    let caption =
        ("Scallop depth", "How deep the drum goes in, from the corner square to its axis.");
    form.length(caption, stated.depth_mm).edit(|mm| set(Scallops { depth_mm: mm, ..stated }));
    form.readings("Scallops", &[]);
    form.edit_button(("Remove the scallops", ""), Edit::SetScallops(None));
}

/// How many, or how far apart.
fn steps(form: &mut Form<'_>, stated: Scallops) {
    let set = |spacing: ScallopSpacing| Edit::SetScallops(Some(Scallops { spacing, ..stated }));
    // A pitch to begin with as the drum is wide: one scallop ends where the next begins.
    let (count, pitch) = match stated.spacing {
        ScallopSpacing::Count(_) => {
            (stated.spacing, ScallopSpacing::Pitch(stated.drum_mm.max(1.0)))
        }
        ScallopSpacing::Pitch(_) => (SCALLOPS.spacing, stated.spacing),
    };
    let tooltip = "By their number in the upper row, or by how far apart they are.";
    let kinds = [(count, "Number"), (pitch, "Distance")];
    form.choice(("Scallops by", tooltip), &kinds, stated.spacing).edit(set);
    match stated.spacing {
        ScallopSpacing::Count(count) => {
            let caption = ("Scallops above", "In the upper row.");
            let parse = |text: &str| {
                let count = text.trim().parse::<u32>().ok();
                count.ok_or_else(|| format!("\"{text}\" isn't a number of scallops"))
            };
            let field = Field::new(caption, count.to_string()).width(60.0);
            form.field(field, parse).edit(|count| set(ScallopSpacing::Count(count)));
        }
        ScallopSpacing::Pitch(mm) => {
            let caption = ("Scallop pitch", "From one to the next along the handle.");
            form.length(caption, mm).edit(|mm| set(ScallopSpacing::Pitch(mm)));
        }
    }
}
