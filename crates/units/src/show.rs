//! How quantities are written for a person: a point for decimals, no thousands marks, everywhere alike.

use crate::fraction::InchFraction;
use crate::length::{Length, LengthUnit, MM_PER_INCH};
use crate::mass::Mass;
use crate::number::show_number;
use crate::temperature::Temperature;

/// The finest division of a bench rule, in parts of an inch.
const RULE_DIVISION: u32 = 64;
/// A length in millimetres: `38.1 mm`.
pub fn show_mm(length_mm: f64, decimals: usize) -> String {
    format!("{} mm", show_number(length_mm, decimals))
}

/// A length in inches: `1.500 in`.
pub fn show_inch(length_mm: f64, decimals: usize) -> String {
    format!("{} in", show_number(length_mm / MM_PER_INCH, decimals))
}

/// A length in one unit with as many decimals as that takes: `(2, 3)` gives `38.10 mm` or
/// `1.500 in`.
pub fn show_decimal(
    length_mm: f64,
    unit: LengthUnit,
    (mm_decimals, inch_decimals): (usize, usize),
) -> String {
    match unit {
        LengthUnit::Millimetre => show_mm(length_mm, mm_decimals),
        LengthUnit::Inch => show_inch(length_mm, inch_decimals),
    }
}

/// A length as it is measured at the bench: `38.10 mm`, or in inches to the thousandth with the nearest
/// 64th and its rest: `1.500 in (1 1/2)`, `1.482 in (1 31/64 −0.002)`.
pub fn show_length(length_mm: f64, unit: LengthUnit) -> String {
    if unit == LengthUnit::Millimetre || !length_mm.is_finite() {
        return show_mm(length_mm, 2);
    }
    let near = InchFraction::nearest(length_mm, RULE_DIVISION);
    let decimal = show_inch(length_mm, 3);
    if near.to_mm() == 0.0 {
        // Nearer to nothing than to a 64th: a fraction would tell nothing.
        return decimal;
    }
    match near.rest_text() {
        Some(rest) => format!("{decimal} ({} {rest})", near.text()),
        None => format!("{decimal} ({})", near.text()),
    }
}

/// A length in both units: `8 1/2 in · 215.9 mm` where a 64th is exact, else `1.482 in · 37.7 mm`.
pub fn show_fraction_and_mm(length_mm: f64) -> String {
    let near = InchFraction::nearest(length_mm, RULE_DIVISION);
    let inch =
        if near.is_exact() { format!("{} in", near.text()) } else { show_inch(length_mm, 3) };
    format!("{inch} · {}", show_mm(length_mm, 1))
}

/// A length to stand in a field: the shortest text that [`crate::parse_length`] takes back to within
/// 0.0002 mm, such as `38.1 mm`, `1 1/2 in`, `1.48237 in`.
pub fn write_length(length_mm: f64, unit: LengthUnit) -> String {
    let near = InchFraction::nearest(length_mm, RULE_DIVISION);
    let text = match unit {
        LengthUnit::Millimetre => without_trailing_zeros(show_number(length_mm, 4)),
        LengthUnit::Inch if near.is_exact() => near.text(),
        LengthUnit::Inch => {
            without_trailing_zeros(show_number(Length::mm(length_mm).to_inches(), 5))
        }
    };
    format!("{text} {}", unit.symbol())
}

/// A length in both units, the knife's own first: `210.0 mm (8.268 in)`, `8 1/2 in (215.9 mm)`.
pub fn show_in_both(length_mm: f64, unit: LengthUnit) -> String {
    let text = show_fraction_and_mm(length_mm);
    match (unit, text.split_once(" · ")) {
        (LengthUnit::Millimetre, Some((inch, mm))) => format!("{mm} ({inch})"),
        (LengthUnit::Inch, Some((inch, mm))) => format!("{inch} ({mm})"),
        _ => text,
    }
}

/// Where something balances, as near as it can be found on a finger: to 0.5 mm or 0.02 in.
pub fn show_balance(length_mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => show_mm((length_mm * 2.0).round() / 2.0, 1),
        LengthUnit::Inch => {
            show_inch((length_mm / MM_PER_INCH * 50.0).round() / 50.0 * MM_PER_INCH, 2)
        }
    }
}

/// A number to so many significant digits: 12345 to three of them is `12300`.
pub fn show_significant(value: f64, digits: i32) -> String {
    if !value.is_finite() || value == 0.0 {
        return show_number(value, 0);
    }
    #[expect(clippy::cast_possible_truncation, reason = "the exponent of a float is small")]
    let exponent = value.abs().log10().floor() as i32;
    let by = 10.0_f64.powi(exponent + 1 - digits);
    let decimals = usize::try_from(digits - 1 - exponent).unwrap_or(0);
    show_number((value / by).round() * by, decimals)
}

/// An angle in degrees: `15.0°`.
pub fn show_angle(angle_deg: f64, decimals: usize) -> String {
    format!("{}°", show_number(angle_deg, decimals))
}

/// A mass in both units: `142 g · 5.0 oz`, a light one with one decimal more.
pub fn show_mass(mass: Mass) -> String {
    const LIGHT_G: f64 = 10.0;
    let finer = usize::from(mass.to_grams().abs() < LIGHT_G);
    let grams = show_number(mass.to_grams(), finer);
    format!("{grams} g · {} oz", show_number(mass.to_ounces(), 1 + finer))
}

/// A temperature in both units, to the degree: `210 °C · 410 °F`.
pub fn show_temperature(temperature: Temperature) -> String {
    let celsius = show_number(temperature.to_celsius(), 0);
    format!("{celsius} °C · {} °F", show_number(temperature.to_fahrenheit(), 0))
}

fn without_trailing_zeros(text: String) -> String {
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse_length;

    #[test]
    fn a_half_is_rounded_away_from_zero() {
        let shown = [3.175, -3.175, 0.125, 2.675, 0.5].map(|v| show_number(v, 2));
        assert_eq!(shown, ["3.18", "−3.18", "0.13", "2.68", "0.50"]);
        assert_eq!([0.5, 1.5, 2.499_999].map(|v| show_number(v, 0)), ["1", "2", "2"]);
        assert_eq!(show_number(3.174_999, 2), "3.17");
    }

    #[test]
    fn a_length_nearer_to_nothing_than_to_a_64th_has_no_fraction() {
        assert_eq!(show_length(0.127, LengthUnit::Inch), "0.005 in");
        assert_eq!(show_length(0.254, LengthUnit::Inch), "0.010 in (1/64 −0.006)");
    }
    use proptest::prelude::*;

    #[test]
    fn numbers_are_plain() {
        assert_eq!(show_number(38.1, 2), "38.10");
        assert_eq!(show_number(1234.5, 1), "1234.5");
        assert_eq!(show_number(-0.5, 1), "−0.5");
        assert_eq!(show_number(-0.001, 2), "0.00");
        assert_eq!(show_number(-0.0, 0), "0");
        assert_eq!(show_number(0.999, 2), "1.00");
        assert_eq!(show_number(f64::NAN, 2), "–");
        assert_eq!(show_number(f64::NEG_INFINITY, 2), "–");
        assert_eq!(show_number(1.0, usize::MAX), "1.000000000000");
    }

    #[test]
    fn lengths_in_either_unit() {
        assert_eq!(show_mm(38.1, 1), "38.1 mm");
        assert_eq!(show_inch(38.1, 3), "1.500 in");
        assert_eq!(show_length(38.1, LengthUnit::Millimetre), "38.10 mm");
        assert_eq!(show_length(38.1, LengthUnit::Inch), "1.500 in (1 1/2)");
        assert_eq!(show_length(1.482375 * 25.4, LengthUnit::Inch), "1.482 in (1 31/64 −0.002)");
        assert_eq!(show_length(f64::NAN, LengthUnit::Inch), "– mm");
        assert_eq!(show_fraction_and_mm(215.9), "8 1/2 in · 215.9 mm");
        assert_eq!(show_fraction_and_mm(210.0), "8.268 in · 210.0 mm");
        assert_eq!(show_fraction_and_mm(-3.175), "−1/8 in · −3.2 mm");
    }

    #[test]
    fn what_is_known_roughly_has_few_digits() {
        assert_eq!(show_in_both(210.0, LengthUnit::Millimetre), "210.0 mm (8.268 in)");
        assert_eq!(show_in_both(215.9, LengthUnit::Inch), "8 1/2 in (215.9 mm)");
        assert_eq!(show_balance(12.345, LengthUnit::Millimetre), "12.5 mm");
        assert_eq!(show_balance(12.345, LengthUnit::Inch), "0.48 in");
        let shown = [123_456.0, 1_234.0, 98.76, 0.012_345, 0.0].map(|v| show_significant(v, 3));
        assert_eq!(shown, ["123000", "1230", "98.8", "0.0123", "0"]);
    }

    #[test]
    fn a_field_shows_no_more_than_it_must() {
        assert_eq!(write_length(38.1, LengthUnit::Inch), "1 1/2 in");
        assert_eq!(write_length(38.0, LengthUnit::Inch), "1.49606 in");
        assert_eq!(write_length(38.0, LengthUnit::Millimetre), "38 mm");
        assert_eq!(write_length(100.0, LengthUnit::Millimetre), "100 mm");
        assert_eq!(write_length(3.175, LengthUnit::Millimetre), "3.175 mm");
    }

    #[test]
    fn angles_masses_and_temperatures() {
        assert_eq!(show_angle(-12.34, 1), "−12.3°");
        assert_eq!(show_mass(Mass::grams(141.7)), "142 g · 5.0 oz");
        assert_eq!(show_mass(Mass::grams(2.5)), "2.5 g · 0.09 oz");
        assert_eq!(show_temperature(Temperature::fahrenheit(410.0)), "210 °C · 410 °F");
        assert_eq!(show_temperature(Temperature::celsius(-0.2)), "0 °C · 32 °F");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1000))]

        #[test]
        fn what_is_shown_reads_back(mm in -3000.0..3000.0f64, decimals in 0usize..6) {
            let read = |text: &str| parse_length(text, LengthUnit::Millimetre).unwrap().to_mm();
            let half_step = 0.5 / 10f64.powi(decimals as i32) + 1e-9;
            prop_assert!((read(&show_mm(mm, decimals)) - mm).abs() <= half_step);
            prop_assert!((read(&show_inch(mm, decimals)) - mm).abs() <= half_step * 25.4);
        }

        #[test]
        fn a_field_reads_back(mm in -3000.0..3000.0f64) {
            for unit in [LengthUnit::Millimetre, LengthUnit::Inch] {
                let text = write_length(mm, unit);
                let read = parse_length(&text, LengthUnit::Inch).unwrap();
                prop_assert!((read.to_mm() - mm).abs() < 0.0002, "{}", text);
            }
        }

        /// What a person typed as a 64th comes back as typed.
        #[test]
        fn a_sixty_fourth_stays_one(count in 1u32..2000) {
            let mm = f64::from(count) / 64.0 * 25.4;
            let text = write_length(mm, LengthUnit::Inch);
            prop_assert!(!text.contains('.'), "{}", text);
            let read = parse_length(&text, LengthUnit::Inch).unwrap();
            prop_assert!((read.to_mm() - mm).abs() < 1e-9);
        }

        #[test]
        fn no_value_panics(value in any::<f64>(), decimals in any::<usize>()) {
            let _ = show_length(value, LengthUnit::Inch);
            let _ = (show_fraction_and_mm(value), show_number(value, decimals), write_length(value, LengthUnit::Inch));
        }
    }
}
