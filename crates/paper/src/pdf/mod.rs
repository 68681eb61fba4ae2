//! Writing pages as a PDF (ISO 32000-1), through printpdf.
//!
//! One optional-content layer a pen, shared by all pages; embedded subsets of the shipped faces
//! with their way back to text; a structure tree that tells titles, paragraphs, tables and figures
//! in reading order; no scaling asked of viewers; and nothing random or dated in it, so the same
//! pages give the same bytes.

mod date;
mod faces;
mod finish;
mod ops;
mod structure;
mod xmp;

use crate::{Page, PaperError};
use printpdf::{PageAnnotId, PageAnnotation, PdfDocument, PdfSaveOptions, PdfWarnMsg};

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
/// [`PaperError::NotFinite`] when a page has a number that is none, [`PaperError::Shipped`] when a
/// face can't be read, [`PaperError::Unwritten`], [`PaperError::Pdf`] or [`PaperError::Io`] when
/// the file can't be put together.
pub fn pdf(pages: &[Page], meta: &Meta) -> Result<Vec<u8>, PaperError> {
    let names = names(pages);
    let labels = pages.iter().zip(&names).map(|(page, name)| format!("{} {name}", page.number));
    let mut document = assembled(pages, &names)?;
    structure::add(&mut document, pages)?;
    finish::finish(document, labels, meta)
}

/// What each page is called; pages of one name are told apart.
fn names(pages: &[Page]) -> Vec<String> {
    let alike = |some: &[Page], name: &str| some.iter().filter(|page| page.name == name).count();
    let called = |(k, page): (usize, &Page)| match alike(pages, &page.name) {
        1 => page.name.clone(),
        all => format!("{}, {} of {all}", page.name, alike(&pages[..=k], &page.name)),
    };
    pages.iter().enumerate().map(called).collect()
}

/// The pages, layers, faces and bookmarks as printpdf puts them together.
fn assembled(pages: &[Page], names: &[String]) -> Result<lopdf::Document, PaperError> {
    let mut document = PdfDocument {
        pages: pages.iter().map(ops::page).collect::<Result<_, _>>()?,
        ..PdfDocument::default()
    };
    document.resources.layers.map = ops::layers(pages);
    document.resources.fonts.map = faces::used(pages)?;
    document.bookmarks.map = (1..).zip(names).map(bookmark).collect();
    // Deflating and pruning come last, here; the faces are subsets already.
    let plain = PdfSaveOptions {
        optimize: false,
        subset_fonts: false,
        secure: true,
        image_optimization: None,
    };
    let mut warnings = Vec::new();
    let raw = document.to_lopdf_document(&plain, &mut warnings);
    faultless(warnings)?;
    Ok(raw)
}

/// One bookmark a page, by its place from 1.
fn bookmark((place, name): (usize, &String)) -> (PageAnnotId, PageAnnotation) {
    (PageAnnotId(place.to_string()), PageAnnotation { name: name.clone(), page: place })
}

/// printpdf writes on past its faults and only tells of them: here each is an error.
fn faultless(warnings: Vec<PdfWarnMsg>) -> Result<(), PaperError> {
    let fault = warnings.into_iter().next();
    fault.map_or(Ok(()), |fault| Err(PaperError::Unwritten { why: fault.msg }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_library_only_warns_of_is_an_error() {
        assert!(faultless(vec![]).is_ok());
        let warning = PdfWarnMsg::warning(0, 0, "a font has no bytes".into());
        let message = faultless(vec![warning]).unwrap_err().to_string();
        assert_eq!(message, "The PDF could not be put together: a font has no bytes.");
    }
}
