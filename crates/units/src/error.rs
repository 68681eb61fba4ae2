//! What is said when a typed text can't be read.

use std::fmt;
use thiserror::Error;

/// What a text was meant to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ExpectedKind {
    /// A length.
    Length,
    /// An angle.
    Angle,
    /// A mass.
    Mass,
    /// A temperature.
    Temperature,
    /// The name of a drill.
    Drill,
    /// The name of a drill or a length.
    Size,
}

impl ExpectedKind {
    /// Texts that would be taken, as they stand in a sentence.
    pub fn examples(self) -> &'static str {
        match self {
            Self::Length => "1 1/2, 1.5 in, 38 mm or 5/32",
            Self::Angle => "15, 15° or 0.26 rad",
            Self::Mass => "150 g, 5.3 oz, 0.15 kg or 1/2 lb",
            Self::Temperature => "410 F or 210 °C",
            Self::Drill => "#30, F, 5/32 or 3.2 mm",
            Self::Size => "#30, F, 5/32, 3.2 mm or 0.128 in",
        }
    }
}

impl fmt::Display for ExpectedKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Mass => "a mass",
            Self::Temperature => "a temperature",
            Self::Drill => "a drill",
            Self::Size => "a drill or a diameter",
        })
    }
}

/// Why a text can't be read; its sentence shows what would be taken.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ParseError {
    /// Nothing but space.
    #[error("nothing is typed; type {expected} like {}", .expected.examples())]
    Empty {
        /// What the text was meant to be.
        expected: ExpectedKind,
    },
    /// Not of the form that is wanted.
    #[error("\"{text}\" isn't {expected}; type one like {}", .expected.examples())]
    NotUnderstood {
        /// What was typed, shortened.
        text: String,
        /// What the text was meant to be.
        expected: ExpectedKind,
    },
    /// A fraction over zero.
    #[error("\"{text}\" divides by zero; type {expected} like {}", .expected.examples())]
    DividedByZero {
        /// What was typed, shortened.
        text: String,
        /// What the text was meant to be.
        expected: ExpectedKind,
    },
    /// A comma with three figures behind it is a decimal comma to some and parts thousands to others.
    #[error(
        "\"{text}\" may mean {as_decimal} or {as_thousands}; type it with a point or with no comma"
    )]
    AmbiguousComma {
        /// What was typed, shortened.
        text: String,
        /// The number when the comma is a decimal comma.
        as_decimal: String,
        /// The number when the comma parts thousands.
        as_thousands: String,
    },
    /// A bare number where the unit can't be guessed.
    #[error("\"{text}\" needs a unit; type {expected} like {}", .expected.examples())]
    NeedsUnit {
        /// What was typed, shortened.
        text: String,
        /// What the text was meant to be.
        expected: ExpectedKind,
    },
    /// A drill outside its series.
    #[error(
        "there is no drill \"{text}\"; numbers run from #1 to #80, letters from A to Z, \
         fractions from 1/64 to 63/64 by 64ths, millimetres up to 100 mm"
    )]
    NoSuchDrill {
        /// What was typed, shortened.
        text: String,
    },
    /// Colder than anything can be.
    #[error("\"{text}\" is below absolute zero; type {} like {}", ExpectedKind::Temperature, ExpectedKind::Temperature.examples())]
    BelowAbsoluteZero {
        /// What was typed, shortened.
        text: String,
    },
}

/// A text on one line, as a sentence is that names what a file says: a space for each control
/// character.
pub fn one_line(text: &str) -> String {
    text.replace(char::is_control, " ")
}

/// What was typed, fit to stand in a sentence: one line, not too long.
pub(crate) fn quoted(text: &str) -> String {
    const MAX_QUOTED_CHARS: usize = 40;
    let text = text.trim();
    let mut shown: String = text.chars().take(MAX_QUOTED_CHARS).collect();
    shown = one_line(&shown);
    if text.chars().nth(MAX_QUOTED_CHARS).is_some() {
        shown.push('…');
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_text_is_cut_and_kept_on_one_line() {
        assert_eq!(quoted(" a\nb "), "a b");
        let long = quoted(&"ö".repeat(1000));
        assert_eq!(long.chars().count(), 41);
        assert!(long.ends_with('…'));
    }
}
