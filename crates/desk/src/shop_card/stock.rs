//! The shop card's page for pin stock and bars.

use super::{Card, add, beside, remove};
use crate::stations::{heading, quiet};
use egui::Ui;
use knife::limits;
use reckon::shop::{BarOnHand, PinOnHand};
use reckon::tables::Tables;

pub(super) fn page(ui: &mut Ui, card: &mut Card<'_>) {
    pins(ui, card);
    bars(ui, card);
}

fn pins(ui: &mut Ui, card: &mut Card<'_>) {
    heading(ui, "Pin stock", card.palette());
    if card.shop.pins.is_empty() {
        quiet(ui, "Nothing told: every usual size is taken to be at hand.", card.palette());
    }
    let mut gone = None;
    for i in 0..card.shop.pins.len() {
        let pin = card.shop.pins[i].clone();
        let size = units::show_length(pin.diameter_mm, card.unit());
        let name = format!("Pin {} of {}", i + 1, pin.material);
        let about = "Its diameter as measured.";
        let range = &limits::DIAMETER_MM;
        let more = |ui: &mut Ui| {
            if remove(ui, &format!("{size} pin of {}", pin.material)) {
                gone = Some(i);
            }
        };
        let field = |ui: &mut Ui| card.length(ui, (&name, about), pin.diameter_mm, range);
        if let Some(mm) = beside(ui, field, more) {
            card.shop.pins[i].diameter_mm = mm;
        }
    }
    if let Some(i) = gone {
        card.shop.pins.remove(i);
    }
    let stock = Tables::built_in().pin_stock();
    let all: Vec<(String, PinOnHand)> = (stock.iter())
        .flat_map(|row| {
            row.materials.iter().map(|material| {
                let pin = PinOnHand { material: material.clone(), diameter_mm: row.diameter_mm };
                (format!("{} {material}", row.name), pin)
            })
        })
        .collect();
    let chosen = add(ui, "Add pin stock", all.iter().map(|(name, _)| name.clone()));
    card.shop.pins.extend(chosen.and_then(|i| all.get(i)).map(|(_, pin)| pin.clone()));
}

fn bars(ui: &mut Ui, card: &mut Card<'_>) {
    heading(ui, "Bars", card.palette());
    let unit = card.unit();
    let mut gone = None;
    for (i, bar) in card.shop.bars.iter().enumerate() {
        let size = |mm| units::write_length(mm, unit);
        let (width, thickness) = (size(bar.width_mm), size(bar.thickness_mm));
        let length = size(bar.length_mm);
        let words = format!("{} of {}, {width} × {thickness} × {length}", bar.count, bar.grade);
        ui.horizontal(|ui| {
            ui.label(&words);
            if remove(ui, &format!("bar {}", i + 1)) {
                gone = Some(i);
            }
        });
    }
    if let Some(i) = gone {
        card.shop.bars.remove(i);
    }
    let about = "One more bar of the grade and size that this blank is laid on.";
    if ui.button("Add this blank's bar").on_hover_text(about).clicked() {
        let bar = &card.read.knife.bar;
        let new = BarOnHand {
            grade: bar.grade.clone(),
            width_mm: bar.width_mm,
            thickness_mm: bar.thickness_mm,
            length_mm: bar.length_mm,
            count: 1,
        };
        let same = |known: &&mut BarOnHand| BarOnHand { count: 1, ..(**known).clone() } == new;
        match card.shop.bars.iter_mut().find(same) {
            Some(known) => known.count = known.count.saturating_add(1).min(10_000),
            None => card.shop.bars.push(new),
        }
    }
}
