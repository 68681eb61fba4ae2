//! What can be chosen about a trace.

use super::wake;
use crate::state::{SquaringChoice, Tracing};
use crate::widgets::{Caption, Field, Form, in_range, read_length};
use egui::{DragValue, RichText, Slider, Ui};
use kurbo::Size;
use std::ops::RangeInclusive;
use trace::{LineSide, Subject};

/// Sheets that can be chosen by name, mm (ANSI/ASME Y14.1, ISO 216).
const SHEETS: [(&str, Size); 2] =
    [("Letter", Size::new(215.9, 279.4)), ("A4", Size::new(210.0, 297.0))];
/// The sheet that is offered when it is another, mm: a card of 4 × 6 inches.
const OTHER: Size = Size::new(101.6, 152.4);
/// What a sheet's side, the distance of two points and a thing's thickness may be, mm: as
/// `trace` takes them.
const SIDE_MM: RangeInclusive<f64> = 10.0..=3000.0;
const DISTANCE_MM: RangeInclusive<f64> = 1.0..=3000.0;
const THICKNESS_MM: RangeInclusive<f64> = 0.0..=50.0;

/// All of it; the picture is traced again when something was changed.
pub(super) fn ui(form: &mut Form<'_>, tracing: &mut Tracing) {
    let chosen = |t: &Tracing| (t.squaring, t.sheet, t.distance_mm, t.dpi, t.extract.clone());
    let before = chosen(tracing);
    form.ui.label(RichText::new("Square up by").strong());
    let context = form.context;
    form.ui.scope(|ui| {
        Form::outline_ticks(ui, context);
        for (choice, label) in [
            (SquaringChoice::Auto, "what is found"),
            (SquaringChoice::Mat, "the tracing mat"),
            (SquaringChoice::Sheet, "a sheet of paper"),
            (SquaringChoice::Points, "two points"),
            (SquaringChoice::Density, "the scan's density"),
        ] {
            ui.radio_value(&mut tracing.squaring, choice, label);
        }
    });
    squaring(form, tracing);
    form.ui.separator();
    subject(form, tracing);
    if before.0 != tracing.squaring {
        tracing.selected = None;
    }
    if before != chosen(tracing) {
        tracing.again(wake(form.ui));
    }
    form.ui.separator();
    fit(form.ui, tracing);
    let tooltip = "The picture lies under the blank then, to compare and to draw over.";
    form.tick(&mut tracing.keeps_picture, ("Keep the picture under its outline", tooltip));
}

/// What belongs to the way of squaring up that is chosen.
fn squaring(form: &mut Form<'_>, tracing: &mut Tracing) {
    match tracing.squaring {
        SquaringChoice::Sheet => {
            let named = SHEETS.iter().any(|(_, size)| *size == tracing.sheet);
            let context = form.context;
            form.ui.horizontal(|ui| {
                Form::outline_ticks(ui, context);
                for (name, size) in SHEETS {
                    ui.radio_value(&mut tracing.sheet, size, name);
                }
                if ui.radio(!named, "Other").clicked() && named {
                    tracing.sheet = OTHER;
                }
            });
            if !named {
                let sheet = &mut tracing.sheet;
                let width = length(form, ("Width", "Of the sheet."), sheet.width, SIDE_MM);
                let height = length(form, ("Height", "Of the sheet."), sheet.height, SIDE_MM);
                sheet.width = width.unwrap_or(sheet.width);
                sheet.height = height.unwrap_or(sheet.height);
            }
            form.note(
                "Drag the corners to those of the sheet; arrow keys move the last one by a tenth \
                 of a pixel.",
            );
        }
        SquaringChoice::Points => {
            let caption = ("Distance between them", "Between the two points, as you measured it.");
            let typed = length(form, caption, tracing.distance_mm, DISTANCE_MM);
            tracing.distance_mm = typed.or(tracing.distance_mm);
            form.note(
                "Only for a scan, or a picture taken square from above. Arrow keys move the last \
                 point by a tenth of a pixel.",
            );
        }
        SquaringChoice::Density => {
            form.ui.horizontal(|ui| {
                let label = ui.label("Dots per inch");
                let field = DragValue::new(&mut tracing.dpi).range(20.0..=10_000.0);
                ui.add(field).labelled_by(label.id);
            });
        }
        SquaringChoice::Auto | SquaringChoice::Mat => {}
    }
}

/// What is looked for.
fn subject(form: &mut Form<'_>, tracing: &mut Tracing) {
    let context = form.context;
    form.ui.label(RichText::new("Trace").strong());
    form.ui.scope(|ui| {
        Form::outline_ticks(ui, context);
        for (subject, label) in [
            (Subject::Auto, "whichever it looks like"),
            (Subject::Filled, "a filled shape"),
            (Subject::Line(LineSide::Centre), "a drawn line's centre"),
            (Subject::Line(LineSide::Outer), "its outer side"),
            (Subject::Line(LineSide::Inner), "its inner side"),
        ] {
            ui.radio_value(&mut tracing.extract.subject, subject, label);
        }
    });
    if tracing.extract.at.is_some() {
        if form.button(("Trace the largest shape", "Instead of the one that was clicked.")) {
            tracing.extract.at = None;
        }
    } else {
        form.note("Click another shape to trace that one.");
    }
    let caption = ("Thickness", "Of an object that lies on the mat or sheet; 0 for paper.");
    let extract = &mut tracing.extract;
    let typed = length(form, caption, extract.thickness_mm, THICKNESS_MM);
    extract.thickness_mm = typed.unwrap_or(extract.thickness_mm);
}

/// A field for a length that must lie within a range, mm; what was typed, once that is done.
fn length(
    form: &mut Form<'_>,
    caption: Caption<'_>,
    mm: impl Into<Option<f64>>,
    range: RangeInclusive<f64>,
) -> Option<f64> {
    let context = form.context;
    let value = mm.into().map(|mm| context.typed_length(mm)).unwrap_or_default();
    let parse = |text: &str| {
        let mm = read_length(text, context.unit())?;
        in_range(mm, &range, |mm| context.typed_length(mm))
    };
    form.field(Field::new(caption, value), parse).value
}

/// How the outline is laid: its effect is seen at once.
fn fit(ui: &mut Ui, tracing: &mut Tracing) {
    let fit = &mut tracing.fit;
    let label = ui.label("Tolerance, mm");
    let slider = Slider::new(&mut fit.tolerance_mm, 0.03..=1.0).logarithmic(true);
    let mut changed = ui.add(slider.fixed_decimals(2)).labelled_by(label.id).changed();
    let label = ui.label("Corners turn by more than");
    let slider = Slider::new(&mut fit.corner_deg, 10.0..=90.0).suffix("°").fixed_decimals(0);
    changed |= ui.add(slider).labelled_by(label.id).changed();
    if changed {
        tracing.refit();
    }
}
