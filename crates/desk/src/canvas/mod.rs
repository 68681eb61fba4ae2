//! The canvas: the blank on its painted bar, and whatever the station works on there.

pub(crate) mod camera;
mod grid;
pub(crate) mod handles;
pub(crate) mod hover;
pub(crate) mod origin;
pub(crate) mod paint;
mod plane;
pub(crate) mod rulers;
mod steel;
mod stick;

pub use camera::{Camera, View};
pub use plane::Plane;
pub(crate) use stick::{caught, caught_along, caught_blank, caught_drawn};

use crate::command::{Commands, Wish};
use crate::derived::Derived;
use crate::session::{Aim, Session};
use crate::stations;
use crate::theme::Palette;
use crate::{Settings, Station, edge_on, section, stiffness};
use egui::{
    Event, Key, MouseWheelUnit, PointerButton, Pos2, Rect, Response, Sense, Stroke, Ui, pos2,
};
use knife::Knife;
use knife::PartId;
use kurbo::{Affine, Point, Vec2};
use marks::{Item, Pen};
use reckon::OriginFrame;

/// Screen dots to the millimetre of a screen that was never matched: 96 to the inch.
const UNMATCHED_PER_MM: f64 = 96.0 / 25.4;
/// Nearer by this for one notch of the wheel.
const NOTCH: f64 = 1.18;
/// How near the pointer must come to a line, points.
const REACH: f64 = 8.0;

/// The knife's plane as it is seen: in the plane of the canvas, then through the camera.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sight {
    pub(crate) view: View,
    pub(crate) plane: Plane,
    pub(crate) plane_from_knife: Affine,
    pub(crate) plane_from_bar: Affine,
}

impl Sight {
    /// Where a place of the knife is on the screen.
    pub(crate) fn ui_from_knife(&self, p: Point) -> Pos2 {
        self.view.ui_from_mm(self.plane_from_knife * p)
    }

    /// Which place of the knife a point of the screen is.
    pub(crate) fn knife_from_ui(&self, pos: Pos2) -> Point {
        self.plane_from_knife.inverse() * self.view.mm_from_ui(pos)
    }

    /// Which way of the knife a way on the screen is, mm.
    pub(crate) fn knife_from_ui_vec(&self, by: egui::Vec2) -> Vec2 {
        let inverse = self.plane_from_knife.inverse();
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
    /// Where coordinates are counted from: it holds still while anything is dragged.
    pub(crate) origin: OriginFrame,
}

/// What is worked with on the canvas.
pub(crate) struct Hands<'a> {
    pub(crate) ui: &'a Ui,
    pub(crate) read: &'a Read<'a>,
    /// What lies under everything: the canvas, or the strip below it.
    pub(crate) ground: &'a Response,
    pub(crate) sight: &'a Sight,
    pub(crate) session: &'a mut Session,
    pub(crate) out: &'a mut Commands,
}

/// The canvas in all the room there is.
pub(crate) fn ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let whole = ui.available_rect_before_wrap();
    let plot = session.station != Station::Bar && read.settings.stiffness;
    let plot = if plot { stiffness::height(whole.height()) } else { 0.0 };
    let strip = edge_on::height(whole.height());
    let rect = Rect::from_min_max(
        pos2(whole.min.x + rulers::BREADTH, whole.min.y + rulers::BREADTH),
        pos2(whole.max.x, whole.max.y - strip - plot),
    );
    if rect.width() < 40.0 || rect.height() < 40.0 {
        return;
    }
    // A station that was chosen within this frame is seen in its own plane in the next.
    let plane = read.derived.plane();
    let settled = plane == Plane::of(session.station);
    session.see(plane == Plane::Bar);
    let before = session.canvas.replace(rect);
    let camera = session.camera.map(|camera| held_still(camera, before, rect));
    let cut = read.settings.section && !read.knife.profile.nodes.is_empty();
    let panel = section::place(rect).filter(|_| cut);
    let fitted = fitted(aim_box(read, session), rect, panel);
    let mut view = View { rect, camera: camera.unwrap_or(fitted) };
    if settled {
        let aim = session.aim.map(|aim| aim.on_plane(plane.plane_from_knife(read.knife)));
        session.aim = aim;
        look(&mut view, fitted, read.settings, session, ui.ctx().pixels_per_point());
    } else {
        ui.ctx().request_repaint();
    }
    let response = ground(ui, rect, "Canvas");
    let moved = steer(ui, &response, view, session);
    view.camera = moved;
    session.camera = Some(view.camera);
    let (plane_from_knife, plane_from_bar) =
        (plane.plane_from_knife(read.knife), plane.plane_from_bar(read.knife));
    let sight = Sight { view, plane, plane_from_knife, plane_from_bar };
    let panel = panel.filter(|panel| !section::in_the_way(ui, *panel, session));
    hover::clear(ui, panel);
    let covered = |pos: &Pos2| panel.is_some_and(|panel| panel.contains(*pos));
    session.pointer = response
        .contains_pointer()
        .then(|| response.hover_pos())
        .flatten()
        .filter(|pos| !covered(pos))
        .map(|pos| view.mm_from_ui(pos));
    section::follow(ui, read, &sight, session);

    let unclipped = ui.clip_rect();
    ui.set_clip_rect(rect.intersect(unclipped));
    let moves = session.grip.is_some() || camera != Some(view.camera);
    let shaded = read.settings.shaded && session.station != Station::Bar;
    session.shaded = shaded.then(|| steel::wanted(ui, read, &sight, moves)).flatten();
    if session.shaded.as_ref() != read.derived.shaded_for() {
        ui.ctx().request_repaint();
    }
    picture(ui, read, session, &sight, shaded);
    if panel.is_some() {
        section::line(ui, read, &sight, session);
    }
    chosen_findings(ui, read, session, &sight);
    origin::mark(ui, read, &sight);
    let (ground, sight) = (&response, &sight);
    stations::on_canvas(&mut Hands { ui, read, ground, sight, session, out });
    ui.set_clip_rect(unclipped);

    let painter = ui.painter().with_clip_rect(whole);
    rulers::show(ui, &painter, sight, read, session.pointer);
    let below = Rect::from_min_max(pos2(whole.min.x, rect.max.y), whole.max);
    let (plot, below) = below.split_top_bottom_at_y(rect.max.y + plot);
    stiffness::show(ui, plot, sight, read);
    if let Some(panel) = panel {
        section::panel(ui, panel, read, session, out);
    }
    edge_on::show(ui, below, sight, read, session, out);
    ui.advance_cursor_after_rect(whole);
}

/// The camera under which everything stays where it is on the screen, when only the foot of the
/// canvas has moved: findings that come and go must not push the blank from under the pointer.
fn held_still(camera: Camera, before: Option<Rect>, now: Rect) -> Camera {
    let same = |before: &Rect| before.min == now.min && before.max.x == now.max.x;
    let Some(before) = before.filter(same) else { return camera };
    let view = View { rect: now, camera };
    let by = view.mm_from_ui_vec(now.center() - before.center());
    Camera { centre: camera.centre + by, ..camera }
}

/// The camera that shows all of `bounds`, clear of the panel in the upper corner.
fn fitted(bounds: kurbo::Rect, rect: Rect, panel: Option<Rect>) -> Camera {
    let camera = Camera::fitting(bounds, rect);
    let Some(panel) = panel else { return camera };
    let view = View { rect, camera };
    let shown = view.ui_rect(bounds);
    if !shown.intersects(panel) {
        return camera;
    }
    // As little lower as it must be; or as near as there is room below the panel.
    let by = panel.max.y - shown.min.y;
    if shown.max.y + by <= rect.max.y {
        return view.panned(egui::vec2(0.0, by));
    }
    let room = rect.with_min_y(panel.max.y);
    let view = View { rect, camera: Camera::fitting(bounds, room) };
    view.panned(room.center() - rect.center())
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
    fitted: Camera,
    settings: &Settings,
    session: &mut Session,
    pixels_per_point: f32,
) {
    match session.aim.take() {
        None => {}
        Some(Aim::Fit) => view.camera = fitted,
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
    // Whatever lies on the ground covers it, but is steered over all the same. What is held goes
    // by its way on the screen, so that nothing may change under it.
    let over = response.contains_pointer() && session.grip.is_none();
    if let Some(pos) = ui.input(|input| input.pointer.hover_pos()).filter(|_| over) {
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
    let (begins, held, by) = ui.input(|input| {
        let pointer = &input.pointer;
        let with = [(PointerButton::Middle, true), (PointerButton::Primary, space)];
        let begins = with.iter().any(|(button, may)| *may && pointer.button_pressed(*button));
        let held = with.iter().any(|(button, _)| pointer.button_down(*button));
        (begins, held, pointer.delta())
    });
    if begins && over {
        session.panning = true;
        // Neither the ground nor what lies on it is dragged by this press.
        ui.ctx().stop_dragging();
    }
    session.panning &= held;
    if session.panning {
        view.camera = view.panned(by);
    }
    if space || session.panning {
        ui.ctx().set_cursor_icon(if session.panning {
            egui::CursorIcon::Grabbing
        } else {
            egui::CursorIcon::Grab
        });
    }
    view.camera
}

/// What Fit shows at this station, in the plane of the canvas.
fn aim_box(read: &Read<'_>, session: &Session) -> kurbo::Rect {
    let (knife, plane) = (read.knife, read.derived.plane());
    let whole = kurbo::Rect::new(0.0, 0.0, knife.bar.length_mm, knife.bar.width_mm);
    let whole = plane.plane_from_bar(knife).transform_rect_bbox(whole);
    let Some(outline) = &read.derived.reckoning.outline else { return whole };
    let blank = outline.transformed(plane.plane_from_knife(knife)).bounds();
    match session.station {
        Station::Bar | Station::Paper => whole.union(blank),
        _ => blank.inflate(6.0, 6.0),
    }
}

/// The bench, the bar, the blank and every line on it; or the finished knife, shaded.
fn picture(ui: &Ui, read: &Read<'_>, session: &mut Session, sight: &Sight, shaded: bool) {
    let (painter, view, p) = (ui.painter(), &sight.view, read.palette);
    painter.rect_filled(view.rect, 0.0, p.bench);
    let bar = &read.knife.bar;
    let steel = kurbo::Rect::new(0.0, 0.0, bar.length_mm, bar.width_mm);
    let steel = corners(steel).map(|corner| sight.plane_from_bar * corner);
    if shaded {
        steel::paint(ui, read, session, sight);
    } else {
        painted(ui, read, sight, steel);
    }
    if read.settings.grid {
        grid::paint(painter, sight, steel, read);
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
        let part = drawing::part_of(item);
        let works = part.is_some_and(|part| station.works_on(part));
        let mut ink = if shaded { steel::ink(read, item)? } else { p.on_steel(item.pen) };
        if part.is_some_and(|part| session.selection.contains(&part)) {
            ink.colour = p.grip_chosen;
            ink.width += 0.8;
        } else if shaded {
            return Some(ink);
        } else if works && item.pen != Pen::Centre {
            ink.width += 0.4;
        } else if !works && steps_back(item, station) {
            ink.colour = ink.colour.gamma_multiply(0.62);
        }
        Some(ink)
    });
}

/// The corners of a box in their order around it.
fn corners(rect: kurbo::Rect) -> [Point; 4] {
    let kurbo::Rect { x0, y0, x1, y1 } = rect;
    [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from)
}

/// The painted bar on the bench, and the blank on it.
fn painted(ui: &Ui, read: &Read<'_>, sight: &Sight, steel: [Point; 4]) {
    let (painter, view, p) = (ui.painter(), &sight.view, read.palette);
    if is_level(steel) {
        let steel = Rect::from_points(&steel.map(|corner| view.ui_from_mm(corner)));
        let shadow =
            egui::epaint::Shadow { offset: [0, 3], blur: 12, spread: 0, color: p.paper_shade };
        painter.add(shadow.as_shape(steel.intersect(view.rect.expand(60.0)), 2.0));
        let seen = steel.intersect(view.rect.expand(2.0));
        if seen.is_positive() {
            painter.add(egui::Shape::gradient_rect(
                seen,
                egui::Direction::TopDown,
                [p.steel_high, p.steel_low],
            ));
        }
    } else {
        let mut path = kurbo::BezPath::new();
        path.move_to(steel[0]);
        steel[1..].iter().for_each(|corner| path.line_to(*corner));
        path.close_path();
        let shade = crate::theme::Ink { colour: p.paper_shade, width: 10.0, dashes: Vec::new() };
        paint::path_line(painter, view, &path, &shade);
        painter.extend(paint::filled(view, &path, p.steel_high, p.steel_low));
    }
    if let Some(outline) = &read.derived.reckoning.outline {
        let path = sight.plane_from_knife * outline.to_path();
        painter.extend(paint::filled(
            view,
            &path,
            p.blank,
            p.blank.lerp_to_gamma(p.steel_low, 0.25),
        ));
        let halo = crate::theme::Ink { colour: p.halo, width: 5.0, dashes: Vec::new() };
        paint::path_line(painter, view, &path, &halo);
    }
}

/// Whether the bar lies along the screen.
fn is_level(steel: [Point; 4]) -> bool {
    let along = steel[1] - steel[0];
    along.x.abs().min(along.y.abs()) < 1e-6
}

/// Whether a mark is drawn paler while another station works.
fn steps_back(item: &Item, station: Station) -> bool {
    station != Station::Bar && !matches!(drawing::part_of(item), Some(PartId::Profile))
}

/// A ring where a finding has a place, so that it is seen before it is read.
fn chosen_findings(ui: &Ui, read: &Read<'_>, session: &Session, sight: &Sight) {
    for finding in &read.derived.reckoning.findings {
        let Some(place) = finding.place else { continue };
        if session.grip.is_some() && finding.severity == reckon::Severity::Note {
            continue;
        }
        let colour = match finding.severity {
            reckon::Severity::Stop => read.palette.stop_on_steel,
            reckon::Severity::Care => read.palette.grip_chosen,
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
    nudge_by(ui, step_mm(unit))
}

/// How far an arrow key nudges, mm.
pub(crate) fn step_mm(unit: units::LengthUnit) -> f64 {
    match unit {
        units::LengthUnit::Millimetre => 0.5,
        units::LengthUnit::Inch => 25.4 / 64.0,
    }
}

/// Whether Ctrl or Alt is held, for a tenth of a step and for what sticks to nothing.
pub(crate) fn is_fine(ui: &Ui) -> bool {
    ui.input(|input| input.modifiers.command || input.modifiers.alt)
}

/// The same with steps of another length.
pub(crate) fn nudge_by(ui: &Ui, step_mm: f64) -> Option<Vec2> {
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
    let by = if modifiers.shift {
        10.0
    } else if modifiers.command || modifiers.alt {
        0.1
    } else {
        1.0
    };
    Some(way * step_mm * by)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_fitted_is_clear_of_the_panel() {
        let blank = kurbo::Rect::new(0.0, 0.0, 220.0, 36.0);
        for height in [500.0, 400.0, 320.0] {
            let rect = Rect::from_min_size(pos2(24.0, 108.0), egui::vec2(940.0, height));
            let panel = section::place(rect).unwrap();
            let view = View { rect, camera: fitted(blank, rect, Some(panel)) };
            let shown = view.ui_rect(kurbo::Rect::new(0.0, 0.0, 220.0, 36.0));
            assert!(!shown.shrink(0.1).intersects(panel), "{height}: {shown:?} {panel:?}");
            assert!(rect.contains_rect(shown));
        }
        let rect = Rect::from_min_size(pos2(0.0, 0.0), egui::vec2(940.0, 545.0));
        assert_eq!(fitted(blank, rect, section::place(rect)), Camera::fitting(blank, rect));
    }

    #[test]
    fn nothing_moves_when_only_the_foot_of_the_canvas_does() {
        let rect = Rect::from_min_max(pos2(24.0, 100.0), pos2(960.0, 650.0));
        let lower = rect.with_max_y(560.0);
        let camera = Camera { centre: Point::new(90.0, 12.0), points_per_mm: 4.0 };
        let after = held_still(camera, Some(rect), lower);
        let p = Point::new(40.0, 5.0);
        let at = |rect, camera| View { rect, camera }.ui_from_mm(p);
        assert!(at(rect, camera).distance(at(lower, after)) < 1e-3);
        // A window of another width stays looking at the same middle.
        let wider = rect.with_max_x(1200.0);
        assert_eq!(held_still(camera, Some(rect), wider), camera);
        assert_eq!(held_still(camera, None, rect), camera);
    }
}
