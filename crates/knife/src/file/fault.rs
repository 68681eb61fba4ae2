//! What was wrong in a file, where, and what to do.

use crate::format::{format_against, format_max, format_min};
use crate::limits;
use std::fmt;

/// The most values of one text: a node has up to twelve, and nothing else of a blank or a shop
/// comes near to that many.
pub const MAX_VALUES: usize = 12 * *limits::NODES.end() + 100_000;
/// The most fields of one object; none of those known has a tenth of that.
pub const MAX_FIELDS: usize = 1000;

/// One problem found while reading; the rest of the file was read all the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Where in the file, such as `holes[2].diameter_mm` (counted from 0).
    pub place: String,
    /// What is wrong there.
    pub problem: Problem,
}

/// What can be wrong at a place of a file.
#[derive(Clone, Debug, PartialEq)]
pub enum Problem {
    /// A field that must be there is not.
    Missing {
        /// What it should hold.
        expected: &'static str,
    },
    /// A field holds another kind of value.
    WrongKind {
        /// What it should hold.
        expected: &'static str,
        /// What it holds, shortened.
        found: String,
    },
    /// A number lies outside what is possible.
    OutOfRange {
        /// The number.
        value: f64,
        /// Least allowed.
        min: f64,
        /// Most allowed.
        max: f64,
    },
    /// A word that is not one of those known.
    UnknownWord {
        /// The word.
        found: String,
        /// The words that are.
        known: &'static [&'static str],
    },
    /// A field this version does not know.
    UnknownField,
    /// A field that doesn't go with another one beside it.
    Unused {
        /// The other one, and what it says.
        beside: &'static str,
    },
    /// A number that must not be above another's.
    Above {
        /// The number.
        value: f64,
        /// The other's key.
        other: &'static str,
        /// The other's value.
        max: f64,
    },
    /// A height above what the blank is wide.
    HigherThanWide {
        /// The height, mm.
        value_mm: f64,
        /// The profile's width, mm.
        max_mm: f64,
    },
    /// A profile too short to be a blank.
    TooShort {
        /// Its length, mm.
        length_mm: f64,
        /// Least allowed, mm.
        min_mm: f64,
    },
    /// A number that should be whole.
    NotWhole {
        /// The number.
        value: f64,
    },
    /// A list is too short or too long.
    Count {
        /// How many there are.
        found: usize,
        /// Least allowed.
        min: usize,
        /// Most allowed.
        max: usize,
    },
    /// A text is too long.
    TooLong {
        /// Most characters allowed.
        max: usize,
    },
    /// A field stands twice in its object.
    Twice,
    /// Two parts carry the same id.
    SameId {
        /// The id.
        id: u32,
    },
    /// What is set aside names a part that is not there.
    NoSuchPart {
        /// The part, in the file's words.
        part: String,
    },
    /// A mark names a node that is not there.
    NoSuchNode {
        /// The id.
        id: u32,
    },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = &self.place;
        match &self.problem {
            Problem::Missing { expected } => {
                write!(f, "{place} is missing; give it {expected}")
            }
            Problem::WrongKind { expected, found } => {
                write!(f, "{place} is {found}; it must be {expected}")
            }
            Problem::OutOfRange { value, min, max } => {
                let value = format_against(*value, &[*min, *max]);
                let (min, max) = (format_min(*min), format_max(*max));
                write!(f, "{place} is {value}; it must lie between {min} and {max}")
            }
            Problem::UnknownWord { found, known } => {
                write!(f, "{place} is \"{found}\"; it must be one of {}", known.join(", "))
            }
            Problem::Unused { beside } => {
                write!(f, "{place} says nothing where {beside}; remove it or correct that")
            }
            Problem::Above { value, other, max } => {
                let (value, max) =
                    (format_against(*value, &[*max]), format_against(*max, &[*value]));
                write!(f, "{place} is {value}, above {other}, which is {max}; correct one of them")
            }
            Problem::HigherThanWide { value_mm, max_mm } => {
                let (value, max) = (format_against(*value_mm, &[*max_mm]), format_max(*max_mm));
                write!(
                    f,
                    "{place} is {value}, more than the whole profile, which is {max} mm wide; \
                     make it {max} or less"
                )
            }
            Problem::TooShort { length_mm, min_mm } => {
                let length = format_against(*length_mm, &[*min_mm]);
                write!(
                    f,
                    "{place} is {length} mm long; a blank is at least {min_mm} mm long: look at \
                     the drawing's units and scale"
                )
            }
            Problem::NotWhole { value } => {
                write!(f, "{place} is {}; it must be a whole number", format_against(*value, &[]))
            }
            Problem::UnknownField => {
                write!(f, "{place} is not a field of this format; check its spelling or remove it")
            }
            Problem::Count { found, min, max } => {
                write!(f, "{place} has {found} entries; it must have {min} to {max}")
            }
            Problem::TooLong { max } => {
                write!(f, "{place} is longer than {max} characters; shorten it")
            }
            Problem::Twice => {
                write!(f, "{place} is there twice; keep the right one and remove the other")
            }
            Problem::SameId { id } => {
                write!(f, "{place} is {id}, which an earlier entry already has; give it another")
            }
            Problem::NoSuchPart { part } => {
                write!(f, "{place} names {part}, which is not there; name a part of this knife")
            }
            Problem::NoSuchNode { id } => {
                write!(f, "{place} names node {id}, which is not there; name one of the nodes")
            }
        }
    }
}

/// Why a file is no blank file at all.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BlankFileError {
    /// There are no bytes, or only white space.
    #[error("it is empty; use an earlier copy")]
    Empty,
    /// The bytes are no text in UTF-8.
    #[error("it is not text; give a blank file, which ends in .blank.json")]
    NotText,
    /// It is a file of another kind.
    #[error("it is {what}")]
    OtherKind {
        /// What it is, and what to do with it.
        what: &'static str,
    },
    /// The text ends before the file does.
    #[error("it stops in the middle (line {line}, column {column}); use an earlier copy")]
    CutShort {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
    },
    /// Brackets within brackets without end.
    #[error("its brackets are nested too deep to be a blank (line {line}); use an earlier copy")]
    TooDeep {
        /// Line, from 1.
        line: usize,
    },
    /// Millions of values.
    #[error(
        "it holds more than {MAX_VALUES} values, or more than {MAX_FIELDS} fields in one place, \
         as no blank does; use an earlier copy"
    )]
    TooMuch,
    /// The bytes are not JSON.
    #[error(
        "it is not readable as JSON: {why} (line {line}, column {column}); correct it there or \
         use an earlier copy"
    )]
    NotJson {
        /// What the JSON reader says.
        why: String,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
    },
    /// It is JSON, but of something else.
    #[error("it is JSON, but not a blank: its \"format\" should be \"blankwright\"")]
    OtherFormat,
    /// No usable version number.
    #[error("its \"version\" should be a whole number such as 1")]
    NoVersion,
    /// Written by a later program.
    #[error("it is of version {found}, made by a newer Blankwright; this one reads up to {newest}")]
    Newer {
        /// Its version.
        found: u64,
        /// The newest this program reads.
        newest: u64,
    },
}
