//! The shop card's page for the limits, each with its source.

use super::{Card, in_range};
use crate::field::Field;
use crate::stations::quiet;
use egui::Ui;
use reckon::Limits;
use reckon::shop::{LIMITS, LimitRow, LimitUnit};

pub(super) fn page(ui: &mut Ui, card: &mut Card<'_>) {
    let about = "What findings measure against. Rest the pointer on a limit to see where it comes \
                 from.";
    quiet(ui, about, card.palette());
    let usual = Limits::default();
    for row in LIMITS {
        let now = (row.get)(&card.shop.limits);
        let source = format!("The usual value is {}.", row.source);
        let typed = match row.unit {
            LimitUnit::Length => card.length(ui, (row.label, &source), now, &row.range),
            _ => plain(ui, card, row, now, &source),
        };
        if let Some(value) = typed {
            *(row.slot)(&mut card.shop.limits) = value;
            card.shop.limits.keep_in_order(row.key);
        }
        let is_usual = now.to_bits() == (row.get)(&usual).to_bits();
        if !is_usual && ui.button("Usual value").on_hover_text(row.label).clicked() {
            *(row.slot)(&mut card.shop.limits) = (row.get)(&usual);
            card.shop.limits.keep_in_order(row.key);
        }
    }
}

/// A plain number, or a share as a percentage.
fn plain(ui: &mut Ui, card: &mut Card<'_>, row: &LimitRow, now: f64, source: &str) -> Option<f64> {
    let is_share = row.unit == LimitUnit::Share;
    let words = |value: f64| {
        let number = if is_share { 100.0 * value } else { value };
        let text = units::show_number(number, 3);
        let text = text.trim_end_matches('0').trim_end_matches('.');
        if is_share { format!("{text} %") } else { format!("{text} ×") }
    };
    let field = Field { name: row.label, about: source, value: words(now), width: 104.0 };
    card.drafts.field(ui, card.read.palette, field, |text| {
        let number = text.trim().trim_end_matches(['%', '×']).trim().replace(',', ".");
        let number: f64 =
            number.parse().map_err(|_not_a_number| format!("\"{text}\" isn't a number"))?;
        in_range(if is_share { number / 100.0 } else { number }, &row.range, words)
    })
}
