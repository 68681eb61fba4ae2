//! `print`: the sheets, full size, to a PDF, or to one for each sheet.

use super::{LoadedKnife, trim};
use crate::args::PrintArgs;
use crate::{CLEAN, Failure, Outcome, STOP};
use host::Host;
use knife::Knife;
use paper::{Page, PageSetup, Sheet};
use reckon::Shop;
use sheets::printing;
use sheets::sharing::{self, PaperLayout, Sharing};
use sheets::{MAT, mat_pdf, mat_sheet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// What is said of every print.
const TRUE_SIZE: &str =
    "Print at actual size (100 %), then measure rulers and square before you trust it.\n";
/// The name that a mat without a knife is printed under.
const MAT_NAME: &str = "Blankwright";

pub(super) fn run(
    work: &LoadedKnife,
    file: &Path,
    shop: &Shop,
    args: &PrintArgs,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let LoadedKnife { knife, reckoning } = work;
    let out = args.out.as_path();
    super::protect_input(file, &args.shop, out, host)?;
    super::check_pdf_name(out)?;
    if reckoning.outline.is_none() && !only_mat(args) {
        return Err(Failure::NoOutline { path: super::read_from(file) });
    }
    if args.split && super::is_stream(out) {
        let words = "--split writes several files: name one after --out, not -";
        return Err(Failure::Usage(words.to_owned()));
    }
    let paper = args.paper.as_deref().unwrap_or(printing::default_paper(knife.unit));
    let setup = printing::setup(&knife.name, paper, super::check_date(args.date.as_ref())?)?;
    let setup = trim::with_margin(printing::for_knife(setup, knife), args.margin.as_deref())?;
    let (setup, mind) = trim::with_printer(setup, shop, args.trim.as_deref())?;
    let (mut sheets, sharing) = sheets(work, args, shop, &setup)?;
    let mut err = String::new();
    if let Some(size) = args.hand
        && !printing::add_hand(&mut sheets, size.into(), knife, reckoning)
    {
        err.push_str("blankwright: no hand was drawn, as there are no scales to hold yet\n");
    }
    let layout = sharing::lay_out(sheets, &sharing, &setup, &mut |i, count, sheet| {
        if !args.quiet {
            host.progress(&format!("Laying out {} ({} of {count})", sheet.title, i + 1));
        }
    });
    if !args.quiet {
        host.progress("");
    }
    let PaperLayout { pages, apart, without_room, .. } = layout?;
    let mut list = String::new();
    let mut ready = Vec::new();
    for (path, pages) in files(&pages, out, args.split) {
        super::protect_input(file, &args.shop, &path, host)?;
        let meta = printing::meta(knife, pages, shop, &setup);
        ready.push((path, paper::pdf(pages, &meta)?, pages.len()));
    }
    let (mut written, mut sent) = (Vec::new(), None);
    for (path, bytes, n) in ready {
        match super::write(&path, bytes, host) {
            Err(Failure::File(fault)) if args.split => {
                return Err(Failure::Partly { fault, written });
            }
            done => sent = done?,
        }
        written.push(path.clone());
        let counted = if n == 1 { "page" } else { "pages" };
        let _ = writeln!(list, "Wrote {n} {counted} to {}.", super::written_to(&path));
    }
    list.truncate(list.trim_end().len());
    if args.split {
        list.push('\n');
    } else {
        list.push(' ');
    }
    list.push_str(TRUE_SIZE);
    if setup.trim.is_some() {
        let _ = writeln!(list, "Printer correction: {}.", setup.heading.trim);
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
    if let Some(missing) = printing::missing_glyphs_warning(&pages) {
        let _ = writeln!(err, "blankwright: {missing}");
    }
    if reckoning.stops() > 0 {
        let _ = writeln!(
            err,
            "blankwright: {} says stop: run blankwright check {} before you cut steel from it",
            if reckoning.stops() == 1 { "one finding" } else { "a finding" },
            file.display()
        );
    }
    let code = if without_room.is_empty() { CLEAN } else { STOP };
    Ok(Outcome { out: list, err, code, file: sent })
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
    let out = args.out.as_path();
    super::check_pdf_name(out)?;
    super::protect_shop(&args.shop, out, host)?;
    let paper = args.paper.as_deref().unwrap_or(printing::default_paper(Knife::empty().unit));
    let setup = printing::setup(MAT_NAME, paper, super::check_date(args.date.as_ref())?)?;
    let setup = trim::with_margin(setup, args.margin.as_deref())?;
    let (setup, mind) = trim::with_printer(setup, shop, args.trim.as_deref())?;
    let file = super::write(out, mat_pdf(&setup, shop)?, host)?;
    let mut list = format!("Wrote 1 page to {}. {TRUE_SIZE}", super::written_to(out));
    if setup.trim.is_some() {
        let _ = writeln!(list, "Printer correction: {}.", setup.heading.trim);
    }
    let err = mind.map(|mind| format!("blankwright: {mind}\n")).unwrap_or_default();
    Ok(Outcome { out: list, err, code: CLEAN, file })
}

/// All pages with the one file, or each sheet's with its own: `mine.pdf`, `mine-profile.pdf`, and
/// `mine-profile-2.pdf` where the sheet comes again later.
fn files<'a>(pages: &'a [Page], out: &Path, split: bool) -> Vec<(PathBuf, &'a [Page])> {
    if !split {
        return vec![(out.to_owned(), pages)];
    }
    let mut files: Vec<(PathBuf, &[Page])> = Vec::new();
    for pages in pages.chunk_by(|a, b| a.key == b.key) {
        let key = pages[0].key;
        let before = files.iter().filter(|(_, others)| others[0].key == key).count();
        let again = if before > 0 { format!("-{}", before + 1) } else { String::new() };
        files.push((host::name_with(out, &format!("-{key}{again}"), "pdf"), pages));
    }
    files
}

/// Sheets that are printed at once, and those that share a page: a request of thousands is a mistake.
const MAX_SHEETS: usize = 40;

fn check_count(pages: &[Vec<String>]) -> Result<(), Failure> {
    let count: usize = pages.iter().map(Vec::len).sum();
    let words = if count > MAX_SHEETS {
        format!("--sheets names {count} sheets; name at most {MAX_SHEETS}")
    } else if pages.iter().any(|keys| keys.len() > paper::MAX_SHARED) {
        format!("at most {} sheets can be joined by + on a page", paper::MAX_SHARED)
    } else if pages.iter().any(|keys| keys.len() > 1 && keys.iter().any(|k| k == printing::ALL)) {
        format!(
            "{} stands for every sheet and can't be joined by +; name the sheets",
            printing::ALL
        )
    } else {
        return Ok(());
    };
    Err(Failure::Usage(words))
}

/// The sheets asked for, in order, and which of them are to share a page.
fn sheets(
    work: &LoadedKnife,
    args: &PrintArgs,
    shop: &Shop,
    setup: &PageSetup,
) -> Result<(Vec<Sheet>, Sharing), Failure> {
    let keys = |page: &String| -> Vec<String> {
        page.split('+').map(str::trim).filter(|k| !k.is_empty()).map(str::to_owned).collect()
    };
    let asked: Vec<Vec<String>> =
        args.sheets.iter().map(keys).filter(|keys| !keys.is_empty()).collect();
    if asked.is_empty() && !args.sheets.is_empty() {
        let known = printing::SHEETS.join(", ");
        return Err(Failure::Usage(format!("--sheets names no sheet; name some of {known}")));
    }
    // All means all that are not named by themselves, and only once.
    let mut others = printing::keys(&work.reckoning);
    others.retain(|key| !asked.iter().flatten().any(|named| named == key));
    let list = |keys: Vec<String>| match keys.as_slice() {
        [all] if all == printing::ALL => {
            std::mem::take(&mut others).into_iter().map(|key| vec![key.to_owned()]).collect()
        }
        _ => vec![keys],
    };
    check_count(&asked)?;
    let pages: Vec<Vec<String>> = asked.into_iter().flat_map(list).collect();
    let printer = args.trim.as_deref().map(|name| trim::find_printer(shop, name)).transpose()?;
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
        printing::default_sheets(&work.knife, &work.reckoning)
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
            printing::SHEETS.join(", ")
        )));
    }
    let arranged = pages.iter().any(|keys| keys.len() > 1);
    Ok((
        all,
        match (args.apart || args.split, arranged) {
            (true, _) => Sharing::Apart,
            (false, true) => Sharing::Arranged(pages),
            (false, false) => Sharing::Room,
        },
    ))
}
