//! The canvas: the blank on its painted bar, whatever the station works on there, and around it
//! rulers, cross-section, stiffness and the knife seen on edge.

use super::menu::MenuContext;
use super::{context_menu, edge_view, stiffness};
use crate::action::ActionQueue;
use crate::canvas::paint::{self, Lettering};
use crate::canvas::{
    comb, fitting, ghost, grid, hover, navigation, origin, picture as pictures, rulers, section,
    steel,
};
use crate::context::{CanvasContext, KnifeView, ViewContext};
use crate::state::{Camera, Plane, Session, Station, View, ViewRequest, ViewState};
use crate::stations;
use crate::theme::Ink;
use egui::{Pos2, Rect, Stroke, Ui, pos2};
use knife::PartId;
use kurbo::Point;
use marks::{Item, Pen};
use reckon::Severity;

/// The canvas in all the room there is.
pub(crate) fn ui(
    ui: &mut Ui,
    context: &ViewContext<'_>,
    session: &mut Session,
    menus: &MenuContext<'_>,
    actions: &mut ActionQueue,
) {
    let whole = ui.available_rect_before_wrap();
    let plot = context.station != Station::Bar && context.settings.stiffness;
    let plot = if plot { stiffness::height(whole.height()) } else { 0.0 };
    let strip = edge_view::height(whole.height());
    let rect = Rect::from_min_max(
        pos2(whole.min.x + rulers::BREADTH, whole.min.y + rulers::BREADTH),
        pos2(whole.max.x, whole.max.y - strip - plot),
    );
    if rect.width() < 40.0 || rect.height() < 40.0 {
        return;
    }
    let Session {
        view: state, pointer, selection, section, holes, drawing, picture, tools, ..
    } = session;
    let dragging = pointer.is_dragging();
    pictures::prepare(ui, picture, context.knife.picture.as_ref(), dragging);
    let picture = &*picture;
    // A station that was chosen within this frame is seen in its own plane in the next.
    let plane = context.derived.plane();
    state.show_bar(plane == Plane::Bar);
    let before = state.canvas.replace(rect);
    let camera = state.camera.map(|camera| fitting::hold_still(camera, before, rect));
    let panel = section::place(rect);
    section.panel_fits = panel.is_some();
    let cut = context.settings.section && !context.knife.profile.nodes.is_empty();
    let panel = panel.filter(|_| cut);
    let fitted = fitting::fitted(fitting::fit_box(context, picture), rect, panel);
    let mut view = View { rect, camera: camera.unwrap_or(fitted) };
    if plane == Plane::of(context.station) {
        let plane_from_knife = plane.plane_from_knife(context.knife);
        let request = state.request.take().map(|request| request.on_plane(plane_from_knife));
        let selected = match request {
            Some(ViewRequest::FitSelection) => fitting::selected_box(context, selection),
            _ => None,
        };
        let fitted = selected.map_or(fitted, |all| Camera::fitting(all, rect));
        let pixels_per_point = ui.ctx().pixels_per_point();
        let settings = context.settings;
        navigation::apply_view_request(&mut view, request, fitted, settings, pixels_per_point);
    } else {
        ui.ctx().request_repaint();
    }
    let background = navigation::background(ui, rect, "Canvas");
    view.camera = navigation::pan_zoom(ui, &background, view, pointer);
    state.camera = Some(view.camera);
    let knife_view = KnifeView::new(view, plane, context.knife);
    let panel = panel.filter(|panel| !section::in_the_way(ui, *panel, pointer.is_dragging()));
    hover::clear(ui, panel);
    let covered = |pos: &Pos2| panel.is_some_and(|panel| panel.contains(*pos));
    let hovered = background.contains_pointer().then(|| background.hover_pos()).flatten();
    pointer.position = hovered.filter(|pos| !covered(pos)).map(|pos| view.mm_from_ui(pos));

    let unclipped = ui.clip_rect();
    ui.set_clip_rect(rect.intersect(unclipped));
    let (background, knife_view) = (&background, &knife_view);
    let cx = &mut CanvasContext {
        ui,
        context,
        knife_view,
        background,
        pointer,
        selection,
        holes,
        drawing,
        picture,
        tools,
        actions,
    };
    section::follow(cx, section);
    let moves = navigation::is_moving(cx.ui, state, camera != Some(view.camera));
    let lettering = if moves { Lettering::Moving } else { Lettering::Still };
    let moves = moves || cx.pointer.is_dragging();
    let shaded = context.settings.shaded && context.station != Station::Bar;
    state.shade_request = shaded.then(|| steel::shade_request(cx, moves)).flatten();
    if state.shade_request.as_ref() != context.derived.shaded_for() {
        cx.ui.ctx().request_repaint();
    }
    painting(cx, state, shaded, lettering);
    ghost::lines(cx);
    if panel.is_some() {
        section::line(cx, section);
    }
    mark_findings(cx);
    origin::mark(cx);
    if context.station == Station::Profile {
        pictures::handles(cx);
    }
    stations::on_canvas(cx);
    ghost::gaps(cx);
    ui.set_clip_rect(unclipped);

    let painter = ui.painter().with_clip_rect(whole);
    rulers::show(ui, &painter, knife_view, context, session.pointer.position);
    let below = Rect::from_min_max(pos2(whole.min.x, rect.max.y), whole.max);
    let (plot, below) = below.split_top_bottom_at_y(rect.max.y + plot);
    stiffness::show(ui, plot, knife_view, context);
    if let Some(panel) = panel {
        section::panel(ui, panel, context, &session.section, actions);
    }
    edge_view::show(ui, below, knife_view, context, session, actions);
    context_menu::show(ui, background, knife_view, context, session, menus, actions);
    ui.advance_cursor_after_rect(whole);
}

/// The bench, the bar, the blank and every line on it; or the finished knife, shaded.
fn painting(cx: &CanvasContext<'_>, state: &mut ViewState, shaded: bool, lettering: Lettering) {
    let (ui, context, knife_view) = (cx.ui, cx.context, cx.knife_view);
    let (painter, view, p) = (ui.painter(), &knife_view.view, context.palette);
    let bar = &context.knife.bar;
    let steel = kurbo::Rect::new(0.0, 0.0, bar.length_mm, bar.width_mm);
    let steel = corners(steel).map(|corner| knife_view.plane_from_bar * corner);
    if shaded {
        painter.rect_filled(view.rect, 0.0, p.bench);
        steel::paint(cx, &mut state.texture);
    } else {
        painted(cx, steel);
    }
    if context.settings.grid {
        grid::paint(cx, steel);
    }
    if let Some(comb) = context.derived.comb.as_ref().filter(|_| state.comb) {
        let ink = Ink::solid(p.centre, 0.8);
        paint::drawing(painter, view, comb, |_| Some(ink.clone()));
    }
    if state.comb && state.comb_radii {
        comb::radii(cx);
    }
    let station = context.station;
    if station == Station::Sheath {
        stations::sheath::paint_closed(cx);
    }
    if state.chain && station == Station::Bar {
        let ink = |item: &Item| Some(p.on_steel(item.pen));
        paint::lettered(painter, view, &context.derived.chain, lettering, ink);
    }
    paint::lettered(painter, view, &context.derived.drawing, lettering, |item| {
        let works = drawing::part_of(item).is_some_and(|part| station.works_on(part));
        let mut ink = if shaded { steel::ink(context, item)? } else { p.on_steel(item.pen) };
        if drawing::part_of(item).is_some_and(|part| cx.selection.contains(part)) {
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
    if station == Station::Sheath {
        let ink = |item: &Item| Some(p.on_steel(item.pen));
        paint::lettered(painter, view, &context.derived.sheath, lettering, ink);
    }
}

/// The corners of a box in their order around it.
fn corners(rect: kurbo::Rect) -> [Point; 4] {
    let kurbo::Rect { x0, y0, x1, y1 } = rect;
    [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from)
}

/// The painted bar on the bench, and the blank on it.
fn painted(cx: &CanvasContext<'_>, steel: [Point; 4]) {
    let (ui, context, knife_view) = (cx.ui, cx.context, cx.knife_view);
    let (painter, view, p) = (ui.painter(), &knife_view.view, context.palette);
    if is_level(steel) {
        let steel = Rect::from_points(&steel.map(|corner| view.ui_from_mm(corner)));
        let shadow =
            egui::epaint::Shadow { offset: [0, 3], blur: 12, spread: 0, color: p.paper_shade };
        // Neither is painted under the steel: near to, that would fill the canvas twice more.
        for part in around(view.rect, steel.shrink(UNDER_STEEL)) {
            let painter = painter.with_clip_rect(part.intersect(painter.clip_rect()));
            painter.rect_filled(view.rect, 0.0, p.bench);
            painter.add(shadow.as_shape(steel.intersect(view.rect.expand(60.0)), 2.0));
        }
        let seen = steel.intersect(view.rect.expand(2.0));
        if seen.is_positive() {
            painter.add(egui::Shape::gradient_rect(
                seen,
                egui::Direction::TopDown,
                [p.steel_high, p.steel_low],
            ));
        }
    } else {
        painter.rect_filled(view.rect, 0.0, p.bench);
        let mut path = kurbo::BezPath::new();
        path.move_to(steel[0]);
        steel[1..].iter().for_each(|corner| path.line_to(*corner));
        path.close_path();
        let shade = Ink::solid(p.paper_shade, 10.0);
        paint::path_line(painter, view, &path, &shade);
        painter.extend(paint::filled(view, &path, p.steel_high, p.steel_low));
    }
    let outline = context.reckoning().outline.as_ref();
    let path = outline.map(|outline| knife_view.plane_from_knife * outline.to_path());
    if let Some(path) = &path {
        let low = p.blank.lerp_to_gamma(p.steel_low, 0.25);
        painter.extend(paint::filled(view, path, p.blank, low));
    }
    if !matches!(context.station, Station::Bar | Station::Sheath) && cx.picture.visible {
        pictures::paint(ui, knife_view, cx.picture);
    }
    if let Some(path) = &path {
        paint::path_line(painter, view, path, &Ink::solid(p.halo, 5.0));
    }
}

/// How far the bench reaches under the steel's edges, points: they are drawn soft.
const UNDER_STEEL: f32 = 2.0;

/// What of a rectangle lies around a part of it, in at most four pieces: above, below, and on
/// either side.
fn around(whole: Rect, part: Rect) -> Vec<Rect> {
    let part = part.intersect(whole);
    if !part.is_positive() {
        return vec![whole];
    }
    let pieces = [
        whole.with_max_y(part.min.y),
        whole.with_min_y(part.max.y),
        Rect { max: pos2(part.min.x, part.max.y), min: pos2(whole.min.x, part.min.y) },
        Rect { min: pos2(part.max.x, part.min.y), max: pos2(whole.max.x, part.max.y) },
    ];
    pieces.into_iter().filter(|piece| piece.is_positive()).collect()
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
fn mark_findings(cx: &CanvasContext<'_>) {
    let (ui, context, knife_view) = (cx.ui, cx.context, cx.knife_view);
    for finding in &context.reckoning().findings {
        let Some(place) = finding.place else { continue };
        let colour = match finding.severity {
            Severity::Stop => context.palette.stop_on_steel,
            Severity::Care => context.palette.grip_chosen,
            Severity::Note => continue,
        };
        let at = knife_view.ui_from_knife(place);
        ui.painter().circle_stroke(at, 11.0, Stroke::new(3.0, context.palette.halo));
        ui.painter().circle_stroke(at, 11.0, Stroke::new(1.6, colour));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_around_a_part_fills_the_rest() {
        let whole = Rect::from_min_max(pos2(10.0, 20.0), pos2(110.0, 80.0));
        for part in [
            Rect::from_min_max(pos2(30.0, 30.0), pos2(60.0, 50.0)),
            Rect::from_min_max(pos2(-30.0, 30.0), pos2(160.0, 50.0)),
            Rect::from_min_max(pos2(-30.0, -30.0), pos2(160.0, 150.0)),
            Rect::from_min_max(pos2(-30.0, -30.0), pos2(5.0, 150.0)),
        ] {
            let pieces = around(whole, part);
            let seen = part.intersect(whole);
            let covered = if seen.is_positive() { seen.area() } else { 0.0 };
            let area: f32 = pieces.iter().map(|piece| piece.area()).sum();
            assert!((area + covered - whole.area()).abs() < 1e-3, "{part:?}");
            assert!(pieces.iter().all(|piece| whole.contains_rect(*piece)));
        }
    }
}
