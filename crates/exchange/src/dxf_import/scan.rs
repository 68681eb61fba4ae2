//! A first look at the text of a DXF file: whether it is one, and which kinds of entities it has
//! that the library passes over in silence.

use super::{Counts, DxfFault};

/// Kinds that are read, or told by what becomes of them, or only belong to others.
const KNOWN: &[&str] = &[
    "LINE", "3DLINE", "ARC", "CIRCLE", "ELLIPSE", "LWPOLYLINE", "POLYLINE", "VERTEX", "SEQEND",
    "SPLINE", "INSERT", "ATTRIB", "SECTION", "ENDSEC", "EOF",
];
/// How a binary DXF file begins.
const BINARY: &[u8] = b"AutoCAD Binary DXF";
/// Kinds told one by one; a file may name thousands that nobody knows.
const MAX_KINDS: usize = 30;

/// Kinds of entities of the entities section that aren't read, with their counts.
pub(super) fn scan(bytes: &[u8]) -> Result<Counts, DxfFault> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(DxfFault::NoBytes);
    }
    let mut counts = Counts::new();
    if bytes.starts_with(BINARY) {
        return Ok(counts);
    }
    let text = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let mut lines = text.split(|byte| *byte == b'\n').map(<[u8]>::trim_ascii);
    let mut in_entities = false;
    let mut last = (0, &b""[..]);
    let mut pairs = 0_usize;
    while let (Some(code), Some(value)) = (lines.next(), lines.next()) {
        let Some(code) = std::str::from_utf8(code).ok().and_then(|code| code.parse::<i32>().ok())
        else {
            // The library tells where it went wrong, once it is sure that this is DXF.
            return if pairs == 0 { Err(DxfFault::NotDxf) } else { Ok(counts) };
        };
        pairs += 1;
        if code == 2 && last == (0, b"SECTION") {
            in_entities = value == b"ENTITIES";
        }
        if code == 0 && in_entities {
            let kind = String::from_utf8_lossy(value).into_owned();
            let is_told = counts.contains_key(&kind) || counts.len() < MAX_KINDS;
            if !KNOWN.contains(&kind.as_str()) && is_told {
                *counts.entry(kind).or_insert(0) += 1;
            }
            in_entities = value != b"ENDSEC";
        }
        last = (code, value);
    }
    if pairs == 0 { Err(DxfFault::NotDxf) } else { Ok(counts) }
}
