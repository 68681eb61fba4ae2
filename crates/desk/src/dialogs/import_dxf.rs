//! Importing an outline from DXF: what was found in it, its unit and the gap that is closed.

use crate::action::{Action, ActionQueue};
use crate::context::ViewContext;
use crate::state::{DxfImport, FormState};
use crate::text::sentence;
use crate::widgets::{Field, Form, modal, read_length, width_up_to};
use egui::{Button, Pos2, RichText, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};
use exchange::dxf_import::DxfOutline;
use knife::Knife;
use kurbo::{BezPath, PathEl, Point, Shape as _};
use units::LengthUnit;

/// More sentences than this of what was left out are only counted.
const TOLD: usize = 5;

/// Shows it; whether it stays open.
pub(super) fn ui(
    ui: &Ui,
    context: &ViewContext<'_>,
    import: &mut DxfImport,
    fields: &mut FormState,
    actions: &mut ActionQueue,
) -> bool {
    modal(ui, "import DXF", width_up_to(ui, 560.0, 60.0), |ui| {
        let form = &mut Form { ui, context, state: fields, actions };
        form.ui.heading("Import an outline from DXF");
        form.ui.label(RichText::new(&import.name).color(context.palette.weak));
        choices(form, import);
        form.ui.separator();
        match &import.found {
            _ if import.asks_unit && import.unit.is_none() => {}
            Err(why) => {
                let text = sentence(&why.to_string());
                form.ui.label(RichText::new(text).color(context.palette.stop));
            }
            Ok(found) => outcome(form, found),
        }
        form.ui.add_space(6.0);
        let row = form.ui.horizontal(|ui| {
            let found = import.found.as_ref().ok();
            let take = ui.add_enabled(found.is_some(), Button::new("Use this outline")).clicked();
            if let (true, Some(found)) = (take, found) {
                use_outline(form.actions, &import.name, found);
            }
            ui.button("Cancel").clicked() || take
        });
        row.inner
    })
}

/// The unit, where the drawing leaves it open, and the gap.
fn choices(form: &mut Form<'_>, import: &mut DxfImport) {
    let context = form.context;
    let mut changed = false;
    if import.asks_unit {
        form.ui.label("The drawing doesn't say which unit its numbers are in. Choose:");
        form.ui.horizontal(|ui| {
            Form::outline_ticks(ui, context);
            for (unit, label) in
                [(LengthUnit::Millimetre, "millimetres"), (LengthUnit::Inch, "inches")]
            {
                changed |= ui.radio_value(&mut import.unit, Some(unit), label).changed();
            }
        });
    }
    let tooltip = "Ends no farther apart than this are joined. On the command line: --gap.";
    let field = Field::new(("Gap to close", tooltip), context.typed_length(import.gap_mm));
    let typed = form.field(field, |text| read_length(text, context.unit()));
    if let Some(mm) = typed.value {
        import.gap_mm = mm;
        changed = true;
    }
    if changed {
        import.again();
    }
}

/// What was found: its picture, its size, what was left out.
fn outcome(form: &mut Form<'_>, found: &DxfOutline) {
    let context = form.context;
    let taken = &found.taken;
    let mut paths = vec![taken.outline.to_path()];
    paths.extend(taken.holes.iter().map(|hole| hole.to_path(0.01)));
    picture(form.ui, &paths, context);
    let size = taken.outline.bounds();
    let both = |mm: f64| format!("{} ({})", units::show_mm(mm, 2), units::show_inch(mm, 3));
    form.ui.label(format!(
        "{} long, {} wide, {} nodes, {}.",
        both(size.width()),
        both(size.height()),
        taken.outline.nodes().count(),
        match taken.holes.len() {
            1 => "1 hole".to_owned(),
            n => format!("{n} holes"),
        }
    ));
    let remarks = taken.warnings.iter().map(ToString::to_string);
    let all: Vec<String> = remarks.chain(found.left_out.iter().map(ToString::to_string)).collect();
    for remark in all.iter().take(TOLD) {
        form.note(&sentence(remark));
    }
    if all.len() > TOLD {
        form.note(&format!("And {} more to mind.", all.len() - TOLD));
    }
}

/// The outline and its holes in a strip.
fn picture(ui: &mut Ui, paths: &[BezPath], context: &ViewContext<'_>) {
    let room = vec2(ui.available_width(), 130.0);
    let (rect, response) = ui.allocate_exact_size(room, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "The outline found"));
    ui.painter().rect_filled(rect, 4.0, context.palette.field);
    let Some(bounds) = paths.first().map(kurbo::Shape::bounding_box) else { return };
    let inner = rect.shrink(10.0);
    let (wide, tall) = (f64::from(inner.width()), f64::from(inner.height()));
    let scale = (wide / bounds.width().max(1e-9)).min(tall / bounds.height().max(1e-9));
    let on_screen = |p: Point| -> Pos2 {
        let off = (p - bounds.center()) * scale;
        #[expect(clippy::cast_possible_truncation, reason = "screen points")]
        let (x, y) = (off.x as f32, off.y as f32);
        pos2(inner.center().x + x, inner.center().y - y)
    };
    for path in paths {
        let mut points = Vec::new();
        kurbo::flatten(path, 0.2 / scale, |el| {
            if let PathEl::MoveTo(p) | PathEl::LineTo(p) = el {
                points.push(on_screen(p));
            }
        });
        ui.painter().add(Shape::closed_line(points, Stroke::new(1.5, context.palette.text)));
    }
}

fn use_outline(actions: &mut ActionQueue, name: &str, found: &DxfOutline) {
    let knife = found.taken.clone().into_knife(name.to_owned(), Knife::empty().bar);
    let mut message = format!(
        "Imported an outline with {} nodes and {} holes",
        knife.profile.nodes.len(),
        knife.holes.len()
    );
    if let Some(left_out) = found.left_out.first() {
        message.push_str(&format!(". {}", sentence(&left_out.to_string())));
    }
    actions.push(Action::TakeOutline(Box::new(knife)));
    actions.push(Action::Toast(message));
}
