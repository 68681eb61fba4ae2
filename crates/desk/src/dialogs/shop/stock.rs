//! The shop's page for pin stock and bars.

use super::{add, length_beside, remove, retain};
use crate::widgets::Form;
use knife::limits::DIAMETER_MM;
use reckon::Shop;
use reckon::shop::{BarOnHand, PinOnHand};
use reckon::tables::Tables;

pub(super) fn page(form: &mut Form<'_>, shop: &mut Shop) {
    pins(form, shop);
    bars(form, shop);
}

fn pins(form: &mut Form<'_>, shop: &mut Shop) {
    form.heading("Pin stock");
    if shop.pins.is_empty() {
        form.note("Nothing told: every usual size is taken to be at hand.");
    }
    retain(&mut shop.pins, |number, pin| {
        let size = form.context.full_length(pin.diameter_mm);
        let label = format!("Pin {number} of {}", pin.material);
        let caption = (label.as_str(), "Its diameter as measured.");
        let mut stays = true;
        let typed = length_beside(form, caption, pin.diameter_mm, &DIAMETER_MM, |form| {
            stays = !remove(form.ui, &format!("{size} pin of {}", pin.material));
        });
        pin.diameter_mm = typed.unwrap_or(pin.diameter_mm);
        stays
    });
    let stock = Tables::built_in().pin_stock();
    let all: Vec<(String, PinOnHand)> = (stock.iter())
        .flat_map(|row| {
            row.materials.iter().map(|material| {
                let pin = PinOnHand { material: material.clone(), diameter_mm: row.diameter_mm };
                (format!("{} {material}", row.name), pin)
            })
        })
        .collect();
    let chosen = add(form.ui, "Add pin stock", all.iter().map(|(name, _)| name.clone()));
    shop.pins.extend(chosen.and_then(|i| all.get(i)).map(|(_, pin)| pin.clone()));
}

fn bars(form: &mut Form<'_>, shop: &mut Shop) {
    let context = form.context;
    form.heading("Bars");
    retain(&mut shop.bars, |number, bar| {
        let size = |mm| context.typed_length(mm);
        let (width, thickness) = (size(bar.width_mm), size(bar.thickness_mm));
        let length = size(bar.length_mm);
        let label = format!("{} of {}, {width} × {thickness} × {length}", bar.count, bar.grade);
        let row = form.ui.horizontal(|ui| {
            ui.label(&label);
            !remove(ui, &format!("bar {number}"))
        });
        row.inner
    });
    let tooltip = "One more bar of the grade and size that this blank is laid on.";
    if form.button(("Add this blank's bar", tooltip)) {
        let bar = &context.knife.bar;
        let new = BarOnHand {
            grade: bar.grade.clone(),
            width_mm: bar.width_mm,
            thickness_mm: bar.thickness_mm,
            length_mm: bar.length_mm,
            count: 1,
        };
        let same = |known: &&mut BarOnHand| BarOnHand { count: 1, ..(**known).clone() } == new;
        match shop.bars.iter_mut().find(same) {
            Some(known) => known.count = known.count.saturating_add(1).min(10_000),
            None => shop.bars.push(new),
        }
    }
}
