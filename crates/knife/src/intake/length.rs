//! Lengths as SVG writes them.
//!
//! CSS Values and Units Level 4, section 6.2: 1 in = 2.54 cm = 96 px, 1 pt = 1/72 in,
//! 1 pc = 1/6 in, 1 Q = 1/40 cm.

use std::str::FromStr;
use svgtypes::Number;

/// One px in millimetres.
pub(super) const PX_MM: f64 = 25.4 / 96.0;

/// The unit behind a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unit {
    /// No unit, or px.
    Px,
    /// A unit of length on paper.
    Physical(Physical),
    /// Hundredths of the page.
    Percent,
    /// Size of type.
    Em,
    /// Height of small type.
    Ex,
}

/// A unit that a ruler knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Physical {
    /// Millimetres.
    Mm,
    /// Centimetres.
    Cm,
    /// Quarter millimetres.
    Q,
    /// Inches.
    In,
    /// Points.
    Pt,
    /// Picas.
    Pc,
}

impl Physical {
    /// Its length, mm.
    pub(super) fn mm(self) -> f64 {
        match self {
            Self::Mm => 1.0,
            Self::Cm => 10.0,
            Self::Q => 0.25,
            Self::In => 25.4,
            Self::Pt => 25.4 / 72.0,
            Self::Pc => 25.4 / 6.0,
        }
    }
}

const UNITS: [(&str, Unit); 10] = [
    ("px", Unit::Px),
    ("mm", Unit::Physical(Physical::Mm)),
    ("cm", Unit::Physical(Physical::Cm)),
    ("in", Unit::Physical(Physical::In)),
    ("pt", Unit::Physical(Physical::Pt)),
    ("pc", Unit::Physical(Physical::Pc)),
    ("em", Unit::Em),
    ("ex", Unit::Ex),
    ("q", Unit::Physical(Physical::Q)),
    ("%", Unit::Percent),
];

/// A number and its unit, or nothing if the text is not a length.
pub(super) fn parse(text: &str) -> Option<(f64, Unit)> {
    let text = text.trim().to_ascii_lowercase();
    let (number, unit) = UNITS
        .iter()
        .find_map(|(suffix, unit)| text.strip_suffix(suffix).map(|number| (number, *unit)))
        .unwrap_or((&text, Unit::Px));
    Number::from_str(number.trim_end()).ok().map(|number| (number.0, unit))
}

/// The length in px; `whole` is what percentages are of, when the page has a size.
/// Type is taken at its initial size of 16 px. Nothing if a percentage has no whole.
pub(super) fn px((number, unit): (f64, Unit), whole: Option<f64>) -> Option<f64> {
    match unit {
        Unit::Px => Some(number),
        Unit::Physical(unit) => Some(number * unit.mm() / PX_MM),
        Unit::Percent => whole.map(|whole| number / 100.0 * whole),
        Unit::Em => Some(number * 16.0),
        Unit::Ex => Some(number * 8.0),
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
