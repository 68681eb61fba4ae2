//! Bar: the steel and the blank's place on it.

use super::readings::readings;
use super::{button, heading, ticked};
use crate::canvas::{self, Hands, Read, Sight, handles, hover};
use crate::command::{Command, Commands};
use crate::session::Session;
use egui::{Align2, ComboBox, Id, Ui, pos2, vec2};
use knife::{Edit, Placement, Reference, ReferenceEdge, ReferenceEnd};
use kurbo::{Point, Vec2};
use reckon::tables::Tables;

/// How far from the blank's middle its turning handle stands, points.
const ARM: f32 = 64.0;
/// A tag with a length has room in a gap of this width or height, points.
const ROOM: egui::Vec2 = vec2(100.0, 30.0);

pub(super) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (bar, unit, p) = (&read.knife.bar, read.knife.unit, read.palette);
    heading(ui, "Steel", p);
    ui.horizontal(|ui| {
        let label = ui.label("Grade").on_hover_text("The steel by its standard name.");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let combo = ComboBox::from_id_salt("grade").selected_text(&bar.grade).width(150.0);
            let shown = combo.show_ui(ui, |ui| {
                for steel in Tables::built_in().steels() {
                    let is = steel.grade == bar.grade;
                    let choice = ui.selectable_label(is, &steel.grade);
                    if choice.on_hover_text(steel.other_names.join(", ")).clicked() && !is {
                        out.edit(set_bar(read, |bar| bar.grade.clone_from(&steel.grade)));
                    }
                }
            });
            shown.response.labelled_by(label.id);
        });
    });
    let drafts = &mut session.drafts;
    let field = ("Bar width", "Across the bar, from edge to edge.");
    if let Some(mm) = drafts.length(ui, p, field, bar.width_mm, unit) {
        out.edit(set_bar(read, |bar| bar.width_mm = mm));
    }
    let field = ("Stock thickness", "Of the bar as it is bought.");
    if let Some(mm) = drafts.length(ui, p, field, bar.thickness_mm, unit) {
        out.edit(set_bar(read, |bar| bar.thickness_mm = mm));
    }
    let field = ("Bar length", "Of the piece at hand.");
    if let Some(mm) = drafts.length(ui, p, field, bar.length_mm, unit) {
        out.edit(set_bar(read, |bar| bar.length_mm = mm));
    }

    heading(ui, "Blank on the bar", p);
    placed(ui, read, session, out);
    button(ui, Command::TurnToFit, read.derived.reckoning.bar.is_some(), out);

    heading(ui, "Scribe from", p);
    let reference = bar.reference;
    ui.horizontal(|ui| {
        ticked(ui, p);
        for (edge, word) in
            [(ReferenceEdge::Lower, "Lower edge"), (ReferenceEdge::Upper, "Upper edge")]
        {
            if ui.radio(reference.edge == edge, word).clicked() && reference.edge != edge {
                out.edit(Edit::SetReference(Reference { edge, ..reference }));
            }
        }
    });
    ui.horizontal(|ui| {
        ticked(ui, p);
        for (end, word) in [(ReferenceEnd::Left, "Left end"), (ReferenceEnd::Right, "Right end")] {
            if ui.radio(reference.end == end, word).clicked() && reference.end != end {
                out.edit(Edit::SetReference(Reference { end, ..reference }));
            }
        }
    });
    super::cutting::card(ui, read, session, out);
    let stated = ["Grade", "Width", "Thickness", "Length", "Turn on the bar"];
    readings(ui, read, |title| title == "Bar", &stated);
}

/// Where the blank lies: its turn, and where its origin is on the bar, as the rulers show it.
fn placed(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (bar, unit, p) = (&read.knife.bar, read.knife.unit, read.palette);
    let placement = bar.placement;
    let (on_bar, the) = origin_on_bar(read);
    let about = format!("Counter-clockwise about {the}.");
    if let Some(deg) = session.drafts.angle(ui, p, ("Turn", &about), Some(placement.turn_deg)) {
        out.edit(Edit::Place(turned_about(placement, on_bar, deg)));
    }
    let zero = bar.scribed_from();
    let (end, way_x) = match bar.reference.end {
        ReferenceEnd::Left => ("From the left end", 1.0),
        ReferenceEnd::Right => ("From the right end", -1.0),
    };
    let (edge, way_y) = match bar.reference.edge {
        ReferenceEdge::Lower => ("From the lower edge", 1.0),
        ReferenceEdge::Upper => ("From the upper edge", -1.0),
    };
    let mut by = Vec2::ZERO;
    let about = format!("How far {the} lies from there, along the bar.");
    let now_mm = (on_bar.x - zero.x) * way_x;
    if let Some(mm) = session.drafts.length(ui, p, (end, &about), now_mm, unit) {
        by.x = (mm - now_mm) * way_x;
    }
    let about = format!("How far {the} lies from there, across the bar.");
    let now_mm = (on_bar.y - zero.y) * way_y;
    if let Some(mm) = session.drafts.length(ui, p, (edge, &about), now_mm, unit) {
        by.y = (mm - now_mm) * way_y;
    }
    if by != Vec2::ZERO {
        out.edit(Edit::Place(Placement { at: placement.at + by, ..placement }));
    }
}

/// Where the origin lies on the bar, and what it is called. The bar's own corner stays where it
/// is, so in its stead it is the tip.
fn origin_on_bar(read: &Read<'_>) -> (Point, &'static str) {
    let origin = read.origin.on_blank(read.knife);
    (read.knife.bar.placement.bar_from_knife() * origin.at, origin.noun_phrase())
}

fn set_bar(read: &Read<'_>, change: impl FnOnce(&mut knife::Bar)) -> Edit {
    let mut bar = read.knife.bar.clone();
    change(&mut bar);
    Edit::SetBar {
        grade: bar.grade,
        width_mm: bar.width_mm,
        thickness_mm: bar.thickness_mm,
        length_mm: bar.length_mm,
    }
}

pub(super) fn on_canvas(hands: &mut Hands<'_>) {
    let (ui, read, sight) = (hands.ui, hands.read, hands.sight);
    let Some(outline) = &read.derived.reckoning.outline else { return };
    let placement = read.knife.bar.placement;
    let placed = outline.transformed(placement.bar_from_knife()).bounds();
    let view = &sight.view;
    let rect = view.ui_rect(placed);
    margins(ui, read, sight, placed);
    let blank = handles::area(ui, Id::unique("blank on bar"), rect, "Blank", false);
    if blank.drag_started() {
        hands.session.grip = Some((blank.id, placement.at));
        hands.out.push(crate::command::Wish::Begin);
    }
    if let Some((_, from)) = hands.session.grip.filter(|(held, _)| *held == blank.id) {
        if blank.drag_stopped() {
            hands.session.grip = None;
            hands.out.push(crate::command::Wish::Commit);
        } else if let Some(by) = blank.total_drag_delta().filter(|_| blank.dragged()) {
            let wanted = from + view.mm_from_ui_vec(by);
            // What sticks is the origin, wherever the drawing's zero lies.
            let away = origin_on_bar(read).0 - placement.at;
            let at = canvas::caught_blank(ui, read, sight, wanted + away) - away;
            hands.out.preview(vec![Edit::Place(Placement { at, ..placement })]);
        }
    }
    if blank.has_focus()
        && let Some(by) = canvas::nudge(ui, read.knife.unit)
    {
        hands.out.edit(Edit::Place(Placement { at: placement.at + by, ..placement }));
    }
    turning(hands, placed.center());
}

/// A handle beside the blank's middle that turns it.
fn turning(hands: &mut Hands<'_>, middle: Point) {
    let (ui, read, sight) = (hands.ui, hands.read, hands.sight);
    let placement = read.knife.bar.placement;
    let pivot = sight.view.ui_from_mm(middle);
    #[expect(clippy::cast_possible_truncation, reason = "screen angle")]
    let turn = placement.turn_deg.to_radians() as f32;
    let at = pivot + vec2(turn.sin(), turn.cos()) * -ARM;
    let response = handles::spot(
        ui,
        Id::unique("turn the blank"),
        at,
        handles::REACH,
        "Turn of the blank",
        false,
    );
    if response.drag_started() {
        hands.session.grip = Some((response.id, middle));
        hands.out.push(crate::command::Wish::Begin);
    }
    if let Some((_, middle)) = hands.session.grip.filter(|(held, _)| *held == response.id) {
        let pivot = sight.view.ui_from_mm(middle);
        if response.drag_stopped() {
            hands.session.grip = None;
            hands.out.push(crate::command::Wish::Commit);
        } else if let Some(pos) = response.interact_pointer_pos().filter(|_| response.dragged()) {
            let arm = pos - pivot;
            let free = -f64::from(arm.x.atan2(-arm.y)).to_degrees();
            let step = if canvas::is_fine(ui) { 0.05 } else { 0.5 };
            hands.out.preview(vec![Edit::Place(turned_about(
                placement,
                middle,
                (free / step).round() * step,
            ))]);
        }
    }
    let ink = egui::Stroke::new(1.2, read.palette.grip);
    ui.painter().line_segment([pivot, at], ink);
    ui.painter().circle_filled(pivot, 3.0, read.palette.grip);
    handles::paint(ui, at, handles::Look::Grip, &response, response.dragged(), read.palette);
    if response.dragged() || response.hovered() {
        let words = format!("turn {}", units::show_angle(placement.turn_deg, 2));
        hover::tag(ui, at + vec2(14.0, -10.0), Align2::LEFT_BOTTOM, &words, read.palette);
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
fn margins(ui: &Ui, read: &Read<'_>, sight: &Sight, placed: kurbo::Rect) {
    let Some(figures) = &read.derived.reckoning.bar else { return };
    let (bar, view, m) = (&read.knife.bar, &sight.view, &figures.margins);
    let (cx, cy) = (placed.x0 + placed.width() * 0.3, placed.center().y);
    let sides = [
        (Point::new(cx, placed.y0), Point::new(cx, 0.0), m.lower_mm),
        (Point::new(cx, placed.y1), Point::new(cx, bar.width_mm), m.upper_mm),
        (Point::new(placed.x0, cy), Point::new(0.0, cy), m.left_mm),
        (Point::new(placed.x1, cy), Point::new(bar.length_mm, cy), m.right_mm),
    ];
    // Outside the bar; a blank beside it is measured there, so the words stay at their line.
    let on_bar = (0.0..=bar.width_mm).contains(&cy);
    let below = view.ui_from_mm(if on_bar { Point::ORIGIN } else { Point::new(cx, cy) }).y + 8.0;
    for (from, to, mm) in sides {
        let words = hover::short(mm, read.knife.unit);
        let (from, to) = (view.ui_from_mm(from), view.ui_from_mm(to));
        hover::measure(ui, from, to, read.palette);
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
        hover::tag(ui, at, align, &words, read.palette);
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
