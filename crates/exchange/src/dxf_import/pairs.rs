//! The pairs of code and value that a DXF file is made of, as text or as bytes.

use std::borrow::Cow;

/// How a file of bytes begins (the DXF reference, "Binary DXF files").
const BINARY: &[u8] = b"AutoCAD Binary DXF\r\n\x1a\0";

/// What a code stands before, by the DXF reference's "Group code value types".
enum ValueType {
    Text,
    Double,
    /// A whole number of so many bytes; a yes or no has one.
    Whole(usize),
    Chunk,
}

/// One pair.
pub(super) struct Pair<'a> {
    pub(super) code: i32,
    pub(super) value: Cow<'a, [u8]>,
}

/// What comes next in a file.
pub(super) enum Next<'a> {
    Pair(Pair<'a>),
    /// What is no pair; nothing after it is read.
    Fault,
    End,
}

/// Reads one pair after another.
pub(super) enum Pairs<'a> {
    Text { rest: &'a [u8] },
    Binary { rest: &'a [u8], long_codes: bool },
}

impl<'a> Pairs<'a> {
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        if let Some(rest) = bytes.strip_prefix(BINARY) {
            // The first code is 0: one byte until release 12, two afterwards.
            return Self::Binary { rest, long_codes: rest.starts_with(&[0, 0]) };
        }
        Self::Text { rest: bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes) }
    }

    pub(super) fn next(&mut self) -> Next<'a> {
        match self {
            Self::Text { rest } if rest.trim_ascii().is_empty() => Next::End,
            Self::Text { rest } => {
                let (code, value) = (line(rest), line(rest));
                let pair = code.and_then(whole).zip(value);
                pair.map_or(Next::Fault, |(code, value)| {
                    Next::Pair(Pair { code, value: value.into() })
                })
            }
            Self::Binary { rest: [], .. } => Next::End,
            Self::Binary { rest, long_codes } => {
                binary_pair(rest, *long_codes).map_or(Next::Fault, Next::Pair)
            }
        }
    }

    /// Whether it is a file of bytes, which has no lines to be told.
    pub(super) fn is_binary(&self) -> bool {
        matches!(self, Self::Binary { .. })
    }
}

/// A whole number as text.
pub(super) fn whole(text: &[u8]) -> Option<i32> {
    std::str::from_utf8(text).ok()?.parse().ok()
}

/// Takes a line off the front.
fn line<'a>(rest: &mut &'a [u8]) -> Option<&'a [u8]> {
    if rest.is_empty() {
        return None;
    }
    let end = rest.iter().position(|byte| *byte == b'\n');
    let (line, after) = end.map_or((*rest, &[][..]), |end| (&rest[..end], &rest[end + 1..]));
    *rest = after;
    Some(line.trim_ascii())
}

/// Takes a pair off the front of a file of bytes.
fn binary_pair<'a>(rest: &mut &'a [u8], long_codes: bool) -> Option<Pair<'a>> {
    let two = |bytes: &[u8]| Some(i32::from(i16::from_le_bytes(bytes.try_into().ok()?)));
    let code = if long_codes {
        two(taken(rest, 2)?)?
    } else {
        match taken(rest, 1)?[0] {
            u8::MAX => two(taken(rest, 2)?)?,
            short => i32::from(short),
        }
    };
    let value = match value_type(code, long_codes)? {
        ValueType::Text => {
            let end = rest.iter().position(|byte| *byte == 0)?;
            let text = taken(rest, end + 1)?;
            Cow::Borrowed(text[..end].trim_ascii())
        }
        ValueType::Double => {
            let value = f64::from_le_bytes(taken(rest, 8)?.try_into().ok()?);
            Cow::Owned(format!("{value:e}").into_bytes())
        }
        ValueType::Whole(size) => {
            let bytes = taken(rest, size)?;
            let below_zero = size > 1 && bytes[size - 1] >= 0x80;
            let mut wide = [if below_zero { u8::MAX } else { 0 }; 8];
            wide[..size].copy_from_slice(bytes);
            Cow::Owned(i64::from_le_bytes(wide).to_string().into_bytes())
        }
        ValueType::Chunk => {
            let size = taken(rest, 1)?[0];
            taken(rest, usize::from(size))?;
            Cow::Borrowed(&b""[..])
        }
    };
    Some(Pair { code, value })
}

/// Takes so many bytes off the front, if there are as many.
fn taken<'a>(rest: &mut &'a [u8], count: usize) -> Option<&'a [u8]> {
    let (front, after) = rest.split_at_checked(count)?;
    *rest = after;
    Some(front)
}

fn value_type(code: i32, long_codes: bool) -> Option<ValueType> {
    Some(match code {
        0..=9 | 100..=102 | 105 | 300..=309 | 320..=369 | 390..=399 | 410..=419 | 430..=439 => {
            ValueType::Text
        }
        470..=481 | 999..=1003 | 1005..=1009 => ValueType::Text,
        10..=59 | 110..=149 | 210..=239 | 460..=469 | 1010..=1059 => ValueType::Double,
        60..=79 | 170..=179 | 270..=289 | 370..=389 | 400..=409 | 1060..=1070 => {
            ValueType::Whole(2)
        }
        90..=99 | 420..=429 | 440..=459 | 1071 => ValueType::Whole(4),
        160..=169 => ValueType::Whole(8),
        290..=299 => ValueType::Whole(if long_codes { 1 } else { 2 }),
        310..=319 | 1004 => ValueType::Chunk,
        _ => return None,
    })
}
