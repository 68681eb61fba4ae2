//! `bar`: many blanks on one kind of bar, as a PDF at true size and as figures.

use super::{LoadedKnife, check_pdf_name, json_of, protect_input, read_shop};
use crate::args::BarArgs;
use crate::{Failure, Outcome};
use host::Host;
use knife::Knife;
use kurbo::Rect;
use marks::{Drawing, Pen};
use outline::packing::Progress;
use paper::Sheet;
use reckon::tables::Tables;
use reckon::{MAX_BLANKS, Nest, NestOptions, Shop, nest};
use sheets::printing;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use units::{LengthUnit, parse_length};

#[cfg(feature = "solids")]
use super::export::sheet as write_dxf;

/// Stands for it in a build without solids.
#[cfg(not(feature = "solids"))]
fn write_dxf(
    _works: &[LoadedKnife],
    _nest: &Nest,
    _as_asked: (Option<crate::args::HolesArg>, LengthUnit),
    _out: &Path,
    _host: &mut dyn Host,
) -> Result<(String, String), Failure> {
    Err(super::NO_SOLIDS)
}

/// More steps than this are no search that anyone waits for: some minutes.
const MAX_STEPS: u64 = 10_000_000;
/// A search that takes longer tells how far it is, milliseconds.
const QUIET_MS: u64 = 700;

/// Nodes and holes of all blanks that are read: the figures of each are kept beside one another.
const MAX_NODES: usize = 100_000;

/// Reads the blanks, no more of them than can be laid.
fn read_all(files: &[PathBuf], shop: &Shop, host: &dyn Host) -> Result<Vec<LoadedKnife>, Failure> {
    if files.len() > MAX_BLANKS {
        let count = files.len();
        let words = format!("{count} files are too many for one bar; name at most {MAX_BLANKS}");
        return Err(Failure::Usage(words));
    }
    let mut works = Vec::with_capacity(files.len());
    let mut nodes = 0;
    for (i, file) in files.iter().enumerate() {
        let work = LoadedKnife::read(file, shop, host)?;
        if work.reckoning.outline.is_none() {
            return Err(Failure::NoOutline { path: super::read_from(file) });
        }
        nodes += work.knife.profile.nodes.len() + work.knife.holes.len();
        if nodes > MAX_NODES {
            return Err(Failure::Usage(format!(
                "these blanks have so many nodes and holes that only the first {i} can be laid at \
                 once; name fewer"
            )));
        }
        works.push(work);
    }
    Ok(works)
}

pub(super) fn run(args: &BarArgs, host: &mut dyn Host) -> Result<Outcome, Failure> {
    let date = super::check_date(args.date.as_ref())?;
    once_only(args)?;
    let shop = read_shop(&args.shop, host)?;
    check_options(args)?;
    let works = read_all(&args.files, &shop, host)?;
    if let Some(out) = &args.out {
        args.files.iter().try_for_each(|file| protect_input(file, &args.shop, out, host))?;
        if !is_dxf(out) {
            check_pdf_name(out)?;
        }
    }
    let knives: Vec<&Knife> = works.iter().map(|work| &work.knife).collect();
    let Some(first) = knives.first() else { return Ok(Outcome::default()) };
    let options = nest_options(args, first.unit)?;
    if args.out.as_ref().is_some_and(|out| !is_dxf(out)) {
        check_paper(args, &works, &options)?;
    }
    let begun = host.now_ms();
    let mut told_ms = begun;
    let mut message = false;
    let nest = {
        let mut go_on = |progress: Progress| {
            let now = host.now_ms();
            if now.saturating_sub(begun) > QUIET_MS && now.saturating_sub(told_ms) > 200 {
                told_ms = now;
                message = true;
                if !args.quiet {
                    host.progress(&progress_line(progress, now - begun, first.unit));
                }
            }
            args.seconds.is_none_or(|max| (now.saturating_sub(begun) as f64) < 1000.0 * max)
        };
        nest(&knives, &options, &shop, Tables::built_in(), &mut go_on)
    };
    if message && !args.quiet {
        host.progress("");
    }
    let nest = nest.map_err(|why| match why.blank().and_then(|i| args.files.get(i)) {
        Some(path) => Failure::NotLaid { path: path.clone(), why: why.clone() },
        None => Failure::Usage(why.to_string()),
    })?;
    if options.length_mm.is_some_and(|_| nest.count() == 0) {
        return Err(Failure::Usage("no blank fits on this bar; use a longer one".into()));
    }
    let (mut out, mut file) = (String::new(), None);
    if args.json {
        out = json_of(&reckon::nest_json(&knives, &nest));
    } else {
        describe(&mut out, &nest, first.unit);
    }
    let mut err = String::new();
    if let Some(path) = args.out.as_ref().filter(|path| is_dxf(path)) {
        let unit = args.units.map_or(first.unit, Into::into);
        let (message, warned) = write_dxf(&works, &nest, (args.holes, unit), path, host)?;
        err.push_str(&warned);
        if !args.json {
            out.push_str(&message);
        }
    } else if let Some(path) = &args.out {
        let (pages, sent) = print(args, date, &knives, &nest, path, host)?;
        file = sent;
        if !args.json {
            let _ = writeln!(
                out,
                "Wrote {pages} {} to {}. Print at actual size (100 %), then measure both rulers \
                 and the square before you trust it; the reduced overview is not for tracing.",
                if pages == 1 { "page" } else { "pages" },
                super::written_to(path)
            );
        }
    }
    err.push_str(&stops(args, &works));
    Ok(Outcome { out, err, file, ..Outcome::default() })
}

/// Standard input can be read once, and standard output takes figures or a PDF, not both.
fn once_only(args: &BarArgs) -> Result<(), Failure> {
    let words = if args.files.iter().filter(|file| super::is_stream(file)).count() > 1 {
        "- can be given once: standard input is read only once"
    } else if args.json && args.out.as_deref().is_some_and(super::is_stream) {
        "--json and --out - both write to standard output: leave one out, or name a file"
    } else {
        return Ok(());
    };
    Err(Failure::Usage(words.to_owned()))
}

/// Refuses options that mean nothing for what is written.
fn check_options(args: &BarArgs) -> Result<(), Failure> {
    let to_dxf = args.out.as_deref().is_some_and(is_dxf);
    let wrong = [("--holes", args.holes.is_some()), ("--units", args.units.is_some())];
    match wrong.iter().find(|(_, is_given)| *is_given && !to_dxf) {
        Some((option, _)) => {
            Err(Failure::Usage(format!("{option} is for a DXF: name a .dxf after --out")))
        }
        None => Ok(()),
    }
}

/// Whether a file is to be a DXF for a cutting shop.
fn is_dxf(out: &Path) -> bool {
    out.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("dxf"))
}

fn nest_options(args: &BarArgs, unit: LengthUnit) -> Result<NestOptions, Failure> {
    let read = |text: &Option<String>, what: &str| {
        let read = |text: &String| {
            let length = parse_length(text, unit);
            length
                .map(|length| length.to_mm())
                .map_err(|why| Failure::Usage(format!("{what}: {why}")))
        };
        text.as_ref().map(read).transpose()
    };
    let usual = NestOptions::default();
    let length_mm = read(&args.length, "--length")?;
    if args.fill && length_mm.is_none() {
        return Err(Failure::Usage("--fill needs the bar's --length; see --help".to_owned()));
    }
    if args.copies == 0 {
        return Err(Failure::Usage("--copies must be at least 1".to_owned()));
    }
    if args.steps.is_some_and(|steps| steps > MAX_STEPS) {
        return Err(Failure::Usage(format!(
            "--steps must be at most {MAX_STEPS}; --seconds N searches for as long as you wait"
        )));
    }
    // With seconds given the clock alone stops the search.
    let steps =
        if args.seconds.is_some() { u64::MAX } else { args.steps.unwrap_or(usual.max_steps) };
    if args.seconds.is_some_and(|s| !(s.is_finite() && (0.0..=3600.0).contains(&s))) {
        return Err(Failure::Usage("--seconds must lie between 0 and 3600".to_owned()));
    }
    Ok(NestOptions {
        copies: args.copies,
        fill: args.fill,
        length_mm,
        width_mm: read(&args.width, "--width")?,
        kerf_mm: read(&args.kerf, "--kerf")?.unwrap_or(usual.kerf_mm),
        margin_mm: read(&args.margin, "--margin")?.unwrap_or(usual.margin_mm),
        flip: args.flip,
        drill: args.drill,
        max_steps: steps,
    })
}

/// Refuses what is too large for the paper before blanks are laid: they take at least as much of
/// the bar as they are steel, and a bar that doesn't take them all is filled but for one blank.
fn check_paper(
    args: &BarArgs,
    works: &[LoadedKnife],
    options: &NestOptions,
) -> Result<(), Failure> {
    let profiles = || works.iter().filter_map(|work| work.reckoning.profile.as_ref());
    let Some(first) = works.first().map(|work| &work.knife) else { return Ok(()) };
    let own = works.iter().map(|work| work.knife.bar.width_mm).fold(0.0, f64::max);
    let width_mm = options.width_mm.unwrap_or(own).max(1.0);
    let area_mm2: f64 = profiles().map(|profile| profile.area_mm2).sum();
    let longest_mm = profiles().map(|p| p.length_mm.hypot(p.width_mm)).fold(0.0, f64::max);
    let copies = if options.fill { MAX_BLANKS / works.len().max(1) } else { options.copies };
    if copies.saturating_mul(works.len()) > MAX_BLANKS {
        return Ok(()); // refused for that
    }
    #[expect(clippy::cast_precision_loss, reason = "some hundred")]
    let taken_mm = copies as f64 * area_mm2 / width_mm;
    let shown_mm = taken_mm.min(options.length_mm.unwrap_or(f64::INFINITY) - longest_mm - 10.0);
    if !(shown_mm > longest_mm && knife::limits::BAR_WIDTH_MM.contains(&width_mm)) {
        return Ok(());
    }
    let mut drawing = Drawing::new();
    drawing.rect(Pen::Bar, Rect::new(0.0, 0.0, shown_mm, width_mm));
    let (title, key) = ("Bar".to_owned(), "bar");
    let sheet =
        Sheet { key, title, drawing, notes: Vec::new(), inserts: Vec::new(), ..Sheet::default() };
    let paper = args.paper.as_deref().unwrap_or(printing::default_paper(first.unit));
    paper::check_room(&sheet, &printing::setup(&first.name, paper, None)?)?;
    Ok(())
}

fn progress_line(progress: Progress, ms: u64, unit: LengthUnit) -> String {
    #[expect(clippy::cast_precision_loss, reason = "seconds for a person to read")]
    let seconds = ms as f64 / 1000.0;
    format!(
        "{seconds:.1} s: {} laid in {} (Ctrl-C stops without writing anything)",
        progress.placed,
        units::write_length(progress.length_mm, unit)
    )
}

fn describe(out: &mut String, nest: &Nest, unit: LengthUnit) {
    let _ = writeln!(out, "{}", nest.describe_bar(unit));
    for (number, bar) in (1..).zip(&nest.bars) {
        let which = if nest.bars.len() > 1 { format!("Bar {number}: ") } else { String::new() };
        let _ = writeln!(out, "{which}{}", bar.describe(unit));
    }
    if let Some(coarse) = nest.coarse_warning() {
        let _ = writeln!(out, "{coarse}");
    }
    if let Some(limited) = nest.limit_warning() {
        let _ = writeln!(out, "{limited}");
    }
    if let Some(usual) = nest.describe_stock_counts() {
        let _ = writeln!(out, "{usual}");
    }
}

fn print(
    args: &BarArgs,
    date: Option<String>,
    knives: &[&Knife],
    nest: &Nest,
    out: &Path,
    host: &mut dyn Host,
) -> Result<(usize, Option<Vec<u8>>), Failure> {
    let titled = printing::nest_title(knives, nest);
    let paper = args.paper.as_deref().unwrap_or(printing::default_paper(titled.unit));
    let sheets = printing::nest_sheets(knives, nest);
    let pages = printing::pages(&titled, &sheets, paper, date.clone())?;
    let sent = super::write(out, printing::pdf(&titled, &pages, date.as_deref())?, host)?;
    Ok((pages.len(), sent))
}

/// One line for each blank of which a finding says stop.
fn stops(args: &BarArgs, works: &[LoadedKnife]) -> String {
    let mut err = String::new();
    for (file, work) in args.files.iter().zip(works) {
        // How a blank lies on its own bar matters nothing here.
        let grave = |f: &&reckon::Finding| {
            f.severity == reckon::Severity::Stop && f.rule != "off-the-bar" && f.set_aside.is_none()
        };
        if work.reckoning.findings.iter().any(|f| grave(&f)) {
            let _ = writeln!(
                err,
                "blankwright: a problem says stop: run blankwright check {} before you cut steel \
                 from it",
                file.display()
            );
        }
    }
    err
}
