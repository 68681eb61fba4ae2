//! For a field that takes either the name of a drill or a diameter.

use crate::drill::{DrillName, number_or_letter};
use crate::error::{ExpectedKind, ParseError};
use crate::length::{Length, LengthUnit, read_normalised};
use crate::scan::{Scanner, normalised};

/// What a person typed where a hole's size is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HoleSize {
    /// A drill of the number or letter series, whose diameter only a table knows.
    Drill(DrillName),
    /// A diameter; a table may know drills of just this size.
    Length(Length),
}

/// Reads `#30`, `No. 30` or `F` as a drill and whatever else measures as a length.
///
/// # Errors
/// [`ParseError`], whose sentence shows what would be taken; no size is zero or less.
pub fn parse_hole_size(text: &str, default: LengthUnit) -> Result<HoleSize, ParseError> {
    let normal = normalised(text, ExpectedKind::Size)?;
    if let Some(found) = number_or_letter(&normal, text) {
        return found.map(HoleSize::Drill);
    }
    let mut scan = Scanner::new(&normal, text, ExpectedKind::Size);
    let (length, _) = read_normalised(&mut scan, default)?;
    if length.to_mm() > 0.0 { Ok(HoleSize::Length(length)) } else { Err(scan.not_understood()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn drills_and_lengths_are_told_apart() {
        let read = |text| parse_hole_size(text, LengthUnit::Millimetre).unwrap();
        assert_eq!(read("#30"), HoleSize::Drill(DrillName::Number(30)));
        assert_eq!(read("f"), HoleSize::Drill(DrillName::Letter('F')));
        assert_eq!(read("3.2mm"), HoleSize::Length(Length::mm(3.2)));
        assert_eq!(read("3.2"), HoleSize::Length(Length::mm(3.2)));
        assert_eq!(read("1/8"), HoleSize::Length(Length::mm(3.175)));
        assert_eq!(parse_hole_size("2", LengthUnit::Inch), Ok(HoleSize::Length(Length::mm(50.8))));
    }

    #[test]
    fn no_hole_is_nothing_or_less() {
        assert!(parse_hole_size("0", LengthUnit::Inch).is_err());
        assert_eq!(
            parse_hole_size("-1/8", LengthUnit::Inch).unwrap_err().to_string(),
            "\"-1/8\" isn't a drill or a diameter; type one like #30, F, 5/32, 3.2 mm or 0.128 in"
        );
        assert!(matches!(
            parse_hole_size("#99", LengthUnit::Inch),
            Err(ParseError::NoSuchDrill { .. })
        ));
    }
}
