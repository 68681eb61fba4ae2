//! From bytes to an XML tree that is known to be an SVG drawing.

use super::{ImportError, MAX_BYTES};
use roxmltree::{Document, Node, ParsingOptions};
use std::borrow::Cow;

const SVG: &str = "http://www.w3.org/2000/svg";
const XLINK: &str = "http://www.w3.org/1999/xlink";
/// The most nodes of a tree, so that memory stays within bounds.
const MAX_NODES: u32 = 3_000_000;
/// Bound on references to entities times the length of the file's declarations. The parser
/// allows 255 nested references to one reference, so at most 255 times this is made.
const MAX_ENTITY_BYTES: usize = 400_000;

/// The most attributes of one element: the parser compares each with every other.
const MAX_ATTRIBUTES: usize = 2_000;
/// The most such comparisons in a drawing, of elements with more attributes than is usual: some
/// tenths of a second.
const MAX_COMPARISONS: usize = 40_000_000;
const USUAL_ATTRIBUTES: usize = 40;

/// The text of the file: UTF-8, or UTF-16 with a byte order mark.
pub(super) fn text(bytes: &[u8]) -> Result<Cow<'_, str>, ImportError> {
    if bytes.len() > MAX_BYTES {
        return Err(ImportError::TooBig { bytes: bytes.len() });
    }
    match bytes {
        [0x1f, 0x8b, ..] => Err(ImportError::Compressed),
        [0xff, 0xfe, rest @ ..] => utf16(rest, u16::from_le_bytes),
        [0xfe, 0xff, rest @ ..] => utf16(rest, u16::from_be_bytes),
        [0xef, 0xbb, 0xbf, rest @ ..] => utf8(rest),
        _ => utf8(bytes),
    }
}

fn utf8(bytes: &[u8]) -> Result<Cow<'_, str>, ImportError> {
    if !bytes.trim_ascii_start().starts_with(b"<") && !bytes.trim_ascii().is_empty() {
        return Err(ImportError::NotSvg);
    }
    std::str::from_utf8(bytes)
        .map(Cow::Borrowed)
        .map_err(|error| ImportError::NotText { byte: error.valid_up_to() })
}

fn utf16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Result<Cow<'_, str>, ImportError> {
    let units: Vec<u16> = bytes.chunks_exact(2).map(|pair| unit([pair[0], pair[1]])).collect();
    let text =
        String::from_utf16(&units).map_err(|_lone_surrogate| ImportError::NotText { byte: 2 })?;
    Ok(Cow::Owned(text))
}

/// The tree; declarations of entities are allowed, since drawing programs write them.
pub(super) fn parse(text: &str) -> Result<Document<'_>, ImportError> {
    if text.trim().is_empty() {
        return Err(ImportError::NoBytes);
    }
    if !text.trim_start().starts_with('<') {
        return Err(ImportError::NotSvg);
    }
    bound_entities(text)?;
    bound_attributes(text)?;
    let options =
        ParsingOptions { allow_dtd: true, nodes_limit: MAX_NODES, ..ParsingOptions::default() };
    // A declaration may only stand at the very start; other blanks stay, for the line count.
    let trimmed = text.trim_start();
    let text = if trimmed.starts_with("<?xml") { trimmed } else { text };
    Document::parse_with_options(text, options).map_err(|error| match error {
        roxmltree::Error::NoRootNode => ImportError::NotSvg,
        roxmltree::Error::UnclosedRootNode | roxmltree::Error::UnexpectedEndOfStream => {
            ImportError::BrokenOff
        }
        roxmltree::Error::EntityReferenceLoop(_) => ImportError::Entities,
        roxmltree::Error::UnknownEntityReference(name, _) => {
            ImportError::TextElsewhere { name: quote(&name) }
        }
        roxmltree::Error::NodesLimitReached
        | roxmltree::Error::AttributesLimitReached
        | roxmltree::Error::NamespacesLimitReached => {
            ImportError::TooManyElements { limit: MAX_NODES as usize }
        }
        other => {
            let at = other.pos();
            ImportError::BadXml { line: at.row, column: at.col }
        }
    })
}

/// Refuses drawings whose own declarations would swell them beyond memory.
fn bound_entities(text: &str) -> Result<(), ImportError> {
    let declared: usize = text.match_indices("<!ENTITY").map(|(at, _)| quoted(&text[at..])).sum();
    if declared == 0 {
        return Ok(());
    }
    let own = |at: usize| {
        let rest = &text[at + 1..];
        !["#", "amp;", "lt;", "gt;", "quot;", "apos;"].iter().any(|known| rest.starts_with(known))
    };
    let references = text.match_indices('&').filter(|(at, _)| own(*at)).count();
    if declared.saturating_mul(references) > MAX_ENTITY_BYTES {
        return Err(ImportError::Entities);
    }
    Ok(())
}

/// Refuses elements with more attributes than the parser gets through in good time.
fn bound_attributes(text: &str) -> Result<(), ImportError> {
    let bytes = text.as_bytes();
    let mut at = 0;
    let mut comparisons = 0_usize;
    while let Some(off) = bytes[at..].iter().position(|b| *b == b'<') {
        let start = at + off;
        at = start + 1;
        let mut values = 0_usize;
        while let Some(byte) = bytes.get(at) {
            at += 1;
            match byte {
                b'>' => break,
                b'"' | b'\'' => {
                    values += 1;
                    if values > USUAL_ATTRIBUTES {
                        comparisons += values;
                    }
                    if values > MAX_ATTRIBUTES || comparisons > MAX_COMPARISONS {
                        let line = 1 + bytes[..start].iter().filter(|b| **b == b'\n').count();
                        return Err(ImportError::TooManyAttributes { line, limit: MAX_ATTRIBUTES });
                    }
                    let end = bytes[at..].iter().position(|b| b == byte);
                    at = end.map_or(bytes.len(), |end| at + end + 1);
                }
                _ => {}
            }
        }
    }
    Ok(())
}

/// Length of the first quoted stretch.
fn quoted(text: &str) -> usize {
    let Some(from) = text.find(['"', '\'']) else { return 0 };
    let quote = &text[from..=from];
    let inner = &text[from + 1..];
    inner.find(quote).unwrap_or(inner.len())
}

/// The drawing's outermost element.
pub(super) fn root<'a, 'i>(doc: &'a Document<'i>) -> Result<Node<'a, 'i>, ImportError> {
    let root = doc.root_element();
    if is_svg(root) && root.tag_name().name() == "svg" {
        Ok(root)
    } else {
        let name: String = root.tag_name().name().chars().take(40).collect();
        Err(ImportError::OtherXml { root: name })
    }
}

/// Whether the element is one of SVG's; a drawing without any namespace is let pass.
pub(super) fn is_svg(node: Node<'_, '_>) -> bool {
    node.is_element() && matches!(node.tag_name().namespace(), None | Some(SVG))
}

/// What a copy refers to: its `href`, plain or in the older namespace.
pub(super) fn href<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    node.attribute("href").or_else(|| node.attribute((XLINK, "href"))).map(str::trim)
}

/// The line of the file on which the element starts, from 1.
pub(super) fn line(node: Node<'_, '_>) -> u32 {
    node.document().text_pos_at(node.range().start).row
}

/// The start of a text, for quoting it.
pub(super) fn quote(text: &str) -> String {
    let mut short: String = text.chars().take(40).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The parser compares each attribute of an element with every other: that is what is counted.
    #[test]
    fn attributes_are_bounded_by_the_comparisons_that_they_take() {
        let element = |count: usize| -> String {
            let all: String = (0..count).map(|i| format!(" a{i}=''")).collect();
            format!("<g{all}/>")
        };
        let drawing = |count: usize, elements: usize| {
            format!("<svg>{}</svg>", element(count).repeat(elements))
        };
        for (text, fine) in [
            (drawing(12, 100_000), true),
            (drawing(900, 50), true),
            (drawing(900, 200), false),
            (drawing(2_001, 1), false),
        ] {
            let bound = bound_attributes(&text);
            assert_eq!(bound.is_ok(), fine, "{bound:?}");
        }
    }
}
