//! What was wrong in a file, where, and what to do.

use super::scan::{MOST_FIELDS, MOST_VALUES};
use crate::said::{said, said_least, said_most};
use std::fmt;

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
        wanted: &'static str,
    },
    /// A field holds another kind of value.
    WrongKind {
        /// What it should hold.
        wanted: &'static str,
        /// What it holds, shortened.
        found: String,
    },
    /// A number lies outside what is possible.
    OutOfRange {
        /// The number.
        value: f64,
        /// Least allowed.
        least: f64,
        /// Most allowed.
        most: f64,
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
    Idle {
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
        most: f64,
    },
    /// A height above what the blank is wide.
    HigherThanWide {
        /// The height, mm.
        value_mm: f64,
        /// The profile's width, mm.
        most_mm: f64,
    },
    /// A profile too short to be a blank.
    TooShort {
        /// Its length, mm.
        length_mm: f64,
        /// Least allowed, mm.
        least_mm: f64,
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
        least: usize,
        /// Most allowed.
        most: usize,
    },
    /// A text is too long.
    TooLong {
        /// Most characters allowed.
        most: usize,
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
            Problem::Missing { wanted } => {
                write!(f, "{place} is missing; give it {wanted}")
            }
            Problem::WrongKind { wanted, found } => {
                write!(f, "{place} is {found}; it must be {wanted}")
            }
            Problem::OutOfRange { value, least, most } => {
                let value = said(*value, &[*least, *most]);
                let (least, most) = (said_least(*least), said_most(*most));
                write!(f, "{place} is {value}; it must lie between {least} and {most}")
            }
            Problem::UnknownWord { found, known } => {
                write!(f, "{place} is \"{found}\"; it must be one of {}", known.join(", "))
            }
            Problem::Idle { beside } => {
                write!(f, "{place} says nothing where {beside}; remove it or mend that")
            }
            Problem::Above { value, other, most } => {
                let (value, most) = (said(*value, &[*most]), said(*most, &[*value]));
                write!(f, "{place} is {value}, above {other}, which is {most}; mend either")
            }
            Problem::HigherThanWide { value_mm, most_mm } => {
                let (value, most) = (said(*value_mm, &[*most_mm]), said_most(*most_mm));
                write!(
                    f,
                    "{place} is {value}, more than the whole profile, which is {most} mm wide; \
                     make it {most} or less"
                )
            }
            Problem::TooShort { length_mm, least_mm } => {
                let length = said(*length_mm, &[*least_mm]);
                write!(
                    f,
                    "{place} is {length} mm long; a blank is at least {least_mm} mm long: look at \
                     the drawing's units and scale"
                )
            }
            Problem::NotWhole { value } => {
                write!(f, "{place} is {}; it must be a whole number", said(*value, &[]))
            }
            Problem::UnknownField => {
                write!(f, "{place} is not a field of this format; check its spelling or remove it")
            }
            Problem::Count { found, least, most } => {
                write!(f, "{place} has {found} entries; it must have {least} to {most}")
            }
            Problem::TooLong { most } => {
                write!(f, "{place} is longer than {most} characters; shorten it")
            }
            Problem::Twice => {
                write!(f, "{place} stands there twice; keep the right one and remove the other")
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
pub enum NotABlank {
    /// There are no bytes, or only white space.
    #[error("it is empty; take an earlier copy")]
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
    #[error("it stops in the middle (line {line}, column {column}); take an earlier copy")]
    CutShort {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
    },
    /// Brackets within brackets without end.
    #[error("its brackets are nested too deep to be a blank (line {line}); take an earlier copy")]
    TooDeep {
        /// Line, from 1.
        line: usize,
    },
    /// Millions of values.
    #[error(
        "it holds more than {MOST_VALUES} values, or more than {MOST_FIELDS} fields in one place, \
         as no blank does; take an earlier copy"
    )]
    TooMuch,
    /// The bytes are not JSON.
    #[error(
        "it is not readable as JSON: {why} (line {line}, column {column}); mend it there or take \
         an earlier copy"
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
