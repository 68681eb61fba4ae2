//! `print`: the sheets, full size, to a PDF.

use super::Work;
use crate::{Failure, Outcome};
use desk::Host;
use drawing::views;
use paper::{Heading, Meta, Paper, Setup, Sheet};
use std::fmt::Write as _;
use std::path::Path;
use units::LengthUnit;

/// What was wished for the print.
pub(super) struct Wishes {
    pub(super) paper: Option<String>,
    pub(super) sheets: Vec<String>,
    pub(super) date: Option<String>,
    pub(super) trim: Option<String>,
}

/// The sheets there are, in the order of the work.
const SHEETS: &[&str] = &["profile"];

pub(super) fn run(
    work: &Work,
    file: &Path,
    out: &Path,
    wishes: Wishes,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let Work { knife, reckoning } = work;
    super::keep_the_blank(file, out, host)?;
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
    let usual = match knife.unit {
        LengthUnit::Inch => "letter",
        LengthUnit::Millimetre => "a4",
    };
    let paper = Paper::named(wishes.paper.as_deref().unwrap_or(usual))?;
    let sheets = sheets(work, &wishes.sheets)?;
    let heading =
        Heading { name: knife.name.clone(), date: wishes.date, trim: "no trim".to_owned() };
    let pages = paper::lay_out(&sheets, &Setup::new(paper, heading))?;
    let meta = Meta { title: knife.name.clone(), ..Meta::default() };
    host.write(out, &paper::pdf(&pages, &meta)?)?;
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
    let wanted: Vec<&str> =
        if wanted.is_empty() { SHEETS.to_vec() } else { wanted.iter().map(|s| s.trim()).collect() };
    wanted
        .into_iter()
        .map(|key| match key {
            "profile" => Ok(Sheet {
                key: "profile",
                title: "Profile".to_owned(),
                drawing: views::profile_sheet(&work.knife, &work.reckoning),
                notes: views::profile_notes(&work.knife, &work.reckoning),
            }),
            other => Err(Failure::Unknown {
                what: "sheet",
                found: other.to_owned(),
                known: SHEETS.join(", "),
            }),
        })
        .collect()
}
