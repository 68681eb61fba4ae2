//! Walks a JSON object field by field, noting every fault with its place.

use super::fault::{Fault, Problem};
use kurbo::Point;
use serde_json::{Map, Value};
use std::ops::RangeInclusive;

/// So many faults of a file are told one by one; nobody reads more, and a file may have millions.
pub const MAX_LISTED_FAULTS: usize = 20;

/// Faults gathered while reading, in the order they were met.
#[derive(Debug, Default)]
pub struct Faults {
    /// The first [`MAX_LISTED_FAULTS`].
    pub listed: Vec<Fault>,
    /// How many there are besides.
    pub more: usize,
}

impl Faults {
    /// Notes a fault at a place, such as `holes[2].diameter_mm`.
    pub fn note(&mut self, place: impl Into<String>, problem: Problem) {
        if self.listed.len() < MAX_LISTED_FAULTS {
            self.listed.push(Fault { place: place.into(), problem });
        } else {
            self.more += 1;
        }
    }
}

/// One object of a file and its place in it.
#[derive(Debug)]
pub struct Fields<'a> {
    map: &'a Map<String, Value>,
    place: String,
}

impl<'a> Fields<'a> {
    /// Opens an object and notes every field that is not among those known.
    pub fn open(
        value: &'a Value,
        place: &str,
        known: &[&str],
        faults: &mut Faults,
    ) -> Option<Self> {
        let Some(map) = value.as_object() else {
            faults.note(place_or_file(place), wrong("an object { … }", value));
            return None;
        };
        let fields = Self { map, place: place.to_owned() };
        for key in map.keys().filter(|key| !known.contains(&key.as_str())) {
            faults.note(fields.at(key), Problem::UnknownField);
        }
        Some(fields)
    }

    /// The place of one of its fields.
    pub fn at(&self, key: &str) -> String {
        if self.place.is_empty() { key.to_owned() } else { format!("{}.{key}", self.place) }
    }

    /// The field's value; `null` counts as absent.
    pub fn get(&self, key: &str) -> Option<&'a Value> {
        self.map.get(key).filter(|value| !value.is_null())
    }

    fn expected(
        &self,
        key: &str,
        expected: &'static str,
        faults: &mut Faults,
    ) -> Option<&'a Value> {
        let value = self.get(key);
        if value.is_none() {
            faults.note(self.at(key), Problem::Missing { expected });
        }
        value
    }

    /// A number that must be there, in its range.
    pub fn number(
        &self,
        key: &str,
        range: &RangeInclusive<f64>,
        faults: &mut Faults,
    ) -> Option<f64> {
        let value = self.expected(key, "a number", faults)?;
        number(value, &self.at(key), range, faults)
    }

    /// A number that may be absent.
    pub fn optional_number(
        &self,
        key: &str,
        range: &RangeInclusive<f64>,
        faults: &mut Faults,
    ) -> Option<f64> {
        number(self.get(key)?, &self.at(key), range, faults)
    }

    /// A point `[x, y]` that must be there.
    pub fn point(
        &self,
        key: &str,
        range: &RangeInclusive<f64>,
        faults: &mut Faults,
    ) -> Option<Point> {
        self.expected(key, POINT, faults)?;
        self.optional_point(key, range, faults)
    }

    /// A point `[x, y]` that may be absent.
    pub fn optional_point(
        &self,
        key: &str,
        range: &RangeInclusive<f64>,
        faults: &mut Faults,
    ) -> Option<Point> {
        point(self.get(key)?, &self.at(key), range, faults)
    }

    /// A text of limited length; absent reads as empty.
    pub fn text(&self, key: &str, max: usize, faults: &mut Faults) -> String {
        self.optional_text(key, max, faults).unwrap_or_default()
    }

    /// A text that may be absent.
    pub fn optional_text(&self, key: &str, max: usize, faults: &mut Faults) -> Option<String> {
        let value = self.get(key)?;
        let Some(text) = value.as_str() else {
            faults.note(self.at(key), wrong("a text in quotes", value));
            return None;
        };
        if text.chars().count() > max {
            faults.note(self.at(key), Problem::TooLong { max });
            return Some(text.chars().take(max).collect());
        }
        Some(text.to_owned())
    }

    /// Yes or no; absent reads as no.
    pub fn flag(&self, key: &str, faults: &mut Faults) -> bool {
        let Some(value) = self.get(key) else { return false };
        value.as_bool().unwrap_or_else(|| {
            faults.note(self.at(key), wrong("true or false", value));
            false
        })
    }

    /// One of a few words, given with what each stands for.
    pub fn keyword<T: Copy>(
        &self,
        key: &str,
        known: &'static [&'static str],
        meanings: &[T],
        faults: &mut Faults,
    ) -> Option<T> {
        let value = self.expected(key, "a word", faults)?;
        let Some(text) = value.as_str() else {
            faults.note(self.at(key), wrong("a word in quotes", value));
            return None;
        };
        let found = known.iter().position(|word| *word == text);
        if found.is_none() {
            let found = shortened(text);
            faults.note(self.at(key), Problem::UnknownWord { found, known });
        }
        found.and_then(|i| meanings.get(i).copied())
    }

    /// One of a few words that may be absent.
    pub fn optional_keyword<T: Copy>(
        &self,
        key: &str,
        known: &'static [&'static str],
        meanings: &[T],
        faults: &mut Faults,
    ) -> Option<T> {
        self.get(key)?;
        self.keyword(key, known, meanings, faults)
    }

    /// A whole number in its range that must be there.
    pub fn count(
        &self,
        key: &str,
        range: &RangeInclusive<u32>,
        faults: &mut Faults,
    ) -> Option<u32> {
        let value = self.expected(key, COUNT, faults)?;
        let Some(count) = value.as_u64() else {
            faults.note(self.at(key), wrong(COUNT, value));
            return None;
        };
        let found = u32::try_from(count).ok().filter(|count| range.contains(count));
        if found.is_none() {
            let (min, max) = (f64::from(*range.start()), f64::from(*range.end()));
            let value = count as f64;
            faults.note(self.at(key), Problem::OutOfRange { value, min, max });
        }
        found
    }

    /// A list of points `[x, y]`; a faulty one is left out.
    pub fn points(
        &self,
        key: &str,
        count: &RangeInclusive<usize>,
        faults: &mut Faults,
    ) -> Vec<Point> {
        let list = self.list(key, count, faults).iter().enumerate();
        list.filter_map(|(i, value)| {
            point(value, &format!("{}[{i}]", self.at(key)), &crate::limits::COORDINATE_MM, faults)
        })
        .collect()
    }

    /// A whole number for an id.
    pub fn id(&self, key: &str, faults: &mut Faults) -> Option<u32> {
        let value = self.expected(key, ID, faults)?;
        self.check_id(key, value, faults)
    }

    /// A whole number for an id that may be absent.
    pub fn optional_id(&self, key: &str, faults: &mut Faults) -> Option<u32> {
        self.check_id(key, self.get(key)?, faults)
    }

    fn check_id(&self, key: &str, value: &Value, faults: &mut Faults) -> Option<u32> {
        let id = value.as_u64().and_then(|id| u32::try_from(id).ok());
        if id.is_none() {
            faults.note(self.at(key), wrong(ID, value));
        }
        id
    }

    /// A list that must be there, of limited length.
    pub fn list(
        &self,
        key: &str,
        count: &RangeInclusive<usize>,
        faults: &mut Faults,
    ) -> &'a [Value] {
        if *count.start() > 0 && self.expected(key, "a list [ … ]", faults).is_none() {
            return &[];
        }
        let Some(value) = self.get(key) else { return &[] };
        let Some(list) = value.as_array() else {
            faults.note(self.at(key), wrong("a list [ … ]", value));
            return &[];
        };
        if !count.contains(&list.len()) {
            let problem =
                Problem::Count { found: list.len(), min: *count.start(), max: *count.end() };
            faults.note(self.at(key), problem);
        }
        &list[..list.len().min(*count.end())]
    }
}

const POINT: &str = "a point [x, y]";
const COUNT: &str = "a whole number";
const ID: &str = "a whole number from 0 to 4294967295";

fn point(
    value: &Value,
    place: &str,
    range: &RangeInclusive<f64>,
    faults: &mut Faults,
) -> Option<Point> {
    if let Some([x, y]) = value.as_array().map(Vec::as_slice) {
        let x = number(x, &format!("{place}[0]"), range, faults);
        let y = number(y, &format!("{place}[1]"), range, faults);
        return Some(Point::new(x?, y?));
    }
    faults.note(place, wrong(POINT, value));
    None
}

fn number(
    value: &Value,
    place: &str,
    range: &RangeInclusive<f64>,
    faults: &mut Faults,
) -> Option<f64> {
    let Some(number) = value.as_f64().filter(|n| n.is_finite()) else {
        faults.note(place, wrong("a number", value));
        return None;
    };
    if !range.contains(&number) {
        let problem = Problem::OutOfRange { value: number, min: *range.start(), max: *range.end() };
        faults.note(place, problem);
        return None;
    }
    Some(number)
}

fn wrong(expected: &'static str, found: &Value) -> Problem {
    Problem::WrongKind { expected, found: shortened(&found.to_string()) }
}

pub(super) fn shortened(text: &str) -> String {
    const MAX_CHARS: usize = 40;
    // One line, whatever it was.
    let shown = |sign: char| if sign.is_control() { ' ' } else { sign };
    let mut short: String = text.chars().take(MAX_CHARS).map(shown).collect();
    if text.chars().count() > MAX_CHARS {
        short.push('…');
    }
    short
}

fn place_or_file(place: &str) -> &str {
    if place.is_empty() { "the file" } else { place }
}
