//! Exporting: what kind of file, and how.

use crate::action::{Action, ActionQueue};
use crate::context::ViewContext;
use crate::state::{ExportState, FormState};
use crate::widgets::{Field, Form, modal, read_length, width_up_to};
use egui::{Button, RichText, Ui};
use exchange::cut::CutHoles;
use exchange::export::ExportFormat;
use exchange::solid::{MockUp, PRINTED_NOTE};
use units::LengthUnit;

/// How far a solid's surface may stray, mm: as the mesh takes it.
const CHORD_MM: std::ops::RangeInclusive<f64> = 0.005..=1.0;

/// Shows it; whether it stays open.
pub(super) fn ui(
    ui: &Ui,
    context: &ViewContext<'_>,
    state: &mut ExportState,
    fields: &mut FormState,
    actions: &mut ActionQueue,
) -> bool {
    modal(ui, "export", width_up_to(ui, 520.0, 60.0), |ui| {
        let form = &mut Form { ui, context, state: fields, actions };
        form.ui.heading("Export");
        formats(form, state);
        form.ui.separator();
        match state.format {
            ExportFormat::ThreeMf | ExportFormat::Stl => solid(form, state),
            ExportFormat::Dxf => cut(form, state),
            ExportFormat::Svg => form.note(
                "Outline and holes at true size, as they lie on the bar, for shops that ask for \
                 an SVG.",
            ),
        }
        if context.reckoning().stops() > 0 {
            let text = "A problem says stop: look at it before steel is cut from this file.";
            form.ui.label(RichText::new(text).color(context.palette.stop));
        }
        form.ui.add_space(6.0);
        let ready = context.reckoning().outline.is_some();
        let row = form.ui.horizontal(|ui| {
            let export = ui.add_enabled(ready, Button::new("Choose the file…")).clicked();
            if export {
                form.actions.push(Action::AskExport(state.format));
            }
            ui.button("Cancel").clicked() || export
        });
        row.inner
    })
}

fn formats(form: &mut Form<'_>, state: &mut ExportState) {
    let context = form.context;
    let ui = &mut *form.ui;
    Form::outline_ticks(ui, context);
    for (format, label) in [
        (ExportFormat::ThreeMf, "3MF: the solid, its parts with names, materials and colours"),
        (ExportFormat::Stl, "STL: the solid, shapes alone"),
        (ExportFormat::Dxf, "DXF: outline and holes for a cutting shop"),
        (ExportFormat::Svg, "SVG: outline and holes"),
    ] {
        ui.radio_value(&mut state.format, format, label);
    }
}

fn solid(form: &mut Form<'_>, state: &mut ExportState) {
    let context = form.context;
    let ui = &mut *form.ui;
    for (mock_up, label) in [
        (None, "The knife's parts"),
        (Some(MockUp::OnePiece), "Mock-up in one piece"),
        (Some(MockUp::Halves), "Mock-up in halves that print flat, with holes for pins"),
    ] {
        ui.radio_value(&mut state.mock_up, mock_up, label);
    }
    if state.format == ExportFormat::Stl {
        let tooltip = "The part's name is put before the ending. On the command line: --each.";
        form.tick(&mut state.each, ("A file for each part", tooltip));
    }
    let tooltip = "How far the surface may lie from the exact shape: 0.05 mm is finer than a \
                   printer's layer. On the command line: --tolerance.";
    let field = Field::new(("Tolerance", tooltip), context.typed_length(state.chord_mm));
    let typed = form.field(field, |text| {
        let mm = read_length(text, context.unit())?;
        if CHORD_MM.contains(&mm) {
            return Ok(mm);
        }
        Err("It must lie between 0.005 and 1 mm".to_owned())
    });
    if let Some(mm) = typed.value {
        state.chord_mm = mm;
    }
    form.note(PRINTED_NOTE);
}

fn cut(form: &mut Form<'_>, state: &mut ExportState) {
    let unit = state.unit.unwrap_or(form.context.unit());
    let units = [(LengthUnit::Millimetre, "millimetres"), (LengthUnit::Inch, "inches")];
    let tooltip = "The unit of the file's numbers. On the command line: --units.";
    if let Some(unit) = form.choice(("Units", tooltip), &units, unit).value {
        state.unit = Some(unit);
    }
    let holes =
        [(CutHoles::All, "all"), (CutHoles::Relief, "relief holes"), (CutHoles::None, "none")];
    let tooltip = "Holes left out are drilled later: a hole cut by a jet is tapered and rough \
                   (common practice, no source). On the command line: --holes.";
    if let Some(holes) = form.choice(("Holes cut along", tooltip), &holes, state.holes).value {
        state.holes = holes;
    }
    form.note(
        "Closed outlines of lines and arcs, holes as circles, checked before they are written. \
         The cut lies outside the outline and inside the holes: the shop takes off its kerf and \
         adds its leads.",
    );
}
