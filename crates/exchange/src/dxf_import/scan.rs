//! A first look at the text of a DXF file: whether it is one, and what it says that the library
//! passes over in silence, such as kinds of entities it doesn't know, and frozen layers.

use super::entity::MAX_ENTITIES;
use super::{Counts, DxfFault};
use std::collections::HashSet;

/// Kinds that are read, or told by what becomes of them, or only belong to others.
const KNOWN: &[&str] = &[
    "LINE",
    "3DLINE",
    "ARC",
    "CIRCLE",
    "ELLIPSE",
    "LWPOLYLINE",
    "POLYLINE",
    "VERTEX",
    "SEQEND",
    "SPLINE",
    "INSERT",
    "ATTRIB",
    "SECTION",
    "ENDSEC",
    "EOF",
];
/// How a binary DXF file begins.
const BINARY: &[u8] = b"AutoCAD Binary DXF";
/// Kinds told one by one; a file may name thousands that nobody knows.
const MAX_KINDS: usize = 30;

/// The most places that are read of all of them, corners of polylines counted.
const MAX_VERTICES: usize = 250_000;

/// What the library passes over.
#[derive(Debug, Default)]
pub(super) struct Scan {
    /// Kinds of entities of the entities section that aren't read, with their counts.
    pub(super) unread: Counts,
    /// Names of frozen layers, in lower case.
    pub(super) frozen: HashSet<String>,
}

/// Looks through the pairs of code and value; a binary file is left to the library.
pub(super) fn scan(bytes: &[u8]) -> Result<Scan, DxfFault> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(DxfFault::NoBytes);
    }
    let mut found = Scan::default();
    if bytes.starts_with(BINARY) {
        return Ok(found);
    }
    let text = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let mut lines = text.split(|byte| *byte == b'\n').map(<[u8]>::trim_ascii);
    let mut in_entities = false;
    let mut last = (0, &b""[..]);
    let (mut pairs, mut entities, mut vertices) = (0_usize, 0_usize, 0_usize);
    let mut layer = None;
    while let (Some(code), Some(value)) = (lines.next(), lines.next()) {
        let Some(code) = std::str::from_utf8(code).ok().and_then(|code| code.parse::<i32>().ok())
        else {
            // The library tells where it went wrong, once it is sure that this is DXF.
            return if pairs == 0 { Err(DxfFault::NotDxf) } else { Ok(found) };
        };
        pairs += 1;
        if code == 2 && last == (0, b"SECTION") {
            in_entities = value == b"ENTITIES";
        }
        // The library keeps each of them, as many as there are.
        entities += usize::from(code == 0 && value != b"VERTEX");
        vertices += usize::from(code == 10);
        if entities > MAX_ENTITIES || vertices > MAX_VERTICES {
            return Err(DxfFault::TooManyEntities { limit: MAX_ENTITIES });
        }
        if code == 0 && in_entities {
            let kind = String::from_utf8_lossy(value).into_owned();
            let unread = &mut found.unread;
            let is_told = unread.contains_key(&kind) || unread.len() < MAX_KINDS;
            if !KNOWN.contains(&kind.as_str()) && is_told {
                *unread.entry(kind).or_insert(0) += 1;
            }
            in_entities = value != b"ENDSEC";
        }
        // A layer's record: its name, and flags of which the lowest bit says frozen.
        match code {
            0 => layer = (value == b"LAYER" && !in_entities).then(String::new),
            2 => layer = layer.map(|_| String::from_utf8_lossy(value).to_lowercase()),
            70 => {
                let flags = std::str::from_utf8(value).ok().and_then(|v| v.parse::<i32>().ok());
                if flags.is_some_and(|flags| flags & 1 == 1) {
                    found.frozen.extend(layer.take());
                }
            }
            _ => {}
        }
        last = (code, value);
    }
    if pairs == 0 { Err(DxfFault::NotDxf) } else { Ok(found) }
}
