//! The faces in the file: the signs the pages use, subset and embedded, readable back as text.

use crate::{Page, PaperError, font};
use marks::{FontFace, Mark, lettering};
use printpdf::{FontId, ParsedFont, PdfFont};
use std::collections::{BTreeMap, BTreeSet};
use subsetter::{GlyphRemapper, subset};

/// The name of a face in a page's resources.
pub(super) fn id(face: FontFace) -> FontId {
    FontId(font::postscript(face).to_owned())
}

/// The signs of each face that the pages use.
pub(super) type Signs = BTreeMap<FontFace, BTreeSet<char>>;

pub(super) fn signs(pages: &[Page]) -> Signs {
    let mut used = Signs::new();
    for item in pages.iter().flat_map(|page| &page.drawing.items) {
        if let Mark::Text(label) = &item.mark {
            let signs = used.entry(label.face).or_default();
            signs.extend(lettering::with_fallbacks(&label.text).chars());
        }
    }
    used
}

/// The faces with these signs, embedded.
pub(super) fn with(signs: &Signs) -> Result<BTreeMap<FontId, PdfFont>, PaperError> {
    signs.iter().map(|(face, signs)| Ok((id(*face), embedded(*face, signs)?))).collect()
}

/// A face cut down to these signs. printpdf does not subset without laying out text too.
fn embedded(face: FontFace, signs: &BTreeSet<char>) -> Result<PdfFont, PaperError> {
    let damaged = || PaperError::Shipped { what: "A font" };
    let whole = font::open(face)?;
    let mut remapper = GlyphRemapper::new();
    let glyph = |sign: &char| {
        let glyph = whole.glyph_index(*sign)?;
        Some((u32::from(*sign), remapper.remap(glyph.0)))
    };
    let glyphs = signs.iter().filter_map(glyph).collect();
    let file = subset(font::bytes(face), 0, &remapper).map_err(|_broken| damaged())?;
    // It misses the map from signs to glyphs, which a subset goes without, and says so.
    let mut font = ParsedFont::from_bytes(&file, 0, &mut Vec::new()).ok_or_else(damaged)?;
    font.codepoint_to_glyph = glyphs;
    font.font_name = Some(format!("{}+{}", tag(signs), font::postscript(face)));
    font.pdf_font_metrics.us_weight_class = whole.weight().to_number();
    Ok(PdfFont::new(font))
}

/// Six capitals that tell subsets apart (ISO 32000-1, 9.6.4), made from the signs in it.
fn tag(signs: &BTreeSet<char>) -> String {
    let mut sum =
        signs.iter().fold(17_u32, |sum, sign| sum.wrapping_mul(31).wrapping_add(u32::from(*sign)));
    let mut tag = String::new();
    for _ in 0..6 {
        tag.push(char::from(b'A' + u8::try_from(sum % 26).unwrap_or(0)));
        sum /= 26;
    }
    tag
}
