//! What lies under and beside the scales: liners and bolsters.

use super::materials::{METAL_FIRST, material};
use crate::widgets::{Caption, Form};
use knife::{Bolster, Edit, Liners};

/// A liner to begin with, mm thick (1/32 in, common practice, no source).
const LINER_MM: f64 = 0.793_75;
/// A bolster to begin with, mm long (1/2 in, common practice, no source).
const BOLSTER_MM: f64 = 12.7;

pub(super) fn liners(form: &mut Form<'_>) {
    let context = form.context;
    let stated = context.knife.handle.liners.as_ref();
    let set = |liners: Liners| Edit::SetLiners(Some(liners));
    let summary =
        stated.map_or_else(|| "none".to_owned(), |liners| context.short(liners.thickness_mm));
    let caption = ("Liners", "A sheet of even thickness between each scale and the tang.");
    let first = || Some(set(Liners { thickness_mm: LINER_MM, material: None }));
    let shown = form.optional_section(caption, &summary, stated, "Add liners", first);
    let Some(stated) = shown else { return };
    form.length(("Liner thickness", "Of one."), stated.thickness_mm)
        .edit(|mm| set(Liners { thickness_mm: mm, ..stated.clone() }));
    let caption = ("Liners of", "Their material.");
    material(form, caption, stated.material.as_deref(), METAL_FIRST, |name| {
        set(Liners { material: name, ..stated.clone() })
    });
    form.edit_button(("Remove the liners", ""), Edit::SetLiners(None));
}

/// One of the two pairs of bolsters: the labels of its fields and buttons.
struct Labels {
    length: Caption<'static>,
    material: Caption<'static>,
    add: &'static str,
    remove: &'static str,
}

const FRONT: Labels = Labels {
    length: (
        "Front bolster",
        "Its length along the handle. It begins at the front of the scales; they lie behind it.",
    ),
    material: ("Front bolster of", "Its material."),
    add: "Add a front bolster",
    remove: "Remove the front bolster",
};
const REAR: Labels = Labels {
    length: ("Rear bolster", "Its length along the handle, from the butt."),
    material: ("Rear bolster of", "Its material."),
    add: "Add a rear bolster",
    remove: "Remove the rear bolster",
};

pub(super) fn bolsters(form: &mut Form<'_>) {
    let handle = &form.context.knife.handle;
    let (front, rear) = (&handle.front_bolster, &handle.rear_bolster);
    let summary = match (front, rear) {
        (None, None) => "none",
        (Some(_), None) => "front",
        (None, Some(_)) => "rear",
        (Some(_), Some(_)) => "front and rear",
    };
    let tooltip = "Pairs as thick as the scales, in front of them or at the butt.";
    if !form.section("Bolsters", tooltip, summary) {
        return;
    }
    bolster(form, front.as_ref(), &FRONT, |front| Edit::SetBolsters { front, rear: rear.clone() });
    bolster(form, rear.as_ref(), &REAR, |rear| Edit::SetBolsters { front: front.clone(), rear });
}

/// One pair.
fn bolster(
    form: &mut Form<'_>,
    stated: Option<&Bolster>,
    labels: &Labels,
    set: impl Fn(Option<Bolster>) -> Edit,
) {
    let Some(stated) = stated else {
        let first = Bolster { length_mm: BOLSTER_MM, material: None };
        return form.edit_button((labels.add, labels.length.1), set(Some(first)));
    };
    form.length(labels.length, stated.length_mm)
        .edit(|mm| set(Some(Bolster { length_mm: mm, ..stated.clone() })));
    material(form, labels.material, stated.material.as_deref(), METAL_FIRST, |name| {
        set(Some(Bolster { material: name, ..stated.clone() }))
    });
    form.edit_button((labels.remove, ""), set(None));
}
