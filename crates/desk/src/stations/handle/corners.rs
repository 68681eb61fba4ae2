//! How the scales are shaped: their long corners, their thickness along the handle, the hand.

use super::along;
use crate::context::ViewContext;
use crate::widgets::Form;
use knife::limits::THICK_PLACES;
use knife::{Corner, Edit, Scales, Shaping, ThicknessAt};

/// A chamfer and a roundover to begin with, mm (common practice, no source).
const CORNER_MM: f64 = 3.0;
/// A chamfer's angle to begin with, degrees (common practice, no source).
const CHAMFER_DEG: f64 = 45.0;

fn with(context: &ViewContext<'_>, change: impl FnOnce(&mut Shaping)) -> Edit {
    let mut shaping = context.knife.handle.shaping.clone();
    change(&mut shaping);
    Edit::SetShaping(shaping)
}

/// The long corners, and the hand that the handle is for.
pub(super) fn card(form: &mut Form<'_>) {
    let context = form.context;
    let shaping = &context.knife.handle.shaping;
    let summary = match shaping.corner {
        None => "left square".to_owned(),
        Some(Corner::Chamfer { width_mm, .. }) => format!("chamfer {}", context.short(width_mm)),
        Some(Corner::Round(mm)) => format!("round {}", context.short(mm)),
    };
    let tooltip = "What is done to the long corners of the scales' faces.";
    if !form.section("Corners and girth", tooltip, &summary) {
        return;
    }
    let set = |corner| with(context, |shaping| shaping.corner = corner);
    let (size_mm, chamfer_deg) = match shaping.corner {
        Some(Corner::Round(mm)) => (mm, CHAMFER_DEG),
        Some(Corner::Chamfer { width_mm, angle_deg }) => (width_mm, angle_deg),
        None => (CORNER_MM, CHAMFER_DEG),
    };
    let chamfer = Corner::Chamfer { width_mm: size_mm, angle_deg: chamfer_deg };
    let round = Corner::Round(size_mm);
    let kinds = [(None, "Square"), (Some(chamfer), "Chamfer"), (Some(round), "Round")];
    form.choice(("Corner", tooltip), &kinds, shaping.corner).edit(set);
    match shaping.corner {
        None => {}
        Some(Corner::Chamfer { width_mm, angle_deg }) => {
            let caption = ("Chamfer width", "From the edge to the chamfer's line on the face.");
            form.length(caption, width_mm)
                .edit(|mm| set(Some(Corner::Chamfer { width_mm: mm, angle_deg })));
            let caption = ("Chamfer angle", "Between the scale's face and the chamfer.");
            form.angle(caption, angle_deg)
                .edit(|deg| set(Some(Corner::Chamfer { width_mm, angle_deg: deg })));
        }
        Some(Corner::Round(mm)) => {
            let caption = ("Roundover", "Radius of the quarter round.");
            form.length(caption, mm).edit(|mm| set(Some(Corner::Round(mm))));
        }
    }
    let tooltip = "The girth that suits your hand: put a tape round a handle that fits. It may be \
                   left empty.";
    form.optional_length(("Girth that fits", tooltip), shaping.hand_mm)
        .edit(|mm| with(context, |shaping| shaping.hand_mm = mm));
    form.readings_of(|title| matches!(title, "Shape of the handle" | "Finger grooves"), &[]);
}

/// Thickness at places along the handle.
pub(super) fn thickness(form: &mut Form<'_>, scales: Scales) {
    let context = form.context;
    let places = &context.knife.handle.shaping.thickness;
    let summary = match places.len() {
        0 => "even".to_owned(),
        1 => "one place".to_owned(),
        many => format!("{many} places"),
    };
    let tooltip = "How thick one scale is at places along the handle, smooth between them.";
    if !form.section("Handle thickness by position", tooltip, &summary) {
        return;
    }
    if places.is_empty() {
        form.note("As thick as stated from front to butt.");
    }
    for (i, place) in places.iter().enumerate() {
        let number = i + 1;
        let label = format!("Place {number}");
        form.x((&label, "Along the knife."), place.x_mm)
            .edit(|mm| with(context, |shaping| shaping.thickness[i].x_mm = mm));
        let label = format!("Thickness {number}");
        form.length((&label, "Of one scale there."), place.thickness_mm)
            .edit(|mm| with(context, |shaping| shaping.thickness[i].thickness_mm = mm));
        let label = format!("Remove place {number}");
        let without = with(context, |shaping| {
            shaping.thickness.remove(i);
        });
        form.edit_button((&label, ""), without);
    }
    let more = places.len() < *THICK_PLACES.end();
    if let Some(next) = next(context, scales)
        && form.button_if(more, ("Add a place", tooltip))
    {
        form.actions.edit(with(context, |shaping| shaping.thickness.push(next)));
    }
}

/// One more place: in the middle of the widest gap between front, places and butt, as thick as
/// what lies nearest before it.
fn next(context: &ViewContext<'_>, scales: Scales) -> Option<ThicknessAt> {
    let (front, butt) = along(context)?;
    let places = &context.knife.handle.shaping.thickness;
    let mut marks: Vec<f64> = places.iter().map(|place| place.x_mm).chain([front, butt]).collect();
    marks.sort_by(f64::total_cmp);
    let gap = marks.windows(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))?;
    let x_mm = f64::midpoint(gap[0], gap[1]);
    let near = places.iter().min_by(|a, b| (a.x_mm - x_mm).abs().total_cmp(&(b.x_mm - x_mm).abs()));
    let thickness_mm = near.map_or(scales.thickness_mm, |place| place.thickness_mm);
    Some(ThicknessAt { x_mm, thickness_mm })
}
