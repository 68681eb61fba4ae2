//! Holes: for pins, for lightness, for a lanyard.

use super::{drill, editing, grid, relief};
use crate::action::Action;
use crate::canvas::{handles, hover};
use crate::command::Command;
use crate::context::CanvasContext;
use crate::figures::{Figure, of_hole};
use crate::state::{HoleTool, NextHole, Selection};
use crate::theme::figures;
use crate::widgets::{Field, Form};
use egui::{Align2, Button, CursorIcon, Id, RichText, Stroke, vec2};
use knife::{Edit, Hole, HoleId, HoleKind, PartId};
use kurbo::{Circle, Vec2};
use reckon::tables::{PinDrill, Tables};
use reckon::{HoleFigures, Shop};
use units::LengthUnit;

pub(crate) fn card(form: &mut Form<'_>, selection: &mut Selection, tool: &mut HoleTool) {
    let context = form.context;
    let hole = selection.hole().and_then(|id| context.knife.hole(id));
    match hole {
        Some(hole) => selected_hole(form, hole),
        None => next_hole(form, &mut tool.next),
    }
    form.wrapped(|form| {
        form.command(Command::AddHole, context.reckoning().outline.is_some());
        form.command(Command::Delete, !selection.holes().is_empty());
        form.command(Command::Duplicate, !selection.holes().is_empty());
        if let Some(hole) = hole {
            let tooltip =
                "Moves the hole to the middle between spine and belly, square to the bar.";
            form.edit_button(("Centre on the tang", tooltip), Edit::CentreHole(hole.id));
        }
    });
    row(form, selection, &tool.next);
    editing::arrange::card(form, selection);
    if tool.active {
        form.note("Click on the tang where the hole's centre goes. Escape cancels.");
    }
    if let Some(hole) = hole {
        hole_figures(form, hole.id);
    }
    form.group("holes", |form| list(form, selection));
    relief::card(form, &mut tool.relief);
    form.readings("Tang", &[]);
    grid::card(form);
}

/// What stands in the fields already, or in a sentence.
const STATED: &[&str] = &["Use", "Place", "Diameter", "Scribe line"];
/// What is needed at the drill press; the rest of a hole's figures is collapsed.
const FIRST: &[&str] = &[
    "From the reference edge",
    "From the reference end",
    "Web to the outline",
    "Web to the nearest hole",
    "Gap around the pin",
];

/// The figures of a hole, the most needed first.
fn hole_figures(form: &mut Form<'_>, hole: HoleId) {
    let context = form.context;
    let number = context.knife.holes.iter().position(|h| h.id == hole).map_or(0, |i| i + 1);
    let title = format!("Hole {number}");
    let is = |t: &str| t == title || t.starts_with(&format!("{title},"));
    let group = context.derived.readings.iter().find(|group| is(&group.title));
    let Some(group) = group else { return };
    form.heading(&group.title);
    for wanted in FIRST {
        form.readings_in(group, |name| name == *wanted);
    }
    scribe_line(form, number);
    let tooltip = "From the other edge and end, to spine and belly, and the rest of its figures.";
    if form.section("More of this hole", tooltip, "") {
        form.readings_in(group, |name| !FIRST.contains(&name) && !STATED.contains(&name));
    }
}

/// The line to scribe that the hole shares with others, in the sheet's own words.
fn scribe_line(form: &mut Form<'_>, number: usize) {
    let context = form.context;
    let lines = &context.reckoning().scribe.lines;
    let own = lines.iter().find(|line| line.holes.len() > 1 && line.holes.contains(&number));
    if let Some(line) = own {
        let text = reckon::scribe::describe_line(line, &context.knife.bar, context.unit());
        form.note(&format!("Line {}: {text}.", line.name));
    }
}

/// A row of holes, evenly spaced between the two that are selected.
fn row(form: &mut Form<'_>, selection: &Selection, next: &NextHole) {
    let [from, to] = selection.holes()[..] else { return };
    let tooltip = "How many more, evenly spaced on the line from one to the other.";
    let field = Field::new(("Holes between the two", tooltip), "").width(60.0);
    let parse = |text: &str| {
        let count = text.trim().parse::<usize>().ok().filter(|n| (1..=100).contains(n));
        count.ok_or_else(|| format!("\"{text}\" isn't a number of holes; type one from 1 to 100"))
    };
    form.field(field, parse).edit(|count| {
        let NextHole { kind, diameter_mm, drill, pin_mm } = next.clone();
        Edit::AddHoleRow { from, to, count, kind, diameter_mm, drill, pin_mm }
    });
}

/// The selected hole, typed.
fn selected_hole(form: &mut Form<'_>, selected: &Hole) {
    let hole = selected.id;
    form.heading("Selected hole");
    form.text(("Hole name", "Printed beside it."), &selected.name)
        .edit(|name| Edit::RenameHole { hole, name });
    if let Some(kind) = form.radio(&KINDS, selected.kind).value {
        form.actions.edit(Edit::SetHoleKind { hole, kind });
    }
    if let Some(NextHole { diameter_mm, drill, pin_mm, .. }) = pick_pin(form, selected.pin_mm) {
        form.actions.edit(Edit::SizeHole { hole, diameter_mm, drill, pin_mm });
    }
    let now = (selected.diameter_mm, selected.drill.as_deref());
    if let Some((diameter_mm, drill)) = drill::field(form, DRILL, now, 112.0, Ok) {
        form.actions.edit(Edit::SizeHole { hole, diameter_mm, drill, pin_mm: selected.pin_mm });
    }
    form.point("Hole", selected.at).edit(|to| Edit::MoveHole { hole, to });
}

/// What the next hole will be like.
fn next_hole(form: &mut Form<'_>, next: &mut NextHole) {
    form.heading("Next hole");
    if let Some(kind) = form.radio(&KINDS, next.kind).value {
        next.kind = kind;
        if kind != HoleKind::Pin {
            next.pin_mm = None;
        }
    }
    if next.kind == HoleKind::Pin
        && let Some(sized) = pick_pin(form, next.pin_mm)
    {
        *next = NextHole { kind: next.kind, ..sized };
    }
    let now = (next.diameter_mm, next.drill.as_deref());
    if let Some(drilled) = drill::field(form, DRILL, now, 112.0, Ok) {
        (next.diameter_mm, next.drill) = drilled;
    }
}

/// The label of the field for a hole's size.
const DRILL: &str = "Drill or diameter";
/// What a hole can be for.
const KINDS: [(HoleKind, &str); 3] =
    [(HoleKind::Pin, "Pin"), (HoleKind::Relief, "Relief"), (HoleKind::Thong, "Lanyard")];

/// A choice of the pin stock, which chooses its drill.
fn pick_pin(form: &mut Form<'_>, now_mm: Option<f64>) -> Option<NextHole> {
    let (unit, shop) = (form.context.unit(), form.context.shop());
    let mut stock: Vec<_> = Tables::built_in().pin_stock().iter().collect();
    stock.sort_by_key(|pin| pin.system != unit);
    let is = |mm: f64| now_mm.is_some_and(|now| (now - mm).abs() < 1e-6);
    let known = Tables::built_in().pin_stock().iter().find(|pin| is(pin.diameter_mm));
    let entries = stock.iter().map(|pin| (pin.name.as_str(), String::new(), is(pin.diameter_mm)));
    let tooltip = "The rod that goes in. Its drill is chosen with a little clearance for glue.";
    let known = known.map_or("none", |pin| pin.name.as_str());
    let chosen = form.list(("Pin stock", tooltip), known, entries, 112.0).0?;
    drilled_for(stock[chosen].diameter_mm, unit, shop)
}

/// The hole for a pin: the closest drill that leaves the gap the shop's limits ask for, one on
/// hand and of the maker's own system if there is one.
fn drilled_for(pin_mm: f64, unit: LengthUnit, shop: &Shop) -> Option<NextHole> {
    let (min_mm, max_mm) = (shop.limits.pin_gap_least_mm, shop.limits.pin_gap_most_mm);
    let fits = Tables::built_in().drills_for_pin(pin_mm, min_mm, max_mm);
    let rank = |fit: &&PinDrill<'_>| (!shop.has_drill(fit.drill.name), fit.drill.system() != unit);
    let drill = fits.iter().min_by_key(rank)?.drill;
    Some(NextHole {
        kind: HoleKind::Pin,
        diameter_mm: drill.diameter_mm,
        drill: Some(drill.label.clone()),
        pin_mm: Some(pin_mm),
    })
}

/// Every hole, to select one.
fn list(form: &mut Form<'_>, selection: &mut Selection) {
    let context = form.context;
    form.heading("Holes");
    if context.knife.holes.is_empty() {
        form.note("None yet.");
    }
    let ui = &mut *form.ui;
    ui.spacing_mut().item_spacing.y = 1.0;
    ui.spacing_mut().button_padding.x = 8.0;
    for hole in &context.reckoning().holes {
        let part = PartId::Hole(hole.id);
        let size = || format!("Ø {}", context.typed_length(hole.diameter_mm));
        let size = hole.drill.clone().unwrap_or_else(size);
        let size = RichText::new(size).font(figures(15.5)).color(context.palette.weak);
        let wide = vec2(ui.available_width(), 0.0);
        let line = Button::selectable(selection.contains(part), name_of(hole));
        if ui.add(line.right_text(size).min_size(wide)).clicked() {
            selection.choose(part, ui.input(|input| input.modifiers.shift));
        }
    }
}

fn name_of(hole: &HoleFigures) -> String {
    let name = hole.name.trim();
    let name = if name.is_empty() { hole.kind.label() } else { name };
    format!("Hole {}, {name}", hole.number)
}

pub(super) fn on_canvas(cx: &mut CanvasContext<'_>) {
    let (context, knife_view) = (cx.context, cx.knife_view);
    if add(cx) {
        return;
    }
    if !cx.holes.active {
        cx.choose_by_click(|part| matches!(part, PartId::Hole(_)));
    }
    if let Some(band) = cx.band() {
        let inside = |hole: &&Hole| band.contains(knife_view.ui_from_knife(hole.at));
        let holes = context.knife.holes.iter().filter(inside);
        cx.selection.parts = holes.map(|hole| PartId::Hole(hole.id)).collect();
    }
    for hole in &context.reckoning().holes {
        one_hole(cx, hole);
    }
    editing::frame::on_canvas(cx);
    if !cx.pointer.is_dragging()
        && let Some(by) = cx.nudge()
    {
        let edits = moved(cx, by);
        if !edits.is_empty() {
            cx.actions.push(Action::Edit(edits));
        }
    }
}

/// The hole that the next click adds, under the pointer; whether it was added.
fn add(cx: &mut CanvasContext<'_>) -> bool {
    let (ui, knife_view) = (cx.ui, cx.knife_view);
    let active = cx.holes.active;
    let adds = active && cx.background.clicked() || cx.background.double_clicked();
    let next = &cx.holes.next;
    if let Some(pos) = cx.background.interact_pointer_pos().filter(|_| adds) {
        let NextHole { kind, diameter_mm, drill, pin_mm } = next.clone();
        let (name, at) = (String::new(), knife_view.knife_from_ui(pos));
        cx.actions.edit(Edit::AddHole { name, kind, at, diameter_mm, drill, pin_mm });
        cx.holes.active = false;
        // It is selected by the id it will get.
        let next = cx.context.knife.holes.iter().map(|hole| hole.id.0 + 1).max().unwrap_or(1);
        cx.selection.parts = [PartId::Hole(HoleId(next))].into();
        return true;
    }
    if let Some(at) = cx.pointer.position.filter(|_| active) {
        let circle = Circle::new(knife_view.knife_from_plane(at), next.diameter_mm / 2.0);
        distances(cx, None, circle);
        let at = knife_view.view.ui_from_mm(at);
        let radius = knife_view.view.points(circle.radius).max(2.0);
        let ink = Stroke::new(1.5, cx.context.palette.grip_chosen);
        ui.painter().circle_stroke(at, radius, ink);
        for arm in [vec2(radius + 7.0, 0.0), vec2(0.0, radius + 7.0)] {
            ui.painter().line_segment([at - arm, at + arm], ink);
        }
        ui.ctx().set_cursor_icon(CursorIcon::None);
    }
    false
}

fn one_hole(cx: &mut CanvasContext<'_>, hole: &HoleFigures) {
    let (ui, context) = (cx.ui, cx.context);
    let part = PartId::Hole(hole.id);
    let at = cx.knife_view.ui_from_knife(hole.at);
    let radius = cx.knife_view.view.points(hole.diameter_mm / 2.0);
    let selected = cx.selection.contains(part);
    let id = Id::unique(("hole", hole.id));
    let reach = radius.max(handles::REACH);
    let response = handles::spot(ui, id, at, reach, &name_of(hole), selected);
    cx.choose(&response, part);
    if let Some((start, by)) = cx.dragged(&response, hole.at) {
        let moving: Vec<PartId> = cx.selection.parts.iter().copied().chain([part]).collect();
        let to = cx.snap(&moving, start + by);
        // Every other selected hole goes along with the one that is dragged.
        let mut edits = moved(cx, to - hole.at);
        edits.retain(|edit| !matches!(edit, Edit::MoveHole { hole: id, .. } if *id == hole.id));
        edits.push(Edit::MoveHole { hole: hole.id, to });
        cx.actions.preview(edits);
    }
    let ring = radius + if selected { 5.0 } else { 3.0 };
    if selected || response.hovered() || response.has_focus() {
        handles::ring(ui, at, ring, context.palette.grip_chosen);
    }
    if response.dragged() {
        distances(cx, Some(hole.id), Circle::new(hole.at, hole.diameter_mm / 2.0));
    } else if response.hovered() {
        let (size, place) = (context.length(hole.diameter_mm), context.point(hole.at));
        let text = format!("{}\n{size}\n{place}", name_of(hole));
        cx.tag(at + vec2(ring + 8.0, -ring), Align2::LEFT_BOTTOM, &text);
    }
}

/// The selected holes moved by a delta, mm.
fn moved(cx: &CanvasContext<'_>, by: Vec2) -> Vec<Edit> {
    let holes = cx.selection.holes();
    let holes = holes.into_iter().filter_map(|id| cx.context.knife.hole(id));
    holes.map(|hole| Edit::MoveHole { hole: hole.id, to: hole.at + by }).collect()
}

/// Live distances of a hole that is dragged, or still to be added: to spine and belly, the
/// webs, and from the bar's edges and end.
fn distances(cx: &CanvasContext<'_>, own: Option<HoleId>, circle: Circle) {
    let (context, knife_view) = (cx.context, cx.knife_view);
    let radius = knife_view.view.points(circle.radius);
    let Circle { center, radius: radius_mm } = circle;
    let found = of_hole(context.knife, context.reckoning(), own, center, 2.0 * radius_mm);
    let (from_bar, spans): (Vec<_>, Vec<_>) =
        found.into_iter().partition(|figure| figure.name.starts_with("From the bar"));
    for figure in &spans {
        let Some((from, to)) = figure.span else { continue };
        let (from, to) = (knife_view.ui_from_knife(from), knife_view.ui_from_knife(to));
        hover::measure(cx.ui, from, to, context.palette);
        let (at, align) = if figure.name.starts_with("Centre to") {
            if to.y < from.y {
                (to - vec2(0.0, 9.0), Align2::CENTER_BOTTOM)
            } else {
                (to + vec2(0.0, 9.0), Align2::CENTER_TOP)
            }
        } else if figure.name.starts_with("Web to hole") {
            (from.lerp(to, 0.5) - vec2(0.0, radius + 6.0), Align2::CENTER_BOTTOM)
        } else {
            (to + vec2(16.0, -2.0), Align2::LEFT_BOTTOM)
        };
        let own_web = figure.name == "Web to the outline";
        let limit_mm = (context.shop().limits.edge_stop_diameters * 2.0 - 1.0) * radius_mm;
        let warning = if own_web && figure.value_mm < limit_mm { "  too near" } else { "" };
        let text = figure.describe_as(&context.short(figure.value_mm));
        cx.tag(at, align, &format!("{text}{warning}"));
    }
    let lines = std::iter::once(context.point(center));
    let lines: Vec<String> = lines.chain(from_bar.iter().map(Figure::describe)).collect();
    let low = knife_view.view.rect.left_bottom() + vec2(10.0, -10.0);
    cx.tag(low, Align2::LEFT_BOTTOM, &lines.join("\n"));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice: a 1/8 in pin goes into a #30 hole.
    #[test]
    fn a_pin_gets_its_drill() {
        let hole = drilled_for(3.175, LengthUnit::Inch, &Shop::default()).unwrap();
        assert_eq!(hole.drill.as_deref(), Some("#30"));
        let metric = drilled_for(3.0, LengthUnit::Millimetre, &Shop::default()).unwrap();
        assert!(metric.drill.unwrap().ends_with("mm"));
    }
}
