//! Temperatures: held in degrees Celsius.

use crate::error::{ExpectedKind, ParseError, quoted};
use crate::scan::read_quantity;

/// 0 K in degrees Celsius; exact (SI Brochure, 9th edition, 2.3.1).
const ABSOLUTE_ZERO_C: f64 = -273.15;

/// A temperature on a scale; there is no arithmetic with it, as 20 °C and 20 °C make no 40 °C.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Temperature {
    c: f64,
}

impl Temperature {
    /// So many degrees Celsius.
    pub const fn celsius(c: f64) -> Self {
        Self { c }
    }

    /// So many degrees Fahrenheit.
    pub const fn fahrenheit(f: f64) -> Self {
        Self { c: (f - 32.0) * 5.0 / 9.0 }
    }

    /// In degrees Celsius.
    pub const fn to_celsius(self) -> f64 {
        self.c
    }

    /// In degrees Fahrenheit.
    pub const fn to_fahrenheit(self) -> f64 {
        self.c * 9.0 / 5.0 + 32.0
    }
}

/// Reads a temperature: `410 F`, `410°F`, `210 °C`, `210 deg C`.
///
/// # Errors
/// [`ParseError`], whose sentence shows what would be taken; a bare number lacks its unit, and nothing
/// is colder than absolute zero.
pub fn parse_temperature(text: &str) -> Result<Temperature, ParseError> {
    let expected = ExpectedKind::Temperature;
    let read = read_quantity(text, expected)?;
    let temperature = match read.unit.as_str() {
        "c" | "°c" | "celsius" | "°celsius" => Temperature::celsius(read.value),
        "f" | "°f" | "fahrenheit" | "°fahrenheit" => Temperature::fahrenheit(read.value),
        "" | "°" => return Err(ParseError::NeedsUnit { text: quoted(text), expected }),
        _ => return Err(ParseError::NotUnderstood { text: quoted(text), expected }),
    };
    if temperature.to_celsius() < ABSOLUTE_ZERO_C - 1e-9 {
        return Err(ParseError::BelowAbsoluteZero { text: quoted(text) });
    }
    Ok(temperature)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn every_way_to_type_a_temperature() {
        for text in [
            "410 F",
            "410°F",
            "410 °f",
            "410℉",
            "210 °C",
            "210C",
            "210 deg C",
            "210 degrees celsius",
        ] {
            assert_eq!(parse_temperature(text), Ok(Temperature::celsius(210.0)), "{text:?}");
        }
        assert_eq!(parse_temperature("-40 F"), Ok(Temperature::celsius(-40.0)));
    }

    /// Fixed points of the two scales: ice, boiling, and where they meet.
    #[test]
    fn the_scales_meet_where_they_must() {
        for (c, f) in [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0), (210.0, 410.0)] {
            assert_eq!(Temperature::fahrenheit(f), Temperature::celsius(c));
            assert_eq!(Temperature::celsius(c).to_fahrenheit(), f);
        }
    }

    #[test]
    fn what_is_no_temperature_is_refused() {
        let sentence = |text| parse_temperature(text).unwrap_err().to_string();
        assert_eq!(
            sentence("410"),
            "\"410\" needs a unit; type a temperature like 410 F or 210 °C"
        );
        assert_eq!(
            sentence("410°"),
            "\"410°\" needs a unit; type a temperature like 410 F or 210 °C"
        );
        assert_eq!(
            sentence("-300 C"),
            "\"-300 C\" is below absolute zero; type a temperature like 410 F or 210 °C"
        );
        assert_eq!(sentence("red"), "\"red\" isn't a temperature; type one like 410 F or 210 °C");
        assert!(parse_temperature("410 mm").is_err());
        assert!(parse_temperature("-459.67 F").is_ok());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1000))]

        #[test]
        fn no_text_panics(text in any::<String>()) {
            if let Ok(read) = parse_temperature(&text) {
                prop_assert!(read.to_celsius().is_finite());
            }
        }
    }
}
