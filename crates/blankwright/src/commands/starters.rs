//! `starters`: the starter blanks, one a line.

use super::LoadedKnife;
use crate::Outcome;
use knife::STARTERS;
use std::fmt::Write as _;

pub(super) fn run() -> Outcome {
    let mut out = String::new();
    let widest = STARTERS.iter().map(|starter| starter.key.len()).max().unwrap_or(0);
    for starter in STARTERS {
        let LoadedKnife { knife, reckoning } = LoadedKnife::with_default_shop(starter.knife());
        let length_mm = reckoning.profile.map_or(0.0, |profile| profile.length_mm);
        let bar = &knife.bar;
        let _ = writeln!(
            out,
            "{:widest$}  {}, {} overall, from {} × {} bar of {}",
            starter.key,
            knife.name,
            units::show_fraction_and_mm(length_mm),
            units::write_length(bar.width_mm, knife.unit),
            units::write_length(bar.thickness_mm, knife.unit),
            bar.grade,
        );
    }
    Outcome { out, ..Outcome::default() }
}
