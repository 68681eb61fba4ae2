//! `check`: the findings.

use super::{Work, json_of};
use crate::{CLEAN, Failure, Outcome, STOP};
use std::fmt::Write as _;

pub(super) fn run(work: &Work, json: bool) -> Result<Outcome, Failure> {
    let reckoning = &work.reckoning;
    let code = if reckoning.stops() > 0 { STOP } else { CLEAN };
    if json {
        let out = json_of(&reckon::check_json(&work.knife, reckoning));
        return Ok(Outcome { out, code, ..Outcome::default() });
    }
    let mut out = String::new();
    for finding in &reckoning.findings {
        let _ = writeln!(out, "{}: {}", finding.word().to_uppercase(), finding.told());
        if !["", "geometry"].contains(&finding.limit_source) {
            let _ = writeln!(out, "      The limit is {}.", finding.limit_source);
        }
    }
    let aside = reckoning.findings.iter().filter(|finding| finding.set_aside.is_some()).count();
    let _ = match (reckoning.findings.len() - aside, reckoning.stops()) {
        (0, _) => writeln!(out, "Nothing to mind: no finding{}.", beside(aside)),
        (n, 0) => writeln!(out, "{n} to mind, none that says stop{}.", beside(aside)),
        (n, stops) => {
            let say = if stops == 1 { "says" } else { "say" };
            let aside = beside(aside);
            writeln!(out, "{n} to mind, {stops} of them {say} stop{aside}: don't cut steel by it.")
        }
    };
    Ok(Outcome { out, err: super::likely_grade(work), code, ..Outcome::default() })
}

/// How many were set aside, where any were.
fn beside(aside: usize) -> String {
    if aside == 0 { String::new() } else { format!(" ({aside} set aside)") }
}
