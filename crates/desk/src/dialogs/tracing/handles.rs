//! Corners of a sheet, or two points: dragged under a magnifier, or moved by the arrow keys.

use super::mapping::Shown;
use crate::canvas::handles::hold_arrows;
use crate::state::Tracing;
use crate::theme::Palette;
use egui::{
    Color32, Id, Key, Mesh, Rect, Role, Sense, Shape, Stroke, StrokeKind, Ui, Vec2, WidgetInfo,
    vec2,
};
use kurbo::{Point, Vec2 as Step};
use trace::Picture;

/// Pixels that the magnifier shows along each side, and points for each of them.
const MAGNIFIED_PX: i32 = 33;
const POINTS_PER_PX: f32 = 5.0;
/// How far an arrow key goes, px; with Shift ten times as far.
const STEP_PX: f64 = 0.1;

/// Whether something was moved, and whether that has come to its end.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Moved {
    pub(super) any: bool,
    pub(super) done: bool,
}

/// Shows the handles and follows them.
pub(super) fn ui<const N: usize>(
    ui: &Ui,
    room: Rect,
    shown: Shown,
    picture: &Picture,
    points: &mut [Point; N],
    tracing: &mut Tracing,
    palette: &Palette,
) -> Moved {
    let on_screen = points.map(|p| shown.screen(p));
    ui.painter().add(Shape::closed_line(on_screen.to_vec(), Stroke::new(1.5, palette.accent)));
    let mut moved = Moved::default();
    for i in 0..N {
        let hand = Rect::from_center_size(on_screen[i], Vec2::splat(22.0));
        let response = ui.interact(hand, Id::unique(("squaring", N, i)), Sense::click_and_drag());
        let label = name(N, i);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, label));
        if response.clicked() || response.drag_started() {
            response.request_focus();
        }
        if response.has_focus() {
            hold_arrows(ui, response.id);
            tracing.selected = Some(i);
            let by = arrows(ui);
            if by != Step::ZERO {
                points[i] += by;
                moved = Moved { any: true, done: true };
            }
        }
        if let Some(at) = response.interact_pointer_pos().filter(|_| response.dragged()) {
            points[i] = shown.px(at);
            moved.any = true;
        }
        moved.done |= response.drag_stopped();
        let chosen = tracing.selected == Some(i);
        let strong = if chosen || response.hovered() { 3.0 } else { 1.5 };
        let at = shown.screen(points[i]);
        ui.painter().circle_stroke(at, 8.0, Stroke::new(strong + 2.0, palette.halo));
        ui.painter().circle_stroke(at, 8.0, Stroke::new(strong, palette.accent));
        if response.dragged() || response.has_focus() {
            magnifier(ui, room, at, points[i], picture, palette);
        }
    }
    let (w, h) = (picture.gray.width() as f64, picture.gray.height() as f64);
    for point in points {
        *point = Point::new(point.x.clamp(0.0, w), point.y.clamp(0.0, h));
    }
    moved
}

/// What a handle is called.
fn name(of: usize, i: usize) -> &'static str {
    const CORNERS: [&str; 4] =
        ["Corner top left", "Corner top right", "Corner bottom right", "Corner bottom left"];
    const ENDS: [&str; 2] = ["First point", "Second point"];
    if of == 2 { ENDS[i.min(1)] } else { CORNERS[i.min(3)] }
}

/// The arrow keys as a step in the picture.
fn arrows(ui: &Ui) -> Step {
    ui.input(|input| {
        let presses = |key| f64::from(u32::try_from(input.num_presses(key)).unwrap_or(0));
        let x = presses(Key::ArrowRight) - presses(Key::ArrowLeft);
        let y = presses(Key::ArrowDown) - presses(Key::ArrowUp);
        let step = if input.modifiers.shift { 10.0 * STEP_PX } else { STEP_PX };
        Step::new(x, y) * step
    })
}

/// A pixel of the picture: in its colour, unless that is kept for a smaller picture only.
fn colour(picture: &Picture, index: usize) -> Color32 {
    let gray = &picture.gray;
    let own = picture.seen.as_ref().filter(|seen| seen.size() == [gray.width(), gray.height()]);
    match own.and_then(|seen| seen.rgb().get(3 * index..3 * index + 3)) {
        Some(rgb) => Color32::from_rgb(rgb[0], rgb[1], rgb[2]),
        None => Color32::from_gray(gray.data()[index]),
    }
}

/// The picture's own pixels around a place, with a cross on it, in the upper corner that is away
/// from it.
fn magnifier(ui: &Ui, room: Rect, at: egui::Pos2, px: Point, picture: &Picture, palette: &Palette) {
    #[expect(clippy::cast_precision_loss, reason = "a few pixels")]
    let side = MAGNIFIED_PX as f32 * POINTS_PER_PX;
    let left = at.x > room.center().x;
    let corner = if left {
        room.left_top() + vec2(10.0, 10.0)
    } else {
        room.right_top() + vec2(-10.0 - side, 10.0)
    };
    let area = Rect::from_min_size(corner, Vec2::splat(side));
    #[expect(clippy::cast_possible_truncation, reason = "a pixel of a picture")]
    let (cx, cy) = (px.x.floor() as i32, px.y.floor() as i32);
    let half = MAGNIFIED_PX / 2;
    let mut mesh = Mesh::default();
    let (width, height) = (picture.gray.width(), picture.gray.height());
    for row in -half - 1..=half + 1 {
        for column in -half - 1..=half + 1 {
            let (x, y) = (cx + column, cy + row);
            let inside = usize::try_from(x).ok().zip(usize::try_from(y).ok());
            let tone = inside
                .filter(|(x, y)| *x < width && *y < height)
                .map(|(x, y)| colour(picture, y * width + x));
            #[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
            let off = vec2((f64::from(x) - px.x) as f32, (f64::from(y) - px.y) as f32);
            let min = area.center() + off * POINTS_PER_PX;
            let cell = Rect::from_min_size(min, Vec2::splat(POINTS_PER_PX)).intersect(area);
            if cell.is_positive() {
                mesh.add_colored_rect(cell, tone.unwrap_or(palette.field));
            }
        }
    }
    let painter = ui.painter();
    painter.rect_filled(area, 0.0, palette.field);
    painter.add(Shape::mesh(mesh));
    let line = Stroke::new(1.0, palette.stop);
    painter.hline(area.x_range(), area.center().y, line);
    painter.vline(area.center().x, area.y_range(), line);
    painter.rect_stroke(area, 0.0, Stroke::new(1.5, palette.accent), StrokeKind::Outside);
}
