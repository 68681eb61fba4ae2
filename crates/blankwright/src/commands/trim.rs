//! `trim`: what was measured on a proof becomes a printer's trim, kept in the shop file.

use super::{json_of, open_shop};
use crate::args::TrimArgs;
use crate::{Failure, Outcome, plain};
use host::{FileError, Host};
use kurbo::Size;
use paper::PageSetup;
use reckon::Shop;
use reckon::shop::Printer;
use reckon::shop::file;
use reckon::shop::trim::{GOOD_ERROR_MM, REFERENCE_LENGTH_MM, Trim};
use schemars::JsonSchema;
use serde::Serialize;
use sheets::printer_trim::{self, PrintedWith, ProofLine, TrimRefusal};
use sheets::printing;
use std::fmt::Write as _;
use std::path::Path;
use units::{LengthUnit, parse_length};

/// What is kept of a printer (`blankwright trim NAME --json`).
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct KeptTrim {
    /// Always `blankwright-trim`.
    format: &'static str,
    /// Always 1: fields are added, never renamed.
    version: u32,
    /// The printer's name.
    printer: String,
    /// Its correction; `null` when none was measured.
    trim: Option<Factors>,
}

/// What makes a printer's sheets come true, on paper held upright.
#[derive(Debug, Serialize, JsonSchema)]
struct Factors {
    /// True length over printed length, across the page.
    scale_x: f64,
    /// True length over printed length, up the page.
    scale_y: f64,
    /// By how much a printed right angle is over 90°.
    skew_deg: f64,
    /// By how much a line of 250 mm may still be off (about 95 in 100 are better); `null` when
    /// the correction was typed, not measured.
    within_mm: Option<f64>,
    /// The paper it was measured on; empty when that is not known.
    paper: String,
    /// How many readings it rests on.
    readings: usize,
}

impl KeptTrim {
    fn of(printer: &Printer) -> Self {
        let factors = |trim: &Trim| Factors {
            scale_x: trim.scale_x,
            scale_y: trim.scale_y,
            skew_deg: trim.skew_deg,
            within_mm: trim.within_mm,
            paper: trim.paper.clone(),
            readings: trim.readings.len(),
        };
        Self {
            format: "blankwright-trim",
            version: 1,
            printer: printer.name.clone(),
            trim: printer.trim.as_ref().map(factors),
        }
    }
}

pub(super) fn run(args: &TrimArgs, host: &mut dyn Host) -> Result<Outcome, Failure> {
    let path = args.shop.as_path();
    if args.name.trim().is_empty() {
        return Err(Failure::Usage("the printer has no name; give it one".to_owned()));
    }
    if !args.has_readings() {
        return show_trims(&open_shop(path, host)?, args, path);
    }
    host.check_writable(path)?;
    // From reading to writing, so that no printer that another run adds is lost.
    let _held = host.lock(path)?;
    let mut shop = open_or_default(path, host)?;
    let paper = args.paper.as_deref().ok_or_else(|| {
        Failure::Usage("--paper is missing: name the paper the proof was printed on".to_owned())
    })?;
    let setup = with_margin(printing::setup("", paper, None)?, args.margin.as_deref())?;
    let readings = readings(args, paper::proof_sides(&setup)?)?;
    let printed = match (args.confirm, args.anew) {
        (true, _) => PrintedWith::ItsTrim,
        (false, true) => PrintedWith::NoTrim,
        (false, false) => PrintedWith::Unsaid,
    };
    let printer = printer_trim::measure(&shop, &args.name, &setup, printed, &readings);
    let printer = printer.map_err(|why| match why {
        TrimRefusal::NothingToConfirm(name) => Failure::Usage(format!(
            "there is no correction for {name} to confirm; type in its first proof without \
             --confirm"
        )),
        TrimRefusal::Unsaid { name, trim } => Failure::Usage(format!(
            "{name} has a correction already ({trim}); add --confirm if this proof was printed \
             with it, --anew if it was printed without"
        )),
        TrimRefusal::TooManyReadings { .. } => Failure::Usage(format!("{why}, and add --anew")),
        TrimRefusal::Paper(why) => why.into(),
        other => Failure::Usage(other.to_string()),
    })?;
    let shown = plain::printer(printer.clone());
    let out = if args.json { json_of(&KeptTrim::of(&shown)) } else { describe(&shown, args, path) };
    printer_trim::store_printer(&mut shop, printer);
    let text = file::save_read_back(&shop).map_err(|why| FileError::unreadable(path, why))?;
    host.write(path, text.as_bytes())?;
    Ok(Outcome { out, ..Outcome::default() })
}

/// The shop as its file has it; the usual one where there is none yet.
fn open_or_default(path: &Path, host: &dyn Host) -> Result<Shop, Failure> {
    if host.exists(path) { open_shop(path, host) } else { Ok(Shop::default()) }
}

/// Without readings: what is kept.
fn show_trims(shop: &Shop, args: &TrimArgs, path: &Path) -> Result<Outcome, Failure> {
    let printer = &plain::printer(find_printer(shop, &args.name)?.clone());
    let out = match &printer.trim {
        _ if args.json => json_of(&KeptTrim::of(printer)),
        Some(trim) => format!("{}: {trim}.\n", printer.name),
        None => format!(
            "{}: no correction measured. Print a proof (blankwright proof --paper letter --out \
             proof.pdf), measure it and type the readings in with --shop {}.\n",
            printer.name,
            path.display()
        ),
    };
    Ok(Outcome { out, ..Outcome::default() })
}

fn describe(printer: &Printer, args: &TrimArgs, path: &Path) -> String {
    let mut out = String::new();
    let (name, trim) = (&printer.name, printer.trim.clone().unwrap_or_default());
    let word = printing::shell_quoted(name);
    let shop = path.display();
    let _ = writeln!(out, "{name}: {trim}. Kept in {shop}.");
    if let Some(within) = trim.within_mm.filter(|within| *within > GOOD_ERROR_MM) {
        let _ = writeln!(
            out,
            "A line of {REFERENCE_LENGTH_MM} mm may still be {} mm off; read every line once or \
             twice more to reduce that.",
            units::show_number(within, 2)
        );
    }
    if args.confirm {
        let _ =
            writeln!(out, "The second proof confirms it: print with --trim {word} --shop {shop}.");
    } else {
        let _ = writeln!(
            out,
            "Now print a second proof with it (blankwright proof --paper {} --trim {word} --shop \
             {shop} --out proof2.pdf), measure that, and type it in with --confirm.",
            trim.paper
        );
    }
    out
}

/// The readings of all lines, mm.
fn readings(args: &TrimArgs, sides: Size) -> Result<Vec<(ProofLine, f64)>, Failure> {
    let lines = [
        ("--across", &args.across, ProofLine::Across),
        ("--up", &args.up, ProofLine::Up),
        ("--rising", &args.rising, ProofLine::Rising),
        ("--falling", &args.falling, ProofLine::Falling),
    ];
    let mut all = Vec::new();
    for (what, typed, line) in lines {
        let true_mm = line.true_mm(sides).hypot();
        for text in typed.iter().flat_map(|text| printer_trim::split_readings(text, true_mm)) {
            let measured_mm = printer_trim::reading_mm(&text, true_mm)
                .map_err(|why| Failure::Usage(format!("{what}: {why}")))?;
            if measured_mm <= 0.0 {
                return Err(Failure::Usage(format!(
                    "{what}: {text} isn't a reading of a line; type what the rule shows from \
                     cross to cross, about {}",
                    units::show_mm(true_mm, 0)
                )));
            }
            all.push((line, measured_mm));
        }
    }
    Ok(all)
}

/// The setup with the border that was typed, a bare number taken as millimetres.
pub(super) fn with_margin(setup: PageSetup, typed: Option<&str>) -> Result<PageSetup, Failure> {
    let Some(typed) = typed else { return Ok(setup) };
    let margin = parse_length(typed, LengthUnit::Millimetre)
        .map_err(|why| Failure::Usage(format!("--margin: {why}")))?;
    Ok(setup.with_margin_mm(margin.to_mm())?)
}

/// The printer of that name.
pub(super) fn find_printer<'a>(shop: &'a Shop, name: &str) -> Result<&'a Printer, Failure> {
    printer_trim::find_printer(shop, name).ok_or_else(|| {
        let names: Vec<&str> = shop.printers.iter().map(|printer| printer.name.as_str()).collect();
        let known = if names.is_empty() {
            "none in this shop yet; print a proof, measure it and type it in with blankwright trim, \
             and name the shop with --shop"
                .to_owned()
        } else {
            names.join(", ")
        };
        Failure::Unknown { what: "correction", found: name.to_owned(), known }
    })
}

/// The setup through a printer's trim, with what to mind about it; without a name as it is.
pub(super) fn with_printer(
    setup: PageSetup,
    shop: &Shop,
    name: Option<&str>,
) -> Result<(PageSetup, Option<String>), Failure> {
    let Some(name) = name else { return Ok((setup, None)) };
    let printer = find_printer(shop, name)?;
    if printer.trim.is_none() {
        return Err(Failure::Usage(format!(
            "no correction was measured for the printer {}; print a proof, measure it and type it \
             in with blankwright trim",
            printer.name
        )));
    }
    let mind = printer_trim::other_paper_warning(printer, &setup.paper);
    Ok((printing::with_trim(setup, printer), mind))
}
