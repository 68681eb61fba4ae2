//! `numbers`: every reading.

use super::{LoadedKnife, json_of};
use crate::{Failure, Outcome};
use std::fmt::Write as _;

pub(super) fn run(work: &LoadedKnife, json: bool) -> Result<Outcome, Failure> {
    if json {
        let out = json_of(&reckon::numbers_json(&work.knife, &work.reckoning));
        return Ok(Outcome { out, ..Outcome::default() });
    }
    let mut out = String::new();
    let _ = writeln!(out, "{}", work.knife.name);
    for group in reckon::readings(&work.knife, &work.reckoning) {
        let _ = writeln!(out, "\n{}", group.title);
        for (i, reading) in group.readings.iter().enumerate() {
            let _ = writeln!(out, "  {:26}{}", reading.name, reading.text(work.knife.unit));
            // Readings in a row that were worked out alike say so once, after the last.
            let next = group.readings.get(i + 1);
            if next.is_none_or(|next| next.explanation != reading.explanation) {
                let _ = writeln!(out, "  {:26}  ({})", "", reading.explanation);
            }
        }
    }
    Ok(Outcome { out, err: super::likely_grade(work), ..Outcome::default() })
}
