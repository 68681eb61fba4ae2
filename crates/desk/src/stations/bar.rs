//! Bar: the steel and the blank's place on it.

use super::cutting;
use crate::canvas::handles::{self, HandleShape};
use crate::canvas::{hover, input};
use crate::command::Command;
use crate::context::{CanvasContext, KnifeView, ViewContext};
use crate::widgets::Form;
use egui::{Align2, Id, Stroke, Ui, pos2, vec2};
use knife::{Bar, Edit, Placement, Reference, ReferenceEdge, ReferenceEnd};
use kurbo::{Point, Vec2};
use reckon::tables::Tables;

/// How far from the blank's middle its turning handle stands, points.
const ARM: f32 = 64.0;
/// A tag with a length has room in a gap of this width or height, points.
const ROOM: egui::Vec2 = vec2(100.0, 30.0);

/// `chain` is whether the chain of holes is shown.
pub(crate) fn card(form: &mut Form<'_>, chain: bool) {
    let context = form.context;
    let bar = &context.knife.bar;
    form.heading("Steel");
    if let Some(grade) = pick_grade(form, &bar.grade) {
        form.actions.edit(set_bar(context, |bar| bar.grade = grade));
    }
    let caption = ("Bar width", "Across the bar, from edge to edge.");
    form.length(caption, bar.width_mm).edit(|mm| set_bar(context, |bar| bar.width_mm = mm));
    let caption = ("Stock thickness", "Of the bar as it is bought.");
    form.length(caption, bar.thickness_mm).edit(|mm| set_bar(context, |bar| bar.thickness_mm = mm));
    let caption = ("Bar length", "Of the piece at hand.");
    form.length(caption, bar.length_mm).edit(|mm| set_bar(context, |bar| bar.length_mm = mm));

    form.heading("Blank on the bar");
    placement(form);
    form.command(Command::RotateToFit, context.reckoning().bar.is_some());

    form.heading("Scribe from");
    let reference = bar.reference;
    let edges = [(ReferenceEdge::Lower, "Lower edge"), (ReferenceEdge::Upper, "Upper edge")];
    if let Some(edge) = form.radio(&edges, reference.edge).value {
        form.actions.edit(Edit::SetReference(Reference { edge, ..reference }));
    }
    let ends = [(ReferenceEnd::Left, "Left end"), (ReferenceEnd::Right, "Right end")];
    if let Some(end) = form.radio(&ends, reference.end).value {
        form.actions.edit(Edit::SetReference(Reference { end, ..reference }));
    }
    cutting::card(form, chain);
    form.readings("Bar", &["Grade", "Width", "Thickness", "Length", "Turn on the bar"]);
}

/// A choice of the steel's grade; which was chosen anew.
pub(crate) fn pick_grade(form: &mut Form<'_>, grade: &str) -> Option<String> {
    let steels = Tables::built_in().steels();
    let entries = steels
        .iter()
        .map(|steel| (steel.grade.as_str(), steel.other_names.join(", "), steel.grade == grade));
    let caption = ("Grade", "The steel by its standard name.");
    let chosen = form.list(caption, grade, entries, 150.0).0?;
    Some(steels[chosen].grade.clone()).filter(|chosen| chosen != grade)
}

/// Where the blank lies: its turn, and where its origin is on the bar, as the rulers show it.
fn placement(form: &mut Form<'_>) {
    let context = form.context;
    let bar = &context.knife.bar;
    let placement = bar.placement;
    let (on_bar, the) = origin_on_bar(context);
    let tooltip = format!("Counter-clockwise about {the}.");
    form.angle(("Turn", &tooltip), placement.turn_deg)
        .edit(|deg| Edit::Place(turned_about(placement, on_bar, deg)));
    let zero = bar.scribed_from();
    let (end, sign_x) = match bar.reference.end {
        ReferenceEnd::Left => ("From the left end", 1.0),
        ReferenceEnd::Right => ("From the right end", -1.0),
    };
    let (edge, sign_y) = match bar.reference.edge {
        ReferenceEdge::Lower => ("From the lower edge", 1.0),
        ReferenceEdge::Upper => ("From the upper edge", -1.0),
    };
    let mut moved = |label: &str, direction: &str, mm: f64| {
        let tooltip = format!("How far {the} lies from there, {direction} the bar.");
        form.length((label, &tooltip), mm).value.map_or(0.0, |typed_mm| typed_mm - mm)
    };
    let by = Vec2::new(
        moved(end, "along", (on_bar.x - zero.x) * sign_x) * sign_x,
        moved(edge, "across", (on_bar.y - zero.y) * sign_y) * sign_y,
    );
    if by != Vec2::ZERO {
        form.actions.edit(Edit::Place(Placement { at: placement.at + by, ..placement }));
    }
}

/// Where the origin lies on the bar, and what it is called. The bar's own corner stays where it
/// is, so in its stead it is the tip.
fn origin_on_bar(context: &ViewContext<'_>) -> (Point, &'static str) {
    let origin = context.origin.on_blank(context.knife);
    (context.knife.bar.placement.bar_from_knife() * origin.at, origin.noun_phrase())
}

fn set_bar(context: &ViewContext<'_>, change: impl FnOnce(&mut Bar)) -> Edit {
    let mut bar = context.knife.bar.clone();
    change(&mut bar);
    Edit::SetBar {
        grade: bar.grade,
        width_mm: bar.width_mm,
        thickness_mm: bar.thickness_mm,
        length_mm: bar.length_mm,
    }
}

pub(super) fn on_canvas(cx: &mut CanvasContext<'_>) {
    let (ui, context) = (cx.ui, cx.context);
    let Some(outline) = &context.reckoning().outline else { return };
    let placement = context.knife.bar.placement;
    let place = |at: Point| Edit::Place(Placement { at, ..placement });
    let placed = outline.transformed(placement.bar_from_knife()).bounds();
    let rect = cx.knife_view.view.ui_rect(placed);
    margins(ui, context, cx.knife_view, placed);
    let blank = handles::area(ui, Id::unique("blank on bar"), rect, "Blank", false);
    if let Some(start) = cx.gesture(&blank, placement.at)
        && let Some(by) = blank.total_drag_delta()
    {
        let wanted = start + cx.knife_view.view.mm_from_ui_vec(by);
        // What snaps is the origin, wherever the drawing's zero lies.
        let away = origin_on_bar(context).0 - placement.at;
        cx.actions.preview(vec![place(cx.snap_blank(wanted + away) - away)]);
    }
    if blank.has_focus()
        && let Some(by) = cx.nudge()
    {
        cx.actions.edit(place(placement.at + by));
    }
    turning(cx, placed.center());
}

/// A handle beside the blank's middle that turns it.
fn turning(cx: &mut CanvasContext<'_>, middle: Point) {
    let (ui, view, palette) = (cx.ui, &cx.knife_view.view, cx.context.palette);
    let placement = cx.context.knife.bar.placement;
    let pivot = view.ui_from_mm(middle);
    #[expect(clippy::cast_possible_truncation, reason = "screen angle")]
    let turn = placement.turn_deg.to_radians() as f32;
    let at = pivot + vec2(turn.sin(), turn.cos()) * -ARM;
    let id = Id::unique("turn the blank");
    let response = handles::spot(ui, id, at, handles::REACH, "Turn of the blank", false);
    if let Some(middle) = cx.gesture(&response, middle)
        && let Some(pos) = response.interact_pointer_pos()
    {
        let arm = pos - view.ui_from_mm(middle);
        let free = -f64::from(arm.x.atan2(-arm.y)).to_degrees();
        let step = if input::is_fine(ui) { 0.05 } else { 0.5 };
        let turned = turned_about(placement, middle, (free / step).round() * step);
        cx.actions.preview(vec![Edit::Place(turned)]);
    }
    ui.painter().line_segment([pivot, at], Stroke::new(1.2, palette.grip));
    ui.painter().circle_filled(pivot, 3.0, palette.grip);
    handles::paint(ui, at, HandleShape::Grip, &response, response.dragged(), palette);
    if response.dragged() || response.hovered() {
        let text = format!("turn {}", units::show_angle(placement.turn_deg, 2));
        cx.tag(at + vec2(14.0, -10.0), Align2::LEFT_BOTTOM, &text);
    }
}

/// The placement with another turn, a place of the bar staying under the same place of the knife.
fn turned_about(placement: Placement, pivot: Point, turn_deg: f64) -> Placement {
    let turned = Placement { turn_deg, ..placement };
    if pivot == placement.at {
        return turned;
    }
    let held = placement.bar_from_knife().inverse() * pivot;
    let moved: Vec2 = pivot - turned.bar_from_knife() * held;
    Placement { at: placement.at + moved, ..turned }
}

/// Clear steel on each side, measured on the canvas: told in the gap where there is room, else
/// outside the bar.
fn margins(ui: &Ui, context: &ViewContext<'_>, knife_view: &KnifeView, placed: kurbo::Rect) {
    let Some(figures) = &context.reckoning().bar else { return };
    let (bar, view, m) = (&context.knife.bar, &knife_view.view, &figures.margins);
    let (cx, cy) = (placed.x0 + placed.width() * 0.3, placed.center().y);
    let sides = [
        (Point::new(cx, placed.y0), Point::new(cx, 0.0), m.lower_mm),
        (Point::new(cx, placed.y1), Point::new(cx, bar.width_mm), m.upper_mm),
        (Point::new(placed.x0, cy), Point::new(0.0, cy), m.left_mm),
        (Point::new(placed.x1, cy), Point::new(bar.length_mm, cy), m.right_mm),
    ];
    // Outside the bar; a blank beside it is measured there, so the figures stay at their line.
    let on_bar = (0.0..=bar.width_mm).contains(&cy);
    let below = view.ui_from_mm(if on_bar { Point::ORIGIN } else { Point::new(cx, cy) }).y + 8.0;
    for (from, to, mm) in sides {
        let text = context.short(mm);
        let (from, to) = (view.ui_from_mm(from), view.ui_from_mm(to));
        hover::measure(ui, from, to, context.palette);
        let (middle, away) = (from.lerp(to, 0.5), (to - from).length());
        let upright = (from.x - to.x).abs() < 0.5;
        let (at, align) = if upright && away >= ROOM.y {
            (middle + vec2(8.0, 0.0), Align2::LEFT_CENTER)
        } else if upright && to.y > from.y {
            (to + vec2(0.0, 8.0), Align2::CENTER_TOP)
        } else if upright {
            (to - vec2(0.0, 8.0), Align2::CENTER_BOTTOM)
        } else if away >= ROOM.x {
            (middle, Align2::CENTER_CENTER)
        } else if to.x < from.x {
            (pos2(to.x, below), Align2::LEFT_TOP)
        } else {
            (pos2(to.x, below), Align2::RIGHT_TOP)
        };
        hover::tag(ui, at, align, &text, context.palette);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turning_holds_the_pivot() {
        let before = Placement { at: Point::new(12.0, 19.0), turn_deg: 3.0 };
        let pivot = Point::new(110.0, 20.0);
        let held = before.bar_from_knife().inverse() * pivot;
        let after = turned_about(before, pivot, -17.5);
        assert!((after.bar_from_knife() * held - pivot).hypot() < 1e-9);
        assert_eq!(after.turn_deg, -17.5);
    }
}
