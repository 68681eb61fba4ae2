//! Why a DXF drawing can't be taken, and what of it was left out, in plain sentences.

use super::{MAX_BYTES, MAX_GAP_MM};
use dxf::DxfError;
use knife::svg_import::ImportError;

/// Why no outline could be taken from a DXF file.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DxfFault {
    /// The file is larger than any outline needs.
    #[error(
        "the file has {} MB and at most {} MB are read; save a drawing that holds the outline alone",
        bytes / 1_000_000,
        MAX_BYTES / 1_000_000
    )]
    TooBig {
        /// Its size.
        bytes: usize,
    },
    /// The file has no bytes, or only blanks.
    #[error("the file is empty; save the drawing again as DXF")]
    NoBytes,
    /// The file is something else.
    #[error("the file isn't a DXF drawing; save the outline as DXF in the drawing program")]
    NotDxf,
    /// The file stops or goes wrong on the way.
    #[error("the drawing is faulty {where_}, and can't be read; save it again as DXF")]
    Broken {
        /// Where, in words.
        where_: String,
    },
    /// The drawing says nothing of its unit.
    #[error(
        "the drawing doesn't say which unit its numbers are in; add --units mm or --units in, \
         whichever it was drawn in"
    )]
    NoUnits,
    /// A gap out of range.
    #[error("a gap of {gap_mm} mm is not possible; it must lie between 0 and {MAX_GAP_MM} mm")]
    Gap {
        /// The gap asked for, mm.
        gap_mm: f64,
    },
    /// More entities than are read.
    #[error(
        "the drawing has more than {limit} entities, inserted blocks counted; save one that holds \
         the outline alone"
    )]
    TooManyEntities {
        /// How many are read.
        limit: usize,
    },
    /// Blocks within blocks beyond measure, or within themselves.
    #[error(
        "the drawing has blocks inserted more than {limit} deep, or in themselves; explode them"
    )]
    TooDeep {
        /// How deep is read.
        limit: usize,
    },
    /// A number that is none.
    #[error("the {kind} number {number} has a coordinate that can't be used; draw it again")]
    NotFinite {
        /// Kind of entity.
        kind: &'static str,
        /// Which one, from 1.
        number: usize,
    },
    /// A spline whose numbers don't fit together.
    #[error(
        "the spline number {number} can't be read, as its knots and control points don't fit \
         together; draw it again, or save it as a polyline"
    )]
    BadSpline {
        /// Which entity, from 1.
        number: usize,
    },
    /// What was read gave no outline.
    #[error("{0}")]
    Outline(#[from] ImportError),
}

/// A file that goes wrong near a line, or at a place that has none.
pub(super) fn faulty_at(line: Option<usize>) -> DxfFault {
    let where_ = line.map_or_else(|| "somewhere".to_owned(), |line| format!("near line {line}"));
    DxfFault::Broken { where_ }
}

/// What went wrong in the library's reading of a file, which may have no lines.
pub(super) fn broken(error: DxfError, has_lines: bool) -> DxfFault {
    let at = |line: usize| faulty_at(Some(line));
    match error {
        DxfError::UnexpectedEndOfInput => DxfFault::Broken { where_: "at its end".to_owned() },
        _ if !has_lines => faulty_at(None),
        DxfError::ParseFloatError(_, line)
        | DxfError::ParseIntError(_, line)
        | DxfError::ParseError(line)
        | DxfError::UnexpectedCode(_, line)
        | DxfError::UnexpectedByte(_, line)
        | DxfError::UnexpectedEnumValue(line)
        | DxfError::ExpectedTableType(line)
        | DxfError::WrongValueType(line) => at(line),
        DxfError::UnexpectedCodePair(pair, _) => at(pair.offset),
        _ => faulty_at(None),
    }
}

/// What of a drawing was left out, or read in a way that should be looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LeftOut {
    /// Entities of a kind that is no outline.
    Kind {
        /// DXF's word for it.
        kind: String,
        /// How many.
        count: usize,
    },
    /// Entities that are hidden, on layers turned off or frozen, or on a sheet of the drawing.
    Hidden {
        /// How many.
        count: usize,
    },
    /// Entities that do not lie in the drawing's plane.
    Tilted {
        /// How many.
        count: usize,
    },
    /// Splines told only by points they go through.
    ThroughPoints {
        /// How many.
        count: usize,
    },
}

impl std::fmt::Display for LeftOut {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let were = |count: &usize| if *count == 1 { "was" } else { "were" };
        match self {
            Self::Kind { kind, count } => {
                write!(f, "{count} {kind} {} left out, as it draws no outline", were(count))
            }
            Self::Hidden { count } => write!(
                f,
                "{count} entities hidden, on layers turned off or on paper sheets {} left out",
                were(count)
            ),
            Self::Tilted { count } => write!(
                f,
                "{count} entities that don't lie flat in the drawing's plane {} left out",
                were(count)
            ),
            Self::ThroughPoints { count } => write!(
                f,
                "{count} splines are given only by points they pass through; the curve between \
                 those was chosen here, so check the shape"
            ),
        }
    }
}
