//! The pages side by side, where the canvas lies at the other stations.

use super::arranging::{self, PlacedPage};
use crate::canvas::{
    navigation,
    paint::{self, Lettering},
};
use crate::context::ViewContext;
use crate::state::{Camera, Session, View, ViewRequest};
use egui::epaint::Shadow;
use egui::{PointerButton, Rect, Role, Sense, Ui, WidgetInfo};
use paper::Page;

/// Between two pages, mm.
const APART_MM: f64 = 14.0;

/// Shows the pages.
pub(crate) fn ui(ui: &mut Ui, context: &ViewContext<'_>, session: &mut Session) {
    let Session { view: state, pointer, print, toasts, .. } = session;
    let rect = ui.available_rect_before_wrap();
    let pages: &[Page] = match context.derived.pages() {
        Some(Ok(layout)) => &layout.pages,
        _ => &[],
    };
    let (places, gap_mm) = spread(pages, rect);
    let mut bounds = bounds_of(&places);
    // Room for the names over the topmost.
    bounds.y1 += gap_mm;
    // Other pages, or in other rows, are looked at anew.
    if state.paper_bounds.replace(bounds) != Some(bounds) {
        state.paper_camera = None;
    }
    let fitted = Camera::fitting(bounds, rect);
    let mut view = View { rect, camera: state.paper_camera.unwrap_or(fitted) };
    let pixels_per_point = ui.ctx().pixels_per_point();
    let (request, settings) = (state.request.take(), context.settings);
    navigation::apply_view_request(&mut view, request, fitted, settings, pixels_per_point);
    let background = navigation::background(ui, rect, "Pages");
    view.camera = navigation::pan_zoom(ui, &background, view, pointer);
    if background.dragged_by(PointerButton::Primary) && !pointer.panning {
        view.camera = view.panned(background.drag_delta());
    }
    let moved = state.paper_camera.replace(view.camera).is_some_and(|before| before != view.camera);
    let moves = navigation::is_moving(ui, state, moved);
    let lettering = if moves { Lettering::Moving } else { Lettering::Exact };
    ui.painter().with_clip_rect(rect).rect_filled(rect, 0.0, context.palette.bench);
    for (page, place) in pages.iter().zip(&places) {
        show_page(ui, context, &view, (page, *place), lettering);
    }
    let placed = pages.iter().zip(&places);
    let placed: Vec<_> =
        placed.map(|(page, place)| PlacedPage { key: page.key, place: *place }).collect();
    if arranging::names(ui, context, print, toasts, &view, &placed) {
        state.request = Some(ViewRequest::Fit);
    }
    ui.advance_cursor_after_rect(rect);
}

/// One page on the bench.
fn show_page(
    ui: &Ui,
    context: &ViewContext<'_>,
    view: &View,
    (page, place): (&Page, kurbo::Rect),
    lettering: Lettering,
) {
    let p = context.palette;
    let painter = ui.painter().with_clip_rect(view.rect);
    let sheet = view.ui_rect(place);
    let shadow = Shadow { offset: [0, 4], blur: 18, spread: 0, color: p.paper_shade };
    painter.add(shadow.as_shape(sheet, 0.0));
    painter.rect_filled(sheet, 0.0, p.paper);
    let off = place.origin().to_vec2();
    let camera = Camera { centre: view.camera.centre - off, ..view.camera };
    let page_view = View { camera, ..*view };
    let shown = sheet.intersect(view.rect);
    paint::lettered(&painter.with_clip_rect(shown), &page_view, &page.drawing, lettering, |item| {
        Some(p.on_paper(item.pen, view.points(1.0)))
    });
    let id = ui.make_persistent_id(("page", page.number));
    let label = format!("Page {}, {}", page.number, page.name);
    let response = ui.interact(shown, id, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &label));
}

/// Where each page lies, mm: in rows, as many side by side as shows them largest; and how far
/// below each other, so that the names of the sheets go between.
fn spread(pages: &[Page], room: Rect) -> (Vec<kurbo::Rect>, f64) {
    let shown = |places: &[kurbo::Rect]| Camera::fitting(bounds_of(places), room).points_per_mm;
    let apart = |across: usize| {
        // The wider apart the smaller they are shown, so once more.
        let mut gap_mm = APART_MM;
        for _ in 0..2 {
            let name_mm = f64::from(arranging::NAME_HIGH) / shown(&rows(pages, across, gap_mm));
            gap_mm = name_mm.max(APART_MM);
        }
        (rows(pages, across, gap_mm), gap_mm)
    };
    (1..=pages.len())
        .map(apart)
        .max_by(|a, b| shown(&a.0).total_cmp(&shown(&b.0)))
        .unwrap_or_default()
}

/// Pages in rows of so many, from the top, mm.
fn rows(pages: &[Page], across: usize, gap_mm: f64) -> Vec<kurbo::Rect> {
    let mut places = Vec::with_capacity(pages.len());
    let mut top = 0.0;
    for row in pages.chunks(across) {
        let (mut x, mut low): (f64, f64) = (0.0, top);
        for page in row {
            let place = kurbo::Rect::new(x, top - page.size_mm.height, x + page.size_mm.width, top);
            x = place.x1 + APART_MM;
            low = low.min(place.y0);
            places.push(place);
        }
        top = low - gap_mm;
    }
    places
}

/// The box around all of them.
fn bounds_of(places: &[kurbo::Rect]) -> kurbo::Rect {
    places.iter().copied().reduce(|a, b| a.union(b)).unwrap_or_default()
}
