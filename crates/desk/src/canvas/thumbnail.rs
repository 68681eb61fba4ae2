//! Small pictures of knives, and the tiles that they stand on to be chosen.

use super::paint::{filled, path_line};
use crate::action::{Action, ActionQueue};
use crate::state::{Camera, Purpose, Thumbnails, View};
use crate::theme::{Ink, Palette, bold, figures};
use egui::{Align2, CursorIcon, Painter, Rect, Response, Role, Sense, Stroke, Ui, WidgetInfo};
use egui::{pos2, vec2};
use knife::Knife;
use outline::Outline;

/// Where a blank is seen in a small picture, and the steel around it.
pub(crate) fn view(rect: Rect, knife: &Knife, outline: &Outline) -> (View, Rect) {
    let bar_from_knife = knife.bar.placement.bar_from_knife();
    let bounds = outline.transformed(bar_from_knife).bounds().inflate(5.0, 0.0);
    let width_mm = knife.bar.width_mm;
    let across = f64::from(rect.width()) / bounds.width();
    let up = f64::from(rect.height()) / (width_mm.max(bounds.height()) + 2.0);
    let middle = kurbo::Point::new(bounds.center().x, width_mm / 2.0);
    let view = View { rect, camera: Camera { centre: middle, points_per_mm: across.min(up) } };
    let steel = view.ui_rect(kurbo::Rect::new(bounds.x0, 0.0, bounds.x1, width_mm));
    (view, steel)
}

/// The blank on a strip of painted steel, with its holes.
pub(crate) fn paint(
    painter: &Painter,
    rect: Rect,
    knife: &Knife,
    outline: &Outline,
    palette: &Palette,
) {
    let painter = &painter.with_clip_rect(rect.intersect(painter.clip_rect()));
    let (view, steel) = view(rect, knife, outline);
    painter.rect_filled(steel, 2.0, palette.steel_low);
    let bar_from_knife = knife.bar.placement.bar_from_knife();
    let path = bar_from_knife * outline.to_path();
    painter.extend(filled(&view, &path, palette.blank, palette.blank));
    path_line(painter, &view, &path, &Ink::solid(palette.scribed, 1.2));
    for hole in &knife.holes {
        let at = view.ui_from_mm(bar_from_knife * hole.at);
        let radius = view.points(hole.diameter_mm / 2.0);
        painter.circle_stroke(at, radius, Stroke::new(1.0, palette.scribed));
    }
}

/// A tile with a picture, a name and a line below it, to be chosen.
pub(crate) fn tile(
    ui: &mut Ui,
    size: egui::Vec2,
    (name, below): (&str, &str),
    palette: &Palette,
    picture: impl FnOnce(&Painter, Rect),
) -> Response {
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    let near = response.hovered() || response.has_focus();
    let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
    let edge = if near { Stroke::new(2.0, palette.accent) } else { Stroke::new(1.0, palette.hair) };
    painter.rect(rect, 8.0, palette.field, edge, egui::StrokeKind::Inside);
    let foot = rect.max.y - 46.0;
    picture(&painter, Rect::from_min_max(rect.min + vec2(8.0, 8.0), pos2(rect.max.x - 8.0, foot)));
    let line = |y: f32, text: &str, font, colour| {
        let at = pos2(rect.min.x + 12.0, rect.max.y - y);
        painter.text(at, Align2::LEFT_TOP, text, font, colour);
    };
    line(42.0, name, bold(15.0), palette.text);
    line(22.0, below, figures(13.0), palette.weak);
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// The recent files as small pictures; whether one was chosen.
pub(crate) fn recents(
    ui: &mut Ui,
    files: &Thumbnails,
    palette: &Palette,
    actions: &mut ActionQueue,
) -> bool {
    let mut chosen = false;
    ui.horizontal_wrapped(|ui| {
        for file in &files.recents {
            let place = file.path.parent().map(|folder| folder.display().to_string());
            let name = (file.name.as_str(), "");
            let tile = tile(ui, vec2(150.0, 104.0), name, palette, |painter, rect| {
                paint(painter, rect, &file.knife, &file.outline, palette);
            });
            if tile.on_hover_text(place.unwrap_or_default()).clicked() {
                actions.push(Action::PathChosen(Purpose::Open, file.path.clone()));
                chosen = true;
            }
        }
    });
    chosen
}
