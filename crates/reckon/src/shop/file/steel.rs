//! Steels of the maker's own in the shop file.

use crate::OwnSteel;
use crate::tables::Quench;
use knife::file::{Faults, Fields, Problem};
use knife::limits as knife_limits;
use serde_json::{Map, Value, json};
use std::ops::RangeInclusive;

/// Density of a steel, g/cm³.
const DENSITY: RangeInclusive<f64> = 5.0..=10.0;
/// Hardening heats, °C.
const HARDEN_C: RangeInclusive<f64> = 600.0..=1300.0;
/// Points of a tempering table.
const POINTS: RangeInclusive<usize> = 0..=100;

pub(super) fn read(value: &Value, place: &str, faults: &mut Faults) -> Option<OwnSteel> {
    let known =
        ["grade", "source", "density_g_cm3", "harden_c", "quench", "quenched_hrc", "temper"];
    let fields = Fields::open(value, place, &known, faults)?;
    let named = |key: &str, faults: &mut Faults| {
        let text = fields.text(key, knife_limits::REASON_CHARS, faults);
        if text.trim().is_empty() {
            faults.note(fields.at(key), Problem::Missing { expected: "a text in quotes" });
        }
        text
    };
    let grade = named("grade", faults);
    // A figure without its source is no figure.
    let source = named("source", faults);
    let density_g_cm3 = fields.optional_number("density_g_cm3", &DENSITY, faults);
    let harden_c = range(&fields, "harden_c", &HARDEN_C, faults);
    let quench = fields.optional_keyword("quench", Quench::LABELS, &Quench::ALL, faults);
    let quenched_hrc = range(&fields, "quenched_hrc", &knife_limits::HARDNESS_HRC, faults);
    let mut temper: Vec<(f64, f64, f64)> = Vec::new();
    for (i, value) in fields.list("temper", &POINTS, faults).iter().enumerate() {
        temper.extend(point(value, &format!("{place}.temper[{i}]"), faults));
    }
    (!grade.trim().is_empty() && !source.trim().is_empty()).then_some(OwnSteel {
        grade,
        density_g_cm3,
        harden_c,
        quench,
        quenched_hrc,
        temper,
        source,
    })
}

/// `[from, to]`, not falling.
fn range(
    fields: &Fields<'_>,
    key: &str,
    limits: &RangeInclusive<f64>,
    faults: &mut Faults,
) -> Option<(f64, f64)> {
    let value = fields.get(key)?;
    let ends: Option<Vec<f64>> =
        value.as_array().and_then(|list| list.iter().map(Value::as_f64).collect());
    match ends.as_deref() {
        Some([low, high]) if low <= high && limits.contains(low) && limits.contains(high) => {
            Some((*low, *high))
        }
        Some([low, high]) if low <= high => {
            let value = if limits.contains(low) { *high } else { *low };
            let (min, max) = (*limits.start(), *limits.end());
            faults.note(fields.at(key), Problem::OutOfRange { value, min, max });
            None
        }
        _ => {
            let found = value.to_string().chars().take(40).collect();
            let expected = "two numbers [from, to]";
            faults.note(fields.at(key), Problem::WrongKind { expected, found });
            None
        }
    }
}

fn point(value: &Value, place: &str, faults: &mut Faults) -> Option<(f64, f64, f64)> {
    let fields = Fields::open(value, place, &["temper_c", "hrc"], faults)?;
    let heat = fields.number("temper_c", &knife_limits::TEMPER_C, faults);
    let hrc = range(&fields, "hrc", &knife_limits::HARDNESS_HRC, faults);
    if fields.get("hrc").is_none() {
        faults.note(fields.at("hrc"), Problem::Missing { expected: "two numbers [from, to]" });
    }
    let (low, high) = hrc?;
    Some((heat?, low, high))
}

pub(super) fn write(steel: &OwnSteel) -> Value {
    let mut map = Map::new();
    map.insert("grade".into(), steel.grade.as_str().into());
    map.insert("source".into(), steel.source.as_str().into());
    if let Some(density) = steel.density_g_cm3 {
        map.insert("density_g_cm3".into(), density.into());
    }
    if let Some((low, high)) = steel.harden_c {
        map.insert("harden_c".into(), json!([low, high]));
    }
    if let Some(quench) = steel.quench {
        map.insert("quench".into(), quench.label().into());
    }
    if let Some((low, high)) = steel.quenched_hrc {
        map.insert("quenched_hrc".into(), json!([low, high]));
    }
    let points = steel.temper.iter();
    let points: Vec<Value> =
        points.map(|(heat, low, high)| json!({ "temper_c": heat, "hrc": [low, high] })).collect();
    map.insert("temper".into(), points.into());
    Value::Object(map)
}

#[cfg(test)]
mod tests {
    use super::super::{open, save};

    fn with(steel: &str) -> super::super::OpenedShop {
        let text =
            format!(r#"{{ "format": "blankwright-shop", "version": 1, "steels": [{steel}] }}"#);
        open(text.as_bytes()).unwrap()
    }

    #[test]
    fn a_steel_of_ones_own_comes_back() {
        let opened = with(
            r#"{ "grade": "Mill 7", "source": "its certificate", "density_g_cm3": 7.8,
                 "harden_c": [800, 820], "quench": "fast oil", "quenched_hrc": [63, 65],
                 "temper": [{ "temper_c": 200, "hrc": [60, 61] }] }"#,
        );
        assert_eq!(opened.faults, []);
        assert_eq!(opened.shop.own_steel("mill-7").unwrap().temper, [(200.0, 60.0, 61.0)]);
        assert_eq!(open(save(&opened.shop).as_bytes()).unwrap(), opened);
    }

    #[test]
    fn a_steel_without_a_source_or_with_odd_figures_is_told() {
        let message =
            |steel| -> Vec<String> { with(steel).faults.iter().map(ToString::to_string).collect() };
        assert_eq!(
            message(r#"{ "grade": "Mill 7" }"#),
            ["steels[0].source is missing; give it a text in quotes"]
        );
        assert_eq!(
            message(r#"{ "grade": "a", "source": "b", "harden_c": [820, 800] }"#),
            ["steels[0].harden_c is [820,800]; it must be two numbers [from, to]"]
        );
        assert_eq!(
            message(r#"{ "grade": "a", "source": "b", "temper": [{ "temper_c": 200 }] }"#),
            ["steels[0].temper[0].hrc is missing; give it two numbers [from, to]"]
        );
        assert_eq!(
            message(r#"{ "grade": "a", "source": "b", "quenched_hrc": [60, 99] }"#),
            ["steels[0].quenched_hrc is 99; it must lie between 20 and 70"]
        );
    }
}
