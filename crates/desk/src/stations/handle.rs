//! Handle: the pair of scales.

use super::readings::readings;
use super::{heading, not_yet};
use crate::canvas::handles::{self, Grip};
use crate::canvas::{self, Hands, Read, hover, step_mm};
use crate::command::Commands;
use crate::section;
use crate::session::Session;
use egui::Ui;
use knife::limits::SCALE_THICKNESS_MM as MOST;
use knife::{Edit, Scales};
use kurbo::Point;
use units::LengthUnit;

/// A scale to begin with, mm thick (3/8 in, common practice, no source).
const THICK_MM: f64 = 9.525;

pub(super) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    let Some(scales) = read.knife.scales else {
        let words = (
            "No scales yet",
            "Scales follow the tang from the butt to their front line.",
            "Begin the scales",
        );
        return not_yet(ui, words, first(read).map(set), read, out);
    };
    heading(ui, "As decided", p);
    let field = ("Scale front", "Where the scales end towards the blade.");
    if let Some(mm) = session.drafts.length(ui, p, field, scales.front_x_mm, unit) {
        out.edit(set(Scales { front_x_mm: mm, ..scales }));
    }
    let field = ("Scale thickness", "Of one scale, before it is shaped.");
    if let Some(mm) = session.drafts.length(ui, p, field, scales.thickness_mm, unit) {
        out.edit(set(Scales { thickness_mm: mm, ..scales }));
    }
    if ui.button("Remove the scales").clicked() {
        out.edit(Edit::SetScales(None));
    }
    readings(ui, read, |title| title == "Scales", &["Front line", "Thickness"]);
    readings(ui, read, |title| title == "Steel alone", &["As cut", "Taken off by grinding"]);
    section::card(ui, read, session);
}

fn set(scales: Scales) -> Edit {
    Edit::SetScales(Some(scales))
}

/// Scales to begin with: the front a little behind the plunge line, or at the middle.
fn first(read: &Read<'_>) -> Option<Scales> {
    let profile = read.derived.reckoning.profile.as_ref()?;
    let behind = profile.towards_butt * 6.0;
    let front_x_mm = read
        .knife
        .bevel
        .map_or_else(|| profile.bounds.center().x, |bevel| bevel.plunge_x_mm + behind);
    Some(Scales { front_x_mm, thickness_mm: THICK_MM })
}

pub(super) fn on_canvas(hands: &mut Hands<'_>) {
    super::balance::mark(hands);
    let Some(scales) = hands.read.knife.scales else { return };
    let Some(outline) = &hands.read.derived.reckoning.outline else { return };
    let unit = hands.read.knife.unit;
    let at = Point::new(scales.front_x_mm, outline.bounds().center().y);
    handles::grip(
        hands,
        &Grip::across("Scale front", at, step_mm(unit)),
        |from, by| set(Scales { front_x_mm: from.x + by.x, ..scales }),
        || format!("scale front at {}", hover::length(scales.front_x_mm, unit)),
    );
}

/// The face of a scale on the knife seen on edge, where y is the distance from the centre plane
/// and x that of the bar.
pub(crate) fn on_edge(hands: &mut Hands<'_>) {
    let Some(scales) = hands.read.knife.scales else { return };
    let Some(found) = &hands.read.derived.reckoning.scales else { return };
    let placed = found.outline.transformed(hands.read.knife.bar.placement.bar_from_knife());
    let (unit, half_mm) = (hands.read.knife.unit, hands.read.knife.bar.thickness_mm / 2.0);
    let round_mm = match unit {
        LengthUnit::Inch => 25.4 / 64.0,
        LengthUnit::Millimetre => 0.1,
    };
    let round_mm = round_mm * if canvas::is_fine(hands.ui) { 0.1 } else { 1.0 };
    let (bounds, z) = (placed.bounds(), half_mm + scales.thickness_mm);
    // Near the front; and however near the view is, within reach.
    let profile = hands.read.derived.reckoning.profile.as_ref();
    let share = if profile.is_none_or(|p| p.towards_butt > 0.0) { 0.25 } else { 0.75 };
    let seen_mm = hands.sight.view.seen().y1 - hands.sight.mm(9.0);
    let at = Point::new(bounds.x0 + bounds.width() * share, z);
    let grip = Grip::new("Scale face", at, round_mm);
    handles::grip(
        hands,
        &Grip { shown: Point::new(at.x, z.min(seen_mm)), ..grip },
        |from, by| {
            let thick_mm = ((from.y + by.y - half_mm) / round_mm).round() * round_mm;
            set(Scales { thickness_mm: thick_mm.clamp(*MOST.start(), *MOST.end()), ..scales })
        },
        || format!("scale thickness {}", hover::length(scales.thickness_mm, unit)),
    );
}
