//! The cross-section on a card: where it is, typed, and its figures.

use crate::canvas::section::section_figures;
use crate::state::SectionState;
use crate::text::capitalized;
use crate::widgets::{Form, figure_column, figure_row};

pub(super) fn card(form: &mut Form<'_>, section: &mut SectionState) {
    let context = form.context;
    let Some(x_mm) = context.derived.section_mm() else { return };
    form.heading("Cross-section");
    let tooltip = "The knife cut through square to its length. It follows the pointer; a place \
                   typed here pins it.";
    if let Some(mm) = form.x(("Section at", tooltip), x_mm).value {
        section.pinned_mm = Some(mm);
    }
    // The panel on the canvas has them already, where there is room for it.
    if context.settings.section && section.panel_fits {
        return;
    }
    figure_column(form.ui, |ui| {
        for figure in &section_figures(context) {
            let name = capitalized(&figure.name);
            figure_row(ui, &name, &figure.value, 15.5, context.palette)
                .on_hover_text(figure.tooltip);
        }
    });
}
