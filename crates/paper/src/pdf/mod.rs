//! Writing pages as a PDF (ISO 32000-1).
//!
//! One optional-content layer a pen, shared by all pages; embedded subsets of the shipped faces
//! with their way back to text; no scaling asked of viewers; and nothing random or dated in it,
//! so the same pages give the same bytes.

mod content;
mod document;
mod packed;
mod type0;

use crate::{Page, PaperError};

/// Points to the millimetre: 1 pt is 1/72 in (ISO 32000-1, 8.3.2.3).
const PT_PER_MM: f64 = 72.0 / 25.4;

/// What the file says about itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Meta {
    /// The title viewers show.
    pub title: String,
    /// Who made it.
    pub author: Option<String>,
    /// What it is about.
    pub subject: Option<String>,
    /// Words to find it by.
    pub keywords: Vec<String>,
    /// The day it was made, `YYYY-MM-DD`; anything else is left out.
    pub date: Option<String>,
}

/// The pages as the bytes of a PDF 1.7 file.
///
/// # Errors
/// [`PaperError::Shipped`] when a face can't be read, [`PaperError::Pdf`] or [`PaperError::Io`]
/// when the file can't be put together.
pub fn pdf(pages: &[Page], meta: &Meta) -> Result<Vec<u8>, PaperError> {
    let mut faces = type0::Faces::gather(pages)?;
    let contents: Vec<content::Content> =
        pages.iter().map(|page| content::write(page, &mut faces)).collect();
    document::write(pages, &contents, &faces, meta)
}
