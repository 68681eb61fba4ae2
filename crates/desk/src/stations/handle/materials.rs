//! What the scales and the pins are made of, and the glue between.

use super::{fold, handle_with, usual_length};
use crate::canvas::Read;
use crate::command::Commands;
use crate::session::Session;
use crate::stations::{pick, readings::readings};
use egui::Ui;
use knife::USUAL_GLUE_MM;
use reckon::tables::{MaterialKind, Tables};

/// What stands for no material.
const NONE: &str = "not chosen";
/// What stands for the right scale's being of the left one's material.
const SAME: &str = "as the left";

/// The kinds of what scales are made of, the most usual first.
pub(super) const SCALES: &[MaterialKind] =
    &[MaterialKind::Wood, MaterialKind::Laminate, MaterialKind::Natural, MaterialKind::Metal];
/// The same of pins, liners and bolsters.
pub(super) const METAL_FIRST: &[MaterialKind] =
    &[MaterialKind::Metal, MaterialKind::Laminate, MaterialKind::Wood, MaterialKind::Natural];

/// A choice among the materials of the table; what was chosen anew, `None` for none.
pub(super) fn material(
    ui: &mut Ui,
    words: (&str, &str),
    now: Option<&str>,
    kinds: &[MaterialKind],
) -> Option<Option<String>> {
    choice(ui, words, now, kinds, NONE)
}

fn choice(
    ui: &mut Ui,
    words: (&str, &str),
    now: Option<&str>,
    kinds: &[MaterialKind],
    none: &str,
) -> Option<Option<String>> {
    let tables = Tables::built_in();
    // A name of another case or spelling is the same material.
    let known = now.and_then(|name| tables.material(name)).map(|found| found.name.as_str());
    let all = tables.materials();
    let named = kinds.iter().flat_map(|kind| all.iter().filter(move |m| m.kind == *kind));
    let options: Vec<&str> =
        std::iter::once(none).chain(named.map(|material| material.name.as_str())).collect();
    let chosen = pick(ui, words, known.or(now).unwrap_or(none), &options, 168.0)?;
    Some((chosen > 0).then(|| options[chosen].to_owned()))
}

pub(super) fn ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let handle = &read.knife.handle;
    let now = handle.scales.as_deref().unwrap_or(NONE);
    let about = "What scales and pins are made of: the whole knife's mass and balance follow.";
    if !fold(ui, "Materials", about, now, session, read.palette) {
        return;
    }
    let field = ("Scales of", "Of both, or of the left one where the right one is of another.");
    if let Some(name) = material(ui, field, handle.scales.as_deref(), SCALES) {
        out.edit(handle_with(read, |handle| handle.scales = name));
    }
    let field = ("Right scale of", "Where it is of another material.");
    if let Some(name) = choice(ui, field, handle.right_scale.as_deref(), SCALES, SAME) {
        out.edit(handle_with(read, |handle| handle.right_scale = name));
    }
    let field = ("Pins of", "Rod, tube and screws.");
    if let Some(name) = material(ui, field, handle.pins.as_deref(), METAL_FIRST) {
        out.edit(handle_with(read, |handle| handle.pins = name));
    }
    let field = ("Glue line", "Thickness of the glue in each joint.");
    let stated = (handle.glue_mm, USUAL_GLUE_MM);
    if let Some(mm) = usual_length(ui, read, session, field, stated) {
        out.edit(handle_with(read, |handle| handle.glue_mm = mm));
    }
    readings(ui, read, |title| title == "Glue", &["Glue line"]);
}
