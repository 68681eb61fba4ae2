//! A frame around what is selected, with handles that scale it and one that turns it.

use super::arrange::{bounds, parts};
use crate::action::Action;
use crate::canvas::handles::{self, HandleShape};
use crate::context::CanvasContext;
use egui::{Align2, Id, Rect, Stroke, StrokeKind, pos2, vec2};
use knife::{Edit, PartId};
use kurbo::Vec2;

/// The frame stands this far off, points.
const AROUND: f32 = 20.0;
/// The handle that turns stands this far above it, points.
const ABOVE: f32 = 22.0;
/// A side shorter than this can't be scaled, mm.
const NO_SIDE_MM: f64 = 1e-6;

/// A handle: its name, and where it stands on the frame: −1, 0 or 1 along and up.
const SCALES: [(&str, f32, f32); 8] = [
    ("Scale selection left", -1.0, 0.0),
    ("Scale selection right", 1.0, 0.0),
    ("Scale selection top", 0.0, 1.0),
    ("Scale selection bottom", 0.0, -1.0),
    ("Scale selection top left", -1.0, 1.0),
    ("Scale selection top right", 1.0, 1.0),
    ("Scale selection bottom left", -1.0, -1.0),
    ("Scale selection bottom right", 1.0, -1.0),
];

/// Shows the frame around two parts or more and follows its handles.
pub(crate) fn on_canvas(cx: &mut CanvasContext<'_>) {
    // Not while anything else is dragged: it would be in the way of what is looked at.
    if cx.pointer.is_dragging() && cx.tools.framed.is_none() {
        return;
    }
    let placed = parts(cx.context.knife, cx.selection);
    let Some(around) = bounds(&placed).filter(|_| placed.len() > 1) else { return };
    let frame =
        cx.knife_view.view.ui_rect(cx.knife_view.plane_from_knife.transform_rect_bbox(around));
    let frame = frame.expand(AROUND);
    let colour = cx.context.palette.grip_chosen.gamma_multiply(0.7);
    cx.ui.painter().rect(
        frame,
        0.0,
        egui::Color32::TRANSPARENT,
        Stroke::new(1.0, colour),
        StrokeKind::Middle,
    );
    let parts: Vec<PartId> = placed.iter().map(|(part, _)| *part).collect();
    let is_wide = [around.width() > NO_SIDE_MM, around.height() > NO_SIDE_MM];
    for (name, along, up) in SCALES {
        let usable = (along == 0.0 || is_wide[0]) && (up == 0.0 || is_wide[1]);
        if usable {
            scale(cx, frame, around, &parts, (name, f64::from(along), f64::from(up)));
        }
    }
    turn(cx, frame, around, &parts);
    if !cx.pointer.is_dragging() {
        cx.tools.framed = None;
    }
}

/// The box as it was when the drag of a handle began.
fn begun(cx: &mut CanvasContext<'_>, around: kurbo::Rect) -> kurbo::Rect {
    *cx.tools.framed.get_or_insert(around)
}

fn scale(
    cx: &mut CanvasContext<'_>,
    frame: Rect,
    around: kurbo::Rect,
    parts: &[PartId],
    (name, along, up): (&str, f64, f64),
) {
    #[expect(clippy::cast_possible_truncation, reason = "−1, 0 or 1")]
    let at = frame.center() + 0.5 * vec2(along as f32 * frame.width(), -up as f32 * frame.height());
    let response = handles::spot(cx.ui, Id::unique(name), at, handles::REACH, name, false);
    let corner = |rect: kurbo::Rect, x: f64, y: f64| {
        let centre = rect.center();
        centre + 0.5 * Vec2::new(x * rect.width(), y * rect.height())
    };
    if let Some((_, by)) = cx.dragged(&response, corner(around, along, up)) {
        let from = begun(cx, around);
        let held = corner(from, -along, -up);
        let size = corner(from, along, up) - held;
        let share = |size: f64, by: f64| if size == 0.0 { 1.0 } else { (size + by) / size };
        let (mut x, mut y) = (share(size.x, by.x), share(size.y, by.y));
        // A corner keeps the proportions unless Shift is held.
        if along != 0.0 && up != 0.0 && !cx.extends() {
            let even = (size + by).dot(size) / size.hypot2();
            (x, y) = (even, even);
        }
        let bounded = |by: f64| if by.abs() < 0.01 { 0.01_f64.copysign(by) } else { by };
        let edit =
            Edit::ScaleParts { parts: parts.to_vec(), about: held, x: bounded(x), y: bounded(y) };
        cx.actions.push(Action::Preview(vec![edit]));
        let percent = |by: f64| units::show_number(100.0 * by, 0);
        let text = format!("{} % along, {} % up", percent(x), percent(y));
        cx.tag(at + vec2(14.0, -12.0), Align2::LEFT_BOTTOM, &text);
    }
    handles::paint(cx.ui, at, HandleShape::Corner, &response, true, cx.context.palette);
}

fn turn(cx: &mut CanvasContext<'_>, frame: Rect, around: kurbo::Rect, parts: &[PartId]) {
    let at = pos2(frame.center().x, frame.min.y - ABOVE);
    let name = "Rotate selection";
    let response = handles::spot(cx.ui, Id::unique(name), at, handles::REACH, name, false);
    let place = cx.knife_view.knife_from_ui(at);
    if let Some((start, by)) = cx.dragged(&response, place) {
        let about = begun(cx, around).center();
        let (from, to) = (start - about, start + by - about);
        let mut by_deg = from.cross(to).atan2(from.dot(to)).to_degrees();
        // With Shift in steps of 15 degrees.
        if cx.extends() {
            by_deg = (by_deg / 15.0).round() * 15.0;
        }
        let edit = Edit::TurnParts { parts: parts.to_vec(), about, by_deg };
        cx.actions.push(Action::Preview(vec![edit]));
        cx.tag(at + vec2(14.0, -12.0), Align2::LEFT_BOTTOM, &units::show_angle(by_deg, 1));
    }
    let line = Stroke::new(1.0, cx.context.palette.grip_chosen.gamma_multiply(0.7));
    cx.ui.painter().line_segment([frame.center_top(), at], line);
    handles::paint(cx.ui, at, HandleShape::Tip, &response, true, cx.context.palette);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_handle_has_a_place_of_its_own() {
        for (i, (name, along, up)) in SCALES.iter().enumerate() {
            let same = |other: &(&str, f32, f32)| (other.1, other.2) == (*along, *up);
            assert!(!SCALES[i + 1..].iter().any(same), "{name}");
        }
    }
}
