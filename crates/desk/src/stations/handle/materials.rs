//! What the scales and the pins are made of, and the glue between.

use super::handle_with;
use crate::widgets::{Caption, Form};
use knife::{Edit, USUAL_GLUE_MM};
use reckon::tables::{MaterialKind, Tables};

/// What stands for no material.
const NONE: &str = "not chosen";
/// What stands for the right scale being of the left one's material.
const SAME: &str = "same as left";

/// The kinds of what scales are made of, the most usual first.
pub(super) const SCALES: &[MaterialKind] =
    &[MaterialKind::Wood, MaterialKind::Laminate, MaterialKind::Natural, MaterialKind::Metal];
/// The same of pins, liners and bolsters.
pub(super) const METAL_FIRST: &[MaterialKind] =
    &[MaterialKind::Metal, MaterialKind::Laminate, MaterialKind::Wood, MaterialKind::Natural];

/// A choice among the materials of the table, or of none.
pub(super) fn material(
    form: &mut Form<'_>,
    caption: Caption<'_>,
    value: Option<&str>,
    kinds: &[MaterialKind],
    edit: impl FnOnce(Option<String>) -> Edit,
) {
    material_or(form, caption, value, kinds, NONE, edit);
}

fn material_or(
    form: &mut Form<'_>,
    caption: Caption<'_>,
    value: Option<&str>,
    kinds: &[MaterialKind],
    none: &str,
    edit: impl FnOnce(Option<String>) -> Edit,
) {
    let tables = Tables::built_in();
    // A name of another case or spelling is the same material.
    let known = value.and_then(|name| tables.material(name)).map(|found| found.name.as_str());
    let all = tables.materials();
    let named = kinds.iter().flat_map(|kind| all.iter().filter(move |m| m.kind == *kind));
    let options: Vec<&str> =
        std::iter::once(none).chain(named.map(|material| material.name.as_str())).collect();
    let now = known.or(value).unwrap_or(none);
    if let Some(chosen) = form.pick(caption, now, &options, 168.0).value {
        form.actions.edit(edit((chosen > 0).then(|| options[chosen].to_owned())));
    }
}

pub(super) fn card(form: &mut Form<'_>) {
    let context = form.context;
    let handle = &context.knife.handle;
    let summary = handle.scales.as_deref().unwrap_or(NONE);
    let tooltip = "What scales and pins are made of: the whole knife's mass and balance follow.";
    if !form.section("Materials", tooltip, summary) {
        return;
    }
    let caption = ("Scales of", "Of both, or of the left one if the right one differs.");
    material(form, caption, handle.scales.as_deref(), SCALES, |name| {
        handle_with(context, |handle| handle.scales = name)
    });
    let caption = ("Right scale of", "If it is of another material.");
    material_or(form, caption, handle.right_scale.as_deref(), SCALES, SAME, |name| {
        handle_with(context, |handle| handle.right_scale = name)
    });
    let caption = ("Pins of", "Rod, tube and screws.");
    material(form, caption, handle.pins.as_deref(), METAL_FIRST, |name| {
        handle_with(context, |handle| handle.pins = name)
    });
    let caption = ("Glue line", "Thickness of the glue in each joint.");
    form.usual_length(caption, (handle.glue_mm, USUAL_GLUE_MM))
        .edit(|mm| handle_with(context, |handle| handle.glue_mm = mm));
    form.readings("Glue", &["Glue line"]);
}
