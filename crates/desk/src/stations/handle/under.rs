//! What lies under and beside the scales: liners and bolsters.

use super::materials::{METAL_FIRST, material};
use super::{Session, fold};
use crate::canvas::{Read, hover};
use crate::command::Commands;
use egui::Ui;
use knife::{Bolster, Edit, Liners};

/// A liner to begin with, mm thick (1/32 in, common practice, no source).
const LINER_MM: f64 = 0.793_75;
/// A bolster to begin with, mm long (1/2 in, common practice, no source).
const BOLSTER_MM: f64 = 12.7;

pub(super) fn liners(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    let stated = read.knife.handle.liners.as_ref();
    let now = stated.map_or_else(|| "none".to_owned(), |l| hover::short(l.thickness_mm, unit));
    let about = "A sheet of even thickness between each scale and the tang.";
    if !fold(ui, "Liners", about, &now, session, p) {
        return;
    }
    let Some(stated) = stated else {
        if ui.button("Add liners").on_hover_text(about).clicked() {
            let first = Liners { thickness_mm: LINER_MM, material: None };
            out.edit(Edit::SetLiners(Some(first)));
        }
        return;
    };
    let field = ("Liner thickness", "Of one.");
    if let Some(mm) = session.drafts.length(ui, p, field, stated.thickness_mm, unit) {
        out.edit(Edit::SetLiners(Some(Liners { thickness_mm: mm, ..stated.clone() })));
    }
    let field = ("Liners of", "Their material.");
    if let Some(name) = material(ui, field, stated.material.as_deref(), METAL_FIRST) {
        out.edit(Edit::SetLiners(Some(Liners { material: name, ..stated.clone() })));
    }
    if ui.button("Remove the liners").clicked() {
        out.edit(Edit::SetLiners(None));
    }
}

/// One of the two pairs of bolsters: the words on its fields and buttons.
struct Words {
    length: (&'static str, &'static str),
    material: (&'static str, &'static str),
    add: &'static str,
    remove: &'static str,
}

const FRONT: Words = Words {
    length: (
        "Front bolster",
        "Its length along the handle. It begins at the scale front, the scales behind it.",
    ),
    material: ("Front bolster of", "Its material."),
    add: "Add a front bolster",
    remove: "Remove the front bolster",
};
const REAR: Words = Words {
    length: ("Rear bolster", "Its length along the handle, from the butt."),
    material: ("Rear bolster of", "Its material."),
    add: "Add a rear bolster",
    remove: "Remove the rear bolster",
};

pub(super) fn bolsters(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let handle = &read.knife.handle;
    let (front, rear) = (&handle.front_bolster, &handle.rear_bolster);
    let now = match (front, rear) {
        (None, None) => "none",
        (Some(_), None) => "front",
        (None, Some(_)) => "rear",
        (Some(_), Some(_)) => "front and rear",
    };
    let about = "Pairs as thick as the scales, in front of them or at the butt.";
    if !fold(ui, "Bolsters", about, now, session, read.palette) {
        return;
    }
    if let Some(front) = one(ui, read, front.as_ref(), &FRONT, session) {
        out.edit(Edit::SetBolsters { front, rear: rear.clone() });
    }
    if let Some(rear) = one(ui, read, rear.as_ref(), &REAR, session) {
        out.edit(Edit::SetBolsters { front: front.clone(), rear });
    }
}

/// One pair; what it is to be, when that changed.
fn one(
    ui: &mut Ui,
    read: &Read<'_>,
    stated: Option<&Bolster>,
    words: &Words,
    session: &mut Session,
) -> Option<Option<Bolster>> {
    let Some(stated) = stated else {
        let add = ui.button(words.add).on_hover_text(words.length.1);
        let first = Bolster { length_mm: BOLSTER_MM, material: None };
        return add.clicked().then_some(Some(first));
    };
    let mut changed = None;
    let drafts = &mut session.drafts;
    let (p, unit) = (read.palette, read.knife.unit);
    if let Some(mm) = drafts.length(ui, p, words.length, stated.length_mm, unit) {
        changed = Some(Some(Bolster { length_mm: mm, ..stated.clone() }));
    }
    if let Some(name) = material(ui, words.material, stated.material.as_deref(), METAL_FIRST) {
        changed = Some(Some(Bolster { material: name, ..stated.clone() }));
    }
    if ui.button(words.remove).clicked() {
        changed = Some(None);
    }
    changed
}
