//! What printpdf leaves out or writes wrongly: preferences, labels, information, and fewer bytes.

use super::date::pdf_date;
use super::{Meta, xmp};
use crate::PaperError;
use flate2::{Compression, write::ZlibEncoder};
use lopdf::{Dictionary, Document, Object, SaveOptions, Stream, StringFormat, dictionary};
use marks::lettering;
use rayon::iter::{IntoParallelIterator as _, ParallelIterator as _};
use std::io::{self, Write as _};

/// A third of the time of the best level, and a file larger by a few hundredths.
const LEVEL: Compression = Compression::new(4);
/// A page with an outline of thousands of nodes on it is not worth that level.
const FAST: Compression = Compression::new(2);
const LARGE: usize = 300_000;

/// The file's bytes from what printpdf put together, with what viewers call each page.
pub(super) fn finish(
    mut document: Document,
    labels: impl ExactSizeIterator<Item = String>,
    meta: &Meta,
) -> Result<Vec<u8>, PaperError> {
    document.version = "1.7".into();
    document.objects.values_mut().try_for_each(mend)?;
    catalog(document.catalog_mut()?, labels)?;
    let info = document.add_object(info(meta));
    document.trailer.set("Info", info);
    let metadata = dictionary! { "Type" => "Metadata", "Subtype" => "XML" };
    let metadata = document.add_object(Stream::new(metadata, xmp::packet(meta).into_bytes()));
    document.catalog_mut()?.set("Metadata", metadata);
    document.prune_objects();
    let id = Object::String(deflate(&mut document, meta)?.to_vec(), StringFormat::Hexadecimal);
    document.trailer.set("ID", vec![id.clone(), id]);
    let mut bytes = Vec::new();
    // Objects of the structure tree are many and small: together they deflate well.
    let options = SaveOptions::builder()
        .use_object_streams(true)
        .use_xref_streams(true)
        .compression_level(LEVEL.level())
        .build();
    document.save_with_options(&mut bytes, options)?;
    Ok(bytes)
}

/// Puts one object right, whichever it is.
fn mend(object: &mut Object) -> Result<(), lopdf::Error> {
    let Ok(dictionary) = object.as_dict_mut() else { return Ok(()) };
    // What no page has: images, transparency, shades and notes. A layer's use is told wrongly.
    for empty in ["XObject", "ExtGState", "Shading", "Annots", "Intent", "Usage"] {
        dictionary.remove(empty.as_bytes());
    }
    if dictionary.has(b"CapHeight") {
        dictionary.set("CapHeight", lettering::CAP_HEIGHT);
    }
    // A bookmark shows the whole page.
    if dictionary.has(b"Dest") {
        let page = dictionary.get(b"Dest")?.as_array()?.first().cloned();
        dictionary.set("Dest", page.into_iter().chain([Object::from("Fit")]).collect::<Vec<_>>());
    }
    Ok(())
}

fn catalog(
    catalog: &mut Dictionary,
    labels: impl ExactSizeIterator<Item = String>,
) -> Result<(), lopdf::Error> {
    catalog.remove(b"PageLayout");
    catalog.set("PageMode", if labels.len() > 1 { "UseOutlines" } else { "UseNone" });
    catalog.set("Lang", Object::string_literal("en"));
    catalog.set(
        "ViewerPreferences",
        dictionary! {
            "PrintScaling" => "None",
            // No dialog may bring scaling back (ISO 32000-2, table 147).
            "Enforce" => vec![Object::from("PrintScaling")],
            "PickTrayByPDFSize" => true,
            "Duplex" => "Simplex",
            "DisplayDocTitle" => true,
        },
    );
    // ISO 32000-1, 12.4.2: ranges of pages, here of one page each, and a prefix without a number.
    let label = |(place, label): (i64, String)| {
        [place.into(), Object::from(dictionary! { "P" => text(&label) })]
    };
    let labels: Vec<Object> = (0..).zip(labels).flat_map(label).collect();
    catalog.set("PageLabels", dictionary! { "Nums" => labels });
    if let Ok(layers) = catalog.get_mut(b"OCProperties") {
        let shown = layers.as_dict_mut()?.get_mut(b"D")?.as_dict_mut()?;
        shown.set("Name", text("Lines"));
        shown.set("BaseState", "ON");
        shown.remove(b"RBGroups");
    }
    Ok(())
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

/// A text string: plain ASCII as it is, else UTF-16 (ISO 32000-1, 7.9.2.2).
pub(super) fn text(text: &str) -> Object {
    if text.is_ascii() {
        return Object::string_literal(text);
    }
    let mut bytes = vec![0xFE, 0xFF];
    bytes.extend(text.encode_utf16().flat_map(u16::to_be_bytes));
    Object::String(bytes, StringFormat::Hexadecimal)
}

/// Deflates every stream (ISO 32000-1, 7.4.4), and gives sixteen bytes that depend on what is in
/// them and what the file says about itself (FNV-1a, two strands).
fn deflate(document: &mut Document, meta: &Meta) -> io::Result<[u8; 16]> {
    let streams: Vec<&mut Stream> =
        document.objects.values_mut().filter_map(|object| object.as_stream_mut().ok()).collect();
    let deflated: Vec<&Stream> = streams
        .into_par_iter()
        .map(|stream| {
            let level = if stream.content.len() > LARGE { FAST } else { LEVEL };
            let mut encoder = ZlibEncoder::new(Vec::new(), level);
            encoder.write_all(&stream.content)?;
            stream.dict.set("Filter", "FlateDecode");
            stream.set_content(encoder.finish()?);
            Ok(&*stream)
        })
        .collect::<io::Result<_>>()?;
    let mut strands = [0xcbf2_9ce4_8422_2325_u64, 0x9e37_79b9_7f4a_7c15];
    let mut add = |bytes: &[u8]| {
        for byte in bytes {
            strands = strands.map(|sum| (sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3));
        }
    };
    deflated.iter().for_each(|stream| add(&stream.content));
    add(format!("{meta:?}").as_bytes());
    let mut id = [0; 16];
    id[..8].copy_from_slice(&strands[0].to_be_bytes());
    id[8..].copy_from_slice(&strands[1].to_be_bytes());
    Ok(id)
}
