//! Why a picture could not be traced, as one plain sentence each.

/// Why a picture could not be traced.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TraceError {
    /// The bytes are no picture of a kind that is read.
    #[error("it is not a PNG, JPEG, WebP, TIFF or BMP picture; save it as one of these")]
    NotAPicture,
    /// The picture uses something that isn't read.
    #[error("this kind of picture can't be read ({what}); save it as an ordinary PNG or JPEG")]
    Unsupported {
        /// What it uses.
        what: String,
    },
    /// The bytes break off or make no sense.
    #[error("the picture is damaged or incomplete; copy or save it again")]
    Damaged,
    /// More pixels than are read.
    #[error("the picture has {width} × {height} pixels; reduce it to 100 megapixels or less")]
    TooManyPixels {
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
    /// It would take too much memory.
    #[error(
        "the picture needs more than 512 MB of memory; save it with 8 bits per channel, or reduce it"
    )]
    TooMuchMemory,
    /// Too few pixels to trace anything.
    #[error("the picture has only {width} × {height} pixels; at least 64 × 64 are needed")]
    TooFewPixels {
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
    /// Nothing in it differs from anything else.
    #[error("the picture is all one tone; nothing in it can be traced")]
    OneTone,
    /// A density that no scan has.
    #[error("{dpi} dots per inch is not a usable scan density; give a number from 20 to 10000")]
    BadDensity {
        /// What was given.
        dpi: f64,
    },
    /// No density in the file.
    #[error("the picture doesn't say its scan density; give the dots per inch it was scanned at")]
    NoDensity,
    /// Two points that give no scale.
    #[error(
        "the two points must lie inside the picture, at least 20 pixels apart, and their distance must be from 1 mm to 3 m"
    )]
    BadPoints,
    /// A rectangle that can't be one.
    #[error("the rectangle's sides must each be from 10 mm to 3 m")]
    BadSides,
    /// Corners that make no rectangle.
    #[error(
        "the four corners must go round the sheet in order (top left, top right, bottom right, bottom left of the picture) and lie inside the picture"
    )]
    BadCorners,
    /// No sheet was found.
    #[error(
        "no whole sheet of paper stands out in the picture; photograph it on a darker surface with all four corners in view, or give the corners"
    )]
    NoSheet,
    /// The sheet has other sides than those given.
    #[error(
        "the sheet in the picture has sides in the ratio {found:.2} to 1, but the given ones are {given:.2} to 1; give the sides of that sheet"
    )]
    WrongSheet {
        /// The longer side over the shorter as seen.
        found: f64,
        /// The same of the sides given.
        given: f64,
    },
    /// No mat was found.
    #[error(
        "no tracing mat was found in the picture; print one with print --sheets mat and photograph all of it from above"
    )]
    NoMat,
    /// Some of a mat was found, not enough.
    #[error(
        "only part of the tracing mat is in the picture ({found} targets found); photograph all of it, with nothing lying across a whole side"
    )]
    PartOfMat {
        /// Targets found.
        found: usize,
    },
    /// The mat's marks can't be read.
    #[error(
        "the tracing mat's square marks can't be read; at least one of the four must be in view and sharp"
    )]
    NoMark,
    /// Nothing gives the picture a scale.
    #[error(
        "nothing in the picture gives its scale: no tracing mat, no sheet of paper, no scan density; give the density, two points and their distance, or the corners of a sheet"
    )]
    NoScale,
    /// No closed contour.
    #[error("no closed shape stands out; use a plain, lighter background and even light")]
    NoContour,
    /// The chosen place lies in nothing.
    #[error("there is no closed shape at the chosen place")]
    NothingThere,
    /// The thing isn't wholly in view.
    #[error("the shape runs over the edge of the picture or of the sheet; move it wholly inside")]
    RunsOut,
    /// A drawn line that is open.
    #[error("the drawn line isn't closed; close it, or allow wider gaps")]
    OpenLine,
    /// So many contours that it can't be a thing on a plain ground.
    #[error("the picture is too cluttered to find a shape; use a plain background")]
    Cluttered,
    /// Smaller or larger than anything that is traced.
    #[error(
        "the shape comes out {length_mm:.1} mm long; check the scale, as only shapes from 5 mm to 3 m are traced"
    )]
    ImplausibleSize {
        /// Its longest side, mm.
        length_mm: f64,
    },
    /// An option outside its range.
    #[error("{what} must be from {min} to {max} {unit}")]
    OutOfRange {
        /// Which option.
        what: &'static str,
        /// The least.
        min: f64,
        /// The greatest.
        max: f64,
        /// Their unit.
        unit: &'static str,
    },
    /// Whoever asked for it cancelled it.
    #[error("tracing was stopped before it was done; change anything to start it again")]
    Cancelled,
    /// The curve could not be laid.
    #[error("no outline could be fitted to the shape; try another tolerance")]
    NoFit,
    /// The curve would take too long to lay.
    #[error(
        "the shape's edge is too jagged for this tolerance; try a wider one, or a cleaner picture"
    )]
    TooJagged,
}
