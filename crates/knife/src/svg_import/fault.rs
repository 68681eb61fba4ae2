//! Why a drawing can't be taken, in one plain sentence each.

use super::remark::{count, mm, place};
use super::{MAX_BYTES, MAX_LENGTH_MM, MAX_SEGMENTS, MIN_LENGTH_MM};
use kurbo::Point;

/// Why no outline could be taken from a drawing.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ImportError {
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
    /// The file is compressed.
    #[error("the file is a compressed drawing (svgz); save it as plain, uncompressed SVG")]
    Compressed,
    /// The file has no bytes, or only blanks.
    #[error("the file is empty; save the drawing again as SVG")]
    NoBytes,
    /// The text is in an encoding that isn't read.
    #[error("the file isn't UTF-8 text (byte {byte} is wrong); save the drawing as SVG in UTF-8")]
    NotText {
        /// The first byte that is wrong, from 0.
        byte: usize,
    },
    /// The file is something else.
    #[error("the file isn't an SVG drawing; save the outline as SVG in the drawing program")]
    NotSvg,
    /// The file is XML of another kind.
    #[error(
        "the file holds “{root}”, not an SVG drawing; save the outline as SVG in the drawing program"
    )]
    OtherXml {
        /// Name of its outermost element.
        root: String,
    },
    /// The XML is faulty.
    #[error(
        "the drawing is faulty at line {line}, column {column}, and can't be read; \
         save it again as plain SVG"
    )]
    BadXml {
        /// Line, from 1.
        line: u32,
        /// Column, from 1.
        column: u32,
    },
    /// The XML stops before it is complete.
    #[error("the drawing breaks off before its end; save it again as plain SVG")]
    BrokenOff,
    /// The drawing refers to text that another file holds, or none.
    #[error(
        "the drawing refers to text that isn't in it (“&{name};”), and other files are never read \
         for it; save it again as plain SVG"
    )]
    TextElsewhere {
        /// The name it refers by.
        name: String,
    },
    /// Elements with more attributes than any drawing program writes.
    #[error(
        "the elements up to line {line} have far more attributes than are read (at most {limit} of \
         one); save the drawing again as plain SVG"
    )]
    TooManyAttributes {
        /// Line of the drawing, from 1.
        line: usize,
        /// How many are read.
        limit: usize,
    },
    /// Text replacements that would swell the drawing.
    #[error(
        "the drawing repeats its own text (entities) too often to be read; \
         save it again as plain SVG"
    )]
    Entities,
    /// The page's size or viewBox can't be understood.
    #[error("the drawing's {what} “{text}” isn't a size; set the page size in the drawing program")]
    BadSize {
        /// The attribute.
        what: &'static str,
        /// What it says.
        text: String,
    },
    /// Path data that can't be read.
    #[error(
        "the path in line {line} can't be read from character {character} of its data on; \
         correct it, or save the drawing again"
    )]
    BadPath {
        /// Line of the drawing, from 1.
        line: u32,
        /// Character of the path data, from 1.
        character: usize,
    },
    /// A number or a length of a shape that can't be read.
    #[error(
        "the {element} in line {line} has {attribute}=“{text}”, which isn't a number that can be \
         used; correct it, or save the drawing again"
    )]
    BadNumber {
        /// Line of the drawing, from 1.
        line: u32,
        /// Kind of shape.
        element: String,
        /// The attribute.
        attribute: &'static str,
        /// What it says.
        text: String,
    },
    /// A transform that can't be read.
    #[error(
        "the {element} in line {line} has a transform that can't be read: “{text}”; \
         ungroup it, or save the drawing again"
    )]
    BadTransform {
        /// Line of the drawing, from 1.
        line: u32,
        /// Kind of element.
        element: String,
        /// What it says.
        text: String,
    },
    /// Transforms and numbers that multiply up beyond all measure.
    #[error(
        "the {element} in line {line} has a coordinate too large to be a number; \
         correct its transform or its numbers"
    )]
    NotFinite {
        /// Line of the drawing, from 1.
        line: u32,
        /// Kind of element.
        element: String,
    },
    /// Groups within groups beyond measure.
    #[error(
        "the drawing has groups nested more than {limit} deep; ungroup them in the drawing program"
    )]
    TooDeep {
        /// How deep is read.
        limit: usize,
    },
    /// More elements than are read, often by copies of copies.
    #[error(
        "the drawing shows more than {limit} elements, copies counted; \
         save one that holds the outline alone"
    )]
    TooManyElements {
        /// How many are read.
        limit: usize,
    },
    /// More segments than are read.
    #[error(
        "the drawing has more than {MAX_SEGMENTS} line and curve segments; \
         simplify it, or leave all but the outline out"
    )]
    TooManySegments,
    /// Copies repeat more than is read.
    #[error(
        "the drawing's copies repeat more than {} MB of text; turn them into plain paths, or leave \
         all but the outline out",
        limit / 1_000_000
    )]
    TooMuchCopied {
        /// How much is read, bytes.
        limit: usize,
    },
    /// The outline has more nodes than a profile may have.
    #[error(
        "the outline has {found} nodes and at most {max} are taken; simplify it in the drawing \
         program"
    )]
    TooManyNodes {
        /// How many it has.
        found: usize,
        /// How many are taken.
        max: usize,
    },
    /// More circles within the outline than any blank has holes.
    #[error("the outline has more than {limit} circles in it; leave out all that aren't holes")]
    TooManyHoles {
        /// How many are taken.
        limit: usize,
    },
    /// There is nothing in the drawing.
    #[error("the drawing is empty; draw the outline as one closed path")]
    Empty,
    /// There is a picture and no line.
    #[error("the drawing holds a picture, not a line; trace it first, then save the traced path")]
    OnlyPicture,
    /// There is text and no line.
    #[error("the drawing holds only text; draw the outline as one closed path")]
    OnlyText,
    /// All there is is hidden.
    #[error("everything in the drawing is hidden; show the outline's layer and save it again")]
    AllHidden,
    /// The outline does not close.
    #[error(
        "the outline is open: {} mm are missing near {} mm{}; \
         close the path in the drawing program",
        mm(*gap_mm),
        place(*at),
        if *pieces > 1 { format!(", and {} don't join up", count(*pieces, "piece")) } else { String::new() }
    )]
    Open {
        /// Width of the gap, mm.
        gap_mm: f64,
        /// Where it lies, mm.
        at: Point,
        /// How many open pieces there are.
        pieces: usize,
    },
    /// The only closed paths enclose nothing.
    #[error(
        "the closed path near {} mm encloses nothing; draw the outline as one closed path",
        place(*at)
    )]
    NoArea {
        /// Where it lies, mm.
        at: Point,
    },
    /// The outline is too small to be a blank.
    #[error(
        "the outline is only {} mm long (at least {MIN_LENGTH_MM} mm are wanted); \
         check the drawing's units",
        mm(*length_mm)
    )]
    TooSmall {
        /// Its longest side, mm.
        length_mm: f64,
    },
    /// The outline is too large to be a blank.
    #[error(
        "the outline is {} mm long (at most {MAX_LENGTH_MM} mm are taken); \
         check the drawing's units",
        mm(*length_mm)
    )]
    TooLarge {
        /// Its longest side, mm.
        length_mm: f64,
    },
    /// A curve's handle is longer than any blank.
    #[error("the curve near {} mm has a handle {length_mm:.1e} mm long; draw it again", place(*at))]
    LongHandle {
        /// Where the curve starts, mm.
        at: Point,
        /// The handle's length, mm.
        length_mm: f64,
    },
    /// The outline lies so far out that its coordinates lose their fine digits.
    #[error(
        "the outline lies {distance_mm:.2e} mm from the drawing's origin, where coordinates are \
         too coarse; move it onto the page"
    )]
    TooFar {
        /// Its distance from the origin, mm.
        distance_mm: f64,
    },
}
