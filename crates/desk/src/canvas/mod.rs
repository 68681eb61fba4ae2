//! The canvas: the blank on its painted bar, and whatever the station works on there.

pub(crate) mod camera;
pub(crate) mod handles;
pub(crate) mod hover;
pub(crate) mod paint;
pub(crate) mod rulers;

pub use camera::{Camera, View};

use crate::command::{Commands, Wish};
use crate::derived::Derived;
use crate::session::{Aim, Session};
use crate::snap::Catches;
use crate::stations;
use crate::theme::Palette;
use crate::{Settings, Station, edge_on};
use drawing::{Item, PartId, Pen};
use egui::{
    Event, Key, MouseWheelUnit, PointerButton, Pos2, Rect, Response, Sense, Stroke, Ui, pos2,
};
use knife::Knife;
use kurbo::{Affine, Point, Vec2};

/// Screen dots to the millimetre of a screen that was never matched: 96 to the inch.
const UNMATCHED_PER_MM: f64 = 96.0 / 25.4;
/// Nearer by this for one notch of the wheel.
const NOTCH: f64 = 1.18;
/// How near a dragged place must come to stick, points.
const STICKS: f64 = 6.0;
/// How near the pointer must come to a line, points.
const REACH: f64 = 8.0;

/// The knife's plane as it is seen: through its placement on the bar, then the camera.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sight {
    pub(crate) view: View,
    pub(crate) bar_from_knife: Affine,
}

impl Sight {
    /// Where a place of the knife is on the screen.
    pub(crate) fn ui_from_knife(&self, p: Point) -> Pos2 {
        self.view.ui_from_mm(self.bar_from_knife * p)
    }

    /// Which place of the knife a point of the screen is.
    pub(crate) fn knife_from_ui(&self, pos: Pos2) -> Point {
        self.bar_from_knife.inverse() * self.view.mm_from_ui(pos)
    }

    /// Which way of the knife a way on the screen is, mm.
    pub(crate) fn knife_from_ui_vec(&self, by: egui::Vec2) -> Vec2 {
        let inverse = self.bar_from_knife.inverse();
        inverse * self.view.mm_from_ui_vec(by).to_point() - inverse * Point::ORIGIN
    }

    /// A length on the screen as one of the plane, mm.
    pub(crate) fn mm(&self, points: f64) -> f64 {
        points / self.view.camera.points_per_mm
    }
}

/// What stations may read while they show themselves.
pub(crate) struct Read<'a> {
    pub(crate) knife: &'a Knife,
    pub(crate) derived: &'a Derived,
    pub(crate) settings: &'a Settings,
    pub(crate) palette: &'a Palette,
}

/// The canvas in all the room there is.
pub(crate) fn ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let whole = ui.available_rect_before_wrap();
    let strip = edge_on::height(whole.height());
    let rect = Rect::from_min_max(
        pos2(whole.min.x + rulers::BREADTH, whole.min.y + rulers::BREADTH),
        pos2(whole.max.x, whole.max.y - strip),
    );
    if rect.width() < 40.0 || rect.height() < 40.0 {
        return;
    }
    let camera = session.camera.unwrap_or_else(|| Camera::fitting(aim_box(read, session), rect));
    let mut view = View { rect, camera };
    look(&mut view, aim_box(read, session), read.settings, session, ui.ctx().pixels_per_point());
    let response = ground(ui, rect, "Canvas");
    let moved = steer(ui, &response, view, session);
    view.camera = moved;
    session.camera = Some(view.camera);
    let sight = Sight { view, bar_from_knife: read.knife.bar.placement.bar_from_knife() };
    session.pointer = response
        .contains_pointer()
        .then(|| response.hover_pos())
        .flatten()
        .map(|pos| view.mm_from_ui(pos));

    let unclipped = ui.clip_rect();
    ui.set_clip_rect(rect.intersect(unclipped));
    picture(ui, read, session, &sight);
    stations::on_canvas(ui, read, &response, &sight, session, out);
    chosen_findings(ui, read, session, &sight);
    ui.set_clip_rect(unclipped);

    let painter = ui.painter().with_clip_rect(whole);
    rulers::paint(&painter, &view, &read.knife.bar, read.knife.unit, session.pointer, read.palette);
    let below = Rect::from_min_max(pos2(whole.min.x, rect.max.y), whole.max);
    edge_on::show(&painter, below, &view, read);
    ui.advance_cursor_after_rect(whole);
}

/// The ground on which everything lies.
pub(crate) fn ground(ui: &Ui, rect: Rect, name: &str) -> Response {
    let id = ui.make_persistent_id(name);
    let response = ui.interact(rect, id, Sense::click_and_drag());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, name));
    if response.has_focus() {
        handles::hold_arrows(ui, id);
    }
    if response.clicked() {
        response.request_focus();
    }
    response
}

/// Goes where it was asked to look.
pub(crate) fn look(
    view: &mut View,
    bounds: kurbo::Rect,
    settings: &Settings,
    session: &mut Session,
    pixels_per_point: f32,
) {
    match session.aim.take() {
        None => {}
        Some(Aim::Fit) => view.camera = Camera::fitting(bounds, view.rect),
        Some(Aim::TrueSize) => {
            let dots = settings.pixels_per_mm.unwrap_or(UNMATCHED_PER_MM);
            view.camera = view.camera.at_zoom(dots / f64::from(pixels_per_point));
        }
        Some(Aim::Zoom(by)) => view.camera = view.zoomed_at(view.rect.center(), by),
        Some(Aim::Place(centre)) => view.camera.centre = centre,
    }
}

/// Wheel, pinch and pulling along.
pub(crate) fn steer(ui: &Ui, response: &Response, view: View, session: &mut Session) -> Camera {
    let mut view = view;
    if let Some(pos) = response.hover_pos().filter(|_| response.contains_pointer()) {
        let (pinch, by) = ui.input(|input| {
            let wheel = input.raw.events.iter().filter_map(|event| match event {
                Event::MouseWheel { unit, delta, modifiers, .. } => {
                    Some((*unit, *delta, *modifiers))
                }
                _ => None,
            });
            let mut by = egui::Vec2::ZERO;
            let mut notches = 0.0_f64;
            for (unit, delta, modifiers) in wheel {
                let across = modifiers.shift || delta.x != 0.0;
                if unit == MouseWheelUnit::Line && !across {
                    notches += f64::from(delta.y);
                } else if !modifiers.command {
                    let step = if unit == MouseWheelUnit::Point { 1.0 } else { 40.0 };
                    let delta =
                        if modifiers.shift { egui::vec2(delta.x + delta.y, 0.0) } else { delta };
                    by += delta * step;
                }
            }
            let pinch = if notches == 0.0 { f64::from(input.zoom_delta()) } else { 1.0 };
            (pinch * NOTCH.powf(notches), by)
        });
        if (pinch - 1.0).abs() > 1e-9 {
            view.camera = view.zoomed_at(pos, pinch);
        }
        view.camera = view.panned(by);
    }
    let space = ui.input(|input| input.key_down(Key::Space)) && !ui.ctx().text_edit_focused();
    if response.drag_started() {
        session.panning = space || response.drag_started_by(PointerButton::Middle);
    }
    let pulls = response.dragged_by(PointerButton::Middle)
        || session.panning && response.dragged_by(PointerButton::Primary);
    if pulls {
        view.camera = view.panned(response.drag_delta());
    }
    if response.drag_stopped() {
        session.panning = false;
    }
    if space || pulls {
        ui.ctx().set_cursor_icon(if pulls {
            egui::CursorIcon::Grabbing
        } else {
            egui::CursorIcon::Grab
        });
    }
    view.camera
}

/// What Fit shows at this station, in the bar's plane.
fn aim_box(read: &Read<'_>, session: &Session) -> kurbo::Rect {
    let bar = &read.knife.bar;
    let whole = kurbo::Rect::new(0.0, 0.0, bar.length_mm, bar.width_mm);
    let Some(outline) = &read.derived.reckoning.outline else { return whole };
    let blank = outline.transformed(bar.placement.bar_from_knife()).bounds();
    match session.station {
        Station::Bar | Station::Paper => whole.union(blank),
        _ => blank.inflate(6.0, 6.0),
    }
}

/// The bench, the bar, the blank and every line on it.
fn picture(ui: &Ui, read: &Read<'_>, session: &Session, sight: &Sight) {
    let (painter, view, p) = (ui.painter(), &sight.view, read.palette);
    painter.rect_filled(view.rect, 0.0, p.bench);
    let bar = &read.knife.bar;
    let steel = Rect::from_two_pos(
        view.ui_from_mm(Point::ORIGIN),
        view.ui_from_mm(Point::new(bar.length_mm, bar.width_mm)),
    );
    let shadow = egui::epaint::Shadow { offset: [0, 3], blur: 12, spread: 0, color: p.paper_shade };
    painter.add(shadow.as_shape(steel.intersect(view.rect.expand(60.0)), 2.0));
    let seen = steel.intersect(view.rect.expand(2.0));
    if seen.is_positive() {
        painter.add(egui::Shape::gradient_rect(
            seen,
            egui::Direction::TopDown,
            [p.steel_high, p.steel_low],
        ));
    }
    if let Some(outline) = &read.derived.reckoning.outline {
        let path = sight.bar_from_knife * outline.to_path();
        painter.extend(paint::filled(
            view,
            &path,
            p.blank,
            p.blank.lerp_to_gamma(p.steel_low, 0.25),
        ));
        let halo = crate::theme::Ink { colour: p.halo, width: 5.0, dashes: Vec::new() };
        paint::path_line(painter, view, &path, &halo);
    }
    if session.grid {
        grid(painter, view, read);
    }
    if let Some(comb) = read.derived.comb.as_ref().filter(|_| session.comb) {
        let ink = crate::theme::Ink { colour: p.centre, width: 0.8, dashes: Vec::new() };
        paint::drawing(painter, view, comb, |_| Some(ink.clone()));
    }
    let station = session.station;
    if session.chain && station == Station::Bar {
        paint::drawing(painter, view, &read.derived.chain, |item| Some(p.on_steel(item.pen)));
    }
    paint::drawing(painter, view, &read.derived.drawing, |item| {
        let mut ink = p.on_steel(item.pen);
        let works = item.part.is_some_and(|part| station.works_on(part));
        if item.part.is_some_and(|part| session.selection.contains(&part)) {
            ink.colour = p.grip_chosen;
            ink.width += 0.8;
        } else if works && item.pen != Pen::Centre {
            ink.width += 0.4;
        } else if !works && steps_back(item, station) {
            ink.colour = ink.colour.gamma_multiply(0.62);
        }
        Some(ink)
    });
}

/// Whether a mark is drawn paler while another station works.
fn steps_back(item: &Item, station: Station) -> bool {
    station != Station::Bar && !matches!(item.part, Some(PartId::Profile))
}

fn grid(painter: &egui::Painter, view: &View, read: &Read<'_>) {
    let step = rulers::division_mm(read.knife.unit, view.camera.points_per_mm, 14.0);
    let seen = view.seen();
    let line = Stroke::new(1.0, read.palette.grid);
    #[expect(clippy::cast_possible_truncation, reason = "at most a few hundred lines")]
    let steps = |from: f64, to: f64| ((from / step).ceil() as i64)..=((to / step).floor() as i64);
    #[expect(clippy::cast_precision_loss, reason = "at most a few hundred lines")]
    for i in steps(seen.x0, seen.x1) {
        let x = view.ui_from_mm(Point::new(i as f64 * step, 0.0)).x;
        painter.vline(x, view.rect.y_range(), line);
    }
    #[expect(clippy::cast_precision_loss, reason = "at most a few hundred lines")]
    for i in steps(seen.y0, seen.y1) {
        let y = view.ui_from_mm(Point::new(0.0, i as f64 * step)).y;
        painter.hline(view.rect.x_range(), y, line);
    }
}

/// A ring where a finding has a place, so that it is seen before it is read.
fn chosen_findings(ui: &Ui, read: &Read<'_>, session: &Session, sight: &Sight) {
    for finding in &read.derived.reckoning.findings {
        let Some(place) = finding.place else { continue };
        if session.grip.is_some() && finding.severity == reckon::Severity::Note {
            continue;
        }
        let colour = match finding.severity {
            reckon::Severity::Stop => read.palette.stop,
            reckon::Severity::Care => read.palette.care,
            reckon::Severity::Note => continue,
        };
        let at = sight.ui_from_knife(place);
        ui.painter().circle_stroke(at, 11.0, Stroke::new(3.0, read.palette.halo));
        ui.painter().circle_stroke(at, 11.0, Stroke::new(1.6, colour));
    }
}

/// Chooses the part under a click; a click on the bare ground lets go of everything.
pub(crate) fn choose_by_click(
    ui: &Ui,
    read: &Read<'_>,
    response: &Response,
    sight: &Sight,
    session: &mut Session,
    wanted: impl Fn(PartId) -> bool,
) {
    if !response.clicked() || session.placing {
        return;
    }
    let Some(pos) = response.interact_pointer_pos() else { return };
    let more = ui.input(|input| input.modifiers.shift);
    let at = sight.view.mm_from_ui(pos);
    match paint::part_at(&read.derived.drawing, at, sight.mm(REACH), wanted) {
        Some(part) => session.choose(part, more),
        None if !more => session.selection.clear(),
        None => {}
    }
}

/// A rubber band over the ground: what lies in it when it is let go, as a box of the screen.
pub(crate) fn band(
    ui: &Ui,
    response: &Response,
    view: &View,
    session: &mut Session,
    palette: &Palette,
) -> Option<Rect> {
    if response.drag_started_by(PointerButton::Primary) && !session.panning {
        session.band =
            ui.input(|input| input.pointer.press_origin()).map(|pos| view.mm_from_ui(pos));
    }
    let from = view.ui_from_mm(session.band?);
    let rect = Rect::from_two_pos(from, response.interact_pointer_pos()?);
    if response.drag_stopped() {
        session.band = None;
        return Some(rect);
    }
    ui.painter().rect(
        rect,
        2.0,
        palette.grip_chosen.gamma_multiply(0.12),
        Stroke::new(1.0, palette.grip_chosen),
        egui::StrokeKind::Inside,
    );
    None
}

/// The arrow keys as a nudge of what is chosen, in the plane of the screen, mm: one step of
/// the unit, ten with Shift, a tenth with Ctrl or Alt.
pub(crate) fn nudge(ui: &Ui, unit: units::LengthUnit) -> Option<Vec2> {
    if ui.ctx().text_edit_focused() {
        return None;
    }
    let (way, modifiers) = ui.input(|input| {
        let presses = |key| f64::from(u32::try_from(input.num_presses(key)).unwrap_or(0));
        let x = presses(Key::ArrowRight) - presses(Key::ArrowLeft);
        let y = presses(Key::ArrowUp) - presses(Key::ArrowDown);
        (Vec2::new(x, y), input.modifiers)
    });
    if way == Vec2::ZERO {
        return None;
    }
    let step = match unit {
        units::LengthUnit::Millimetre => 0.5,
        units::LengthUnit::Inch => 25.4 / 64.0,
    };
    let by = if modifiers.shift {
        10.0
    } else if modifiers.command || modifiers.alt {
        0.1
    } else {
        1.0
    };
    Some(way * step * by)
}

/// Where a dragged place of the knife sticks to, unless Ctrl or Alt is held. A guide is drawn
/// to whatever it sticks to.
pub(crate) fn caught(
    ui: &Ui,
    read: &Read<'_>,
    sight: &Sight,
    session: &Session,
    moving: &[PartId],
    wanted: Point,
) -> Point {
    if ui.input(|input| input.modifiers.command || input.modifiers.alt) {
        return wanted;
    }
    let zoom = sight.view.camera.points_per_mm;
    let grid = session.grid.then(|| rulers::division_mm(read.knife.unit, zoom, 14.0));
    let catches = Catches::of(read.knife, moving, grid);
    let snapped = catches.snap(sight.bar_from_knife * wanted, sight.mm(STICKS));
    let here = sight.view.ui_from_mm(snapped.at);
    for caught in [snapped.x, snapped.y].into_iter().flatten() {
        let there = sight.view.ui_from_mm(caught.from);
        let line = Stroke::new(1.0, read.palette.grip_chosen);
        ui.painter().extend(egui::Shape::dashed_line(&[there, here], line, 4.0, 3.0));
    }
    if let Some(words) = snapped.words() {
        let at = here + egui::vec2(-16.0, 18.0);
        hover::tag(ui, at, egui::Align2::RIGHT_TOP, &words, read.palette);
    }
    sight.bar_from_knife.inverse() * snapped.at
}

/// Takes a drag under way back when Escape is pressed.
pub(crate) fn escape(ui: &Ui, session: &mut Session, out: &mut Commands) -> bool {
    let held = session.grip.is_some() || session.band.is_some();
    if !held || !ui.input_mut(|input| input.consume_key(egui::Modifiers::NONE, Key::Escape)) {
        return false;
    }
    session.grip = None;
    session.band = None;
    ui.ctx().stop_dragging();
    out.push(Wish::Cancel);
    true
}
