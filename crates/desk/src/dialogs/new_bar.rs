//! The bar for a drawing of one's own: typed, or one that the shop has.

use crate::action::Action;
use crate::stations::bar::pick_grade;
use crate::widgets::{Field, Form, modal, read_length, width_up_to};
use egui::{RichText, ScrollArea};
use knife::{Bar, Knife, Placement, limits};
use kurbo::Point;
use reckon::tables::{BarSide, Tables};
use std::ops::RangeInclusive;
use units::LengthUnit;

/// A bar to begin with: what a first blank is usually cut from, or the usual metric size nearest
/// to it. The knife's origin lies at its left end, on its centre line.
pub(crate) fn usual(unit: LengthUnit) -> Bar {
    let bar = Knife::empty().bar;
    let near = |side: BarSide, mm: f64| {
        let sizes = Tables::built_in().bar_sizes(side, unit).map(|size| size.size_mm);
        sizes.min_by(|a, b| (a - mm).abs().total_cmp(&(b - mm).abs())).unwrap_or(mm)
    };
    with_origin(Bar {
        width_mm: near(BarSide::Width, bar.width_mm),
        thickness_mm: near(BarSide::Thickness, bar.thickness_mm),
        length_mm: near(BarSide::Length, bar.length_mm),
        ..bar
    })
}

/// The bar with the knife's origin at its left end, on its centre line.
pub(super) fn with_origin(bar: Bar) -> Bar {
    let placement = Placement { at: Point::new(0.0, bar.width_mm / 2.0), turn_deg: 0.0 };
    Bar { placement, ..bar }
}

/// Asks for the bar; whether it stays open.
pub(super) fn ui(form: &mut Form<'_>, bar: &mut Bar) -> bool {
    let Form { ui, context, state, actions } = form;
    modal(ui, "new bar", width_up_to(ui, 400.0, 60.0), |ui| {
        ui.heading("Draw my own");
        let text = "Which bar of steel? You can change its size at any time at the Bar station.";
        ui.label(RichText::new(text).color(context.palette.weak));
        ui.add_space(4.0);
        let form = &mut Form { ui, context, state, actions };
        fields(form, bar);
        form.ui.add_space(8.0);
        let row = form.ui.horizontal(|ui| {
            let begin = ui.button("Begin drawing");
            // Enter begins, unless it belongs to a field.
            if ui.memory(|memory| memory.focused().is_none()) {
                begin.request_focus();
            }
            let begins = begin.clicked();
            if begins {
                form.actions.push(Action::DrawOnBar(Box::new(with_origin(bar.clone()))));
            }
            ui.button("Cancel").clicked() || begins
        });
        row.inner
    })
}

/// The bar, typed or from the shop.
pub(super) fn fields(form: &mut Form<'_>, bar: &mut Bar) {
    on_hand(form, bar);
    form.heading("The bar");
    if let Some(grade) = pick_grade(form, &bar.grade) {
        bar.grade = grade;
    }
    sizes(form, bar);
}

/// The shop's bars, each to be taken by one click.
fn on_hand(form: &mut Form<'_>, bar: &mut Bar) {
    let (bars, unit) = (&form.context.shop().bars, form.context.settings.unit);
    if bars.is_empty() {
        return form.note("Bars that the shop has on hand are offered here; add them in Shop.");
    }
    form.heading("On hand");
    let area = ScrollArea::vertical().max_height(110.0).auto_shrink([false, true]);
    area.show(form.ui, |ui| {
        for known in bars {
            let size = |mm| units::write_length(mm, unit);
            let (width, thickness) = (size(known.width_mm), size(known.thickness_mm));
            let length = size(known.length_mm);
            let label = format!("{}, {width} × {thickness} × {length}", known.grade);
            let is = (&bar.grade, bar.width_mm, bar.thickness_mm, bar.length_mm)
                == (&known.grade, known.width_mm, known.thickness_mm, known.length_mm);
            if ui.selectable_label(is, label).clicked() {
                bar.grade.clone_from(&known.grade);
                bar.width_mm = known.width_mm;
                bar.thickness_mm = known.thickness_mm;
                bar.length_mm = known.length_mm;
            }
        }
    });
}

fn sizes(form: &mut Form<'_>, bar: &mut Bar) {
    let unit = form.context.settings.unit;
    let (width, thickness) = (
        ("Width", "Across the bar, from edge to edge."),
        ("Thickness", "Of the bar as it is bought."),
    );
    let rows = [
        (width, &mut bar.width_mm, &limits::BAR_WIDTH_MM),
        (thickness, &mut bar.thickness_mm, &limits::BAR_THICKNESS_MM),
        (("Length", "Of the piece at hand."), &mut bar.length_mm, &limits::BAR_LENGTH_MM),
    ];
    for (caption, mm, range) in rows {
        let field = Field::new(caption, units::write_length(*mm, unit));
        if let Some(typed) = form.field(field, |text| in_range(text, unit, range)).value {
            *mm = typed;
        }
    }
}

fn in_range(text: &str, unit: LengthUnit, range: &RangeInclusive<f64>) -> Result<f64, String> {
    let mm = read_length(text, unit)?;
    if range.contains(&mm) {
        return Ok(mm);
    }
    let show = |mm: f64| units::write_length(mm, unit);
    let (min, max) = (show(*range.start()), show(*range.end()));
    Err(format!("{} is not possible; type a length from {min} to {max}", show(mm)))
}
