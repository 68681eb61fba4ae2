//! The faces in the file: subset, embedded, and readable back as text.

use super::packed::packed;
use crate::{Page, PaperError, font};
use drawing::{Face, Mark, lettering};
use lopdf::{Document, Object, ObjectId, dictionary};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use subsetter::{GlyphRemapper, subset};

/// Both faces, as far as some pages use them.
pub(super) struct Faces(BTreeMap<Face, Embedded>);

struct Embedded {
    font: ttf_parser::Face<'static>,
    /// Sign to glyph number in the subset.
    glyphs: BTreeMap<char, u16>,
    remapper: GlyphRemapper,
}

/// The name of a face in a page's resources.
pub(super) fn resource(face: Face) -> &'static str {
    match face {
        Face::Regular => "F1",
        Face::Bold => "F2",
    }
}

impl Faces {
    /// The faces and signs the pages use.
    pub(super) fn gather(pages: &[Page]) -> Result<Self, PaperError> {
        let mut used: BTreeMap<Face, BTreeSet<char>> = BTreeMap::new();
        for item in pages.iter().flat_map(|page| &page.drawing.items) {
            if let Mark::Text(label) = &item.mark {
                let signs = used.entry(label.face).or_default();
                signs.extend(lettering::spelled(&label.text).chars());
            }
        }
        let embedded =
            used.into_iter().map(|(face, signs)| Ok((face, Embedded::new(face, &signs)?)));
        embedded.collect::<Result<_, PaperError>>().map(Self)
    }

    /// The glyphs of a text in the face's subset.
    pub(super) fn glyphs<'a>(
        &'a mut self,
        face: Face,
        text: &str,
    ) -> impl Iterator<Item = u16> + use<'a> {
        let signs: Vec<char> = lettering::spelled(text).chars().collect();
        let glyphs = self.0.get(&face).map(|embedded| &embedded.glyphs);
        signs.into_iter().map(move |sign| {
            glyphs.and_then(|glyphs| glyphs.get(&sign)).copied().unwrap_or_default()
        })
    }

    /// Adds the faces to a file; gives each its resource name and object.
    pub(super) fn embed(
        &self,
        document: &mut Document,
    ) -> Result<Vec<(&'static str, ObjectId)>, PaperError> {
        let embed = |(face, embedded): (&Face, &Embedded)| {
            Ok((resource(*face), embedded.write(*face, document)?))
        };
        self.0.iter().map(embed).collect()
    }
}

impl Embedded {
    fn new(face: Face, signs: &BTreeSet<char>) -> Result<Self, PaperError> {
        let font = font::open(face)?;
        let mut remapper = GlyphRemapper::new();
        let mut glyphs = BTreeMap::new();
        for &sign in signs {
            if let Some(glyph) = font.glyph_index(sign) {
                glyphs.insert(sign, remapper.remap(glyph.0));
            }
        }
        Ok(Self { font, glyphs, remapper })
    }

    /// A composite font with an identity mapping (ISO 32000-1, 9.7).
    fn write(&self, face: Face, document: &mut Document) -> Result<ObjectId, PaperError> {
        let file = subset(font::bytes(face), 0, &self.remapper)
            .map_err(|_broken| PaperError::Shipped { what: "A font" })?;
        let length = i64::try_from(file.len()).unwrap_or(i64::MAX);
        let file = document.add_object(packed(dictionary! { "Length1" => length }, &file)?);
        let name = format!("{}+{}", tag(&self.glyphs), font::postscript(face));
        let bounds = self.font.global_bounding_box();
        let descriptor = document.add_object(dictionary! {
            "Type" => "FontDescriptor",
            "FontName" => Object::Name(name.clone().into_bytes()),
            // Nonsymbolic (ISO 32000-1, table 123).
            "Flags" => 32,
            "FontBBox" => [bounds.x_min, bounds.y_min, bounds.x_max, bounds.y_max]
                .map(|n| Object::from(i64::from(n))).to_vec(),
            "ItalicAngle" => 0,
            "Ascent" => i64::from(self.font.ascender()),
            "Descent" => i64::from(self.font.descender()),
            "CapHeight" => i64::from(self.font.capital_height().unwrap_or_default()),
            "StemV" => match face { Face::Regular => 84, Face::Bold => 142 },
            "FontFile2" => file,
        });
        let widths: Vec<Object> = self
            .remapper
            .remapped_gids()
            .map(|glyph| self.font.glyph_hor_advance(ttf_parser::GlyphId(glyph)))
            .map(|advance| Object::from(i64::from(advance.unwrap_or_default())))
            .collect();
        let descendant = document.add_object(dictionary! {
            "Type" => "Font",
            "Subtype" => "CIDFontType2",
            "BaseFont" => Object::Name(name.clone().into_bytes()),
            "CIDSystemInfo" => dictionary! {
                "Registry" => Object::string_literal("Adobe"),
                "Ordering" => Object::string_literal("Identity"),
                "Supplement" => 0,
            },
            "FontDescriptor" => descriptor,
            "DW" => 500,
            "W" => vec![Object::from(0), Object::Array(widths)],
            "CIDToGIDMap" => "Identity",
        });
        let to_unicode = packed(dictionary! {}, to_unicode(&self.glyphs).as_bytes())?;
        let to_unicode = document.add_object(to_unicode);
        Ok(document.add_object(dictionary! {
            "Type" => "Font",
            "Subtype" => "Type0",
            "BaseFont" => Object::Name(name.into_bytes()),
            "Encoding" => "Identity-H",
            "DescendantFonts" => vec![descendant.into()],
            "ToUnicode" => to_unicode,
        }))
    }
}

/// Six capitals that tell subsets apart (ISO 32000-1, 9.6.4), made from the signs in it.
fn tag(glyphs: &BTreeMap<char, u16>) -> String {
    let mut sum =
        glyphs.keys().fold(17_u32, |sum, sign| sum.wrapping_mul(31).wrapping_add(u32::from(*sign)));
    let mut tag = String::new();
    for _ in 0..6 {
        tag.push(char::from(b'A' + u8::try_from(sum % 26).unwrap_or(0)));
        sum /= 26;
    }
    tag
}

/// The way back from glyphs to text (ISO 32000-1, 9.10.3).
fn to_unicode(glyphs: &BTreeMap<char, u16>) -> String {
    let mut back: Vec<(u16, char)> = glyphs.iter().map(|(sign, glyph)| (*glyph, *sign)).collect();
    back.sort_unstable();
    back.dedup_by_key(|(glyph, _)| *glyph);
    let mut map = String::from(
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n\
         /CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n\
         /CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n\
         1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n",
    );
    // A block holds a hundred entries at most.
    for block in back.chunks(100) {
        let _ = writeln!(map, "{} beginbfchar", block.len());
        for (glyph, sign) in block {
            let mut units = [0; 2];
            let units: String =
                sign.encode_utf16(&mut units).iter().map(|u| format!("{u:04X}")).collect();
            let _ = writeln!(map, "<{glyph:04X}> <{units}>");
        }
        map.push_str("endbfchar\n");
    }
    map.push_str("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
    map
}
