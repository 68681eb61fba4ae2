//! What goes through each hole: a solid pin, a tube or a shouldered screw.

use super::fold;
use crate::canvas::Read;
use crate::command::Commands;
use crate::session::Session;
use crate::stations::{choose, quiet, readings::readings};
use egui::Ui;
use knife::{Edit, Fixing, Hole, HoleKind};

/// A tube's bore to begin with, of its outer diameter: this program's choice.
const BORE: f64 = 0.75;
/// A screw's head to begin with, of its shank's diameter: this program's choice.
const HEAD: f64 = 1.6;
/// How deep a head goes in to begin with, of the scale's thickness: this program's choice.
const DEEP: f64 = 0.5;

/// All pins, in the Handle card.
pub(super) fn ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let holes = || (1..).zip(&read.knife.holes).filter(|(_, hole)| hole.kind != HoleKind::Relief);
    let other = read.knife.handle.fixings.len();
    let now = match (holes().count(), other) {
        (0, _) => "no holes for any".to_owned(),
        (_, 0) => "all solid".to_owned(),
        (_, one) => format!("{one} not solid"),
    };
    let about = "Solid rod, tube, or a screw with a shoulder, hole by hole.";
    if !fold(ui, "Pins", about, &now, session, read.palette) {
        return;
    }
    if holes().next().is_none() {
        quiet(ui, "Add pin holes at the Holes station.", read.palette);
    }
    for (number, hole) in holes() {
        fixing(ui, read, number, hole, session, out);
    }
    readings(ui, read, |title| title == "Pins", &[]);
}

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Solid,
    Tube,
    Screw,
}

/// What goes through one hole; its fields bear the hole's number, so that each is known by name.
pub(in crate::stations) fn fixing(
    ui: &mut Ui,
    read: &Read<'_>,
    number: usize,
    hole: &Hole,
    session: &mut Session,
    out: &mut Commands,
) {
    let (p, unit) = (read.palette, read.knife.unit);
    let stated = read.knife.handle.fixing(hole.id);
    let set = |fixing: Option<Fixing>| Edit::SetFixing { hole: hole.id, fixing };
    let outer_mm = hole.pin_mm.unwrap_or(hole.diameter_mm);
    let kind = match stated {
        None => Kind::Solid,
        Some(Fixing::Tube { .. }) => Kind::Tube,
        Some(Fixing::Screw { .. }) => Kind::Screw,
    };
    // A thong hole is left open, or lined with a tube.
    let kinds: &[(Kind, &str)] = if hole.kind == HoleKind::Thong {
        &[(Kind::Solid, "Open"), (Kind::Tube, "Tube")]
    } else {
        &[(Kind::Solid, "Solid"), (Kind::Tube, "Tube"), (Kind::Screw, "Screw")]
    };
    let name = format!("Hole {number}");
    let about =
        format!("What goes through: outside it is {} across.", units::write_length(outer_mm, unit));
    let chosen = ui.push_id(("fixing", hole.id), |ui| choose(ui, (&name, &about), kinds, kind, p));
    if let Some(kind) = chosen.inner {
        let thick_mm = read.knife.scales.map_or(6.0, |scales| scales.thickness_mm);
        let fixing = match kind {
            Kind::Solid => None,
            Kind::Tube => Some(Fixing::Tube { bore_mm: outer_mm * BORE }),
            Kind::Screw => {
                Some(Fixing::Screw { head_mm: outer_mm * HEAD, head_deep_mm: thick_mm * DEEP })
            }
        };
        out.edit(set(fixing));
    }
    let drafts = &mut session.drafts;
    match stated {
        None => {}
        Some(Fixing::Tube { bore_mm }) => {
            let field = format!("Bore {number}");
            let field = (field.as_str(), "Inner diameter of the tube.");
            if let Some(mm) = drafts.length(ui, p, field, bore_mm, unit) {
                out.edit(set(Some(Fixing::Tube { bore_mm: mm })));
            }
        }
        Some(Fixing::Screw { head_mm, head_deep_mm }) => {
            let field = format!("Head {number}");
            let field = (field.as_str(), "Diameter of the screw's head in each scale.");
            if let Some(mm) = drafts.length(ui, p, field, head_mm, unit) {
                out.edit(set(Some(Fixing::Screw { head_mm: mm, head_deep_mm })));
            }
            let field = format!("Head {number} deep");
            let field = (field.as_str(), "How deep the head goes into its scale.");
            if let Some(mm) = drafts.length(ui, p, field, head_deep_mm, unit) {
                out.edit(set(Some(Fixing::Screw { head_mm, head_deep_mm: mm })));
            }
        }
    }
}
