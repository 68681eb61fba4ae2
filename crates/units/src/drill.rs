//! The names of drills; their sizes are in the table of the trade, not here.

use crate::error::{ExpectedKind, ParseError, quoted};
use crate::length::{Length, LengthUnit, read_normalised};
use crate::scan::{Scanner, normalised};
use std::fmt;

const LAST_NUMBER: u8 = 80;
const FINEST_FRACTION: u32 = 64;
const LARGEST_METRIC_UM: f64 = 100_000.0;

/// The name of a twist drill, as its four series give it.
///
/// Made by [`parse_drill`] or by the functions below, which keep it inside its series.
/// Written by `Display` in its one canonical form: `#30`, `F`, `5/32`, `3.2 mm`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum DrillName {
    /// Number (wire gauge) series, 1 to 80.
    Number(u8),
    /// Letter series, `A` to `Z`.
    Letter(char),
    /// Fraction of an inch, in lowest terms, below one inch.
    Fraction {
        /// Above the line.
        numerator: u32,
        /// Below the line: 2, 4, 8, 16, 32 or 64.
        denominator: u32,
    },
    /// Metric series.
    Metric {
        /// Diameter in thousandths of a millimetre.
        um: u32,
    },
}

impl DrillName {
    /// A drill of the number series, 1 to 80.
    pub fn number(number: u32) -> Option<Self> {
        let number = u8::try_from(number).ok()?;
        (1..=LAST_NUMBER).contains(&number).then_some(Self::Number(number))
    }

    /// A drill of the letter series, in either case.
    pub fn letter(letter: char) -> Option<Self> {
        letter.is_ascii_alphabetic().then_some(Self::Letter(letter.to_ascii_uppercase()))
    }

    /// A fraction of an inch by 64ths, brought to lowest terms.
    pub fn fraction(numerator: u32, denominator: u32) -> Option<Self> {
        let is_division = denominator.is_power_of_two() && denominator <= FINEST_FRACTION;
        if !is_division || numerator == 0 || numerator >= denominator {
            return None;
        }
        let halvings = numerator.trailing_zeros();
        Some(Self::Fraction {
            numerator: numerator >> halvings,
            denominator: denominator >> halvings,
        })
    }

    /// A metric drill, up to 100 mm and to the thousandth of a millimetre.
    pub fn metric(diameter_mm: f64) -> Option<Self> {
        let um = diameter_mm * 1000.0;
        let whole = um.round();
        let is_size = (1.0..=LARGEST_METRIC_UM).contains(&whole) && (um - whole).abs() < 1e-6;
        // In range as just tested.
        is_size.then_some(Self::Metric { um: whole as u32 })
    }

    /// The diameter that the name itself tells; numbers and letters only name a row of a table.
    pub fn nominal(self) -> Option<Length> {
        match self {
            Self::Number(_) | Self::Letter(_) => None,
            Self::Fraction { numerator, denominator } => {
                Some(Length::inches(f64::from(numerator) / f64::from(denominator)))
            }
            Self::Metric { um } => Some(Length::mm(f64::from(um) / 1000.0)),
        }
    }
}

impl fmt::Display for DrillName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => write!(f, "#{number}"),
            Self::Letter(letter) => write!(f, "{letter}"),
            Self::Fraction { numerator, denominator } => write!(f, "{numerator}/{denominator}"),
            Self::Metric { um } => write!(f, "{} mm", f64::from(*um) / 1000.0),
        }
    }
}

/// Reads the name of a drill: `#30`, `No. 30`, `F`, `5/32`, `5/32"`, `3.2 mm`.
///
/// # Errors
/// [`ParseError`], whose sentence shows what would be taken. A bare decimal such as `3.2` or `30` is
/// refused: it may be millimetres, inches or a number of the series.
pub fn parse_drill(text: &str) -> Result<DrillName, ParseError> {
    let expected = ExpectedKind::Drill;
    let normal = normalised(text, expected)?;
    if let Some(found) = number_or_letter(&normal, text) {
        return found;
    }
    if normal.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b',')) {
        return Err(ParseError::NeedsUnit { text: quoted(text), expected });
    }
    let mut scan = Scanner::new(&normal, text, expected);
    let found = match read_normalised(&mut scan, LengthUnit::Millimetre)? {
        (length, LengthUnit::Millimetre) => DrillName::metric(length.to_mm()),
        (length, LengthUnit::Inch) => fraction_at(length),
    };
    found.ok_or_else(|| ParseError::NoSuchDrill { text: quoted(text) })
}

/// Reads the forms that are no measure: `#30`, `no 30`, `f`. `None` when the text is of another form.
pub(crate) fn number_or_letter(normal: &str, typed: &str) -> Option<Result<DrillName, ParseError>> {
    let mut letters = normal.chars();
    if let (Some(letter), None) = (letters.next(), letters.next())
        && letter.is_ascii_alphabetic()
    {
        return DrillName::letter(letter).map(Ok);
    }
    let behind = ["#", "no.", "no", "number"].iter().find_map(|mark| normal.strip_prefix(mark))?;
    let digits = behind.trim_start();
    if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return Some(Err(ParseError::NotUnderstood {
            text: quoted(typed),
            expected: ExpectedKind::Drill,
        }));
    }
    let number = digits.parse().ok().and_then(DrillName::number);
    Some(number.ok_or_else(|| ParseError::NoSuchDrill { text: quoted(typed) }))
}

/// The drill whose fraction is exactly this length.
fn fraction_at(length: Length) -> Option<DrillName> {
    let sixty_fourths = length.to_inches() * f64::from(FINEST_FRACTION);
    let whole = sixty_fourths.round();
    let is_exact = (sixty_fourths - whole).abs() < 1e-9;
    let is_in_series = (1.0..f64::from(FINEST_FRACTION)).contains(&whole);
    if is_exact && is_in_series { DrillName::fraction(whole as u32, FINEST_FRACTION) } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn name(text: &str) -> String {
        parse_drill(text).unwrap().to_string()
    }

    #[test]
    fn every_way_to_type_a_drill() {
        for text in ["#30", "# 30", "No.30", "no 30", "No. 30", "№30", "number 30", "#030"] {
            assert_eq!(name(text), "#30", "{text:?}");
        }
        assert_eq!(name("F"), "F");
        assert_eq!(name(" f "), "F");
        for text in ["1/8", "1/8\"", "1/8 in", "⅛", "2/16", "8/64 inch", "0.125 in"] {
            assert_eq!(name(text), "1/8", "{text:?}");
        }
        assert_eq!(name("5/32\""), "5/32");
        assert_eq!(name("3.2mm"), "3.2 mm");
        assert_eq!(name("3,20 mm"), "3.2 mm");
        assert_eq!(name("1 MM"), "1 mm");
        assert_eq!(name("1.05 mm"), "1.05 mm");
        assert_eq!(name("0.32 cm"), "3.2 mm");
    }

    #[test]
    fn a_bare_number_is_asked_about() {
        for text in ["3.2", "30", "3,2"] {
            assert_eq!(
                parse_drill(text).unwrap_err().to_string(),
                format!("\"{text}\" needs a unit; type a drill like #30, F, 5/32 or 3.2 mm")
            );
        }
    }

    #[test]
    fn what_is_in_no_series_is_refused() {
        for text in
            ["#0", "#81", "#999999999999999", "3/7", "65/64", "1 1/2", "0 mm", "101 mm", "0.2 in"]
        {
            let error = parse_drill(text).unwrap_err();
            assert!(matches!(error, ParseError::NoSuchDrill { .. }), "{text:?} gave {error:?}");
        }
        for text in ["", "#", "#x", "no", "FF", "drill", "-1/8 x", "1/0", "é", "ſ"] {
            assert!(parse_drill(text).is_err(), "{text:?}");
        }
        assert!(parse_drill("-1/8").is_err());
        assert!(parse_drill("-3 mm").is_err());
    }

    #[test]
    fn only_fractions_and_metric_names_tell_their_size() {
        assert_eq!(DrillName::number(30).and_then(DrillName::nominal), None);
        assert_eq!(
            DrillName::fraction(10, 64).and_then(DrillName::nominal),
            Some(Length::mm(3.96875))
        );
        assert_eq!(DrillName::metric(3.2).and_then(DrillName::nominal), Some(Length::mm(3.2)));
    }

    fn any_drill() -> impl Strategy<Value = DrillName> {
        prop_oneof![
            (1u32..=80).prop_filter_map("number", DrillName::number),
            proptest::char::range('a', 'z').prop_filter_map("letter", DrillName::letter),
            (1u32..64).prop_filter_map("fraction", |n| DrillName::fraction(n, 64)),
            (1u32..=100_000).prop_map(|um| DrillName::Metric { um }),
        ]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1000))]

        #[test]
        fn what_is_written_reads_back(drill in any_drill()) {
            let text = drill.to_string();
            prop_assert_eq!(parse_drill(&text), Ok(drill), "{}", text);
            prop_assert_eq!(parse_drill(&text.to_lowercase()), Ok(drill), "{}", text);
        }

        #[test]
        fn no_text_panics(text in any::<String>(), likely in "[#0-9a-zA-Z./ \"½]{0,8}") {
            let _ = parse_drill(&text);
            let _ = parse_drill(&likely);
        }
    }
}
