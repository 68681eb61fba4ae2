//! Which drill for which holes, in words.

use reckon::{HoleFigures, Reckoning};
use units::LengthUnit;

/// Holes of one drill beyond this many are only counted.
const HOLES_LISTED: usize = 12;
/// Drills beyond this many are only counted.
const DRILLS_LISTED: usize = 6;
/// Longer drill names are cut short on the sheet, characters.
const DRILL_CHARS: usize = 12;

/// The text, cut after this many signs and ended by "…".
pub(super) fn shortened(text: &str, max: usize) -> String {
    let short: String = text.chars().take(max).collect();
    if short.len() == text.len() {
        return short;
    }
    // Between two words, unless the last one is most of it.
    let end = short.rfind(' ').filter(|end| *end > short.len() / 2).unwrap_or(short.len());
    format!("{}…", &short[..end])
}

/// `3 × #30, 0.128 in (holes 1, 4, 6); 2 × 1/4 (holes 2, 3)`, in the order of first use.
pub(super) fn drill_list(reckoning: &Reckoning, unit: LengthUnit) -> String {
    let mut drills: Vec<(String, Vec<usize>)> = Vec::new();
    for hole in &reckoning.holes {
        let mut name = drill_name(hole);
        if let Some(size) = hole.drill_size(unit) {
            name += &format!(", {size}");
        }
        match drills.iter_mut().find(|(known, _)| *known == name) {
            Some((_, numbers)) => numbers.push(hole.number),
            None => drills.push((name, vec![hole.number])),
        }
    }
    let rest = drills.len().saturating_sub(DRILLS_LISTED);
    let mut message: Vec<String> = drills
        .into_iter()
        .take(DRILLS_LISTED)
        .map(|(name, numbers)| drill_words(&name, &numbers))
        .collect();
    if rest > 0 {
        message.push(format!("and {rest} more drills"));
    }
    message.join("; ")
}

/// `3 × #30, 0.128 in (holes 1, 4, 6)`.
fn drill_words(name: &str, numbers: &[usize]) -> String {
    let mut list: Vec<String> =
        numbers.iter().take(HOLES_LISTED).map(ToString::to_string).collect();
    if numbers.len() > HOLES_LISTED {
        list.push("…".to_owned());
    }
    let holes = if numbers.len() == 1 { "hole" } else { "holes" };
    format!("{} × {name} ({holes} {})", numbers.len(), list.join(", "))
}

/// What a hole is drilled with, as its name on a drawing tells it: `⌀ 1/4 in`, `#30`,
/// `⌀ 6.35 mm`.
pub(super) fn hole_size(hole: &HoleFigures) -> String {
    let name = drill_name(hole);
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let fraction = name.rsplit(' ').next().and_then(|last| last.split_once('/'));
    if fraction.is_some_and(|(n, d)| digits(n) && digits(d)) || digits(&name) {
        format!("⌀ {name} in")
    } else if name.ends_with("mm") && !name.starts_with('Ø') {
        format!("⌀ {name}")
    } else {
        name.replacen('Ø', "⌀", 1)
    }
}

/// The drill's name, or the diameter where no drill is known.
pub(super) fn drill_name(hole: &HoleFigures) -> String {
    let named = hole.drill.as_deref().map(|name| shortened(name, DRILL_CHARS));
    named.unwrap_or_else(|| format!("Ø {}", units::show_mm(hole.diameter_mm, 2)))
}
