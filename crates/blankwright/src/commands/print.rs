//! `print`: the sheets, full size, to a PDF.

use super::Work;
use crate::{Failure, Outcome};
use desk::{Host, printing};
use paper::Sheet;
use std::fmt::Write as _;
use std::path::Path;

/// What was wished for the print.
pub(super) struct Wishes {
    pub(super) paper: Option<String>,
    pub(super) sheets: Vec<String>,
    pub(super) date: Option<String>,
    pub(super) trim: Option<String>,
}

pub(super) fn run(
    work: &Work,
    file: &Path,
    out: &Path,
    wishes: Wishes,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let Work { knife, reckoning } = work;
    super::keep_the_blank(file, out, host)?;
    super::wants_pdf(out, host)?;
    if reckoning.outline.is_none() {
        return Err(Failure::NoOutline { path: file.to_owned() });
    }
    if let Some(trim) = wishes.trim {
        return Err(Failure::Unknown {
            what: "trim",
            found: trim,
            known: "none yet; leave --trim out".to_owned(),
        });
    }
    let usual = printing::usual_paper(knife.unit);
    let sheets = sheets(work, &wishes.sheets)?;
    let paper = wishes.paper.as_deref().unwrap_or(usual);
    let pages = printing::pages(knife, &sheets, paper, wishes.date)?;
    host.write(out, &printing::pdf(knife, &pages)?)?;
    let mut told = String::new();
    let n = pages.len();
    let _ = writeln!(
        told,
        "Wrote {n} {} to {}. Print at actual size (100 %), then measure both rulers and the \
         square before you trust it.",
        if n == 1 { "page" } else { "pages" },
        out.display()
    );
    let mut err = String::new();
    if let Some(missing) = printing::missing_signs(&pages) {
        let _ = writeln!(err, "blankwright: {missing}");
    }
    if reckoning.stops() > 0 {
        let _ = writeln!(
            err,
            "blankwright: {} says stop: run blankwright check {} before you cut steel by it",
            if reckoning.stops() == 1 { "one finding" } else { "a finding" },
            file.display()
        );
    }
    Ok(Outcome { out: told, err, ..Outcome::default() })
}

fn sheets(work: &Work, wanted: &[String]) -> Result<Vec<Sheet>, Failure> {
    let wanted: Vec<&str> = wanted.iter().map(|key| key.trim()).filter(|k| !k.is_empty()).collect();
    if wanted.is_empty() {
        return Ok(printing::sheets(&work.knife, &work.reckoning));
    }
    wanted
        .into_iter()
        .map(|key| {
            printing::sheet(key, &work.knife, &work.reckoning).ok_or_else(|| Failure::Unknown {
                what: "sheet",
                found: key.to_owned(),
                known: printing::SHEETS.join(", "),
            })
        })
        .collect()
}
