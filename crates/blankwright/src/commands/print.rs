//! `print`: the sheets, full size, to a PDF, or to one for each sheet.

use super::{Work, trim};
use crate::args::PrintArgs;
use crate::{CLEAN, Failure, Outcome, STOP};
use host::Host;
use knife::Knife;
use paper::{Page, Setup, Sheet};
use reckon::Shop;
use sheets::printing;
use sheets::sharing::{self, Laid, Sharing};
use sheets::{MAT, mat_sheet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// What is said of every print.
const TRUE_SIZE: &str =
    "Print at actual size (100 %), then measure both rulers and the square before you trust it.\n";
/// The name that a mat without a knife is printed under.
const MAT_NAME: &str = "Blankwright";

pub(super) fn run(
    work: &Work,
    file: &Path,
    shop: &Shop,
    args: &PrintArgs,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let Work { knife, reckoning } = work;
    let out = args.out.as_path();
    super::keep_the_blank(file, out, host)?;
    super::wants_pdf(out)?;
    if reckoning.outline.is_none() && !only_mat(args) {
        return Err(Failure::NoOutline { path: file.to_owned() });
    }
    let paper = args.paper.as_deref().unwrap_or(printing::usual_paper(knife.unit));
    let setup = printing::setup(&knife.name, paper, super::date(args.date.as_ref())?)?;
    let setup = trim::with_margin(setup, args.margin.as_deref())?;
    let (setup, mind) = trim::through(setup, shop, args.trim.as_deref())?;
    let (sheets, sharing) = sheets(work, args, shop, &setup)?;
    let laid = sharing::lay_out(sheets, &sharing, &setup, &mut |i, count, sheet| {
        host.progress(&format!("Laying out {} ({} of {count})", sheet.title, i + 1));
    });
    host.progress("");
    let Laid { pages, apart, without_room, .. } = laid?;
    let mut told = String::new();
    let mut ready = Vec::new();
    for (path, pages) in files(&pages, out, args.split) {
        super::keep_the_blank(file, &path, host)?;
        let meta = printing::meta(knife, pages, shop, &setup);
        ready.push((path, paper::pdf(pages, &meta)?, pages.len()));
    }
    let mut written = Vec::new();
    for (path, bytes, n) in ready {
        match host.write(&path, &bytes) {
            Err(fault) if args.split => return Err(Failure::Partly { fault, written }),
            done => done?,
        }
        written.push(path.clone());
        let counted = if n == 1 { "page" } else { "pages" };
        let _ = writeln!(told, "Wrote {n} {counted} to {}.", path.display());
    }
    told.truncate(told.trim_end().len());
    if args.split {
        told.push('\n');
    } else {
        told.push(' ');
    }
    told.push_str(TRUE_SIZE);
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
    for words in &apart {
        let _ = writeln!(err, "blankwright: {words}");
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

/// Whether the tracing mat is all that is to be printed.
fn only_mat(args: &PrintArgs) -> bool {
    !args.sheets.is_empty() && args.sheets.iter().all(|key| key.trim() == MAT)
}

/// The tracing mat, which belongs to no knife.
pub(super) fn mat_alone(
    shop: &Shop,
    args: &PrintArgs,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    if !only_mat(args) {
        return Err(Failure::Usage("name the blank file; see --help".to_owned()));
    }
    super::wants_pdf(&args.out)?;
    super::keep_a_blank(&args.out, host)?;
    let paper = args.paper.as_deref().unwrap_or(printing::usual_paper(Knife::empty().unit));
    let setup = printing::setup(MAT_NAME, paper, super::date(args.date.as_ref())?)?;
    let setup = trim::with_margin(setup, args.margin.as_deref())?;
    let (setup, mind) = trim::through(setup, shop, args.trim.as_deref())?;
    let pages = paper::lay_out(&[mat_sheet(&setup)?], &setup)?;
    let titled = Knife { name: MAT_NAME.to_owned(), ..Knife::empty() };
    let meta = printing::meta(&titled, &pages, shop, &setup);
    host.write(&args.out, &paper::pdf(&pages, &meta)?)?;
    let mut told = format!("Wrote 1 page to {}. {TRUE_SIZE}", args.out.display());
    if setup.trim.is_some() {
        let _ = writeln!(told, "Trim: {}.", setup.heading.trim);
    }
    let err = mind.map(|mind| format!("blankwright: {mind}\n")).unwrap_or_default();
    Ok(Outcome { out: told, err, code: CLEAN })
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

/// The sheets asked for, in order, and which of them are to share a page.
fn sheets(
    work: &Work,
    args: &PrintArgs,
    shop: &Shop,
    setup: &Setup,
) -> Result<(Vec<Sheet>, Sharing), Failure> {
    let keys = |page: &String| -> Vec<String> {
        page.split('+').map(str::trim).filter(|k| !k.is_empty()).map(str::to_owned).collect()
    };
    let every = || printing::keys(&work.reckoning).into_iter().map(|key| vec![key.to_owned()]);
    let told = |keys: Vec<String>| match keys.as_slice() {
        [all] if all == printing::ALL => every().collect(),
        _ => vec![keys],
    };
    let pages: Vec<Vec<String>> =
        args.sheets.iter().map(keys).filter(|keys| !keys.is_empty()).flat_map(told).collect();
    let printer = args.trim.as_deref().map(|name| trim::of_name(shop, name)).transpose()?;
    let sheet = |key: &String| match key.as_str() {
        paper::PROOF => Ok(Some(printing::proof_sheet(setup, printer))),
        MAT => mat_sheet(setup).map(Some).map_err(Failure::from),
        _ => Ok(printing::sheet(key, &work.knife, &work.reckoning)),
    };
    let known =
        || format!("{}, {}, {MAT}, {}", printing::SHEETS.join(", "), paper::PROOF, printing::ALL);
    let unknown =
        |key: &String| Failure::Unknown { what: "sheet", found: key.clone(), known: known() };
    let all = if pages.is_empty() {
        printing::bench_set(&work.knife, &work.reckoning)
    } else {
        let all = pages.iter().flatten().map(|key| sheet(key)?.ok_or_else(|| unknown(key)));
        all.collect::<Result<_, _>>()?
    };
    let mut joined = pages.iter().filter(|keys| keys.len() > 1).flatten().peekable();
    if args.split && joined.peek().is_some() {
        let words = "--split writes one file for each sheet; without it + joins sheets on a page";
        return Err(Failure::Usage(words.to_owned()));
    }
    if let Some(key) = joined.find(|key| !sharing::may_share(key)) {
        return Err(Failure::Usage(format!(
            "{key} stands on a page of its own; only {} can be joined by +",
            sharing::MAY_SHARE.join(", ")
        )));
    }
    Ok((all, if args.together { Sharing::Room } else { Sharing::Arranged(pages) }))
}
