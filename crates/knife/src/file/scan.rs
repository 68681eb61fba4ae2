//! Reads JSON within bounds: a text of millions of values is refused before any of them is kept,
//! and a field written twice in one object, of which the JSON reader keeps the last silently, is
//! told.

use super::fault::{MAX_FIELDS, MAX_VALUES, Problem};
use super::fields::Faults;
use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::Value;
use std::collections::HashSet;
use std::fmt::{self, Write as _};

/// Why a text was not read.
#[derive(Debug)]
pub enum JsonError {
    /// It is no JSON.
    NotJson(serde_json::Error),
    /// It holds more than [`MAX_VALUES`] values, or an object of more fields than any has.
    TooMuch,
}

/// Reads JSON, noting every field that an earlier one of its object repeats.
///
/// # Errors
/// [`JsonError`] when it is none, or far more than any file of this program holds.
pub fn read_json(bytes: &[u8], faults: &mut Faults) -> Result<Value, JsonError> {
    let mut scan = JsonScan { place: String::new(), values: 0, too_much: false, faults };
    let mut reader = serde_json::Deserializer::from_slice(bytes);
    let scanned = ValueVisitor(&mut scan).deserialize(&mut reader).and_then(|()| reader.end());
    match scanned {
        Err(_) if scan.too_much => Err(JsonError::TooMuch),
        Err(error) => Err(JsonError::NotJson(error)),
        Ok(()) => serde_json::from_slice(bytes).map_err(JsonError::NotJson),
    }
}

/// What is known of a text so far.
struct JsonScan<'f> {
    /// Where the reading stands, such as `holes[2].name`.
    place: String,
    values: usize,
    too_much: bool,
    faults: &'f mut Faults,
}

impl JsonScan<'_> {
    fn too_much<E: Error>(&mut self) -> E {
        self.too_much = true;
        E::custom("too much")
    }

    fn count<E: Error>(&mut self) -> Result<(), E> {
        self.values += 1;
        if self.values > MAX_VALUES { Err(self.too_much()) } else { Ok(()) }
    }
}

struct ValueVisitor<'s, 'f>(&'s mut JsonScan<'f>);

impl<'de> DeserializeSeed<'de> for ValueVisitor<'_, '_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<(), D::Error> {
        reader.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for ValueVisitor<'_, '_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any value")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        let scan = self.0;
        scan.count()?;
        let above = scan.place.len();
        let mut seen = HashSet::new();
        while let Some(key) = map.next_key::<String>()? {
            if above > 0 {
                scan.place.push('.');
            }
            scan.place.push_str(&key);
            if !seen.insert(key) {
                scan.faults.note(scan.place.as_str(), Problem::Twice);
            }
            if seen.len() > MAX_FIELDS {
                return Err(scan.too_much());
            }
            map.next_value_seed(ValueVisitor(scan))?;
            scan.place.truncate(above);
        }
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        let scan = self.0;
        scan.count()?;
        let above = scan.place.len();
        let mut index = 0_usize;
        loop {
            let _ = write!(scan.place, "[{index}]");
            if list.next_element_seed(ValueVisitor(scan))?.is_none() {
                scan.place.truncate(above);
                return Ok(());
            }
            scan.place.truncate(above);
            index += 1;
        }
    }

    fn visit_bool<E: Error>(self, _: bool) -> Result<(), E> {
        self.0.count()
    }

    fn visit_i64<E: Error>(self, _: i64) -> Result<(), E> {
        self.0.count()
    }

    fn visit_u64<E: Error>(self, _: u64) -> Result<(), E> {
        self.0.count()
    }

    fn visit_f64<E: Error>(self, _: f64) -> Result<(), E> {
        self.0.count()
    }

    fn visit_str<E: Error>(self, _: &str) -> Result<(), E> {
        self.0.count()
    }

    fn visit_unit<E: Error>(self) -> Result<(), E> {
        self.0.count()
    }
}
