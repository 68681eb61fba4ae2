//! Finds fields written twice in one object, of which the JSON reader keeps the last silently.

use super::fault::{Fault, Problem};
use serde::de::{DeserializeSeed, Deserializer, IgnoredAny, MapAccess, SeqAccess, Visitor};
use std::collections::HashSet;
use std::fmt;

/// More than this many are not told one by one.
const MOST_TOLD: usize = 20;

/// A fault for every field that an earlier one of its object repeats.
pub fn faults(bytes: &[u8]) -> Vec<Fault> {
    let mut faults = Vec::new();
    let seed = Walk { place: String::new(), faults: &mut faults };
    // What isn't JSON was refused before.
    let _ = seed.deserialize(&mut serde_json::Deserializer::from_slice(bytes));
    faults
}

struct Walk<'f> {
    place: String,
    faults: &'f mut Vec<Fault>,
}

impl<'de> DeserializeSeed<'de> for Walk<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<(), D::Error> {
        reader.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Walk<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any value")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        let mut seen = HashSet::new();
        while let Some(key) = map.next_key::<String>()? {
            if self.faults.len() >= MOST_TOLD {
                map.next_value::<IgnoredAny>()?;
                continue;
            }
            let place =
                if self.place.is_empty() { key.clone() } else { format!("{}.{key}", self.place) };
            if !seen.insert(key) {
                self.faults.push(Fault { place: place.clone(), problem: Problem::Twice });
            }
            map.next_value_seed(Walk { place, faults: self.faults })?;
        }
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        let mut index = 0_usize;
        loop {
            let place = format!("{}[{index}]", self.place);
            if list.next_element_seed(Walk { place, faults: self.faults })?.is_none() {
                return Ok(());
            }
            index += 1;
        }
    }

    fn visit_bool<E>(self, _: bool) -> Result<(), E> {
        Ok(())
    }

    fn visit_i64<E>(self, _: i64) -> Result<(), E> {
        Ok(())
    }

    fn visit_u64<E>(self, _: u64) -> Result<(), E> {
        Ok(())
    }

    fn visit_f64<E>(self, _: f64) -> Result<(), E> {
        Ok(())
    }

    fn visit_str<E>(self, _: &str) -> Result<(), E> {
        Ok(())
    }

    fn visit_unit<E>(self) -> Result<(), E> {
        Ok(())
    }
}
