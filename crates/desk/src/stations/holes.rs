//! Holes: for pins, for lightness, for a thong.

use super::readings::{readings, some};
use super::{at, button, fold, grid, heading, quiet, ticked};
use crate::canvas::{self, Hands, Read, Sight, handles, hover};
use crate::command::{Command, Commands};
use crate::field::Field;
use crate::figures::{Figure, of_hole};
use crate::session::{NextHole, Session};
use crate::theme::{self, Palette};
use egui::{Align2, Button, ComboBox, Id, RichText, Ui, vec2};
use knife::PartId;
use knife::{Edit, Hole, HoleId, HoleKind};
use kurbo::{Circle, Point};
use reckon::tables::{PinDrill, Tables};
use reckon::{HoleFigures, Shop};
use units::{HoleSize, LengthUnit};

pub(super) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let p = read.palette;
    let hole = session.hole().and_then(|id| read.knife.hole(id)).cloned();
    if let Some(hole) = &hole {
        one(ui, read, hole, session, out);
    } else {
        next(ui, read, session);
    }
    ui.horizontal_wrapped(|ui| {
        button(ui, Command::AddHole, read.derived.reckoning.outline.is_some(), out);
        button(ui, Command::Delete, !session.holes().is_empty(), out);
        if let Some(hole) = &hole {
            let about = "Moves the hole to the middle between spine and belly, square to the bar.";
            if ui.button("Centre on the tang").on_hover_text(about).clicked() {
                out.edit(Edit::CentreHole(hole.id));
            }
        }
    });
    row(ui, read, session, out);
    if session.placing {
        quiet(ui, "Click on the tang where the hole's centre goes. Escape leaves it.", p);
    }
    if let Some(hole) = &hole {
        told(ui, read, hole.id, session);
    }
    ui.scope(|ui| list(ui, read, session));
    super::relief::ui(ui, read, session, out);
    readings(ui, read, |title| title == "Tang", &[]);
    grid(ui, read, session, out);
}

/// What stands in the fields already, or is told in a sentence.
const STATED: &[&str] = &["Use", "Place", "Diameter", "Scribe line"];
/// What is needed at the drill press; the rest of a hole's figures is folded away.
const FIRST: &[&str] = &[
    "From the reference edge",
    "From the reference end",
    "Web to the outline",
    "Web to the nearest hole",
    "Gap around the pin",
];

/// The figures of a hole, the most needed first.
fn told(ui: &mut Ui, read: &Read<'_>, hole: HoleId, session: &mut Session) {
    let number = read.knife.holes.iter().position(|h| h.id == hole).map_or(0, |i| i + 1);
    let title = format!("Hole {number}");
    let is = |t: &str| t == title || t.starts_with(&format!("{title},"));
    let Some(group) = read.derived.readings.iter().find(|group| is(&group.title)) else { return };
    heading(ui, &group.title, read.palette);
    for wanted in FIRST {
        some(ui, read, group, |name| name == *wanted);
    }
    scribe_line(ui, read, number);
    let about = "From the other edge and end, to spine and belly, and the rest of its figures.";
    if fold(ui, "More of this hole", about, "", session, read.palette) {
        some(ui, read, group, |name| !FIRST.contains(&name) && !STATED.contains(&name));
    }
}

/// The line to scribe that the hole shares with others, in the sheet's own words.
fn scribe_line(ui: &mut Ui, read: &Read<'_>, number: usize) {
    let lines = &read.derived.reckoning.scribe.lines;
    let own = lines.iter().find(|line| line.holes.len() > 1 && line.holes.contains(&number));
    if let Some(line) = own {
        let words = reckon::scribe::describe_line(line, &read.knife.bar, read.knife.unit);
        quiet(ui, &format!("Line {}: {words}.", line.name), read.palette);
    }
}

/// A row of holes, evenly spaced between the two that are chosen.
fn row(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let [from, to] = session.holes()[..] else { return };
    let field = Field {
        name: "Holes between the two",
        about: "How many more, evenly spaced on the line from one to the other.",
        value: String::new(),
        width: 60.0,
    };
    let read_count = |text: &str| {
        let count = text.trim().parse::<usize>().ok().filter(|n| (1..=100).contains(n));
        count.ok_or_else(|| format!("\"{text}\" isn't a number of holes; type one from 1 to 100"))
    };
    if let Some(count) = session.drafts.field(ui, read.palette, field, read_count) {
        let NextHole { kind, diameter_mm, drill, pin_mm } = session.next_hole.clone();
        out.edit(Edit::AddHoleRow { from, to, count, kind, diameter_mm, drill, pin_mm });
    }
}

/// The chosen hole, typed.
fn one(ui: &mut Ui, read: &Read<'_>, hole: &Hole, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    heading(ui, "Chosen hole", p);
    if let Some(name) = session.drafts.words(ui, p, ("Hole name", "Printed beside it."), &hole.name)
    {
        out.edit(Edit::RenameHole { hole: hole.id, name });
    }
    if let Some(kind) = kinds(ui, hole.kind, p) {
        out.edit(Edit::SetHoleKind { hole: hole.id, kind });
    }
    if let Some(sized) = pins(ui, hole.pin_mm, unit, read.derived.shop()) {
        let NextHole { diameter_mm, drill, pin_mm, .. } = sized;
        out.edit(Edit::SizeHole { hole: hole.id, diameter_mm, drill, pin_mm });
    }
    let size = size_text(hole.diameter_mm, hole.drill.as_deref(), unit);
    if let Some((diameter_mm, drill)) = size_field(ui, read, session, size) {
        out.edit(Edit::SizeHole { hole: hole.id, diameter_mm, drill, pin_mm: hole.pin_mm });
    }
    if let Some(to) = at(ui, read, session, "Hole", hole.at) {
        out.edit(Edit::MoveHole { hole: hole.id, to });
    }
}

/// What the next hole will be like.
fn next(ui: &mut Ui, read: &Read<'_>, session: &mut Session) {
    heading(ui, "Next hole", read.palette);
    let unit = read.knife.unit;
    if let Some(kind) = kinds(ui, session.next_hole.kind, read.palette) {
        session.next_hole.kind = kind;
        if kind != HoleKind::Pin {
            session.next_hole.pin_mm = None;
        }
    }
    if session.next_hole.kind == HoleKind::Pin
        && let Some(sized) = pins(ui, session.next_hole.pin_mm, unit, read.derived.shop())
    {
        session.next_hole = NextHole { kind: session.next_hole.kind, ..sized };
    }
    let size = size_text(session.next_hole.diameter_mm, session.next_hole.drill.as_deref(), unit);
    if let Some((diameter_mm, drill)) = size_field(ui, read, session, size) {
        session.next_hole.diameter_mm = diameter_mm;
        session.next_hole.drill = drill;
    }
}

fn kinds(ui: &mut Ui, now: HoleKind, palette: &Palette) -> Option<HoleKind> {
    let mut chosen = None;
    ui.horizontal_wrapped(|ui| {
        ticked(ui, palette);
        for kind in HoleKind::ALL {
            let word = match kind {
                HoleKind::Pin => "Pin",
                HoleKind::Relief => "Relief",
                HoleKind::Thong => "Lanyard",
            };
            if ui.radio(now == kind, word).clicked() && now != kind {
                chosen = Some(kind);
            }
        }
    });
    chosen
}

/// The pin stock; choosing one chooses its drill.
fn pins(ui: &mut Ui, now_mm: Option<f64>, unit: LengthUnit, shop: &Shop) -> Option<NextHole> {
    let tables = Tables::built_in();
    let is = |mm: f64| now_mm.is_some_and(|now| (now - mm).abs() < 1e-6);
    let known = tables.pin_stock().iter().find(|pin| is(pin.diameter_mm));
    let said = known.map_or("none", |pin| pin.name.as_str());
    let mut chosen = None;
    ui.horizontal(|ui| {
        let about = "The rod that goes in. Its drill is chosen with a little play for glue.";
        let label = ui.label("Pin stock").on_hover_text(about);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let combo = ComboBox::from_id_salt("pin stock").selected_text(said).width(112.0);
            let shown = combo.show_ui(ui, |ui| {
                let mut stock: Vec<_> = tables.pin_stock().iter().collect();
                stock.sort_by_key(|pin| pin.system != unit);
                for pin in stock {
                    if ui.selectable_label(is(pin.diameter_mm), &pin.name).clicked() {
                        chosen = drilled_for(pin.diameter_mm, unit, shop);
                    }
                }
            });
            shown.response.labelled_by(label.id);
        });
    });
    chosen
}

/// The hole for a pin: the closest drill that leaves the gap the shop's limits ask for, one on
/// hand and of the maker's own system if there is one.
fn drilled_for(pin_mm: f64, unit: LengthUnit, shop: &Shop) -> Option<NextHole> {
    let (least_mm, most_mm) = (shop.limits.pin_gap_least_mm, shop.limits.pin_gap_most_mm);
    let fits = Tables::built_in().drills_for_pin(pin_mm, least_mm, most_mm);
    let rank = |fit: &&PinDrill<'_>| (!shop.has_drill(fit.drill.name), fit.drill.system() != unit);
    let drill = fits.iter().min_by_key(rank)?.drill;
    Some(NextHole {
        kind: HoleKind::Pin,
        diameter_mm: drill.diameter_mm,
        drill: Some(drill.label.clone()),
        pin_mm: Some(pin_mm),
    })
}

pub(super) fn size_text(diameter_mm: f64, drill: Option<&str>, unit: LengthUnit) -> String {
    drill.map_or_else(|| units::write_length(diameter_mm, unit), ToOwned::to_owned)
}

/// A field that takes a drill's name or a diameter.
fn size_field(
    ui: &mut Ui,
    read: &Read<'_>,
    session: &mut Session,
    value: String,
) -> Option<(f64, Option<String>)> {
    let field = Field {
        name: "Drill or diameter",
        about: "A drill by its number, letter or fraction, or any diameter.",
        value,
        width: 112.0,
    };
    let unit = read.knife.unit;
    session.drafts.field(ui, read.palette, field, |text| read_size(text, unit))
}

pub(super) fn read_size(text: &str, unit: LengthUnit) -> Result<(f64, Option<String>), String> {
    let tables = Tables::built_in();
    match units::parse_hole_size(text, unit).map_err(|e| e.to_string())? {
        HoleSize::Drill(name) => {
            let drill = tables
                .drill_named(name)
                .ok_or_else(|| format!("{name} is in no table here; type its diameter instead"))?;
            Ok((drill.diameter_mm, Some(drill.label.clone())))
        }
        HoleSize::Length(length) => {
            let drill = tables.drill_of_size(length.to_mm(), unit);
            Ok((length.to_mm(), drill.map(|drill| drill.label.clone())))
        }
    }
}

/// Every hole, to choose one.
fn list(ui: &mut Ui, read: &Read<'_>, session: &mut Session) {
    heading(ui, "Holes", read.palette);
    if read.knife.holes.is_empty() {
        quiet(ui, "None yet.", read.palette);
    }
    ui.spacing_mut().item_spacing.y = 1.0;
    ui.spacing_mut().button_padding.x = 8.0;
    for figures in &read.derived.reckoning.holes {
        let part = PartId::Hole(figures.id);
        let size = figures.drill.clone().unwrap_or_else(|| {
            format!("Ø {}", units::write_length(figures.diameter_mm, read.knife.unit))
        });
        let is = session.selection.contains(&part);
        let size = RichText::new(size).font(theme::figures(15.5)).color(read.palette.weak);
        let wide = vec2(ui.available_width(), 0.0);
        let line = Button::selectable(is, name_of(figures)).right_text(size).min_size(wide);
        if ui.add(line).clicked() {
            let more = ui.input(|input| input.modifiers.shift);
            session.choose(part, more);
        }
    }
}

fn name_of(figures: &HoleFigures) -> String {
    let said = figures.name.trim();
    let said = if said.is_empty() { figures.kind.label() } else { said };
    format!("Hole {}, {said}", figures.number)
}

pub(super) fn on_canvas(hands: &mut Hands<'_>) {
    let (ui, read, sight) = (hands.ui, hands.read, hands.sight);
    if add(hands) {
        return;
    }
    canvas::choose_by_click(ui, read, hands.ground, sight, hands.session, |part| {
        matches!(part, PartId::Hole(_))
    });
    if let Some(band) = canvas::band(ui, hands.ground, &sight.view, hands.session, read.palette) {
        hands.session.selection = read
            .knife
            .holes
            .iter()
            .filter(|hole| band.contains(sight.ui_from_knife(hole.at)))
            .map(|hole| PartId::Hole(hole.id))
            .collect();
    }
    for figures in &read.derived.reckoning.holes {
        one_hole(hands, figures);
    }
    nudged(ui, read, hands.session, hands.out);
}

/// The hole that the next click puts, under the pointer; whether it was put.
fn add(hands: &mut Hands<'_>) -> bool {
    let (ui, read, sight) = (hands.ui, hands.read, hands.sight);
    let puts = hands.session.placing && hands.ground.clicked() || hands.ground.double_clicked();
    if let Some(pos) = hands.ground.interact_pointer_pos().filter(|_| puts) {
        let NextHole { kind, diameter_mm, drill, pin_mm } = hands.session.next_hole.clone();
        let at = sight.knife_from_ui(pos);
        hands.out.edit(Edit::AddHole { name: String::new(), kind, at, diameter_mm, drill, pin_mm });
        hands.session.placing = false;
        // It is chosen by the name it will get.
        let next = read.knife.holes.iter().map(|hole| hole.id.0 + 1).max().unwrap_or(1);
        hands.session.selection = [PartId::Hole(HoleId(next))].into();
        return true;
    }
    if let Some(at) = hands.session.pointer.filter(|_| hands.session.placing) {
        let centre = sight.plane_from_knife.inverse() * at;
        let circle = Circle::new(centre, hands.session.next_hole.diameter_mm / 2.0);
        distances(ui, read, sight, None, circle);
        let at = sight.view.ui_from_mm(at);
        let radius = sight.view.points(hands.session.next_hole.diameter_mm / 2.0).max(2.0);
        let ink = egui::Stroke::new(1.5, read.palette.grip_chosen);
        ui.painter().circle_stroke(at, radius, ink);
        for arm in [vec2(radius + 7.0, 0.0), vec2(0.0, radius + 7.0)] {
            ui.painter().line_segment([at - arm, at + arm], ink);
        }
        ui.ctx().set_cursor_icon(egui::CursorIcon::None);
    }
    false
}

fn one_hole(hands: &mut Hands<'_>, figures: &HoleFigures) {
    let (ui, read, sight) = (hands.ui, hands.read, hands.sight);
    let part = PartId::Hole(figures.id);
    let at = sight.ui_from_knife(figures.at);
    let radius = sight.view.points(figures.diameter_mm / 2.0);
    let is = hands.session.selection.contains(&part);
    let id = Id::unique(("hole", figures.id));
    let response = handles::spot(ui, id, at, radius.max(handles::REACH), &name_of(figures), is);
    handles::choose(ui, &response, part, hands.session);
    if let Some((begun, by)) =
        handles::dragged(&response, figures.at, sight, hands.session, hands.out)
    {
        let moving: Vec<PartId> = hands.session.selection.iter().copied().chain([part]).collect();
        let to = canvas::caught(ui, read, sight, &moving, begun + by);
        hands.out.preview(moved_together(read, hands.session, figures, begun, to - begun));
    }
    let ring = radius + if is { 5.0 } else { 3.0 };
    if is || response.hovered() || response.has_focus() {
        handles::ring(ui, at, ring, read.palette.grip_chosen);
    }
    if response.dragged() {
        let circle = Circle::new(figures.at, figures.diameter_mm / 2.0);
        distances(ui, read, sight, Some(figures.id), circle);
    } else if response.hovered() {
        let words = format!(
            "{}\n{}\n{}",
            name_of(figures),
            hover::length(figures.diameter_mm, read.knife.unit),
            hover::place(read, figures.at)
        );
        hover::tag(ui, at + vec2(ring + 8.0, -ring), Align2::LEFT_BOTTOM, &words, read.palette);
    }
}

/// Every chosen hole goes the way of the one that is dragged.
fn moved_together(
    read: &Read<'_>,
    session: &Session,
    held: &HoleFigures,
    begun: Point,
    by: kurbo::Vec2,
) -> Vec<Edit> {
    let way = begun + by - held.at;
    let others = session.holes();
    let mut edits: Vec<Edit> = others
        .iter()
        .filter(|id| **id != held.id)
        .filter_map(|id| read.knife.hole(*id))
        .map(|hole| Edit::MoveHole { hole: hole.id, to: hole.at + way })
        .collect();
    edits.push(Edit::MoveHole { hole: held.id, to: begun + by });
    edits
}

/// Live distances of a hole that is dragged, or still to be added: to spine and belly, the
/// webs, and from the bar's edges and end.
fn distances(ui: &Ui, read: &Read<'_>, sight: &Sight, own: Option<HoleId>, circle: Circle) {
    let p = read.palette;
    let radius = sight.view.points(circle.radius);
    let found =
        of_hole(read.knife, &read.derived.reckoning, own, circle.center, 2.0 * circle.radius);
    let (from_bar, spans): (Vec<_>, Vec<_>) =
        found.into_iter().partition(|figure| figure.name.starts_with("From the bar"));
    for figure in &spans {
        let Some((from, to)) = figure.span else { continue };
        let (from, to) = (sight.ui_from_knife(from), sight.ui_from_knife(to));
        hover::measure(ui, from, to, p);
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
        let limit_mm = (read.derived.shop().limits.edge_stop_diameters * 2.0 - 1.0) * circle.radius;
        let minded = if own_web && figure.value_mm < limit_mm { "  too near" } else { "" };
        let short = hover::short(figure.value_mm, read.knife.unit);
        hover::tag(ui, at, align, &format!("{}{minded}", figure.words_with(&short)), p);
    }
    let words = std::iter::once(hover::place(read, circle.center));
    let words: Vec<String> = words.chain(from_bar.iter().map(Figure::words)).collect();
    let low = sight.view.rect.left_bottom() + vec2(10.0, -10.0);
    hover::tag(ui, low, Align2::LEFT_BOTTOM, &words.join("\n"), p);
}

fn nudged(ui: &Ui, read: &Read<'_>, session: &Session, out: &mut Commands) {
    let holes = session.holes();
    if holes.is_empty() || session.grip.is_some() {
        return;
    }
    let Some(by) = canvas::nudge(ui, read.knife.unit) else { return };
    let edits = holes
        .iter()
        .filter_map(|id| read.knife.hole(*id))
        .map(|hole| Edit::MoveHole { hole: hole.id, to: hole.at + by })
        .collect();
    out.push(crate::command::Wish::Edit(edits));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_read_as_drill_or_diameter() {
        let read = |text| read_size(text, LengthUnit::Inch).unwrap();
        assert_eq!(read("#30"), (3.2639, Some("#30".to_owned())));
        assert_eq!(read("1/4"), (6.35, Some("1/4".to_owned())));
        assert_eq!(read("7.03 mm").1, None);
        assert!(read_size("wide", LengthUnit::Inch).is_err());
    }

    /// Common practice: a 1/8 in pin goes into a #30 hole.
    #[test]
    fn a_pin_gets_its_drill() {
        let hole = drilled_for(3.175, LengthUnit::Inch, &Shop::default()).unwrap();
        assert_eq!(hole.drill.as_deref(), Some("#30"));
        let metric = drilled_for(3.0, LengthUnit::Millimetre, &Shop::default()).unwrap();
        assert!(metric.drill.unwrap().ends_with("mm"));
    }
}
