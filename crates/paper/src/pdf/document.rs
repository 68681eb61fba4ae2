//! The file around the pages: tree, layers, bookmarks, preferences, information.

use super::content::{Content, layer_name};
use super::packed::packed;
use super::type0::Faces;
use super::{Meta, PT_PER_MM};
use crate::{Page, PaperError};
use drawing::Pen;
use lopdf::{Dictionary, Document, Object, ObjectId, StringFormat, dictionary};
use std::collections::BTreeMap;

pub(super) fn write(
    pages: &[Page],
    contents: &[Content],
    faces: &Faces,
    meta: &Meta,
) -> Result<Vec<u8>, PaperError> {
    let mut document = Document::with_version("1.7");
    let tree = document.new_object_id();
    let layers = layers(&mut document, contents);
    let fonts: Dictionary = faces
        .embed(&mut document)?
        .into_iter()
        .map(|(name, id)| (name.as_bytes().to_vec(), id.into()))
        .collect();
    let fonts = document.add_object(fonts);
    let mut kids = Vec::new();
    for (page, content) in pages.iter().zip(contents) {
        kids.push(add_page(&mut document, page, content, (tree, fonts), &layers)?);
    }
    let count = i64::try_from(kids.len()).unwrap_or(i64::MAX);
    document.objects.insert(
        tree,
        Object::Dictionary(dictionary! {
            "Type" => "Pages",
            "Count" => count,
            "Kids" => kids.iter().map(|id| Object::from(*id)).collect::<Vec<_>>(),
        }),
    );
    let outlines = bookmarks(&mut document, pages, &kids);
    let all: Vec<Object> = layers.values().map(|id| Object::from(*id)).collect();
    let catalog = document.add_object(dictionary! {
        "Type" => "Catalog",
        "Pages" => tree,
        "Outlines" => outlines,
        "Lang" => Object::string_literal("en"),
        "ViewerPreferences" => dictionary! {
            "PrintScaling" => "None",
            "PickTrayByPDFSize" => true,
            "Duplex" => "Simplex",
            "DisplayDocTitle" => true,
        },
        "OCProperties" => dictionary! {
            "OCGs" => all.clone(),
            "D" => dictionary! {
                "Name" => Object::string_literal("Lines"),
                "BaseState" => "ON",
                "Order" => all.clone(),
                "ON" => all,
            },
        },
    });
    document.trailer.set("Root", catalog);
    let info = document.add_object(info(meta));
    document.trailer.set("Info", info);
    let id = fingerprint(contents, meta);
    let id = Object::String(id.to_vec(), StringFormat::Hexadecimal);
    document.trailer.set("ID", vec![id.clone(), id]);
    let mut bytes = Vec::new();
    document.save_to(&mut bytes)?;
    Ok(bytes)
}

/// One optional-content group for each pen any page uses, by the pen's place.
fn layers(document: &mut Document, contents: &[Content]) -> BTreeMap<usize, ObjectId> {
    let mut layers = BTreeMap::new();
    for (place, pen) in Pen::ALL.into_iter().enumerate() {
        if contents.iter().any(|content| content.pens.contains(&place)) {
            let group = dictionary! { "Type" => "OCG", "Name" => text(pen.name()) };
            layers.insert(place, document.add_object(group));
        }
    }
    layers
}

fn add_page(
    document: &mut Document,
    page: &Page,
    content: &Content,
    (tree, fonts): (ObjectId, ObjectId),
    layers: &BTreeMap<usize, ObjectId>,
) -> Result<ObjectId, PaperError> {
    let stream = document.add_object(packed(dictionary! {}, &content.bytes)?);
    let properties: Dictionary = layers
        .iter()
        .filter(|(place, _)| content.pens.contains(place))
        .map(|(place, id)| (layer_name(*place).into_bytes(), Object::from(*id)))
        .collect();
    let sides = [0.0, 0.0, page.size_mm.width * PT_PER_MM, page.size_mm.height * PT_PER_MM];
    Ok(document.add_object(dictionary! {
        "Type" => "Page",
        "Parent" => tree,
        "MediaBox" => sides.map(real).to_vec(),
        "Resources" => dictionary! { "Font" => fonts, "Properties" => properties },
        "Contents" => stream,
    }))
}

/// One bookmark a page.
fn bookmarks(document: &mut Document, pages: &[Page], kids: &[ObjectId]) -> ObjectId {
    let root = document.new_object_id();
    let ids: Vec<ObjectId> = kids.iter().map(|_| document.new_object_id()).collect();
    for (k, (page, kid)) in pages.iter().zip(kids).enumerate() {
        let mut mark = dictionary! {
            "Title" => text(&page.name),
            "Parent" => root,
            "Dest" => vec![Object::from(*kid), "Fit".into()],
        };
        if k > 0 {
            mark.set("Prev", ids[k - 1]);
        }
        if let Some(next) = ids.get(k + 1) {
            mark.set("Next", *next);
        }
        document.objects.insert(ids[k], Object::Dictionary(mark));
    }
    let mut outlines = dictionary! { "Type" => "Outlines" };
    if let (Some(first), Some(last)) = (ids.first(), ids.last()) {
        outlines.set("First", *first);
        outlines.set("Last", *last);
        outlines.set("Count", i64::try_from(ids.len()).unwrap_or(i64::MAX));
    }
    document.objects.insert(root, Object::Dictionary(outlines));
    root
}

fn info(meta: &Meta) -> Dictionary {
    let mut info = dictionary! { "Producer" => text("Blankwright"), "Title" => text(&meta.title) };
    let mut add = |key: &str, value: &str| {
        if !value.is_empty() {
            info.set(key, text(value));
        }
    };
    add("Author", meta.author.as_deref().unwrap_or_default());
    add("Subject", meta.subject.as_deref().unwrap_or_default());
    add("Keywords", &meta.keywords.join(", "));
    if let Some(day) = meta.date.as_deref().and_then(pdf_date) {
        add("CreationDate", &day);
        add("ModDate", &day);
    }
    info
}

/// `2026-11-25` as `D:20261125` (ISO 32000-1, 7.9.4).
fn pdf_date(date: &str) -> Option<String> {
    let parts: Vec<&str> = date.split('-').collect();
    let digits = |part: &str, length: usize| {
        part.len() == length && part.bytes().all(|byte| byte.is_ascii_digit())
    };
    match parts[..] {
        [year, month, day] if digits(year, 4) && digits(month, 2) && digits(day, 2) => {
            let within =
                |part: &str, most: u8| part.parse::<u8>().is_ok_and(|n| (1..=most).contains(&n));
            (within(month, 12) && within(day, 31)).then(|| format!("D:{year}{month}{day}"))
        }
        _ => None,
    }
}

/// A text string: plain ASCII as it is, else UTF-16 (ISO 32000-1, 7.9.2.2).
fn text(text: &str) -> Object {
    if text.is_ascii() {
        return Object::string_literal(text);
    }
    let mut bytes = vec![0xFE, 0xFF];
    bytes.extend(text.encode_utf16().flat_map(u16::to_be_bytes));
    Object::String(bytes, StringFormat::Hexadecimal)
}

#[expect(clippy::cast_possible_truncation, reason = "the PDF library holds 32-bit numbers")]
fn real(value: f64) -> Object {
    if value.fract() == 0.0 { Object::Integer(value as i64) } else { Object::Real(value as f32) }
}

/// Sixteen bytes that depend on all that is on the pages (FNV-1a, two strands).
fn fingerprint(contents: &[Content], meta: &Meta) -> [u8; 16] {
    let said = format!("{meta:?}");
    let strand = |seed: u64| {
        let all = contents.iter().flat_map(|content| &content.bytes).chain(said.as_bytes());
        all.fold(seed, |sum, byte| (sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3))
    };
    let (a, b) = (strand(0xcbf2_9ce4_8422_2325), strand(0x9e37_79b9_7f4a_7c15));
    let mut id = [0; 16];
    id[..8].copy_from_slice(&a.to_be_bytes());
    id[8..].copy_from_slice(&b.to_be_bytes());
    id
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_real_day_becomes_a_date() {
        assert_eq!(pdf_date("2026-11-25").as_deref(), Some("D:20261125"));
        for wrong in ["", "yesterday", "2026-13-01", "2026-00-10", "26-11-25", "2026-11-25T10"] {
            assert_eq!(pdf_date(wrong), None, "{wrong}");
        }
    }
}
