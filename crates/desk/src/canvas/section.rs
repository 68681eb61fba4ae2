//! The knife cut through at the pointer, or where it was pinned: a small picture and its figures.

use super::handles::{self, HandleShape};
use super::steel::cut_faces;
use crate::action::ActionQueue;
use crate::command::{Command, info_of};
use crate::context::{CanvasContext, ViewContext};
use crate::state::{Camera, SectionState, View};
use crate::theme::{HandleColors, bold, figures};
use crate::widgets::figure_row;
use egui::{
    Align, Button, CornerRadius, Id, Layout, Rect, RichText, Role, Sense, Stroke, StrokeKind, Ui,
    UiBuilder, WidgetInfo, pos2, vec2,
};
use kurbo::Point;
use marks::Pen;
use reckon::PiecePart;
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
pub(crate) fn in_the_way(ui: &Ui, panel: Rect, dragging: bool) -> bool {
    let pointer = ui.input(|input| input.pointer.latest_pos());
    dragging && pointer.is_some_and(|pos| panel.expand(NEAR).contains(pos))
}

/// Cuts the knife where the pointer is, unless the section is pinned.
pub(crate) fn follow(cx: &CanvasContext<'_>, state: &mut SectionState) {
    let Some(outline) = &cx.context.reckoning().outline else { return };
    let Some(pointer) = cx.pointer.position else { return };
    let x_mm = cx.knife_view.knife_from_plane(pointer).x;
    let bounds = outline.bounds();
    if (bounds.x0..=bounds.x1).contains(&x_mm) {
        state.hovered_mm = Some(x_mm);
    }
    if state.pinned_mm.is_none() && state.hovered_mm != cx.context.derived.section_mm() {
        cx.ui.ctx().request_repaint();
    }
}

/// The line along which the knife is cut; pinned, it can be dragged along.
pub(crate) fn line(cx: &CanvasContext<'_>, state: &mut SectionState) {
    let (ui, context, knife_view) = (cx.ui, cx.context, cx.knife_view);
    let p = context.palette;
    let Some(section) = &context.derived.section else { return };
    let (Some(first), Some(last)) = (section.steel.first(), section.steel.last()) else { return };
    let outside = knife_view.mm(9.0);
    let (low, high) = (first.span().0 - outside, last.span().1 + outside);
    let at = |y: f64| knife_view.ui_from_knife(Point::new(section.x_mm, y));
    let painter = ui.painter();
    // Thick at both ends outside the blank, as a section line is drawn.
    for (width, colour) in [(4.5, p.halo), (2.0, p.grip_chosen)] {
        let mark = Stroke::new(width, colour);
        painter.line_segment([at(low), at(low + 0.7 * outside)], mark);
        painter.line_segment([at(high), at(high - 0.7 * outside)], mark);
    }
    if state.pinned_mm.is_none() {
        return;
    }
    let thin = Stroke::new(1.0, p.grip_chosen);
    painter.extend(egui::Shape::dashed_line(&[at(low), at(high)], thin, 10.0, 4.0));
    let grip = handles::spot(ui, Id::unique("section line"), at(high), 12.0, "Section line", true);
    if let Some(pos) = grip.interact_pointer_pos().filter(|_| grip.dragged()) {
        state.pinned_mm = Some(knife_view.knife_from_ui(pos).x);
    }
    if grip.has_focus()
        && let Some(by) = cx.nudge()
    {
        state.pinned_mm = Some(section.x_mm + by.x);
    }
    handles::paint(ui, at(high), HandleShape::Grip, &grip, grip.dragged(), p);
}

/// The panel.
pub(crate) fn panel(
    ui: &mut Ui,
    rect: Rect,
    context: &ViewContext<'_>,
    state: &SectionState,
    actions: &mut ActionQueue,
) {
    let p = context.palette;
    ui.interact(rect, ui.make_persistent_id("section panel"), Sense::click_and_drag());
    let corner = CornerRadius { sw: 10, ..CornerRadius::ZERO };
    ui.painter().rect(rect, corner, p.rule, Stroke::new(1.0, p.hair), StrokeKind::Inside);
    let inner = rect.shrink2(vec2(12.0, 8.0));
    let mut inside = ui.new_child(UiBuilder::new().max_rect(inner));
    inside.set_clip_rect(rect.intersect(ui.clip_rect()));
    head(&mut inside, context, state, actions);
    let below = inside.cursor().min.y + 2.0;
    let picture =
        Rect::from_min_max(pos2(inner.min.x, below), inner.max).with_max_x(inner.min.x + PICTURE);
    let all = section_figures(context);
    let response = inside.interact(picture, Id::unique("section picture"), Sense::hover());
    let sentence = sentence(&all, context);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &sentence));
    draw(&inside, picture, context);
    let column = Rect::from_min_max(pos2(picture.max.x + 12.0, below), inner.max);
    let mut column = inside.new_child(UiBuilder::new().max_rect(column));
    column.spacing_mut().item_spacing.y = 0.0;
    column.spacing_mut().interact_size.y = 16.0;
    for figure in &all {
        figure_row(&mut column, &figure.name, &figure.value, 13.0, p).on_hover_text(figure.tooltip);
    }
    if all.is_empty() {
        column.label(RichText::new("No steel here.").color(p.weak));
    }
}

/// Its name, where it is, and the pin.
fn head(ui: &mut Ui, context: &ViewContext<'_>, state: &SectionState, actions: &mut ActionQueue) {
    let p = context.palette;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.label(RichText::new("Section").font(bold(14.5)));
        if let Some(x_mm) = context.derived.section_mm() {
            let at = format!("at {}", context.short(context.origin.to_local_x(x_mm)));
            ui.label(RichText::new(at).font(figures(13.0)).color(p.weak));
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let Some(info) = info_of(Command::PinSection) else { return };
            let pinned = state.pinned_mm.is_some();
            let word = if pinned { "Unpin" } else { "Pin" };
            let button = ui.add(Button::new(RichText::new(word).size(13.0)).small());
            button.widget_info(|| WidgetInfo::selected(Role::Button, true, pinned, info.label));
            if button.on_hover_text(format!("{}.  (P)", info.tooltip)).clicked() {
                actions.run(Command::PinSection);
            }
        });
    });
}

/// One figure of a section.
pub(crate) struct SectionFigure {
    pub(crate) name: Cow<'static, str>,
    pub(crate) value: String,
    pub(crate) tooltip: &'static str,
}

/// The figures of the section that is shown.
pub(crate) fn section_figures(context: &ViewContext<'_>) -> Vec<SectionFigure> {
    let Some(section) = &context.derived.section else { return Vec::new() };
    let length = |name: &'static str, mm: f64, tooltip| SectionFigure {
        name: name.into(),
        value: context.short(mm),
        tooltip,
    };
    let tooltip = "From the lowest to the highest steel here.";
    let mut all = vec![length("height", section.height_mm, tooltip)];
    if section.bevel.is_none() {
        let tooltip = "Of the steel, where it is thickest.";
        all.push(length("thickness", section.thickness_mm, tooltip));
    }
    if let Some(bevel) = &section.bevel {
        all.push(if bevel.grind_y_mm.is_some() {
            let tooltip = "Thickness where the bevel meets the flat: the stock's own.";
            length("grind line", bevel.top_mm, tooltip)
        } else {
            let tooltip =
                "The blade is narrower here than the grind: the bevel runs out on the spine.";
            length("on the spine", bevel.top_mm, tooltip)
        });
        let tooltip = "What is left at the edge before hardening.";
        all.push(length("edge", bevel.edge_mm, tooltip));
        all.push(SectionFigure {
            name: "angle per side".into(),
            value: units::show_angle(bevel.angle_deg, 2),
            tooltip: "Between one face of the bevel and the knife's middle plane.",
        });
        let tooltip = "From the edge up to the grind line, or to the spine where it is lower.";
        all.push(length("face", bevel.face_mm, tooltip));
        all.extend(bevel.behind.iter().map(|behind| SectionFigure {
            name: format!("{} behind", brief(behind.up_mm, context.unit())).into(),
            value: context.short(behind.thickness_mm),
            tooltip: "Thickness of the blade this far behind the edge.",
        }));
    }
    if let Some(scale) = &section.scale {
        let name = match scale.part {
            PiecePart::FrontBolster => "one front bolster",
            PiecePart::Scale => "one scale",
            PiecePart::RearBolster => "one rear bolster",
        };
        all.push(length(name, scale.thickness_mm, "One of the handle's two sides, here."));
        if scale.liner_mm > 0.0 {
            all.push(length("liner", scale.liner_mm, "One of the sheets under the scales."));
        }
        if let Some(corner) = scale.corner {
            let (over, down) = corner.reach_mm();
            all.push(length("corner, face", over, "From the edge over the scale's face."));
            all.push(length("corner, side", down, "From the face down the scale's side."));
        }
        let tooltip = "Steel, glue, liners and both scales.";
        all.push(length("with scales", section.overall_mm(), tooltip));
    }
    all
}

/// How far behind the edge: round in the knife's unit.
fn brief(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => units::show_mm(mm, 0),
        LengthUnit::Inch => format!("{} in", units::InchFraction::nearest(mm, 32).text()),
    }
}

/// All of it in one sentence, for those who hear it.
fn sentence(all: &[SectionFigure], context: &ViewContext<'_>) -> String {
    let at = context.derived.section_mm().map_or_else(String::new, |x_mm| {
        format!(
            " at {} {}",
            context.full_length(context.origin.to_local_x(x_mm)),
            context.origin.from_phrase()
        )
    });
    let all: Vec<String> = all.iter().map(|one| format!("{} {}", one.name, one.value)).collect();
    format!(
        "Cross-section{at}: {}",
        if all.is_empty() { "no steel".into() } else { all.join(", ") }
    )
}

/// The picture, as near as it goes.
fn draw(ui: &Ui, rect: Rect, context: &ViewContext<'_>) {
    let Some(section) = &context.derived.section else { return };
    let Some(bounds) = context.derived.section_drawing.bounds() else { return };
    let across = f64::from(rect.width()) / (section.overall_mm() + 3.0);
    let up = f64::from(rect.height()) / bounds.height();
    let fits = |zoom: &&f64| **zoom <= across.min(up);
    let points_per_mm = ZOOMS.iter().rev().find(fits).copied().unwrap_or(across.min(up));
    let centre = Point::new(0.0, bounds.center().y);
    let view = View { rect, camera: Camera { centre, points_per_mm } };
    let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
    let colors = HandleColors::of(&context.knife.handle, context.palette);
    let part = section.scale.as_ref().map_or(PiecePart::Scale, |scale| scale.part);
    let drawing = &context.derived.section_drawing;
    cut_faces(&painter, &view, drawing, context.palette, |item| {
        if item.pen == Pen::Hole {
            return colors.pins;
        }
        let is_right = item.mark.bounds().center().x > 0.0;
        colors.of_piece(part, is_right)
    });
}
