//! Fitting words into a width.

use marks::FontFace;
use marks::lettering::{width_mm, wrap_lines};
use std::cell::RefCell;
use std::collections::HashMap;

/// Texts whose lines are remembered before all are forgotten.
const MAX_CACHED: usize = 2_000;

/// A text's lines by face, height and width, the lengths by their bits.
type LineCache = HashMap<(FontFace, u64, u64), Vec<String>>;

thread_local! {
    /// Layouts are tried by the dozen, all with the same words: each text is broken once.
    static CACHE: RefCell<HashMap<String, LineCache>> = RefCell::default();
}

/// Breaks a text into lines no wider than `max_mm`, as few as can be and of like width, so that
/// no word is left alone; a single word that is wider is shortened.
pub(crate) fn wrap(text: &str, face: FontFace, height_mm: f64, max_mm: f64) -> Vec<String> {
    let key = (face, height_mm.to_bits(), max_mm.to_bits());
    let known = CACHE.with_borrow(|all| all.get(text)?.get(&key).cloned());
    known.unwrap_or_else(|| {
        let lines = wrapped(text, face, height_mm, max_mm);
        CACHE.with_borrow_mut(|all| {
            if all.len() >= MAX_CACHED {
                all.clear();
            }
            let own = all.entry(text.to_owned()).or_default();
            if own.len() >= MAX_CACHED {
                own.clear();
            }
            own.insert(key, lines.clone());
        });
        lines
    })
}

fn wrapped(text: &str, face: FontFace, height_mm: f64, max_mm: f64) -> Vec<String> {
    let widest = text.split_whitespace().map(|word| width_mm(word, face, height_mm));
    let min = widest.fold(0.0, f64::max).min(max_mm);
    let mut lines = greedy(text, face, height_mm, max_mm);
    for k in 1..40 {
        let narrower = max_mm * (1.0 - 0.02 * f64::from(k));
        let tried = greedy(text, face, height_mm, narrower.max(min));
        if narrower < min || tried.len() > lines.len() {
            break;
        }
        lines = tried;
    }
    lines
}

/// Breaks a text, each line as full as can be.
fn greedy(text: &str, face: FontFace, height_mm: f64, max_mm: f64) -> Vec<String> {
    let lines = wrap_lines(text, face, height_mm, max_mm);
    lines.into_iter().map(|line| shortened(&line, face, height_mm, max_mm)).collect()
}

/// The text, cut and ended by "…" if it is wider than `max_mm`.
pub(crate) fn shortened(text: &str, face: FontFace, height_mm: f64, max_mm: f64) -> String {
    if width_mm(text, face, height_mm) <= max_mm {
        return text.into();
    }
    let mut kept = String::new();
    for sign in text.chars() {
        let longer = format!("{kept}{sign}…");
        if width_mm(&longer, face, height_mm) > max_mm {
            break;
        }
        kept.push(sign);
    }
    format!("{}…", kept.trim_end())
}

/// The height between `min_mm` and `wanted_mm` at which the text is no wider than `max_mm`;
/// `min_mm` if it is wider even then.
pub(crate) fn height_to_fit(
    text: &str,
    face: FontFace,
    wanted_mm: f64,
    min_mm: f64,
    max_mm: f64,
) -> f64 {
    let width = width_mm(text, face, wanted_mm);
    if width <= max_mm { wanted_mm } else { (wanted_mm * max_mm / width).max(min_mm) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn nothing_is_wider_than_allowed(text in "[a-zA-Z0-9 ]{0,120}", max_mm in 8.0..80.0f64) {
            let lines = wrap(&text, FontFace::Regular, 2.5, max_mm);
            for line in &lines {
                prop_assert!(width_mm(line, FontFace::Regular, 2.5) <= max_mm + 1e-9);
            }
            let words = text.split_whitespace().count();
            prop_assert!(lines.len() <= words);
            // No more lines than filling each line gives.
            prop_assert_eq!(lines.len(), greedy(&text, FontFace::Regular, 2.5, max_mm).len());
        }

        #[test]
        fn a_shortened_text_fits(text in ".{0,60}", max_mm in 10.0..50.0f64) {
            let short = shortened(&text, FontFace::Bold, 3.5, max_mm);
            prop_assert!(width_mm(&short, FontFace::Bold, 3.5) <= max_mm + 1e-9);
        }
    }

    #[test]
    fn a_long_name_is_set_smaller_then_cut() {
        let name = "Drop point for the Thursday class, second try";
        let height = height_to_fit(name, FontFace::Bold, 5.5, 3.5, 120.0);
        assert!(height < 5.5 && height > 3.5);
        assert!(width_mm(name, FontFace::Bold, height) <= 120.0 + 1e-9);
        assert!(shortened(name, FontFace::Bold, 3.5, 60.0).ends_with('…'));
    }
}
