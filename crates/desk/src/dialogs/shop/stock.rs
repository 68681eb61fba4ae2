//! The shop's page for pin stock and bars.

use super::{add, length_beside, remove, retain};
use crate::widgets::{Field, Form, in_range, unless_empty};
use knife::limits::DIAMETER_MM;
use reckon::Shop;
use reckon::shop::file::PRICE_PER_M;
use reckon::shop::{BarOnHand, PinOnHand};
use reckon::tables::Tables;
use units::LengthUnit;

pub(super) fn page(form: &mut Form<'_>, shop: &mut Shop) {
    pins(form, shop);
    bars(form, shop);
}

fn pins(form: &mut Form<'_>, shop: &mut Shop) {
    form.heading("Pin stock");
    if shop.pins.is_empty() {
        form.note("Nothing listed: every usual size is taken to be on hand.");
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

/// What a length of a bar costs.
fn price(form: &mut Form<'_>, number: usize, bar: &mut BarOnHand) {
    let (per, length_m) = match form.context.unit() {
        LengthUnit::Inch => ("foot", 0.3048),
        LengthUnit::Millimetre => ("metre", 1.0),
    };
    let label = format!("Price of bar {number} per {per}");
    let caption =
        (label.as_str(), "In your own currency; the bar planner works out what the steel costs.");
    let shown = bar.price_per_m.map(|price| units::show_number(price * length_m, 2));
    let field = Field::new(caption, shown.unwrap_or_default());
    let typed = form.field(field, |text| unless_empty(text, read_price));
    if let Some(price) = typed.value {
        bar.price_per_m = price.map(|price| price / length_m);
    }
}

fn read_price(text: &str) -> Result<f64, String> {
    let price: Option<f64> = text.trim().replace(',', ".").parse().ok();
    let price = price.ok_or("type a number such as 4.50")?;
    in_range(price, &PRICE_PER_M, |price| units::show_number(price, 2))
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
        price(form, number, bar);
        row.inner
    });
    let tooltip = "Adds a bar of this blank's grade and size.";
    if form.button(("Add this blank's bar", tooltip)) {
        let bar = &context.knife.bar;
        let new = BarOnHand {
            grade: bar.grade.clone(),
            width_mm: bar.width_mm,
            thickness_mm: bar.thickness_mm,
            length_mm: bar.length_mm,
            count: 1,
            price_per_m: None,
        };
        let same = |known: &&mut BarOnHand| {
            BarOnHand { count: 1, price_per_m: None, ..(**known).clone() } == new
        };
        match shop.bars.iter_mut().find(same) {
            Some(known) => known.count = known.count.saturating_add(1).min(10_000),
            None => shop.bars.push(new),
        }
    }
}
