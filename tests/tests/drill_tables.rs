//! The table of drills against an independent one, and pins against common practice.
//!
//! `tests/reference/drills_reference.py` made the reference from the PyPI package nf6x-eetools 1.0.1.

use reckon::tables::Tables;
use units::DrillName;

const INCH_MM: f64 = 25.4;

/// Name and diameter in inches.
fn reference() -> Vec<(String, f64)> {
    let text = include_str!("../reference/drills_reference.csv");
    let row = |line: &str| {
        let (name, inch) = line.split_once(',').unwrap();
        (name.to_owned(), inch.parse().unwrap())
    };
    text.lines().skip(1).map(row).collect()
}

#[test]
fn every_number_letter_and_fraction_is_that_of_the_reference() {
    let tables = Tables::built_in();
    let reference = reference();
    for (name, inch) in &reference {
        let drill = tables.drill(name).unwrap_or_else(|| panic!("no drill {name}"));
        assert_eq!(&drill.label, name);
        let off_in = (drill.diameter_mm / INCH_MM - inch).abs();
        assert!(off_in < 1e-9, "{name}: {} mm is not {inch} in", drill.diameter_mm);
    }
    let count = |is: fn(&DrillName) -> bool| tables.drills().iter().filter(|d| is(&d.name)).count();
    assert_eq!(count(|name| matches!(name, DrillName::Number(_))), 80);
    assert_eq!(count(|name| matches!(name, DrillName::Letter(_))), 26);
    assert_eq!(count(|name| matches!(name, DrillName::Fraction { .. })), 29);
    assert_eq!(reference.len(), 80 + 26 + 29);
}

#[test]
fn within_each_series_every_drill_is_larger_than_the_one_before() {
    let series = |name: &DrillName| match name {
        DrillName::Number(_) => 0,
        DrillName::Letter(_) => 1,
        DrillName::Fraction { .. } => 2,
        DrillName::Metric { .. } => 3,
    };
    for pair in Tables::built_in().drills().windows(2) {
        let is_next_series = series(&pair[0].name) < series(&pair[1].name);
        assert!(is_next_series || pair[0].diameter_mm < pair[1].diameter_mm, "{pair:?}");
    }
}

/// Steps of the metric series, BS 328: by 0.05 mm below 3 mm, by 0.1 mm from there.
#[test]
fn the_metric_series_has_no_gap() {
    let metric = Tables::built_in().drills().iter();
    let metric = metric.filter(|drill| matches!(drill.name, DrillName::Metric { .. }));
    let hundredths: Vec<u32> =
        metric.map(|drill| (drill.diameter_mm * 100.0).round() as u32).collect();
    let expected: Vec<u32> = (50..300).step_by(5).chain((300..=1300).step_by(10)).collect();
    assert_eq!(hundredths, expected);
}

/// Common practice: a 1/8 in pin goes into a No. 30 hole, which leaves 0.0035 in.
#[test]
fn an_eighth_inch_pin_goes_into_number_30() {
    let fits = Tables::built_in().drills_for_pin(INCH_MM / 8.0, 0.04, 0.15);
    assert_eq!(fits[0].drill.label, "#30");
    assert!((fits[0].gap_mm - 0.0035 * INCH_MM).abs() < 1e-9, "{}", fits[0].gap_mm);
}
