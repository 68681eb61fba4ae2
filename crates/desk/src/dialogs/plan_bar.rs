//! The bar planner: several knives on one bar, seen and dragged; what is left and what it costs.

use crate::action::{Action, ActionQueue};
use crate::canvas::paint;
use crate::context::ViewContext;
use crate::state::{BarPlan, Camera, FormState, MAX_PLANNED, Purpose, View};
use crate::theme::{Ink, Palette, figures};
use crate::widgets::{Field, Form, modal, read_length};
use egui::{Align2, CursorIcon, Id, Rect, RichText, Role, ScrollArea, Sense, Ui, WidgetInfo, vec2};
use knife::limits;
use kurbo::Affine;
use std::ops::RangeInclusive;

/// Room for the saw and along the edges, mm.
const ROOM_MM: RangeInclusive<f64> = 0.0..=25.0;

/// How wide the bar's fields are with their labels, points.
const FIELDS: f32 = 320.0;

/// Shows it; whether it stays open.
pub(super) fn ui(
    ui: &Ui,
    plan: &mut BarPlan,
    context: &ViewContext<'_>,
    state: &mut FormState,
    actions: &mut ActionQueue,
) -> bool {
    let window = ui.ctx().content_rect();
    let tall = window.height() - 130.0;
    modal(ui, "plan", window.width() - 80.0, |ui| {
        ui.heading("Plan a bar");
        let text = "Drag the blanks on the bar. Add and remove copies below; Lay out finds a \
                    close arrangement for you.";
        ui.label(RichText::new(text).color(context.palette.weak));
        picture(ui, plan, context.palette);
        let below = (tall - 220.0).max(80.0);
        let area = ScrollArea::vertical().max_height(below).min_scrolled_height(below);
        let area = area.auto_shrink([false, true]);
        area.show(ui, |ui| {
            summary(ui, plan, context);
            kinds(ui, plan, actions);
            let form = &mut Form { ui, context, state, actions };
            sizes(form, plan);
        });
        ui.add_space(6.0);
        ui.button("Close").clicked()
    })
}

/// The bar with its blanks, each of which can be dragged.
fn picture(ui: &mut Ui, plan: &mut BarPlan, p: &Palette) {
    let width = ui.available_width();
    let bounds = kurbo::Rect::new(0.0, 0.0, plan.bar.length_mm, plan.bar.width_mm);
    let scale = f64::from(width - 24.0) / bounds.width();
    #[expect(clippy::cast_possible_truncation, reason = "screen points")]
    let height = ((bounds.height() * scale) as f32 + 40.0).clamp(80.0, 200.0);
    let (rect, background) = ui.allocate_exact_size(vec2(width, height), Sense::click());
    background.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, "Bar"));
    let up = f64::from(height - 16.0) / bounds.height();
    let view =
        View { rect, camera: Camera { centre: bounds.center(), points_per_mm: scale.min(up) } };
    let painter = ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, 6.0, p.bench);
    painter.rect_filled(view.ui_rect(bounds), 1.0, p.steel_low);
    let clashes = plan.figures().clashes;
    let placed = plan.placed();
    for (i, outline) in placed.iter().enumerate() {
        let bad = clashes.iter().any(|clash| clash.blank == i || clash.other == Some(i));
        let path = outline.to_path();
        painter.extend(paint::filled(&view, &path, p.blank, p.blank));
        let colour = if bad {
            p.stop_on_steel
        } else if plan.selected == Some(i) {
            p.grip_chosen
        } else {
            p.scribed
        };
        paint::path_line(&painter, &view, &path, &Ink::solid(colour, if bad { 2.4 } else { 1.5 }));
        let at = view.ui_from_mm(outline.bounds().center());
        painter.text(at, Align2::CENTER_CENTER, (i + 1).to_string(), figures(13.0), p.scribed);
        let area = view.ui_rect(outline.bounds());
        let name = format!("{}, blank {}", plan.kinds[plan.blanks[i].kind].name, i + 1);
        drag(ui, plan, i, (area, name), &view);
    }
    if background.clicked() {
        let pos = background.interact_pointer_pos();
        plan.selected = pos.and_then(|pos| plan.at(view.mm_from_ui(pos)));
    }
}

/// A blank that is dragged along the bar and across it.
fn drag(ui: &Ui, plan: &mut BarPlan, at: usize, (area, name): (Rect, String), view: &View) {
    let id = Id::unique(("planned blank", at));
    let response = ui.interact(area, id, Sense::click_and_drag());
    let is = plan.selected == Some(at);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is, &name));
    if response.clicked() || response.drag_started() {
        plan.selected = Some(at);
    }
    if response.drag_started() {
        plan.dragged = Some((at, plan.blanks[at].bar_from_knife));
    }
    if let Some((_, began)) = plan.dragged.filter(|(which, _)| *which == at)
        && let Some(by) = response.total_drag_delta()
    {
        let by = view.mm_from_ui_vec(by);
        plan.blanks[at].bar_from_knife = Affine::translate(by) * began;
    }
    if response.drag_stopped() {
        plan.dragged = None;
    }
    let _ = response.on_hover_and_drag_cursor(CursorIcon::Grab);
}

/// What the plan comes to, in words.
fn summary(ui: &mut Ui, plan: &mut BarPlan, context: &ViewContext<'_>) {
    let found = plan.figures();
    let p = context.palette;
    let length = |mm: f64| context.length(mm);
    let count = plan.blanks.len();
    let mut parts = vec![
        if count == 1 { "1 blank".to_owned() } else { format!("{count} blanks") },
        format!(
            "takes {}, {} % of it used",
            length(found.used_mm),
            units::show_number(100.0 * found.used_share, 0)
        ),
        format!("offcut {}", length(found.offcut_mm)),
    ];
    parts.push(match found.cost {
        Some(cost) => format!("steel {}", units::show_number(cost, 2)),
        None => "no price in the shop".to_owned(),
    });
    ui.label(RichText::new(parts.join("  ·  ")).font(figures(14.5)));
    for clash in &found.clashes {
        let lacking = length(clash.lacking_mm);
        let one = clash.blank + 1;
        let text = match clash.other {
            Some(other) => {
                format!("Blanks {one} and {} are {lacking} too close to each other.", other + 1)
            }
            None => format!("Blank {one} is {lacking} too close to the bar's edge."),
        };
        ui.label(RichText::new(text).color(p.stop));
    }
    if let Some(why) = &plan.refusal {
        ui.label(RichText::new(why).color(p.care));
    }
}

/// The kinds of knives, their copies, and what can be done with the selected blank.
fn kinds(ui: &mut Ui, plan: &mut BarPlan, actions: &mut ActionQueue) {
    for kind in 0..plan.kinds.len() {
        ui.push_id(kind, |ui| {
            ui.horizontal(|ui| {
                let name = plan.kinds[kind].name.clone();
                let copies = plan.copies(kind);
                ui.label(format!("{copies} × {name}"));
                let room = plan.blanks.len() < MAX_PLANNED;
                let more = ui.add_enabled(room, egui::Button::new("One more"));
                if more.clicked() {
                    plan.add_copy(kind);
                }
                if ui.add_enabled(copies > 0, egui::Button::new("One less")).clicked() {
                    plan.remove_copy(kind);
                }
            });
        });
    }
    ui.horizontal_wrapped(|ui| {
        if ui.button("Add a knife…").clicked() {
            actions.push(Action::AskPath(Purpose::AddToBar));
        }
        if ui.button("Lay out").clicked() {
            actions.push(Action::LayOutBar);
        }
        let selected = plan.selected.filter(|at| *at < plan.blanks.len());
        ui.add_enabled_ui(selected.is_some(), |ui| {
            let Some(at) = selected else {
                let _ = (ui.button("Turn end for end"), ui.button("Turn over"));
                return;
            };
            if ui.button("Turn end for end").clicked() {
                plan.turn(at);
            }
            if ui.button("Turn over").clicked() {
                plan.flip(at);
            }
        });
    });
}

/// The bar's size, and the room that is left.
fn sizes(form: &mut Form<'_>, plan: &mut BarPlan) {
    form.heading("The bar");
    form.ui.set_max_width(FIELDS.min(form.ui.available_width()));
    let unit = form.context.unit();
    let bar = &mut plan.bar;
    let rows = [
        (("Bar length", "Of the piece at hand."), &mut bar.length_mm, &limits::BAR_LENGTH_MM),
        (("Bar width", "Across it, from edge to edge."), &mut bar.width_mm, &limits::BAR_WIDTH_MM),
        (("Saw cut", "Room between two blanks."), &mut bar.kerf_mm, &ROOM_MM),
        (("Clear edge", "Steel left along edges and ends."), &mut bar.margin_mm, &ROOM_MM),
    ];
    for (caption, mm, range) in rows {
        let field = Field::new(caption, units::write_length(*mm, unit));
        let typed = form.field(field, |text| {
            let mm = read_length(text, unit)?;
            crate::widgets::in_range(mm, range, |mm| units::write_length(mm, unit))
        });
        *mm = typed.value.unwrap_or(*mm);
    }
}
