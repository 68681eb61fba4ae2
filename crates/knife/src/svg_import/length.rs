//! Lengths as SVG writes them.
//!
//! CSS Values and Units Level 4, section 6.2: 1 in = 2.54 cm = 96 px, 1 pt = 1/72 in,
//! 1 pc = 1/6 in, 1 Q = 1/40 cm.

use std::str::FromStr;
use svgtypes::{Length, LengthUnit as Unit};

/// One px in millimetres.
pub(super) const PX_MM: f64 = 25.4 / 96.0;

/// A length, or nothing if the text is none. Units may be in capitals, and a Q, which the reader
/// of SVG's own lengths doesn't know, is a quarter of a millimetre.
pub(super) fn parse(text: &str) -> Option<Length> {
    let text = text.trim().to_ascii_lowercase();
    let length = match text.strip_suffix('q') {
        Some(quarters) => {
            Length::new(svgtypes::Number::from_str(quarters).ok()?.0 * 0.25, Unit::Mm)
        }
        None => Length::from_str(&text).ok()?,
    };
    length.number.is_finite().then_some(length)
}

/// A length as style sheets write it, where only zero stands without a unit.
pub(super) fn parse_css(text: &str) -> Option<Length> {
    parse(text).filter(|length| length.unit != Unit::None || length.number == 0.0)
}

/// How long a unit of paper is, mm; nothing for px and for what is relative.
pub(super) fn physical_mm(unit: Unit) -> Option<f64> {
    match unit {
        Unit::Mm => Some(1.0),
        Unit::Cm => Some(10.0),
        Unit::In => Some(25.4),
        Unit::Pt => Some(25.4 / 72.0),
        Unit::Pc => Some(25.4 / 6.0),
        Unit::None | Unit::Px | Unit::Em | Unit::Ex | Unit::Percent => None,
    }
}

/// The length in px; `whole` is what percentages are of, when the page has a size.
/// Type is taken at its initial size of 16 px. Nothing if a percentage has no whole.
pub(super) fn px(length: Length, whole: Option<f64>) -> Option<f64> {
    match length.unit {
        Unit::None | Unit::Px => Some(length.number),
        Unit::Percent => whole.map(|whole| length.number / 100.0 * whole),
        Unit::Em => Some(length.number * 16.0),
        Unit::Ex => Some(length.number * 8.0),
        unit => physical_mm(unit).map(|mm| length.number * mm / PX_MM),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_of_css_is_known() {
        // CSS Values and Units Level 4, section 6.2.
        for (text, inches) in [
            ("1in", 1.0),
            ("2.54cm", 1.0),
            ("25.4MM", 1.0),
            ("101.6Q", 1.0),
            ("72pt", 1.0),
            ("6pc", 1.0),
            ("96", 1.0),
            (" 96px ", 1.0),
            ("1e1in", 10.0),
        ] {
            let got = px(parse(text).unwrap(), None).unwrap();
            assert!((got - inches * 96.0).abs() < 1e-12 * got, "{text}");
        }
        assert_eq!(px(parse("50%").unwrap(), Some(30.0)), Some(15.0));
        assert_eq!(px(parse("50%").unwrap(), None), None);
        for bad in ["", "mm", "1 2", "1e999", "nan", "inf", "12ft", "1e"] {
            assert_eq!(parse(bad), None, "{bad}");
        }
    }
}
