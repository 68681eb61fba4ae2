//! The shop card's page for forge, quench tank and oven.

use super::Card;
use crate::stations::{heading, quiet, ticked};
use egui::Ui;
use reckon::shop::Chamber;

/// Inside sizes, mm.
const RANGE: std::ops::RangeInclusive<f64> = 5.0..=5000.0;

pub(super) fn page(ui: &mut Ui, card: &mut Card<'_>) {
    let about = "Inside sizes, so that a blade too long for them is told. Hot oil and open fire \
                 want open air, room and a way to put them out that isn't water.";
    quiet(ui, about, card.palette());
    let forge = one(ui, card, "Forge", card.shop.forge);
    let tank = one(ui, card, "Quench tank, up to the oil", card.shop.quench_tank);
    let oven = one(ui, card, "Oven", card.shop.oven);
    (card.shop.forge, card.shop.quench_tank, card.shop.oven) = (forge, tank, oven);
}

fn one(ui: &mut Ui, card: &mut Card<'_>, what: &str, now: Option<Chamber>) -> Option<Chamber> {
    heading(ui, what, card.palette());
    let word = what.split([' ', ',']).next().unwrap_or(what);
    let mut chamber = now;
    ui.horizontal(|ui| {
        ticked(ui, card.palette());
        let new_box = Chamber::Box { width_mm: 200.0, height_mm: 150.0, length_mm: 300.0 };
        let new_tube = Chamber::Round { diameter_mm: 60.0, length_mm: 250.0 };
        let is_box = matches!(now, Some(Chamber::Box { .. }));
        let is_round = matches!(now, Some(Chamber::Round { .. }));
        if choice(ui, now.is_none(), &format!("{word} not known"), "Not known") {
            chamber = None;
        }
        if choice(ui, is_box, &format!("{word} is a box"), "A box") && !is_box {
            chamber = Some(new_box);
        }
        if choice(ui, is_round, &format!("{word} is a tube"), "A tube") && !is_round {
            chamber = Some(new_tube);
        }
    });
    let mut size = |name: &str, mm: &mut f64| {
        let name = format!("{word} {name}");
        if let Some(typed) = card.length(ui, (&name, "Inside."), *mm, &RANGE) {
            *mm = typed;
        }
    };
    match &mut chamber {
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
    chamber
}

/// A choice among a few, with a name that tells it from the same choice elsewhere.
fn choice(ui: &mut Ui, is: bool, name: &str, words: &str) -> bool {
    let response = ui.radio(is, words);
    response.widget_info(|| egui::WidgetInfo::selected(egui::Role::RadioButton, true, is, name));
    response.clicked()
}
