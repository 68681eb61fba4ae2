//! What goes in and what comes out: sheets, the setup, pages.

use crate::{Paper, PaperError};
use kurbo::Size;
use marks::{Drawing, Insert};

/// No printer leaves a wider border than this, mm.
const MAX_MARGIN_MM: f64 = 50.0;

/// A drawing to be put on paper, with what is said about it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// Its short name: "profile". Pages tell it back.
    pub key: &'static str,
    /// Its title: "Profile".
    pub title: String,
    /// What it shows, mm, at true size, anywhere on the plane.
    pub drawing: Drawing,
    /// Short lines that stand beside the drawing. They are wrapped if need be.
    pub notes: Vec<String>,
    /// Tables, charts and text that belong to it: tables and charts are kept whole, beside the
    /// drawing where there is room for all, else on pages of their own; text flows over columns
    /// and pages.
    pub inserts: Vec<Insert>,
    /// What is printed instead where the drawing doesn't go level on one page with all that
    /// belongs to it: of these the first that goes on one page, else the one that takes the
    /// fewest, the first of several. What is drawn smaller says so in words, and is only read.
    pub reduced: Vec<Self>,
}

/// What every page says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Heading {
    /// The name of what is drawn.
    pub name: String,
    /// The date as it shall be printed; nothing here knows what day it is.
    pub date: Option<String>,
    /// The printer correction in use, in words; empty means none.
    pub trim: String,
    /// Which state of what is drawn this is: the maker's own word or a short digest; may be empty.
    pub revision: String,
}

/// The paper and how to use it.
#[derive(Clone, Debug, PartialEq)]
pub struct PageSetup {
    /// The paper.
    pub paper: Paper,
    /// What every page says.
    pub heading: Heading,
    /// The border in which nothing is printed, mm.
    pub margin_mm: f64,
    /// How far neighbouring tiles show the same part of the drawing, mm; taken as 8 at least (the
    /// register crosses need it) and 40 at most.
    pub overlap_mm: f64,
    /// What places on the paper, held upright, are multiplied by before they are sent to the
    /// printer, so that its own error takes it back: the rows of a symmetric matrix.
    pub trim: Option<[[f64; 2]; 2]>,
    /// The keys of the sheets that are cut by: they carry long rulers and the square of 50 mm, the
    /// others that are measured from a slim check of the scale.
    pub large_check: &'static [&'static str],
}

impl PageSetup {
    /// The usual setup: margins and overlap of 10 mm. (Margins: printers leave 3 to 6 mm on most
    /// sides; common practice, no source.)
    pub fn new(paper: Paper, heading: Heading) -> Self {
        let large_check = &[];
        Self { paper, heading, margin_mm: 10.0, overlap_mm: 10.0, trim: None, large_check }
    }

    /// The same with another border in which nothing is printed.
    ///
    /// # Errors
    /// [`PaperError::Margin`] when it is negative, or wider than any printer leaves.
    pub fn with_margin_mm(self, margin_mm: f64) -> Result<Self, PaperError> {
        if !(0.0..=MAX_MARGIN_MM).contains(&margin_mm) {
            return Err(PaperError::Margin {
                margin: units::show_mm(margin_mm, 1),
                max: units::show_mm(MAX_MARGIN_MM, 0),
            });
        }
        Ok(Self { margin_mm, ..self })
    }
}

/// One page, ready to be written.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Width and height, mm.
    pub size_mm: Size,
    /// Everything on it, mm, origin at the page's lower left corner, y up.
    pub drawing: Drawing,
    /// The sheet's key.
    pub key: &'static str,
    /// The name for a bookmark: "Profile", "Profile, tile 1 of 2".
    pub name: String,
    /// Its number, from 1.
    pub number: usize,
    /// How far the sheet's drawing was turned to fit, degrees counter-clockwise.
    pub turn_deg: f64,
    /// From the sheet's own plane to the page, mm: keeps lengths.
    pub from_sheet: kurbo::Affine,
    /// What the page is put through as it is sent to the printer; the drawing itself stays true.
    pub trim: Option<kurbo::Affine>,
}
