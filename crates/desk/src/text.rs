//! Sentences and numbers as the window shows them.

use knife::Knife;
use std::fmt::Display;
use std::path::Path;
use units::LengthUnit;

/// The words with their first letter large.
pub(crate) fn capitalized(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// The words as a sentence: the first letter large, a stop at the end.
pub(crate) fn sentence(words: &str) -> String {
    let mut sentence = capitalized(words);
    if !sentence.is_empty() && !sentence.ends_with(['.', '…', '?', '!']) {
        sentence.push('.');
    }
    sentence
}

/// A length as briefly as it is measured: decimals alone.
pub(crate) fn short_length(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => units::show_mm(mm, 2),
        LengthUnit::Inch => units::show_inch(mm, 3),
    }
}

/// A number with at most so many decimals, without noughts at its end.
pub(crate) fn trimmed(number: f64, decimals: usize) -> String {
    let text = units::show_number(number, decimals);
    if !text.contains('.') {
        return text;
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The first of a file's faults and how many more there are; nothing where there is none.
/// `more` were found beyond those listed.
pub(crate) fn fault_summary<T: Display>(faults: &[T], more: usize) -> Option<String> {
    let first = faults.first()?;
    Some(match faults.len() + more {
        1 => first.to_string(),
        n => format!("{first} and {} more", n - 1),
    })
}

/// What a blank is called: its name, else its file's, else a word for having none.
pub(crate) fn blank_title(knife: &Knife, path: Option<&Path>) -> String {
    let name = knife.name.trim();
    if !name.is_empty() {
        return name.to_owned();
    }
    let file = path.and_then(Path::file_name);
    file.map_or_else(|| "Unnamed blank".to_owned(), |name| name.to_string_lossy().into_owned())
}
