//! Angles: held in degrees.

use crate::error::{ExpectedKind, ParseError, quoted};
use crate::scan::read_quantity;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// An angle.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Angle {
    deg: f64,
}

impl Angle {
    /// An angle of so many degrees.
    pub const fn degrees(deg: f64) -> Self {
        Self { deg }
    }

    /// An angle of so many radians.
    pub const fn radians(rad: f64) -> Self {
        Self { deg: rad.to_degrees() }
    }

    /// In degrees.
    pub const fn to_degrees(self) -> f64 {
        self.deg
    }

    /// In radians.
    pub const fn to_radians(self) -> f64 {
        self.deg.to_radians()
    }
}

impl Add for Angle {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::degrees(self.deg + other.deg)
    }
}

impl Sub for Angle {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::degrees(self.deg - other.deg)
    }
}

impl Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self::degrees(-self.deg)
    }
}

impl Mul<f64> for Angle {
    type Output = Self;
    fn mul(self, times: f64) -> Self {
        Self::degrees(self.deg * times)
    }
}

impl Div<f64> for Angle {
    type Output = Self;
    fn div(self, parts: f64) -> Self {
        Self::degrees(self.deg / parts)
    }
}

/// Reads an angle: `15`, `15°`, `22 1/2 deg`, `0.26 rad`; a bare number is in degrees.
///
/// # Errors
/// [`ParseError`], whose sentence shows what would be taken.
pub fn parse_angle(text: &str) -> Result<Angle, ParseError> {
    let read = read_quantity(text, ExpectedKind::Angle)?;
    match read.unit.as_str() {
        "" | "°" => Ok(Angle::degrees(read.value)),
        "rad" | "rads" | "radian" | "radians" => Ok(Angle::radians(read.value)),
        _ => Err(ParseError::NotUnderstood { text: quoted(text), expected: ExpectedKind::Angle }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_way_to_type_an_angle() {
        for text in ["15", "15°", "15 deg", "15 degrees", "15 º", "15,0"] {
            assert_eq!(parse_angle(text), Ok(Angle::degrees(15.0)), "{text:?}");
        }
        assert_eq!(parse_angle("-22 1/2°"), Ok(Angle::degrees(-22.5)));
        let sixth = parse_angle("0.5235987755982988 rad").unwrap();
        assert!((sixth.to_degrees() - 30.0).abs() < 1e-12, "{sixth:?}");
    }

    #[test]
    fn what_is_no_angle_is_refused() {
        for text in ["", "°", "15 F", "15°F", "x", "15 mm"] {
            assert!(parse_angle(text).is_err(), "{text:?}");
        }
        assert_eq!(
            parse_angle("steep").unwrap_err().to_string(),
            "\"steep\" isn't an angle; type one like 15, 15° or 0.26 rad"
        );
    }
}
