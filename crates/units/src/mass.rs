//! Masses: held in grams.

use crate::error::{ExpectedKind, ParseError, quoted};
use crate::scan::read_quantity;
use std::ops::{Add, AddAssign, Div, Mul, Sub};

/// Grams in an avoirdupois pound; exact (international yard and pound agreement of 1959).
pub const GRAMS_PER_POUND: f64 = 453.592_37;

const OUNCES_PER_POUND: f64 = 16.0;

/// A mass.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Mass {
    g: f64,
}

impl Mass {
    /// A mass of so many grams.
    pub const fn grams(g: f64) -> Self {
        Self { g }
    }

    /// A mass of so many kilograms.
    pub const fn kilograms(kg: f64) -> Self {
        Self { g: kg * 1000.0 }
    }

    /// A mass of so many avoirdupois ounces.
    pub const fn ounces(oz: f64) -> Self {
        Self { g: oz * GRAMS_PER_POUND / OUNCES_PER_POUND }
    }

    /// A mass of so many avoirdupois pounds.
    pub const fn pounds(lb: f64) -> Self {
        Self { g: lb * GRAMS_PER_POUND }
    }

    /// In grams.
    pub const fn to_grams(self) -> f64 {
        self.g
    }

    /// In kilograms.
    pub const fn to_kilograms(self) -> f64 {
        self.g / 1000.0
    }

    /// In avoirdupois ounces.
    pub const fn to_ounces(self) -> f64 {
        self.g * OUNCES_PER_POUND / GRAMS_PER_POUND
    }

    /// In avoirdupois pounds.
    pub const fn to_pounds(self) -> f64 {
        self.g / GRAMS_PER_POUND
    }
}

impl Add for Mass {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::grams(self.g + other.g)
    }
}

impl AddAssign for Mass {
    fn add_assign(&mut self, other: Self) {
        self.g += other.g;
    }
}

impl Sub for Mass {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::grams(self.g - other.g)
    }
}

impl Mul<f64> for Mass {
    type Output = Self;
    fn mul(self, times: f64) -> Self {
        Self::grams(self.g * times)
    }
}

impl Div<f64> for Mass {
    type Output = Self;
    fn div(self, parts: f64) -> Self {
        Self::grams(self.g / parts)
    }
}

/// Reads a mass: `150 g`, `0.15 kg`, `5.3 oz`, `1/2 lb`.
///
/// # Errors
/// [`ParseError`], whose sentence shows what would be taken; a bare number lacks its unit.
pub fn parse_mass(text: &str) -> Result<Mass, ParseError> {
    let read = read_quantity(text, ExpectedKind::Mass)?;
    match read.unit.as_str() {
        "g" | "gram" | "grams" | "gramme" | "grammes" => Ok(Mass::grams(read.value)),
        "kg" | "kilogram" | "kilograms" | "kilo" | "kilos" => Ok(Mass::kilograms(read.value)),
        "oz" | "ounce" | "ounces" => Ok(Mass::ounces(read.value)),
        "lb" | "lbs" | "pound" | "pounds" => Ok(Mass::pounds(read.value)),
        "" => Err(ParseError::NeedsUnit { text: quoted(text), expected: ExpectedKind::Mass }),
        _ => Err(ParseError::NotUnderstood { text: quoted(text), expected: ExpectedKind::Mass }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_way_to_type_a_mass() {
        assert_eq!(parse_mass("150 g"), Ok(Mass::grams(150.0)));
        assert_eq!(parse_mass("0,15kg"), Ok(Mass::grams(150.0)));
        assert_eq!(parse_mass("1 lb"), Ok(Mass::grams(453.59237)));
        assert_eq!(parse_mass("1/2 lbs."), Ok(Mass::grams(226.796185)));
        // NIST Handbook 44, appendix C: 1 avoirdupois ounce = 28.349 523 125 g exactly.
        assert_eq!(parse_mass("1 oz"), Ok(Mass::grams(28.349523125)));
        assert!((Mass::ounces(5.3).to_ounces() - 5.3).abs() < 1e-12);
    }

    #[test]
    fn a_bare_number_needs_its_unit() {
        assert_eq!(
            parse_mass("150").unwrap_err().to_string(),
            "\"150\" needs a unit; type a mass like 150 g, 5.3 oz, 0.15 kg or 1/2 lb"
        );
        assert!(parse_mass("heavy").is_err());
        assert!(parse_mass("3 mm").is_err());
    }
}
