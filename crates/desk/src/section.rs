//! The knife cut through at the pointer, or where it was pinned: a small picture and its figures.

use crate::canvas::hover::short;
use crate::canvas::{Camera, Read, Sight, View, handles, step_mm};
use crate::command::{Command, Commands, row_of};
use crate::edge_on::cut_faces;
use crate::session::Session;
use crate::stations::readings::{column, row};
use crate::stations::{heading, place_along};
use crate::theme::{bold, figures};
use egui::{
    Align, Button, CornerRadius, Id, Layout, Rect, RichText, Role, Sense, Stroke, Ui, UiBuilder,
    WidgetInfo, pos2, vec2,
};
use kurbo::Point;
use reckon::{PiecePart, Section};
use std::borrow::Cow;
use units::LengthUnit;

/// How wide and high the panel is, points.
const SIZE: egui::Vec2 = vec2(300.0, 190.0);
/// How wide the picture in it is, points.
const PICTURE: f32 = 104.0;
/// What is dragged comes in the panel's way so near to it, points.
const NEAR: f32 = 90.0;
/// How near the picture may be, points to the millimetre: it changes in steps, so that it holds
/// still while the pointer goes along.
const ZOOMS: [f64; 9] = [1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 12.0];

/// Where the panel lies: in the upper corner, where nothing moves when findings come and go;
/// nowhere on a small canvas.
pub(crate) fn place(canvas: Rect) -> Option<Rect> {
    let room = canvas.width() >= 2.0 * SIZE.x && canvas.height() >= 1.5 * SIZE.y;
    room.then(|| Rect::from_min_size(pos2(canvas.max.x - SIZE.x, canvas.min.y), SIZE))
}

/// Whether something is dragged so near the panel that its figures would lie under it.
pub(crate) fn in_the_way(ui: &Ui, panel: Rect, session: &Session) -> bool {
    let pointer = ui.input(|input| input.pointer.latest_pos());
    let near = pointer.is_some_and(|pos| panel.expand(NEAR).contains(pos));
    session.grip.is_some() && near
}

/// Cuts the knife where the pointer is, unless the section is pinned.
pub(crate) fn follow(ui: &Ui, read: &Read<'_>, sight: &Sight, session: &mut Session) {
    let Some(outline) = &read.derived.reckoning.outline else { return };
    let Some(pointer) = session.pointer else { return };
    let x_mm = (sight.plane_from_knife.inverse() * pointer).x;
    let bounds = outline.bounds();
    if (bounds.x0..=bounds.x1).contains(&x_mm) {
        session.section_mm = Some(x_mm);
    }
    if session.pinned_mm.is_none() && session.section_mm != read.derived.section_mm() {
        ui.ctx().request_repaint();
    }
}

/// The line along which the knife is cut; pinned, it can be dragged along.
pub(crate) fn line(ui: &Ui, read: &Read<'_>, sight: &Sight, session: &mut Session) {
    let p = read.palette;
    let Some(section) = &read.derived.section else { return };
    let (Some(first), Some(last)) = (section.steel.first(), section.steel.last()) else { return };
    let out = sight.mm(9.0);
    let (low, high) = (first.span().0 - out, last.span().1 + out);
    let at = |y: f64| sight.ui_from_knife(Point::new(section.x_mm, y));
    let painter = ui.painter();
    // Thick at both ends outside the blank, as a section line is drawn.
    for (width, colour) in [(4.5, p.halo), (2.0, p.grip_chosen)] {
        let mark = Stroke::new(width, colour);
        painter.line_segment([at(low), at(low + 0.7 * out)], mark);
        painter.line_segment([at(high), at(high - 0.7 * out)], mark);
    }
    if session.pinned_mm.is_none() {
        return;
    }
    let thin = Stroke::new(1.0, p.grip_chosen);
    painter.extend(egui::Shape::dashed_line(&[at(low), at(high)], thin, 10.0, 4.0));
    let grip = handles::spot(ui, Id::unique("section line"), at(high), 12.0, "Section line", true);
    if let Some(pos) = grip.interact_pointer_pos().filter(|_| grip.dragged()) {
        session.pinned_mm = Some(sight.knife_from_ui(pos).x);
    }
    if grip.has_focus()
        && let Some(by) = crate::canvas::nudge_by(ui, step_mm(read.knife.unit))
    {
        session.pinned_mm = Some(section.x_mm + by.x);
    }
    handles::paint(ui, at(high), handles::Look::Grip, &grip, grip.dragged(), p);
}

/// The panel.
pub(crate) fn panel(
    ui: &mut Ui,
    rect: Rect,
    read: &Read<'_>,
    session: &Session,
    out: &mut Commands,
) {
    let p = read.palette;
    ui.interact(rect, ui.make_persistent_id("section panel"), Sense::click_and_drag());
    let corner = CornerRadius { sw: 10, ..CornerRadius::ZERO };
    ui.painter().rect(rect, corner, p.rule, Stroke::new(1.0, p.hair), egui::StrokeKind::Inside);
    let inner = rect.shrink2(vec2(12.0, 8.0));
    let mut inside = ui.new_child(UiBuilder::new().max_rect(inner));
    inside.set_clip_rect(rect.intersect(ui.clip_rect()));
    head(&mut inside, read, session, out);
    let below = inside.cursor().min.y + 2.0;
    let picture =
        Rect::from_min_max(pos2(inner.min.x, below), inner.max).with_max_x(inner.min.x + PICTURE);
    let told = told(read.derived.section.as_ref(), read.knife.unit);
    let response = inside.interact(picture, Id::unique("section picture"), Sense::hover());
    let sentence = sentence(&told, read);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &sentence));
    draw(&inside, picture, read);
    let column = Rect::from_min_max(pos2(picture.max.x + 12.0, below), inner.max);
    let mut column = inside.new_child(UiBuilder::new().max_rect(column));
    column.spacing_mut().item_spacing.y = 0.0;
    column.spacing_mut().interact_size.y = 16.0;
    for figure in &told {
        row(&mut column, &figure.name, &figure.value, 13.0, p).on_hover_text(figure.about);
    }
    if told.is_empty() {
        column.label(RichText::new("No steel here.").color(p.weak));
    }
}

/// Its name, where it is, and the pin.
fn head(ui: &mut Ui, read: &Read<'_>, session: &Session, out: &mut Commands) {
    let p = read.palette;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.label(RichText::new("Section").font(bold(14.5)));
        if let Some(x_mm) = read.derived.section_mm() {
            let at = format!("at {}", short(read.origin.to_local_x(x_mm), read.knife.unit));
            ui.label(RichText::new(at).font(figures(13.0)).color(p.weak));
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let Some(row) = row_of(Command::PinSection) else { return };
            let pinned = session.pinned_mm.is_some();
            let word = if pinned { "Unpin" } else { "Pin" };
            let button = ui.add(Button::new(RichText::new(word).size(13.0)).small());
            button.widget_info(|| WidgetInfo::selected(Role::Button, true, pinned, row.label));
            if button.on_hover_text(format!("{}.  (P)", row.tooltip)).clicked() {
                out.run(Command::PinSection);
            }
        });
    });
}

/// One figure of a section.
struct Told {
    name: Cow<'static, str>,
    value: String,
    about: &'static str,
}

/// The figures of a section.
fn told(section: Option<&Section>, unit: LengthUnit) -> Vec<Told> {
    let Some(section) = section else { return Vec::new() };
    let told = |name: &'static str, mm: f64, about| Told {
        name: name.into(),
        value: short(mm, unit),
        about,
    };
    let about = "From the lowest to the highest steel here.";
    let mut all = vec![told("height", section.height_mm, about)];
    if section.bevel.is_none() {
        let about = "Of the steel, where it is thickest.";
        all.push(told("thickness", section.thickness_mm, about));
    }
    if let Some(bevel) = &section.bevel {
        all.push(if bevel.grind_y_mm.is_some() {
            let about = "Thickness where the bevel meets the flat: the stock's own.";
            told("grind line", bevel.top_mm, about)
        } else {
            let about = "The blade is lower here than the grind: the bevel runs out on the spine.";
            told("on the spine", bevel.top_mm, about)
        });
        let about = "What is left at the edge before hardening.";
        all.push(told("edge", bevel.edge_mm, about));
        all.push(Told {
            name: "angle per side".into(),
            value: units::show_angle(bevel.angle_deg, 2),
            about: "Between one face of the bevel and the knife's middle plane.",
        });
        let about = "From the edge up to the grind line, or to the spine where it is lower.";
        all.push(told("face", bevel.face_mm, about));
        all.extend(bevel.behind.iter().map(|behind| Told {
            name: format!("{} behind", brief(behind.up_mm, unit)).into(),
            value: short(behind.thickness_mm, unit),
            about: "Thickness of the blade so far behind the edge.",
        }));
    }
    if let Some(scale) = &section.scale {
        let name = match scale.part {
            PiecePart::FrontBolster => "one front bolster",
            PiecePart::Scale => "one scale",
            PiecePart::RearBolster => "one rear bolster",
        };
        all.push(told(name, scale.thickness_mm, "One of the handle's two sides, here."));
        if scale.liner_mm > 0.0 {
            all.push(told("liner", scale.liner_mm, "One of the sheets under the scales."));
        }
        if let Some(corner) = scale.corner {
            let (over, down) = corner.reach_mm();
            all.push(told("corner, face", over, "From the edge over the scale's face."));
            all.push(told("corner, side", down, "From the face down the scale's side."));
        }
        let about = "Steel, glue, liners and both scales.";
        all.push(told("with scales", section.overall_mm(), about));
    }
    all
}

/// How far behind the edge: round in millimetres.
fn brief(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => units::show_mm(mm, 0),
        LengthUnit::Inch => units::show_inch(mm, 2),
    }
}

/// All of it in one sentence, for those who hear it.
fn sentence(told: &[Told], read: &Read<'_>) -> String {
    let at = read.derived.section_mm().map_or_else(String::new, |x_mm| {
        let told = units::show_length(read.origin.to_local_x(x_mm), read.knife.unit);
        format!(" at {told} {}", read.origin.from_phrase())
    });
    let all: Vec<String> = told.iter().map(|one| format!("{} {}", one.name, one.value)).collect();
    format!(
        "Cross-section{at}: {}",
        if all.is_empty() { "no steel".into() } else { all.join(", ") }
    )
}

/// The picture, as near as it goes.
fn draw(ui: &Ui, rect: Rect, read: &Read<'_>) {
    let Some(section) = &read.derived.section else { return };
    let Some(bounds) = read.derived.section_drawing.bounds() else { return };
    let across = f64::from(rect.width()) / (section.overall_mm() + 3.0);
    let up = f64::from(rect.height()) / bounds.height();
    let fits = |zoom: &&f64| **zoom <= across.min(up);
    let points_per_mm = ZOOMS.iter().rev().find(fits).copied().unwrap_or(across.min(up));
    let centre = Point::new(0.0, bounds.center().y);
    let view = View { rect, camera: Camera { centre, points_per_mm } };
    let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
    cut_faces(&painter, &view, &read.derived.section_drawing, read.palette);
}

/// The section on a card: where it is, typed, and its figures.
pub(crate) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session) {
    let Some(x_mm) = read.derived.section_mm() else { return };
    let (p, unit) = (read.palette, read.knife.unit);
    heading(ui, "Cross-section", p);
    let about = "The knife cut through square to its length. It follows the pointer; a place \
                 typed here pins it.";
    if let Some(mm) = place_along(ui, read, session, ("Section at", about), x_mm) {
        session.pinned_mm = Some(mm);
    }
    // The panel on the canvas tells them already, where there is room for it.
    if read.settings.section && session.canvas.and_then(place).is_some() {
        return;
    }
    column(ui, |ui| {
        for figure in &told(read.derived.section.as_ref(), unit) {
            let name = crate::notices::sentence_start(&figure.name);
            row(ui, &name, &figure.value, 15.5, p).on_hover_text(figure.about);
        }
    });
}
