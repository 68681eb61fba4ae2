//! `print`: the sheets, full size, to a PDF, or to one for each sheet.

use super::{Work, trim};
use crate::args::PrintArgs;
use crate::{CLEAN, Failure, Outcome, STOP};
use desk::{Host, printing};
use paper::{Page, Setup, Sheet};
use reckon::Shop;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

pub(super) fn run(
    work: &Work,
    shop: &Shop,
    args: &PrintArgs,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let Work { knife, reckoning } = work;
    let (file, out) = (args.file.as_path(), args.out.as_path());
    super::keep_the_blank(file, out, host)?;
    super::wants_pdf(out, host)?;
    if reckoning.outline.is_none() {
        return Err(Failure::NoOutline { path: file.to_owned() });
    }
    let paper = args.paper.as_deref().unwrap_or(printing::usual_paper(knife.unit));
    let setup = printing::setup(&knife.name, paper, args.date.clone())?;
    let setup = trim::with_margin(setup, args.margin.as_deref())?;
    let (setup, mind) = trim::through(setup, shop, args.trim.as_deref())?;
    let mut sheets = sheets(work, &args.sheets, shop, (&setup, args.trim.as_deref()))?;
    if args.together {
        sheets = paper::share(sheets, &setup, printing::may_share)?;
    }
    let laid = paper::lay_out_most(&sheets, &setup, &mut |i, sheet| {
        host.progress(&format!("Laying out {} ({} of {})", sheet.title, i + 1, sheets.len()));
    });
    host.progress("");
    let (pages, without_room) = laid?;
    let mut told = String::new();
    for (path, pages) in files(&pages, out, args.split) {
        super::keep_the_blank(file, &path, host)?;
        let meta = printing::meta(knife, pages, shop, &setup);
        host.write(&path, &paper::pdf(pages, &meta)?)?;
        let n = pages.len();
        let counted = if n == 1 { "page" } else { "pages" };
        let _ = writeln!(told, "Wrote {n} {counted} to {}.", path.display());
    }
    told.truncate(told.trim_end().len());
    if args.split {
        told.push('\n');
    } else {
        told.push(' ');
    }
    told.push_str(
        "Print at actual size (100 %), then measure both rulers and the square before you trust \
         it.\n",
    );
    let mut err = String::new();
    if setup.trim.is_some() {
        let _ = writeln!(told, "Trim: {}.", setup.heading.trim);
    }
    if let Some(mind) = mind {
        let _ = writeln!(err, "blankwright: {mind}");
    }
    for reason in &without_room {
        let _ = writeln!(err, "blankwright: not printed: {reason}");
    }
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
    let code = if without_room.is_empty() { CLEAN } else { STOP };
    Ok(Outcome { out: told, err, code })
}

/// All pages with the one file, or each sheet's with its own: `mine.pdf`, `mine-profile.pdf`.
fn files<'a>(pages: &'a [Page], out: &Path, split: bool) -> Vec<(PathBuf, &'a [Page])> {
    if !split {
        return vec![(out.to_owned(), pages)];
    }
    let stem = out.file_stem().unwrap_or_default().to_string_lossy();
    let ending = out.extension().map_or("pdf".into(), std::ffi::OsStr::to_string_lossy);
    let own = |pages: &'a [Page]| {
        let key = pages.first().map_or("", |page| page.key);
        (out.with_file_name(format!("{stem}-{key}.{ending}")), pages)
    };
    pages.chunk_by(|a, b| a.key == b.key).map(own).collect()
}

fn sheets(
    work: &Work,
    wanted: &[String],
    shop: &Shop,
    (setup, trim): (&Setup, Option<&str>),
) -> Result<Vec<Sheet>, Failure> {
    let wanted: Vec<&str> = wanted.iter().map(|key| key.trim()).filter(|k| !k.is_empty()).collect();
    if wanted.is_empty() {
        return Ok(printing::sheets(&work.knife, &work.reckoning));
    }
    let printer = trim.map(|name| trim::of_name(shop, name)).transpose()?;
    let sheet = |key: &str| match key {
        paper::PROOF => Some(printing::proof_sheet(setup, printer)),
        key => printing::sheet(key, &work.knife, &work.reckoning),
    };
    let known = || format!("{}, {}", printing::SHEETS.join(", "), paper::PROOF);
    let unknown =
        |key: &str| Failure::Unknown { what: "sheet", found: key.to_owned(), known: known() };
    wanted.into_iter().map(|key| sheet(key).ok_or_else(|| unknown(key))).collect()
}
