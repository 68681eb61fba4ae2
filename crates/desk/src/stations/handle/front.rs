//! The scales' front: the line it follows, how it leans and how it is bevelled.

use super::{fold, open_angle};
use crate::canvas::Read;
use crate::command::Commands;
use crate::session::Session;
use crate::stations::choose;
use egui::Ui;
use knife::{Edit, FrontCurve, ScaleFront, USUAL_BEVEL_DEG};

/// The radius that a curved front begins with, mm: this program's choice.
const RADIUS_MM: f64 = 25.0;

pub(super) fn ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit, front) = (read.palette, read.knife.unit, read.knife.handle.front);
    let set = |front: ScaleFront| Edit::SetFront(front);
    let radius = match front.curve {
        FrontCurve::Straight => None,
        FrontCurve::Round(mm) | FrontCurve::Hollow(mm) => Some(mm),
    };
    let now = match front.curve {
        FrontCurve::Straight => "straight",
        FrontCurve::Round(_) => "round",
        FrontCurve::Hollow(_) => "hollow",
    };
    let about = "It passes through the middle of the tang at the scale front. Finish it before \
                 glue-up: afterwards no tool reaches it.";
    if !fold(ui, "Shape of the front", about, now, session, p) {
        return;
    }
    let begun = radius.unwrap_or(RADIUS_MM);
    let curves = [
        (FrontCurve::Straight, "Straight"),
        (FrontCurve::Round(begun), "Round"),
        (FrontCurve::Hollow(begun), "Hollow"),
    ];
    let about = "Straight across, or an arc with its middle foremost or hindmost.";
    if let Some(curve) = choose(ui, ("Line", about), &curves, front.curve, p) {
        out.edit(set(ScaleFront { curve, ..front }));
    }
    if let Some(mm) = radius {
        let field = ("Front radius", "Of the arc.");
        if let Some(mm) = session.drafts.length(ui, p, field, mm, unit) {
            let curve = match front.curve {
                FrontCurve::Hollow(_) => FrontCurve::Hollow(mm),
                _ => FrontCurve::Round(mm),
            };
            out.edit(set(ScaleFront { curve, ..front }));
        }
    }
    let field = (
        "Front lean",
        "From square to the knife; positive when its end at the spine lies nearer to the butt.",
    );
    if let Some(deg) = session.drafts.angle(ui, p, field, Some(front.lean_deg)) {
        out.edit(set(ScaleFront { lean_deg: deg, ..front }));
    }
    let about = format!(
        "How far the front face leans back from square. Emptied, it is the usual {}.",
        units::show_angle(USUAL_BEVEL_DEG, 0)
    );
    if let Some(deg) =
        open_angle(ui, read, session, ("Front bevel", &about), Some(front.bevel_deg()))
    {
        out.edit(set(ScaleFront { bevel_deg: deg, ..front }));
    }
}
