//! The nearest fraction of an inch, and what it leaves out.

use crate::length::MM_PER_INCH;
use crate::number::show_number;
use std::fmt;

const FINEST_DENOMINATOR: u32 = 128;

/// A length as whole inches and a fraction in lowest terms, with the small rest it leaves out.
///
/// `Display` gives the fraction and, when it isn't exact, the rest in inches: `1 31/64 in (−0.002)`
/// stands for 1 31/64 in less 0.002 in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InchFraction {
    /// Whether the whole is below zero.
    pub is_negative: bool,
    /// Whole inches, without sign.
    pub whole: u64,
    /// Above the line; zero when the length is whole inches.
    pub numerator: u32,
    /// Below the line; one when the length is whole inches.
    pub denominator: u32,
    /// What must be added to the fraction to give the true length, mm: true = fraction + rest.
    pub rest_mm: f64,
}

impl InchFraction {
    /// The fraction nearest to a length, by `1/denominator` of an inch.
    ///
    /// The denominator is held within 1 to 128; 64 is what a bench rule shows. Every value gives a
    /// fraction; one that isn't finite gives zero with that value as its rest.
    pub fn nearest(length_mm: f64, denominator: u32) -> Self {
        let denominator = denominator.clamp(1, FINEST_DENOMINATOR);
        let divisions = (length_mm.abs() / MM_PER_INCH * f64::from(denominator)).round();
        // A length that no one measures in inches saturates, its rest staying true.
        let count = if length_mm.is_finite() { divisions as u64 } else { 0 };
        // A remainder fits: it is below 128.
        let numerator = (count % u64::from(denominator)) as u32;
        let common = greatest_common_divisor(numerator, denominator);
        let mut found = Self {
            is_negative: length_mm < 0.0 && count > 0,
            whole: count / u64::from(denominator),
            numerator: numerator / common,
            denominator: denominator / common,
            rest_mm: 0.0,
        };
        found.rest_mm = length_mm - found.to_mm();
        found
    }

    /// The fraction's own length, without the rest, mm.
    pub fn to_mm(&self) -> f64 {
        let part = f64::from(self.numerator) / f64::from(self.denominator);
        let inches = self.whole as f64 + part;
        let size = inches * MM_PER_INCH;
        if self.is_negative { -size } else { size }
    }

    /// Whether the fraction is the length itself, to a millionth of a millimetre.
    pub fn is_exact(&self) -> bool {
        self.rest_mm.abs() < 1e-6
    }

    /// The fraction alone, without unit and rest: `1 31/64`, `3/8`, `2`, `0`, `−1/2`.
    pub fn text(&self) -> String {
        let sign = if self.is_negative { "−" } else { "" };
        match (self.whole, self.numerator) {
            (whole, 0) => format!("{sign}{whole}"),
            (0, numerator) => format!("{sign}{numerator}/{}", self.denominator),
            (whole, numerator) => format!("{sign}{whole} {numerator}/{}", self.denominator),
        }
    }

    /// The rest in inches with its sign, `−0.002`; `None` when nothing is left out that shows.
    pub fn rest_text(&self) -> Option<String> {
        let rest_in = self.rest_mm / MM_PER_INCH;
        let text = show_number(rest_in, 3);
        if text == show_number(0.0, 3) {
            return None;
        }
        Some(if rest_in > 0.0 { format!("+{text}") } else { text })
    }
}

impl fmt::Display for InchFraction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.rest_text() {
            Some(rest) => write!(f, "{} in ({rest})", self.text()),
            None => write!(f, "{} in", self.text()),
        }
    }
}

fn greatest_common_divisor(a: u32, b: u32) -> u32 {
    if b == 0 { a.max(1) } else { greatest_common_divisor(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{LengthUnit, parse_length};
    use proptest::prelude::*;

    fn shown(inches: f64) -> String {
        InchFraction::nearest(inches * 25.4, 64).to_string()
    }

    #[test]
    fn the_nearest_sixty_fourth_and_its_rest() {
        assert_eq!(shown(1.5), "1 1/2 in");
        // 1 31/64 = 1.484375.
        assert_eq!(shown(1.482375), "1 31/64 in (−0.002)");
        assert_eq!(shown(1.486375), "1 31/64 in (+0.002)");
        assert_eq!(shown(0.128), "1/8 in (+0.003)");
        assert_eq!(shown(0.999), "1 in (−0.001)");
        assert_eq!(shown(0.0), "0 in");
        assert_eq!(shown(-0.5), "−1/2 in");
        assert_eq!(shown(-1.482375), "−1 31/64 in (+0.002)");
        assert_eq!(shown(-0.0001), "0 in");
    }

    #[test]
    fn other_denominators() {
        let by = |inches: f64, parts| InchFraction::nearest(inches * 25.4, parts).text();
        assert_eq!(by(0.6, 2), "1/2");
        assert_eq!(by(0.6, 10), "3/5");
        assert_eq!(by(0.6, 16), "5/8");
        assert_eq!(by(0.5078125, 128), "65/128");
        assert_eq!(by(0.6, 0), "1");
        assert_eq!(by(0.5078125, 1000), "65/128");
    }

    #[test]
    fn what_is_no_number_gives_zero_and_no_panic() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(InchFraction::nearest(value, 64).text(), "0");
        }
        let _ = InchFraction::nearest(f64::MAX, 128).to_string();
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1000))]

        #[test]
        fn fraction_and_rest_make_the_length(mm in -5000.0..5000.0f64, parts in 2u32..=128) {
            let near = InchFraction::nearest(mm, parts);
            prop_assert!((near.to_mm() + near.rest_mm - mm).abs() < 1e-9);
            prop_assert!(near.rest_mm.abs() <= 12.7 / f64::from(parts) + 1e-9);
            prop_assert_eq!(greatest_common_divisor(near.numerator, near.denominator), 1);
            prop_assert!(near.numerator < near.denominator);
        }

        #[test]
        fn the_fraction_reads_back(mm in -5000.0..5000.0f64, parts in 2u32..=128) {
            let near = InchFraction::nearest(mm, parts);
            let read = parse_length(&format!("{} in", near.text()), LengthUnit::Millimetre);
            prop_assert!((read.unwrap().to_mm() - near.to_mm()).abs() < 1e-9);
        }
    }
}
