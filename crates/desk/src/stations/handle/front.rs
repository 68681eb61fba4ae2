//! The scales' front: the line it follows, how it leans and how it is bevelled.

use crate::widgets::Form;
use knife::{Edit, FrontCurve, ScaleFront, USUAL_BEVEL_DEG};

/// The radius that a curved front begins with, mm: this program's choice.
const RADIUS_MM: f64 = 25.0;

pub(super) fn card(form: &mut Form<'_>) {
    let front = form.context.knife.handle.front;
    let set = |front: ScaleFront| Edit::SetFront(front);
    let (radius, summary) = match front.curve {
        FrontCurve::Straight => (None, "straight"),
        FrontCurve::Round(mm) => (Some(mm), "round"),
        FrontCurve::Hollow(mm) => (Some(mm), "hollow"),
    };
    let tooltip = "It passes through the middle of the tang at the front of the scales. Finish it before \
                   glue-up: afterwards no tool reaches it.";
    if !form.section("Shape of the front", tooltip, summary) {
        return;
    }
    let first = radius.unwrap_or(RADIUS_MM);
    let curves = [
        (FrontCurve::Straight, "Straight"),
        (FrontCurve::Round(first), "Round"),
        (FrontCurve::Hollow(first), "Hollow"),
    ];
    let tooltip = "Straight across, or an arc that bulges forward or is hollowed back.";
    form.choice(("Line", tooltip), &curves, front.curve)
        .edit(|curve| set(ScaleFront { curve, ..front }));
    if let Some(mm) = radius {
        form.length(("Front radius", "Of the arc."), mm).edit(|mm| {
            let curve = match front.curve {
                FrontCurve::Hollow(_) => FrontCurve::Hollow(mm),
                _ => FrontCurve::Round(mm),
            };
            set(ScaleFront { curve, ..front })
        });
    }
    let caption = (
        "Front lean",
        "From square to the knife; positive when its end at the spine lies nearer to the butt.",
    );
    form.angle(caption, front.lean_deg).edit(|deg| set(ScaleFront { lean_deg: deg, ..front }));
    let tooltip = format!(
        "How far the front face leans back from square. Leave it empty for the usual {}.",
        units::show_angle(USUAL_BEVEL_DEG, 0)
    );
    form.optional_angle(("Front bevel", &tooltip), Some(front.bevel_deg()))
        .edit(|deg| set(ScaleFront { bevel_deg: deg, ..front }));
}
