//! How the scales are shaped: their long corners, their thickness along the handle, the hand.

use super::{along, fold};
use crate::canvas::{Read, hover};
use crate::command::Commands;
use crate::field::Field;
use crate::session::Session;
use crate::stations::readings::readings;
use crate::stations::{choose, place_along, quiet};
use egui::Ui;
use knife::limits::THICK_PLACES;
use knife::{Corner, Edit, Scales, Shaping, ThicknessAt};

/// A chamfer and a roundover to begin with, mm (common practice, no source).
const CORNER_MM: f64 = 3.0;
/// A chamfer's angle to begin with, degrees (common practice, no source).
const CHAMFER_DEG: f64 = 45.0;

fn with(read: &Read<'_>, change: impl FnOnce(&mut Shaping)) -> Edit {
    let mut shaping = read.knife.handle.shaping.clone();
    change(&mut shaping);
    Edit::SetShaping(shaping)
}

/// The long corners, and the hand that the handle is for.
pub(super) fn ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    let shaping = &read.knife.handle.shaping;
    let now = match shaping.corner {
        None => "left square".to_owned(),
        Some(Corner::Chamfer { width_mm, .. }) => {
            format!("chamfer {}", hover::short(width_mm, unit))
        }
        Some(Corner::Round(mm)) => format!("round {}", hover::short(mm, unit)),
    };
    let about = "What is done to the long corners of the scales' faces.";
    if !fold(ui, "Corners and girth", about, &now, session, p) {
        return;
    }
    let (chamfer, round) = match shaping.corner {
        Some(Corner::Round(mm)) => {
            (Corner::Chamfer { width_mm: mm, angle_deg: CHAMFER_DEG }, Corner::Round(mm))
        }
        Some(Corner::Chamfer { width_mm, angle_deg }) => {
            (Corner::Chamfer { width_mm, angle_deg }, Corner::Round(width_mm))
        }
        None => (
            Corner::Chamfer { width_mm: CORNER_MM, angle_deg: CHAMFER_DEG },
            Corner::Round(CORNER_MM),
        ),
    };
    let kinds = [(None, "Square"), (Some(chamfer), "Chamfer"), (Some(round), "Round")];
    if let Some(corner) = choose(ui, ("Corner", about), &kinds, shaping.corner, p) {
        out.edit(with(read, |shaping| shaping.corner = corner));
    }
    match shaping.corner {
        None => {}
        Some(Corner::Chamfer { width_mm, angle_deg }) => {
            let field = ("Chamfer width", "From the edge to the chamfer's line on the face.");
            if let Some(mm) = session.drafts.length(ui, p, field, width_mm, unit) {
                let corner = Corner::Chamfer { width_mm: mm, angle_deg };
                out.edit(with(read, |shaping| shaping.corner = Some(corner)));
            }
            let field = ("Chamfer angle", "Between the scale's face and the chamfer.");
            if let Some(deg) = session.drafts.angle(ui, p, field, Some(angle_deg)) {
                let corner = Corner::Chamfer { width_mm, angle_deg: deg };
                out.edit(with(read, |shaping| shaping.corner = Some(corner)));
            }
        }
        Some(Corner::Round(mm)) => {
            let field = ("Roundover", "Radius of the quarter round.");
            if let Some(mm) = session.drafts.length(ui, p, field, mm, unit) {
                out.edit(with(read, |shaping| shaping.corner = Some(Corner::Round(mm))));
            }
        }
    }
    let about = "The girth your own hand likes: a tape round a handle that fits. Emptied, it is \
                 left open.";
    let value = shaping.hand_mm.map_or_else(String::new, |mm| units::write_length(mm, unit));
    let field = Field { name: "Girth that fits", about, value, width: 104.0 };
    let typed = session.drafts.field(ui, p, field, |text| {
        if text.trim().is_empty() {
            return Ok(None);
        }
        units::parse_length(text, unit).map(|mm| Some(mm.to_mm())).map_err(|e| e.to_string())
    });
    if let Some(mm) = typed {
        out.edit(with(read, |shaping| shaping.hand_mm = mm));
    }
    readings(ui, read, |title| matches!(title, "Shape of the handle" | "Finger notches"), &[]);
}

/// Thickness at places along the handle.
pub(super) fn thickness(
    ui: &mut Ui,
    read: &Read<'_>,
    scales: Scales,
    session: &mut Session,
    out: &mut Commands,
) {
    let (p, unit) = (read.palette, read.knife.unit);
    let places = &read.knife.handle.shaping.thickness;
    let now = match places.len() {
        0 => "even".to_owned(),
        1 => "one place".to_owned(),
        many => format!("{many} places"),
    };
    let about = "How thick one scale is at places along the handle, smooth between them.";
    if !fold(ui, "Handle thickness by position", about, &now, session, p) {
        return;
    }
    if places.is_empty() {
        quiet(ui, "As thick as stated from front to butt.", p);
    }
    for (i, place) in places.iter().enumerate() {
        let number = i + 1;
        let name = format!("Place {number}");
        let field = (name.as_str(), "Along the knife.");
        if let Some(mm) = place_along(ui, read, session, field, place.x_mm) {
            out.edit(with(read, |shaping| shaping.thickness[i].x_mm = mm));
        }
        let name = format!("Thickness {number}");
        let field = (name.as_str(), "Of one scale there.");
        if let Some(mm) = session.drafts.length(ui, p, field, place.thickness_mm, unit) {
            out.edit(with(read, |shaping| shaping.thickness[i].thickness_mm = mm));
        }
        if ui.button(format!("Remove place {number}")).clicked() {
            out.edit(with(read, |shaping| {
                shaping.thickness.remove(i);
            }));
        }
    }
    let more = places.len() < *THICK_PLACES.end();
    if let Some(next) = next(read, scales)
        && ui.add_enabled(more, egui::Button::new("Add a place")).on_hover_text(about).clicked()
    {
        out.edit(with(read, |shaping| shaping.thickness.push(next)));
    }
}

/// One more place: in the middle of the widest gap between front, places and butt, as thick as
/// what lies nearest before it.
fn next(read: &Read<'_>, scales: Scales) -> Option<ThicknessAt> {
    let (front, butt) = along(read)?;
    let places = &read.knife.handle.shaping.thickness;
    let mut marks: Vec<f64> = places.iter().map(|place| place.x_mm).chain([front, butt]).collect();
    marks.sort_by(f64::total_cmp);
    let gap = marks.windows(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))?;
    let x_mm = f64::midpoint(gap[0], gap[1]);
    let near = places.iter().min_by(|a, b| (a.x_mm - x_mm).abs().total_cmp(&(b.x_mm - x_mm).abs()));
    let thickness_mm = near.map_or(scales.thickness_mm, |place| place.thickness_mm);
    Some(ThicknessAt { x_mm, thickness_mm })
}
