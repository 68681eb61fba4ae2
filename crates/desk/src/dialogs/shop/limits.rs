//! The shop's page for the limits, each with its source.

use super::length;
use crate::text::trimmed;
use crate::widgets::{Field, Form, in_range};
use reckon::Limits;
use reckon::shop::{LIMITS, LimitRow, LimitUnit};

pub(super) fn page(form: &mut Form<'_>, limits: &mut Limits) {
    form.note(
        "What problems are judged by. Rest the pointer on a limit to see where it comes from.",
    );
    let usual = Limits::default();
    for row in LIMITS {
        let now = (row.get)(limits);
        let source = format!("The usual value is {}.", row.source);
        let mut changed = match row.unit {
            LimitUnit::Length => length(form, (row.label, &source), now, &row.range),
            _ => number(form, row, now, &source),
        };
        let is_usual = now.to_bits() == (row.get)(&usual).to_bits();
        if !is_usual && form.button(("Usual value", row.label)) {
            changed = Some((row.get)(&usual));
        }
        if let Some(value) = changed {
            *(row.slot)(limits) = value;
            limits.keep_in_order(row.key);
        }
    }
}

/// A plain number, or a share as a percentage.
fn number(form: &mut Form<'_>, row: &LimitRow, now: f64, source: &str) -> Option<f64> {
    let (factor, unit) = if row.unit == LimitUnit::Share { (100.0, "%") } else { (1.0, "×") };
    let show = |value: f64| format!("{} {unit}", trimmed(factor * value, 3));
    form.field(Field::new((row.label, source), show(now)), |text| {
        let number = text.trim().trim_end_matches(['%', '×']).trim().replace(',', ".");
        let number: f64 =
            number.parse().map_err(|_not_a_number| format!("\"{text}\" isn't a number"))?;
        in_range(number / factor, &row.range, show)
    })
    .value
}
