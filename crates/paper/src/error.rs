//! What can go wrong between a drawing and its paper.

/// Why no pages, or no file, could be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PaperError {
    /// A paper size by a name that the table does not have.
    #[error("There is no paper named \"{name}\": choose one of {known}.")]
    UnknownPaper {
        /// The name asked for.
        name: String,
        /// The names there are.
        known: String,
    },
    /// A drawing or page with a coordinate that is no number, or beyond all numbers.
    #[error("Sheet \"{sheet}\" has a point that is not a number: mend the outline it came from.")]
    NotFinite {
        /// The sheet's key.
        sheet: String,
    },
    /// A drawing that would need more pages than anyone would join.
    #[error(
        "Sheet \"{sheet}\" is {width_mm:.0} × {height_mm:.0} mm and would need {pages} pages: \
         check its units or choose larger paper."
    )]
    TooLarge {
        /// The sheet's key.
        sheet: String,
        /// Width of the drawing, mm.
        width_mm: f64,
        /// Height of the drawing, mm.
        height_mm: f64,
        /// Pages it would need.
        pages: usize,
    },
    /// More pages than anyone would print at once.
    #[error(
        "The sheets take {pages} pages of this paper and at most {max} are printed at once: choose \
         larger paper, or print fewer sheets."
    )]
    TooManyPages {
        /// Pages they would take.
        pages: usize,
        /// The most of them.
        max: usize,
    },
    /// Paper without room for rulers and proof square inside its margins.
    #[error(
        "{paper} paper with margins of {margin_mm} mm leaves no room for sheet \"{sheet}\" at full \
         size: choose larger paper or smaller margins, or print the other sheets without it."
    )]
    NoRoom {
        /// The sheet's key.
        sheet: String,
        /// The paper's name.
        paper: String,
        /// The margin, mm.
        margin_mm: f64,
    },
    /// Dots to the inch that make no picture, or one of more dots than memory should hold.
    #[error("{} can't be used: {}.", dots(*dpi), dots_allowed(*min, *max))]
    Dots {
        /// What was asked for.
        dpi: f64,
        /// Least allowed.
        min: f64,
        /// Most allowed.
        max: f64,
    },
    /// A paper size that was typed and can't be understood.
    #[error(
        "\"{typed}\" is no paper size: type a name ({known}), two sides such as 300x600mm or \
         12x18in, or a roll's width such as roll:610mm."
    )]
    NoSize {
        /// What was typed.
        typed: String,
        /// The names there are.
        known: String,
    },
    /// A paper size too small or too large for any printer.
    #[error("Paper of {side} has no use here: its sides must lie between {min} and {max}.")]
    Side {
        /// The side, in words.
        side: String,
        /// The least, in words.
        min: String,
        /// The most, in words.
        max: String,
    },
    /// A margin that leaves no page, or is none.
    #[error("A margin of {margin} can't be used: it must lie between 0 and {max}.")]
    Margin {
        /// The margin, in words.
        margin: String,
        /// The most, in words.
        max: String,
    },
    /// A shipped table or font that can't be read: a fault of the program.
    #[error("{what} is damaged: install the program again.")]
    Shipped {
        /// What it is.
        what: &'static str,
    },
    /// The PDF could not be put together.
    #[error("The PDF could not be put together: {0}")]
    Pdf(#[from] lopdf::Error),
    /// The PDF could not be put together, for a reason its library only warns of.
    #[error("The PDF could not be put together: {why}.")]
    Unwritten {
        /// What the library says.
        why: String,
    },
    /// The bytes of the PDF could not be gathered.
    #[error("The PDF could not be put together: {0}")]
    Io(#[from] std::io::Error),
    /// The picture could not be drawn.
    #[error("The picture could not be drawn: {why}")]
    Picture {
        /// What the renderer says.
        why: String,
    },
}

/// Dots to the inch as they may have been typed.
fn dots(dpi: f64) -> String {
    if dpi.abs() < 1e9 { dpi.to_string() } else { format!("{dpi:e}") }
}

/// How many dots to the inch a drawing may have, in words.
fn dots_allowed(min: f64, max: f64) -> String {
    if max >= min {
        format!("dots to the inch must lie between {min} and {max} for this drawing")
    } else {
        "this drawing is too large for a picture at any number of dots; write it as .svg".to_owned()
    }
}
