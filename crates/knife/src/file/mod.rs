//! The file format, `.blank.json`: reading with every fault told, writing for a person to read.

mod aside;
mod blade;
mod dimensions;
mod fault;
mod fields;
mod handle;
mod handle_shape;
mod picture;
mod pretty;
mod scan;
mod sheath;
mod treatment;
mod v1;
mod values;

pub use aside::part_keys;
pub use fault::{BlankFileError, Fault, MAX_FIELDS, MAX_VALUES, Problem};
pub use fields::{Faults, Fields, MAX_LISTED_FAULTS};
pub use pretty::write as json_for_people;
pub use scan::{JsonError, read_json};

use crate::Knife;
use serde_json::Value;

/// What a file gave: the knife as far as it could be read, and all that was wrong.
#[derive(Clone, Debug, PartialEq)]
pub struct Opened {
    /// The knife; what was faulty is left out or stands at its default.
    pub knife: Knife,
    /// The faults, in the order of the file, the first [`MAX_LISTED_FAULTS`] of them. Empty for a sound
    /// file.
    pub faults: Vec<Fault>,
    /// How many faults there are besides.
    pub more_faults: usize,
}

/// What would be written could not be read again: the reader's words.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct Unreadable(pub String);

/// The ending of a blank file's name.
pub const EXTENSION: &str = ".blank.json";
/// The format's name inside the file.
const FORMAT: &str = "blankwright";
/// The newest version written and read.
const NEWEST: u64 = 1;

/// Reads a blank file. Never panics, and never throws away what it could read.
///
/// # Errors
/// [`BlankFileError`] only when the bytes are not a blank file at all.
pub fn open(bytes: &[u8]) -> Result<Opened, BlankFileError> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let mut faults = Faults::default();
    let value = read_json(bytes, &mut faults).map_err(|why| match why {
        JsonError::NotJson(error) => not_json(bytes, &error),
        JsonError::TooMuch => BlankFileError::TooMuch,
    })?;
    if value.get("format").and_then(Value::as_str) != Some(FORMAT) {
        return Err(BlankFileError::OtherFormat);
    }
    match value.get("version").and_then(version) {
        None | Some(0) => Err(BlankFileError::NoVersion),
        Some(1) => Ok(v1::read(&value, faults)),
        Some(found) => Err(BlankFileError::Newer { found, newest: NEWEST }),
    }
}

/// Writes a knife in the newest version, as indented JSON in UTF-8.
pub fn save(knife: &Knife) -> Vec<u8> {
    pretty::write(&v1::write(knife)).into_bytes()
}

/// The same, read back: what a writer writes, the reader reads.
///
/// # Errors
/// [`Unreadable`] with the first fault that [`open`] finds in it.
pub fn save_read_back(knife: &Knife) -> Result<Vec<u8>, Unreadable> {
    let bytes = save(knife);
    let opened = open(&bytes).map_err(|why| Unreadable(why.to_string()))?;
    match opened.faults.first() {
        Some(fault) => Err(Unreadable(fault.to_string())),
        None => Ok(bytes),
    }
}

/// A version number; other programs may write 1 as 1.0.
pub fn version(value: &Value) -> Option<u64> {
    let one = || value.as_f64().filter(|v| v.to_bits() == 1.0_f64.to_bits()).map(|_| 1);
    value.as_u64().or_else(one)
}

/// What the bytes are instead of JSON, as plainly as can be told.
fn not_json(bytes: &[u8], error: &serde_json::Error) -> BlankFileError {
    let (line, column) = (error.line(), error.column());
    if bytes.starts_with(b"%PDF") {
        return BlankFileError::OtherKind {
            what: "a PDF; give the blank file it was printed from",
        };
    }
    let Ok(text) = std::str::from_utf8(bytes) else { return BlankFileError::NotText };
    let text = text.trim_start();
    if text.is_empty() {
        return BlankFileError::Empty;
    }
    if text.starts_with("<svg") || (text.starts_with("<?xml") && text.contains("<svg")) {
        return BlankFileError::OtherKind { what: "an SVG drawing: take it with new --outline" };
    }
    if text.contains('\0') {
        return BlankFileError::NotText;
    }
    let why = json_reason(error);
    if error.is_eof() {
        BlankFileError::CutShort { line, column }
    } else if why.starts_with("recursion limit") {
        BlankFileError::TooDeep { line }
    } else {
        BlankFileError::NotJson { why, line, column }
    }
}

/// The JSON reader's words without the place, which is told apart.
pub fn json_reason(error: &serde_json::Error) -> String {
    let text = error.to_string();
    match text.rfind(" at line ") {
        Some(end) => text[..end].to_owned(),
        None => text,
    }
}

#[cfg(test)]
mod tests;
