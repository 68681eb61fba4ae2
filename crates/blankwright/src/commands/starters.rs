//! `starters`: the starter blanks, one a line, or as JSON.

use super::{LoadedKnife, json_of};
use crate::Outcome;
use knife::STARTERS;
use schemars::JsonSchema;
use serde::Serialize;
use std::fmt::Write as _;

/// The starter blanks (`blankwright starters --json`).
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Starters {
    /// Always `blankwright-starters`.
    format: &'static str,
    /// Always 1: fields are added, never renamed.
    version: u32,
    /// The starters, in the order in which they are shown.
    starters: Vec<Starter>,
}

/// One starter blank.
#[derive(Debug, Serialize, JsonSchema)]
struct Starter {
    /// Its name for `new`.
    key: &'static str,
    /// Its name as a blank.
    name: String,
    /// Overall length of the blank.
    length_mm: f64,
    /// Width of its bar.
    bar_width_mm: f64,
    /// Thickness of its bar.
    bar_thickness_mm: f64,
    /// Grade of its steel.
    grade: String,
}

pub(super) fn run(json: bool) -> Outcome {
    let works: Vec<(&str, LoadedKnife)> = STARTERS
        .iter()
        .map(|starter| (starter.key, LoadedKnife::with_default_shop(starter.knife())))
        .collect();
    let out = if json { figures(&works) } else { lines(&works) };
    Outcome { out, ..Outcome::default() }
}

fn length_mm(work: &LoadedKnife) -> f64 {
    work.reckoning.profile.as_ref().map_or(0.0, |profile| profile.length_mm)
}

fn figures(works: &[(&'static str, LoadedKnife)]) -> String {
    let starter = |(key, work): &(&'static str, LoadedKnife)| Starter {
        key,
        name: work.knife.name.clone(),
        length_mm: length_mm(work),
        bar_width_mm: work.knife.bar.width_mm,
        bar_thickness_mm: work.knife.bar.thickness_mm,
        grade: work.knife.bar.grade.clone(),
    };
    let starters = works.iter().map(starter).collect();
    json_of(&Starters { format: "blankwright-starters", version: 1, starters })
}

fn lines(works: &[(&str, LoadedKnife)]) -> String {
    let mut out = String::new();
    let widest = works.iter().map(|(key, _)| key.len()).max().unwrap_or(0);
    for (key, work) in works {
        let LoadedKnife { knife, .. } = work;
        let bar = &knife.bar;
        let _ = writeln!(
            out,
            "{key:widest$}  {}, {} overall, from {} × {} bar of {}",
            knife.name,
            units::show_fraction_and_mm(length_mm(work)),
            units::write_length(bar.width_mm, knife.unit),
            units::write_length(bar.thickness_mm, knife.unit),
            bar.grade,
        );
    }
    out
}
