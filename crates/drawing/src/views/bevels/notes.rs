//! What is said beside the blade: in which order to file, how to hold the gauges, what to mind.

use super::BladeView;
use knife::{Grind, Knife};
use reckon::Reckoning;

/// Short lines for beside the drawing.
pub fn bevel_notes(knife: &Knife, reckoning: &Reckoning) -> Vec<String> {
    let Some(view) = BladeView::of(knife, reckoning) else { return cautions() };
    let mut notes = Vec::new();
    match (knife.bevel, &reckoning.bevel) {
        (Some(stated), Some(_)) => {
            notes.push(face(&view));
            notes.push(shape(&view, stated.grind));
            if let Some(lines) = filing(&view) {
                notes.extend(lines);
            }
        }
        _ => notes.push("No bevels are decided yet.".to_owned()),
    }
    notes.extend(cautions());
    notes
}

fn face(view: &BladeView<'_>) -> String {
    let seen = if view.left_is_seen { "left" } else { "right" };
    match view.ground_face() {
        Some(face) => format!("Ground on the {face} face alone; it is the face shown."),
        None => format!(
            "The {seen} face is shown; for the other turn the sheet over against the light, or set \
             dividers to the heights."
        ),
    }
}

fn shape(view: &BladeView<'_>, grind: Grind) -> String {
    match grind {
        Grind::Flat if view.knife.taper.is_some() => {
            "Flat bevels on a tapered stock: angles are told at the plunge line and fall towards \
             the tip; the guide lines keep to it."
                .to_owned()
        }
        Grind::Flat => "Flat bevels.".to_owned(),
        Grind::Hollow(wheel) => format!(
            "Hollow bevels by a wheel of {} diameter: no facets to file; see the sections.",
            units::write_length(wheel, view.knife.unit)
        ),
        Grind::Convex(radius) => format!(
            "Convex bevels of {} radius: no facets to file; see the sections.",
            units::write_length(radius, view.knife.unit)
        ),
    }
}

/// How to file by the guide lines; `None` without facets.
fn filing(view: &BladeView<'_>) -> Option<Vec<String>> {
    let filing = view.reckoning.filing.as_ref()?;
    if filing.facets.is_empty() {
        return None;
    }
    let flat = if view.reckoning.bevel.as_ref().is_some_and(|bevel| bevel.grind.is_empty()) {
        " Above the last facet no flat is left: check that one by its thickness."
    } else {
        ""
    };
    let faces = if view.ground_face().is_some() { "that face" } else { "both faces" };
    Some(vec![
        format!(
            "Scribe the edge lines, then the guide lines (dashed) on {faces}. File facet 1 at 45° \
             down to the edge line, then each next facet from the edge line up to its guide line."
        ),
        format!(
            "Gauges: stick on card, cut out. Hold one square to the edge, \"on the flat\" flat on the \
             unfiled face; the file lies along the other arm, and no light shows under it on the \
             filed facet. 1° off opens half a millimetre over 30 mm.{flat}"
        ),
    ])
}

/// The usual cautions (common practice, no source).
fn cautions() -> Vec<String> {
    vec![
        "Clamp the work and keep the edge away from you: it is sharp long before it is sharpened. \
         Wear eye protection; keep dust of filing and grinding out of your lungs. Keep to the rules \
         where you are."
            .to_owned(),
    ]
}
