//! Tracing a picture: the picture with the outline proposed over it, and what can be chosen.

use crate::action::{Action, ActionQueue};
use crate::state::{SquaringChoice, Tracing};
use crate::theme::Palette;
use crate::widgets::{modal, width_up_to};
use egui::{
    Color32, ColorImage, DragValue, Id, Key, Pos2, Rect, RichText, Role, Sense, Slider, Stroke,
    StrokeKind, TextureHandle, TextureOptions, Ui, Vec2, WidgetInfo, pos2, vec2,
};
use knife::{Knife, limits};
use kurbo::{Affine, Point, Shape as _, Size};
use trace::{Found, Gray, LineSide, Subject, Traced};
use units::{LengthUnit, show_mm};

/// Longest side of the picture shown, px.
const SHOWN_PX: usize = 1400;
/// The magnifier's side, points, and how much larger it shows the picture's own pixels.
const MAGNIFIER: f32 = 150.0;
const MAGNIFIED: f32 = 4.0;
/// Sheets that can be chosen by name, mm (ANSI/ASME Y14.1, ISO 216).
const SHEETS: [(&str, Size); 2] =
    [("Letter", Size::new(215.9, 279.4)), ("A4", Size::new(210.0, 297.0))];

/// Shows it; whether it stays open.
pub(super) fn ui(
    ui: &Ui,
    tracing: &mut Tracing,
    palette: &Palette,
    actions: &mut ActionQueue,
) -> bool {
    tracing.poll();
    modal(ui, "tracing", width_up_to(ui, 1000.0, 60.0), |ui| {
        ui.heading("Trace a picture");
        let height = (ui.ctx().content_rect().height() - 190.0).clamp(180.0, 560.0);
        ui.horizontal_top(|ui| {
            let width = (ui.available_width() - 300.0).max(200.0);
            picture(ui, vec2(width, height), tracing, palette);
            ui.vertical(|ui| {
                ui.set_max_width(285.0);
                choices(ui, tracing);
                ui.separator();
                outcome(ui, tracing, palette);
            });
        });
        let row = ui.horizontal(|ui| {
            let traced = tracing.traced.as_ref().and_then(|traced| traced.as_ref().ok());
            let ready = traced.is_some() && !tracing.is_busy();
            let take = ui.add_enabled(ready, egui::Button::new("Use this outline")).clicked();
            if let (true, Some(traced)) = (take, traced) {
                actions.push(Action::TakeOutline(Box::new(blank(&tracing.name, traced))));
            }
            ui.button("Cancel").clicked() || take
        });
        row.inner
    })
}

/// The knife of a traced outline, laid level.
fn blank(name: &str, traced: &Traced) -> Knife {
    let (level, _) = traced.levelled();
    let error_mm = level.error_mm().min(*limits::TRACED_MM.end());
    let imported = knife::svg_import::ImportedOutline {
        outline: level.outline,
        holes: level.holes,
        unit: LengthUnit::Millimetre,
        warnings: Vec::new(),
    };
    let mut knife = imported.into_knife(name, Knife::empty().bar);
    knife.traced_mm = Some(error_mm);
    knife
}

/// What wakes the desk when the thread is done.
fn wake(ui: &Ui) -> impl Fn() + Send + 'static {
    let ctx = ui.ctx().clone();
    move || ctx.request_repaint()
}

fn choices(ui: &mut Ui, tracing: &mut Tracing) {
    let before = (tracing.squaring, tracing.sheet, tracing.dpi, tracing.extract.clone());
    ui.label("Squared up by");
    for (choice, label) in [
        (SquaringChoice::Auto, "what is found"),
        (SquaringChoice::Mat, "the tracing mat"),
        (SquaringChoice::Sheet, "a sheet of paper"),
        (SquaringChoice::Density, "the scan's density"),
    ] {
        ui.radio_value(&mut tracing.squaring, choice, label);
    }
    match tracing.squaring {
        SquaringChoice::Sheet => {
            ui.horizontal(|ui| {
                for (name, size) in SHEETS {
                    ui.radio_value(&mut tracing.sheet, size, name);
                }
            });
            let text = "Drag the corners to those of the sheet; arrow keys move the last one by a \
                        tenth of a pixel.";
            ui.label(RichText::new(text).small());
        }
        SquaringChoice::Density => {
            ui.horizontal(|ui| {
                let label = ui.label("Dots per inch");
                let field = DragValue::new(&mut tracing.dpi).range(20.0..=10_000.0);
                ui.add(field).labelled_by(label.id);
            });
        }
        SquaringChoice::Auto | SquaringChoice::Mat => {}
    }
    ui.separator();
    ui.label("Trace");
    for (subject, label) in [
        (Subject::Auto, "whichever it looks like"),
        (Subject::Filled, "a filled shape"),
        (Subject::Line(LineSide::Centre), "a drawn line's centre"),
        (Subject::Line(LineSide::Outer), "its outer side"),
        (Subject::Line(LineSide::Inner), "its inner side"),
    ] {
        ui.radio_value(&mut tracing.extract.subject, subject, label);
    }
    ui.horizontal(|ui| {
        let label = ui.label("Thickness, mm");
        let field = DragValue::new(&mut tracing.extract.thickness_mm).range(0.0..=50.0).speed(0.1);
        ui.add(field).labelled_by(label.id);
    });
    let after = (tracing.squaring, tracing.sheet, tracing.dpi, tracing.extract.clone());
    if before != after && !tracing.is_busy() {
        tracing.again(wake(ui));
    }
    let fit = &mut tracing.fit;
    let tolerance = Slider::new(&mut fit.tolerance_mm, 0.03..=1.0).logarithmic(true);
    let label = ui.label("Tolerance, mm");
    let mut changed = ui.add(tolerance.fixed_decimals(2)).labelled_by(label.id).changed();
    let label = ui.label("Corners turn by more than");
    let angle = Slider::new(&mut fit.corner_deg, 10.0..=90.0).suffix("°").fixed_decimals(0);
    changed |= ui.add(angle).labelled_by(label.id).changed();
    if changed {
        tracing.refit();
    }
}

/// What was found, or why nothing was.
fn outcome(ui: &mut Ui, tracing: &Tracing, palette: &Palette) {
    if tracing.is_busy() {
        ui.horizontal(|ui| {
            ui.spinner();
            ui.label("Tracing…");
        });
        return;
    }
    match &tracing.traced {
        None => {}
        Some(Err(why)) => {
            let words = why.to_string();
            let mut signs = words.chars();
            let first = signs.next().map(|sign| sign.to_uppercase().to_string());
            let words = format!("{}{}.", first.unwrap_or_default(), signs.as_str());
            ui.label(RichText::new(words).color(palette.care));
        }
        Some(Ok(traced)) => {
            if let Some(squared) = &tracing.squared {
                ui.label(by_what(&squared.found));
            }
            ui.label(format!(
                "{} nodes, {} holes; nowhere more than {} off the contour; ±{} in all.",
                traced.node_count(),
                traced.holes.len(),
                show_mm(traced.max_distance_mm, 2),
                show_mm(traced.error_mm(), 2)
            ));
            for note in &traced.notes {
                ui.label(RichText::new(note.to_string()).color(palette.weak));
            }
        }
    }
}

fn by_what(found: &Found) -> String {
    match found {
        Found::Density { dpi } => format!("Scan at {dpi:.0} dots per inch."),
        Found::TwoPoints => "Scaled by two points.".to_owned(),
        Found::Rectangle { size, .. } => {
            format!("Sheet of {:.1} × {}.", size.width, show_mm(size.height, 1))
        }
        Found::Mat { columns, rows, used } => {
            format!("Tracing mat of {columns} × {rows} targets, {used} used.")
        }
    }
}

/// From the picture's pixels to the screen.
#[derive(Clone, Copy)]
struct Shown {
    origin: Pos2,
    scale: f32,
}

impl Shown {
    fn screen(self, px: Point) -> Pos2 {
        self.origin + vec2(px.x as f32, px.y as f32) * self.scale
    }

    fn px(self, at: Pos2) -> Point {
        let off = (at - self.origin) / self.scale;
        Point::new(f64::from(off.x), f64::from(off.y))
    }
}

/// The picture with everything over it.
fn picture(ui: &mut Ui, room: Vec2, tracing: &mut Tracing, palette: &Palette) {
    let (rect, response) = ui.allocate_exact_size(room, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "The picture"));
    ui.painter().rect_filled(rect, 4.0, palette.field);
    let Some(picture) = tracing.picture.clone() else { return };
    let gray = &picture.gray;
    let size = vec2(gray.width() as f32, gray.height() as f32);
    let scale = (rect.width() / size.x).min(rect.height() / size.y);
    let shown = Shown { origin: rect.center() - size * scale / 2.0, scale };
    let texture = texture(ui, gray, &tracing.name);
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    let area = Rect::from_min_size(shown.origin, size * scale);
    ui.painter().image(texture.id(), area, whole, Color32::WHITE);
    outline(ui, shown, tracing, palette);
    if tracing.squaring == SquaringChoice::Sheet {
        corners(ui, shown, gray, &texture, tracing, palette);
    }
}

/// The picture as a texture, made once.
fn texture(ui: &Ui, gray: &Gray, name: &str) -> TextureHandle {
    let id = Id::unique(("traced picture", name, gray.width(), gray.height()));
    let kept = ui.data(|data| data.get_temp::<TextureHandle>(id));
    kept.unwrap_or_else(|| {
        let small = gray.reduced_to(SHOWN_PX);
        let image = ColorImage::from_gray([small.width(), small.height()], small.data());
        let texture = ui.ctx().load_texture("traced picture", image, TextureOptions::LINEAR);
        ui.data_mut(|data| data.insert_temp(id, texture.clone()));
        texture
    })
}

/// The outline proposed, its holes and its nodes.
fn outline(ui: &Ui, shown: Shown, tracing: &Tracing, palette: &Palette) {
    let (Some(Ok(traced)), Some(squared)) = (&tracing.traced, &tracing.squared) else { return };
    let line = Stroke::new(2.0, palette.stop);
    let on_screen = |mm: Point| shown.screen(squared.plane.px(mm));
    let closed = |path: kurbo::BezPath| {
        let mut points = Vec::new();
        kurbo::flatten(path, 0.05, |el| {
            if let kurbo::PathEl::MoveTo(p) | kurbo::PathEl::LineTo(p) = el {
                points.push(on_screen(p));
            }
        });
        egui::Shape::closed_line(points, line)
    };
    ui.painter().add(closed(traced.outline.to_path()));
    for hole in &traced.holes {
        ui.painter().add(closed(hole.to_path(0.01)));
    }
    for node in traced.outline.nodes() {
        ui.painter().circle(on_screen(node), 3.5, palette.card, Stroke::new(1.5, palette.stop));
    }
}

/// The sheet's corners as handles, and the magnifier while one is dragged.
fn corners(
    ui: &mut Ui,
    shown: Shown,
    gray: &Gray,
    texture: &TextureHandle,
    tracing: &mut Tracing,
    palette: &Palette,
) {
    let mut corners = tracing.corners_or_usual(gray);
    let on_screen = corners.map(|p| shown.screen(p));
    ui.painter()
        .add(egui::Shape::closed_line(on_screen.to_vec(), Stroke::new(1.5, palette.accent)));
    let (mut moved, mut done) = (false, false);
    for (i, name) in ["top left", "top right", "bottom right", "bottom left"].iter().enumerate() {
        let hand = Rect::from_center_size(on_screen[i], Vec2::splat(22.0));
        let response = ui.interact(hand, Id::unique(("sheet corner", i)), Sense::drag());
        let label = format!("Corner {name}");
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
        let chosen = tracing.selected == Some(i);
        let width = if chosen || response.hovered() { 3.0 } else { 1.5 };
        ui.painter().circle_stroke(on_screen[i], 8.0, Stroke::new(width, palette.accent));
        if response.dragged()
            && let Some(at) = response.interact_pointer_pos()
        {
            corners[i] = shown.px(at);
            (tracing.selected, moved) = (Some(i), true);
            magnifier(ui, corners[i], gray, texture, palette);
        }
        done |= response.drag_stopped();
    }
    if let Some(i) = tracing.selected {
        let keys = [
            (Key::ArrowLeft, (-0.1, 0.0)),
            (Key::ArrowRight, (0.1, 0.0)),
            (Key::ArrowUp, (0.0, -0.1)),
            (Key::ArrowDown, (0.0, 0.1)),
        ];
        for (key, by) in keys {
            if ui.input(|input| input.key_pressed(key)) {
                corners[i] = Affine::translate(by) * corners[i];
                (moved, done) = (true, true);
            }
        }
    }
    if moved {
        tracing.corners = Some(corners);
    }
    if done && !tracing.is_busy() {
        tracing.again(wake(ui));
    }
}

/// The picture around a pixel, larger, with a cross on it.
fn magnifier(ui: &Ui, px: Point, gray: &Gray, texture: &TextureHandle, palette: &Palette) {
    let area = Rect::from_min_size(ui.clip_rect().min + vec2(16.0, 40.0), Vec2::splat(MAGNIFIER));
    let size = vec2(gray.width() as f32, gray.height() as f32);
    let half = Vec2::splat(MAGNIFIER / MAGNIFIED / 2.0);
    let at = vec2(px.x as f32, px.y as f32);
    let uv = |p: Vec2| (p / size).to_pos2();
    let seen = Rect::from_min_max(uv(at - half), uv(at + half));
    let painter = ui.painter();
    painter.rect_filled(area, 0.0, palette.field);
    painter.image(texture.id(), area, seen, Color32::WHITE);
    let line = Stroke::new(1.0, palette.stop);
    painter.hline(area.x_range(), area.center().y, line);
    painter.vline(area.center().x, area.y_range(), line);
    painter.rect_stroke(area, 0.0, Stroke::new(1.5, palette.accent), StrokeKind::Outside);
}
