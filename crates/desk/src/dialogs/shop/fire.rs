//! The shop's page for forge, quench tank and oven.

use super::length;
use crate::widgets::Form;
use egui::{Role, Ui, WidgetInfo};
use reckon::Shop;
use reckon::shop::Chamber;
use std::ops::RangeInclusive;

/// Inside sizes, mm.
const RANGE: RangeInclusive<f64> = 5.0..=5000.0;

pub(super) fn page(form: &mut Form<'_>, shop: &mut Shop) {
    form.note(
        "Inside sizes: a blade that is too long for them is reported. Hot oil and open fire need \
         open air, room and a way to put them out that isn't water.",
    );
    chamber(form, "Forge", &mut shop.forge);
    chamber(form, "Quench tank, up to the oil", &mut shop.quench_tank);
    chamber(form, "Oven", &mut shop.oven);
}

fn chamber(form: &mut Form<'_>, what: &str, chamber: &mut Option<Chamber>) {
    form.heading(what);
    let word = what.split([' ', ',']).next().unwrap_or(what);
    let (context, now) = (form.context, *chamber);
    form.ui.horizontal(|ui| {
        Form::outline_ticks(ui, context);
        let is_box = matches!(now, Some(Chamber::Box { .. }));
        let is_round = matches!(now, Some(Chamber::Round { .. }));
        if choice(ui, now.is_none(), &format!("{word} not known"), "Not known") {
            *chamber = None;
        }
        if choice(ui, is_box, &format!("{word} is a box"), "A box") && !is_box {
            *chamber = Some(Chamber::Box { width_mm: 200.0, height_mm: 150.0, length_mm: 300.0 });
        }
        if choice(ui, is_round, &format!("{word} is a tube"), "A tube") && !is_round {
            *chamber = Some(Chamber::Round { diameter_mm: 60.0, length_mm: 250.0 });
        }
    });
    let mut size = |name: &str, mm: &mut f64| {
        let label = format!("{word} {name}");
        if let Some(typed) = length(form, (&label, "Inside."), *mm, &RANGE) {
            *mm = typed;
        }
    };
    match chamber {
        None => {}
        Some(Chamber::Box { width_mm, height_mm, length_mm }) => {
            size("width", width_mm);
            size("height", height_mm);
            size("length", length_mm);
        }
        Some(Chamber::Round { diameter_mm, length_mm }) => {
            size("diameter", diameter_mm);
            size("length", length_mm);
        }
    }
}

/// A choice among a few, with a name that tells it from the same choice elsewhere.
fn choice(ui: &mut Ui, is: bool, name: &str, label: &str) -> bool {
    let response = ui.radio(is, label);
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, is, name));
    response.clicked()
}
