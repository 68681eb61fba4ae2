//! What goes through each hole: a solid pin, a tube or a shouldered screw.

use crate::widgets::Form;
use knife::{Edit, Fixing, Hole, HoleKind};

/// A tube's bore to begin with, of its outer diameter: this program's choice.
const BORE: f64 = 0.75;
/// A screw's head to begin with, of its shank's diameter: this program's choice.
const HEAD: f64 = 1.6;
/// How deep a head goes in to begin with, of the scale's thickness: this program's choice.
const DEEP: f64 = 0.5;

/// All pins, in the Handle card.
pub(super) fn card(form: &mut Form<'_>) {
    let knife = form.context.knife;
    let holes = || (1..).zip(&knife.holes).filter(|(_, hole)| hole.kind != HoleKind::Relief);
    let summary = match (holes().count(), knife.handle.fixings.len()) {
        (0, _) => "no pin holes".to_owned(),
        (_, 0) => "all solid".to_owned(),
        (_, one) => format!("{one} not solid"),
    };
    if !form.section("Pins", "Solid rod, tube, or a screw with a shoulder, hole by hole.", &summary)
    {
        return;
    }
    if holes().next().is_none() {
        form.note("Add pin holes at the Holes station.");
    }
    for (number, hole) in holes() {
        fixing(form, number, hole);
    }
    form.readings("Pins", &[]);
}

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Solid,
    Tube,
    Screw,
}

/// What goes through one hole; its fields bear the hole's number, so that each is known by name.
fn fixing(form: &mut Form<'_>, number: usize, hole: &Hole) {
    let context = form.context;
    let stated = context.knife.handle.fixing(hole.id);
    let set = |fixing: Option<Fixing>| Edit::SetFixing { hole: hole.id, fixing };
    let outer_mm = hole.pin_mm.unwrap_or(hole.diameter_mm);
    let kind = match stated {
        None => Kind::Solid,
        Some(Fixing::Tube { .. }) => Kind::Tube,
        Some(Fixing::Screw { .. }) => Kind::Screw,
    };
    // A lanyard hole is left open, or lined with a tube.
    let kinds: &[(Kind, &str)] = if hole.kind == HoleKind::Thong {
        &[(Kind::Solid, "Open"), (Kind::Tube, "Tube")]
    } else {
        &[(Kind::Solid, "Solid"), (Kind::Tube, "Tube"), (Kind::Screw, "Screw")]
    };
    let label = format!("Hole {number}");
    let across = context.typed_length(outer_mm);
    let tooltip = format!("What goes through: outside it is {across} across.");
    form.group(("fixing", hole.id), |form| {
        form.choice((&label, &tooltip), kinds, kind).edit(|kind| {
            let thick_mm = context.knife.scales.map_or(6.0, |scales| scales.thickness_mm);
            set(match kind {
                Kind::Solid => None,
                Kind::Tube => Some(Fixing::Tube { bore_mm: outer_mm * BORE }),
                Kind::Screw => {
                    Some(Fixing::Screw { head_mm: outer_mm * HEAD, head_deep_mm: thick_mm * DEEP })
                }
            })
        });
    });
    match stated {
        None => {}
        Some(Fixing::Tube { bore_mm }) => {
            let label = format!("Bore {number}");
            form.length((&label, "Inner diameter of the tube."), bore_mm)
                .edit(|mm| set(Some(Fixing::Tube { bore_mm: mm })));
        }
        Some(Fixing::Screw { head_mm, head_deep_mm }) => {
            let label = format!("Head {number}");
            let caption = (label.as_str(), "Diameter of the screw's head in each scale.");
            form.length(caption, head_mm)
                .edit(|mm| set(Some(Fixing::Screw { head_mm: mm, head_deep_mm })));
            let label = format!("Head {number} deep");
            let caption = (label.as_str(), "How deep the head goes into its scale.");
            form.length(caption, head_deep_mm)
                .edit(|mm| set(Some(Fixing::Screw { head_mm, head_deep_mm: mm })));
        }
    }
}
