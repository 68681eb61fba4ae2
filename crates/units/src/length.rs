//! Lengths: held in millimetres, read from what a maker types.

use crate::error::{ExpectedKind, ParseError};
use crate::scan::{Notation, Number, Scanner, normalised};
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// Millimetres in an inch; exact (international yard and pound agreement of 1959).
pub const MM_PER_INCH: f64 = 25.4;

/// The unit in which a person reads and writes lengths.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LengthUnit {
    /// Millimetres.
    #[default]
    Millimetre,
    /// Inches.
    Inch,
}

impl LengthUnit {
    /// The unit's sign, `mm` or `in`.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Inch => "in",
        }
    }
}

/// A length.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Length {
    mm: f64,
}

impl Length {
    /// A length of so many millimetres.
    pub const fn mm(mm: f64) -> Self {
        Self { mm }
    }

    /// A length of so many inches.
    pub const fn inches(inches: f64) -> Self {
        Self { mm: inches * MM_PER_INCH }
    }

    /// In millimetres.
    pub const fn to_mm(self) -> f64 {
        self.mm
    }

    /// In inches.
    pub const fn to_inches(self) -> f64 {
        self.mm / MM_PER_INCH
    }

    /// In the unit a person reads.
    pub const fn to_unit(self, unit: LengthUnit) -> f64 {
        match unit {
            LengthUnit::Millimetre => self.to_mm(),
            LengthUnit::Inch => self.to_inches(),
        }
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::mm(self.mm + other.mm)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        self.mm += other.mm;
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::mm(self.mm - other.mm)
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        self.mm -= other.mm;
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self::mm(-self.mm)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, times: f64) -> Self {
        Self::mm(self.mm * times)
    }
}

impl Div<f64> for Length {
    type Output = Self;
    fn div(self, parts: f64) -> Self {
        Self::mm(self.mm / parts)
    }
}

impl Div for Length {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.mm / other.mm
    }
}

/// Reads a length: `1 1/2`, `1-1/2"`, `1½ in`, `5/32`, `1.5in`, `38 mm`, `3,2 mm`, `1' 2 1/2"`,
/// `25 µm`, `5 thou`, `-3`.
///
/// A fraction or mixed number without a unit is in inches, any other bare number in `default`.
/// The result is always finite.
///
/// # Errors
/// [`ParseError`], whose sentence shows what would be taken. `1,250 mm` is refused: it is 1.25 mm to
/// one reader and 1250 mm to another.
pub fn parse_length(text: &str, default: LengthUnit) -> Result<Length, ParseError> {
    let normal = normalised(text, ExpectedKind::Length)?;
    let (length, _) =
        read_normalised(&mut Scanner::new(&normal, text, ExpectedKind::Length), default)?;
    Ok(length)
}

/// Reads a length and tells in which of the two systems it was written.
pub(crate) fn read_normalised(
    scan: &mut Scanner<'_>,
    default: LengthUnit,
) -> Result<(Length, LengthUnit), ParseError> {
    let sign = scan.sign();
    let number = scan.number()?;
    let unit = scan.unit();
    let Some((scale_mm, system)) = scale_of(&unit, number, default) else {
        return Err(scan.not_understood());
    };
    let mut length = Length::mm(number.value * scale_mm);
    if is_feet(&unit) {
        length += inches_behind_feet(scan)?;
    }
    scan.end()?;
    Ok((length * sign, system))
}

fn inches_behind_feet(scan: &mut Scanner<'_>) -> Result<Length, ParseError> {
    scan.skip_spaces();
    if scan.is_at_end() {
        return Ok(Length::default());
    }
    scan.accept('-');
    let number = scan.number()?;
    match scan.unit().as_str() {
        "" | "in" | "inch" | "inches" => Ok(Length::inches(number.value)),
        _ => Err(scan.not_understood()),
    }
}

fn is_feet(unit: &str) -> bool {
    matches!(unit, "ft" | "foot" | "feet")
}

/// Millimetres in a unit, and the system it belongs to.
fn scale_of(unit: &str, number: Number, default: LengthUnit) -> Option<(f64, LengthUnit)> {
    use LengthUnit::{Inch, Millimetre};
    Some(match unit {
        "" if number.notation == Notation::Fraction => (MM_PER_INCH, Inch),
        "" if default == Inch => (MM_PER_INCH, Inch),
        "" => (1.0, Millimetre),
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => (1.0, Millimetre),
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => (10.0, Millimetre),
        "µm" | "um" | "micron" | "microns" | "micrometre" | "micrometres" | "micrometer"
        | "micrometers" => (0.001, Millimetre),
        "in" | "inch" | "inches" => (MM_PER_INCH, Inch),
        "thou" => (MM_PER_INCH / 1000.0, Inch),
        unit if is_feet(unit) => (12.0 * MM_PER_INCH, Inch),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mm(text: &str) -> f64 {
        parse_length(text, LengthUnit::Millimetre).unwrap().to_mm()
    }

    fn assert_reads(text: &str, expected_mm: f64) {
        let read = mm(text);
        assert!((read - expected_mm).abs() < 1e-12, "{text:?} gave {read}, not {expected_mm}");
    }

    /// Expected values by hand from 1 in = 25.4 mm.
    #[test]
    fn every_way_to_type_a_length() {
        for text in ["1 1/2", "1-1/2\"", "1.5in", "1.5 inch", "1½", "1-½″", "1 1/2 in.", "1,5 in"]
        {
            assert_reads(text, 38.1);
        }
        for text in ["38 mm", "38mm", "38", "3.8 cm", " 38\u{a0}mm ", "38 MM", "+38", "38000 µm"] {
            assert_reads(text, 38.0);
        }
        assert_reads("3,2 mm", 3.2);
        assert_reads("0,125 in", 3.175);
        assert_reads("3/16", 4.7625);
        assert_reads("5 / 32", 3.96875);
        assert_reads("3⁄16 ”", 4.7625);
        assert_reads("1/2 mm", 0.5);
        assert_reads("1' 2 1/2\"", 368.3);
        assert_reads("1 ft 2.5 in", 368.3);
        assert_reads("1'-2½''", 368.3);
        assert_reads("2 ft", 609.6);
        assert_reads("-3", -3.0);
        assert_reads("−1 1/2", -38.1);
        assert_reads("25 μm", 0.025);
        assert_reads(".5", 0.5);
        assert_reads("5 thou", 0.127);
    }

    #[test]
    fn a_bare_number_takes_the_default_unit_and_a_fraction_is_inches() {
        let inch = |text| parse_length(text, LengthUnit::Inch).unwrap().to_mm();
        assert_eq!(inch("2"), 50.8);
        assert_eq!(inch("2 mm"), 2.0);
        assert_eq!(inch("1/4"), mm("1/4"));
    }

    #[test]
    fn everything_else_is_refused() {
        for text in [
            "",
            "  ",
            "abc",
            "inf",
            "NaN",
            "1/0",
            "1 1/0",
            "1 1/2 1/2",
            "3..2",
            "3,2,1",
            "1 1/x",
            "1 2",
            "1e3",
            "--3",
            "3-",
            "1/",
            "/2",
            "1 5/4",
            "mm",
            "1.5 1/2",
            "½2",
            "½/2",
            "1' 2 mm",
            "1' -",
            "3 mm 4",
            "3,",
            ",",
            ".",
            "3 lb",
            "١ mm",
            "12 m",
        ] {
            let result = parse_length(text, LengthUnit::Inch);
            assert!(result.is_err(), "{text:?} gave {result:?}");
        }
    }

    #[test]
    fn a_comma_that_may_part_thousands_is_asked_about() {
        let error = parse_length("1,250 mm", LengthUnit::Millimetre).unwrap_err();
        assert_eq!(
            error.to_string(),
            "\"1,250 mm\" may mean 1.250 or 1250; type it with a point or with no comma"
        );
    }

    #[test]
    fn the_sentence_shows_what_would_be_taken() {
        let sentence = |text| parse_length(text, LengthUnit::Inch).unwrap_err().to_string();
        assert_eq!(
            sentence("1 1/x"),
            "\"1 1/x\" isn't a length; type one like 1 1/2, 1.5 in, 38 mm or 5/32"
        );
        assert_eq!(
            sentence("1/0"),
            "\"1/0\" divides by zero; type a length like 1 1/2, 1.5 in, 38 mm or 5/32"
        );
        assert_eq!(
            sentence(""),
            "nothing is typed; type a length like 1 1/2, 1.5 in, 38 mm or 5/32"
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        #[test]
        fn no_text_panics_and_what_is_read_is_finite(text in any::<String>()) {
            if let Ok(length) = parse_length(&text, LengthUnit::Inch) {
                prop_assert!(length.to_mm().is_finite());
            }
        }

        #[test]
        fn no_text_of_the_likely_signs_panics(text in "[0-9 ./,'\"½⅛−µ#-]{0,12}(in|mm|ft|°|F)?") {
            for default in [LengthUnit::Inch, LengthUnit::Millimetre] {
                if let Ok(length) = parse_length(&text, default) {
                    prop_assert!(length.to_mm().is_finite());
                }
            }
        }

        /// The standard library reads decimals; fractions are checked by integer arithmetic.
        #[test]
        fn decimals_agree_with_the_standard_library(whole in 0u32..5000, part in 0u32..1000) {
            let text = format!("{whole}.{part:03}");
            prop_assert_eq!(mm(&text), text.parse::<f64>().unwrap());
        }

        #[test]
        fn mixed_numbers_are_exact(whole in 0u32..100, above in 0u32..64) {
            let read = mm(&format!("{whole} {above}/64"));
            let exact = f64::from(whole * 64 + above) * 254.0 / 640.0;
            prop_assert!((read - exact).abs() <= 1e-12 * exact.max(1.0));
        }
    }
}
