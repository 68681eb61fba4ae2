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
use faces::Signs;
use lopdf::{Document, ObjectId};
use marks::{Item, Mark};
use printpdf::{PageAnnotId, PageAnnotation, PdfDocument, PdfSaveOptions, PdfWarnMsg};
use rayon::iter::{IntoParallelIterator as _, ParallelIterator as _};

/// More parts than this would take longer to put together than they save.
const MAX_PARTS: usize = 4;
/// Pages of more points than this are put together one after another, for the memory that each
/// takes meanwhile.
const HEAVY: usize = 100_000;

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

/// The pages, layers, faces and bookmarks as printpdf puts them together: on each core a file with
/// the contents of some of the pages, of which the first then takes the contents of all.
fn assembled(pages: &[Page], names: &[String]) -> Result<Document, PaperError> {
    let mut frame = PdfDocument::default();
    frame.resources.layers.map = ops::layers(pages);
    let signs = faces::signs(pages);
    frame.resources.fonts.map = faces::with(&signs)?;
    frame.bookmarks.map = (1..).zip(names).map(bookmark).collect();
    let count = if points(pages) > HEAVY { 1 } else { rayon::current_num_threads() };
    let count = count.clamp(1, MAX_PARTS);
    let parts: Vec<Document> = (0..count)
        .into_par_iter()
        .map(|part| assembled_part(&frame, pages, &signs, (part, count)))
        .collect::<Result<_, _>>()?;
    let mut parts = parts.into_iter();
    let mut document = parts.next().unwrap_or_default();
    let contents = contents(&document)?;
    for (k, mut part) in (1..).zip(parts) {
        for id in contents.iter().skip(k).step_by(count).flatten() {
            document.objects.extend(part.objects.remove_entry(id));
        }
    }
    Ok(document)
}

/// About as many points as the lines of all pages have.
fn points(pages: &[Page]) -> usize {
    let of_item = |item: &Item| match &item.mark {
        Mark::Path(path) | Mark::Fill(path) => path.elements().len(),
        Mark::Circle(_) | Mark::Text(_) => 1,
    };
    pages.iter().flat_map(|page| &page.drawing.items).map(of_item).sum()
}

/// A file with all pages, of which each so many-th has its contents, one part after another. In
/// place of the others stand all signs: widths are told of those that a file shows.
fn assembled_part(
    frame: &PdfDocument,
    pages: &[Page],
    signs: &Signs,
    (part, count): (usize, usize),
) -> Result<Document, PaperError> {
    let page = |(k, page)| match k % count == part {
        true => ops::page(page),
        false => ops::stand_in(page, signs),
    };
    let pages = pages.iter().enumerate().map(page).collect::<Result<_, _>>()?;
    let whole = PdfDocument { pages, ..frame.clone() };
    // Deflating and pruning come last, here; the faces are subsets already.
    let plain = PdfSaveOptions {
        optimize: false,
        subset_fonts: false,
        secure: true,
        image_optimization: None,
    };
    let mut warnings = Vec::new();
    let raw = whole.to_lopdf_document(&plain, &mut warnings);
    faultless(warnings)?;
    Ok(raw)
}

/// For each page the objects with its contents and what they name: of the same numbers in all
/// parts, as these are put together alike.
fn contents(document: &Document) -> Result<Vec<[ObjectId; 2]>, lopdf::Error> {
    let page = |id: ObjectId| {
        let page = document.get_dictionary(id)?;
        Ok([page.get(b"Contents")?.as_reference()?, page.get(b"Resources")?.as_reference()?])
    };
    document.page_iter().map(page).collect()
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
