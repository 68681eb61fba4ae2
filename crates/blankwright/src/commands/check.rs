//! `check`: the findings.

use super::{LoadedKnife, json_of};
use crate::{CLEAN, Failure, Outcome, STOP};
use std::fmt::Write as _;

pub(super) fn run(work: &LoadedKnife, json: bool) -> Result<Outcome, Failure> {
    let reckoning = &work.reckoning;
    let code = if reckoning.stops() > 0 { STOP } else { CLEAN };
    if json {
        let out = json_of(&reckon::check_json(&work.knife, reckoning));
        return Ok(Outcome { out, code, ..Outcome::default() });
    }
    let mut out = String::new();
    for finding in &reckoning.findings {
        let _ = writeln!(out, "{}: {}", finding.label().to_uppercase(), finding.message());
        if !["", "geometry"].contains(&finding.limit_source) {
            let _ = writeln!(out, "      The limit is {}.", finding.limit_source);
        }
    }
    let aside = reckoning.findings.iter().filter(|finding| finding.set_aside.is_some()).count();
    let _ = match (reckoning.findings.len() - aside, reckoning.stops()) {
        (0, _) => writeln!(out, "No problems found{}.", beside(aside)),
        (n, 0) => writeln!(out, "{}, none that says stop{}.", findings(n), beside(aside)),
        (n, stops) => {
            let say = if stops == 1 { "says" } else { "say" };
            let aside = beside(aside);
            writeln!(
                out,
                "{}, {stops} of them {say} stop{aside}: don't cut steel by it.",
                findings(n)
            )
        }
    };
    let mut err = super::likely_grade(work);
    for (what, missing) in sheets::printing::unprintable(&work.knife) {
        let _ = writeln!(err, "blankwright: in {what} {missing}");
    }
    Ok(Outcome { out, err, code, ..Outcome::default() })
}

fn findings(n: usize) -> String {
    if n == 1 { "1 finding".to_owned() } else { format!("{n} findings") }
}

/// How many were set aside, where any were.
fn beside(aside: usize) -> String {
    if aside == 0 { String::new() } else { format!(" ({aside} accepted)") }
}
