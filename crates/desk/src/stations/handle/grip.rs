//! What the hand holds on to: jimping on the steel, scallops on the scales.

use super::{along, fold, read_number};
use crate::canvas::Read;
use crate::command::Commands;
use crate::field::Field;
use crate::session::Session;
use crate::stations::readings::readings;
use crate::stations::{choose, place_along};
use egui::Ui;
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

pub(super) fn jimping(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    let stated = read.knife.handle.jimping;
    let now = match stated.map(|j| j.side) {
        None => "none",
        Some(OutlineSide::Spine) => "on the spine",
        Some(OutlineSide::Edge) => "on the edge's side",
    };
    let about = "A run of small notches that the thumb doesn't slip on.";
    if !fold(ui, "Jimping", about, now, session, p) {
        return;
    }
    let Some(stated) = stated else {
        if let Some(first) = first_jimping(read)
            && ui.button("Cut jimping").on_hover_text(about).clicked()
        {
            out.edit(Edit::SetJimping(Some(first)));
        }
        return;
    };
    let set = |jimping: Jimping| Edit::SetJimping(Some(jimping));
    let sides = [(OutlineSide::Spine, "Spine"), (OutlineSide::Edge, "Underside")];
    let about = "On the upper side, or the lower: edge, choil and the handle's underside.";
    if let Some(side) = choose(ui, ("Side", about), &sides, stated.side, p) {
        out.edit(set(Jimping { side, ..stated }));
    }
    let field = ("Jimping from", "Where it begins: its place along the knife.");
    if let Some(mm) = place_along(ui, read, session, field, stated.from_x_mm) {
        out.edit(set(Jimping { from_x_mm: mm, ..stated }));
    }
    let field = ("Jimping to", "Where it ends: its place along the knife.");
    if let Some(mm) = place_along(ui, read, session, field, stated.to_x_mm) {
        out.edit(set(Jimping { to_x_mm: mm, ..stated }));
    }
    let (by_length, by_lines) = match stated.pitch {
        Pitch::Mm(mm) => (stated.pitch, Pitch::PerInch(25.4 / mm)),
        Pitch::PerInch(_) => (Pitch::Mm(stated.pitch.mm()), stated.pitch),
    };
    let kinds = [(by_length, "Pitch"), (by_lines, "Lines")];
    let about = "By the distance from one notch to the next, or by a file's lines to the inch.";
    if let Some(pitch) = choose(ui, ("Spaced by", about), &kinds, stated.pitch, p) {
        out.edit(set(Jimping { pitch, ..stated }));
    }
    match stated.pitch {
        Pitch::Mm(mm) => {
            let field = ("Jimping pitch", "From one notch to the next, along the curve.");
            if let Some(mm) = session.drafts.length(ui, p, field, mm, unit) {
                out.edit(set(Jimping { pitch: Pitch::Mm(mm), ..stated }));
            }
        }
        Pitch::PerInch(lines) => {
            let field = Field {
                name: "Lines to the inch",
                about: "As checkering files are sold.",
                value: plain(lines),
                width: 104.0,
            };
            let read = |text: &str| read_number(text, "lines to the inch");
            if let Some(lines) = session.drafts.field(ui, p, field, read) {
                out.edit(set(Jimping { pitch: Pitch::PerInch(lines), ..stated }));
            }
        }
    }
    let field = ("Jimping depth", "How deep each notch is.");
    if let Some(mm) = session.drafts.length(ui, p, field, stated.depth_mm, unit) {
        out.edit(set(Jimping { depth_mm: mm, ..stated }));
    }
    groove(ui, read, stated, session, out);
    readings(ui, read, |title| title == "Jimping", &["Pitch", "Depth"]);
    if ui.button("Remove the jimping").clicked() {
        out.edit(Edit::SetJimping(None));
    }
}

/// The section of a notch.
fn groove(
    ui: &mut Ui,
    read: &Read<'_>,
    stated: Jimping,
    session: &mut Session,
    out: &mut Commands,
) {
    let (p, unit) = (read.palette, read.knife.unit);
    let set = |groove: Groove| Edit::SetJimping(Some(Jimping { groove, ..stated }));
    let (vee, round) = match stated.groove {
        Groove::Vee(_) => (stated.groove, Groove::Round(ROUND_MM)),
        Groove::Round(_) => (Groove::Vee(VEE_DEG), stated.groove),
    };
    let about = "A V as of a checkering or three-square file, or round.";
    let kinds = [(vee, "V"), (round, "Rounded")];
    if let Some(groove) = choose(ui, ("Groove", about), &kinds, stated.groove, p) {
        out.edit(set(groove));
    }
    match stated.groove {
        Groove::Vee(deg) => {
            let field = ("Groove angle", "Included angle of the V.");
            if let Some(deg) = session.drafts.angle(ui, p, field, Some(deg)) {
                out.edit(set(Groove::Vee(deg)));
            }
        }
        Groove::Round(mm) => {
            let field = ("Groove file", "Diameter of the round file.");
            if let Some(mm) = session.drafts.length(ui, p, field, mm, unit) {
                out.edit(set(Groove::Round(mm)));
            }
        }
    }
}

/// A run to begin with: on the spine, ahead of the scales' front.
fn first_jimping(read: &Read<'_>) -> Option<Jimping> {
    let (front, butt) = along(read)?;
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

pub(super) fn scallops(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    let stated = read.knife.handle.scallops;
    let now = match stated.map(|scallops| scallops.spacing) {
        None => "none".to_owned(),
        Some(ScallopSpacing::Count(count)) => format!("{count} above"),
        Some(ScallopSpacing::Pitch(mm)) => {
            format!("{} apart", crate::canvas::hover::short(mm, unit))
        }
    };
    let about = "Cut by a drum across the long corners; the lower row half a pitch along.";
    if !fold(ui, "Scallops", about, &now, session, p) {
        return;
    }
    let Some(stated) = stated else {
        if ui.button("Cut scallops").on_hover_text(about).clicked() {
            out.edit(Edit::SetScallops(Some(SCALLOPS)));
        }
        return;
    };
    let set = |scallops: Scallops| Edit::SetScallops(Some(scallops));
    steps(ui, read, stated, session, out);
    let drafts = &mut session.drafts;
    let field = ("From the front", "From the front line to the first of the upper row.");
    if let Some(mm) = drafts.length(ui, p, field, stated.front_mm, unit) {
        out.edit(set(Scallops { front_mm: mm, ..stated }));
    }
    let field = ("From the butt", "From the last of either row to the butt, at least.");
    if let Some(mm) = drafts.length(ui, p, field, stated.butt_mm, unit) {
        out.edit(set(Scallops { butt_mm: mm, ..stated }));
    }
    let field = ("Drum", "Its diameter.");
    if let Some(mm) = drafts.length(ui, p, field, stated.drum_mm, unit) {
        out.edit(set(Scallops { drum_mm: mm, ..stated }));
    }
    let field = ("Drum angle", "Between the scale's face and the drum's axis.");
    if let Some(deg) = drafts.angle(ui, p, field, Some(stated.angle_deg)) {
        out.edit(set(Scallops { angle_deg: deg, ..stated }));
    }
    let field = ("Scallop depth", "How deep the drum goes in, from the corner square to its axis.");
    if let Some(mm) = drafts.length(ui, p, field, stated.depth_mm, unit) {
        out.edit(set(Scallops { depth_mm: mm, ..stated }));
    }
    readings(ui, read, |title| title == "Scallops", &[]);
    if ui.button("Remove the scallops").clicked() {
        out.edit(Edit::SetScallops(None));
    }
}

/// How many, or how far apart.
fn steps(
    ui: &mut Ui,
    read: &Read<'_>,
    stated: Scallops,
    session: &mut Session,
    out: &mut Commands,
) {
    let (p, unit) = (read.palette, read.knife.unit);
    let set =
        |steps: ScallopSpacing| Edit::SetScallops(Some(Scallops { spacing: steps, ..stated }));
    // A pitch to begin with as the drum is wide: one scallop ends where the next begins.
    let (count, pitch) = match stated.spacing {
        ScallopSpacing::Count(_) => {
            (stated.spacing, ScallopSpacing::Pitch(stated.drum_mm.max(1.0)))
        }
        ScallopSpacing::Pitch(_) => (SCALLOPS.spacing, stated.spacing),
    };
    let about = "By their number in the upper row, or by how far apart they are.";
    let kinds = [(count, "Number"), (pitch, "Distance")];
    if let Some(steps) = choose(ui, ("Scallops by", about), &kinds, stated.spacing, p) {
        out.edit(set(steps));
    }
    match stated.spacing {
        ScallopSpacing::Count(count) => {
            let field = Field {
                name: "Scallops above",
                about: "In the upper row.",
                value: count.to_string(),
                width: 60.0,
            };
            let read = |text: &str| {
                let count = text.trim().parse::<u32>().ok();
                count.ok_or_else(|| format!("\"{text}\" isn't a number of scallops"))
            };
            if let Some(count) = session.drafts.field(ui, p, field, read) {
                out.edit(set(ScallopSpacing::Count(count)));
            }
        }
        ScallopSpacing::Pitch(mm) => {
            let field = ("Scallop pitch", "From one to the next along the handle.");
            if let Some(mm) = session.drafts.length(ui, p, field, mm, unit) {
                out.edit(set(ScallopSpacing::Pitch(mm)));
            }
        }
    }
}

/// A number without noughts behind.
fn plain(number: f64) -> String {
    let text = units::show_number(number, 2);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}
