//! `trim`: what was measured on a proof becomes a printer's trim, kept in the shop file.

use super::read_shop;
use crate::args::{ShopArg, TrimArgs};
use crate::{Failure, Outcome};
use desk::{Host, printing};
use kurbo::{Size, Vec2};
use paper::Setup;
use reckon::Shop;
use reckon::shop::trim::{GOOD_MM, OVER_MM, Reading, Trim};
use reckon::shop::{Printer, file};
use std::fmt::Write as _;
use std::path::Path;
use units::{LengthUnit, read_length};

pub(super) fn run(args: &TrimArgs, host: &mut dyn Host) -> Result<Outcome, Failure> {
    let path = args.shop.as_path();
    let arg = ShopArg { shop: host.exists(path).then(|| path.to_owned()) };
    let mut shop = read_shop(&arg, host)?;
    if args.across.is_empty()
        && args.up.is_empty()
        && args.rising.is_empty()
        && args.falling.is_empty()
    {
        return told(&shop, args, path);
    }
    let paper = args.paper.as_deref().ok_or_else(|| {
        Failure::Usage("--paper is missing: name the paper the proof was printed on".to_owned())
    })?;
    let setup = with_margin(printing::setup("", paper, None)?, args.margin.as_deref())?;
    let before = shop.printers.iter().position(|printer| is_called(printer, &args.name));
    let earlier = before.and_then(|at| shop.printers.get(at)?.trim.clone());
    let sent = args.confirm.then_some(earlier.as_ref());
    if sent.is_some_and(|earlier| earlier.is_none()) {
        return Err(Failure::Usage(format!(
            "there is no trim for {} to confirm; type its first proof in without --confirm",
            args.name
        )));
    }
    let readings = readings(args, paper::proof_sides(&setup)?, sent.flatten())?;
    let refused = |why: reckon::shop::trim::TrimFault| Failure::Usage(why.to_string());
    let trim = match sent.flatten() {
        Some(earlier) => earlier.confirm(readings).map_err(refused)?,
        None => Trim::measure(&setup.paper.name, readings).map_err(refused)?,
    };
    let name = match before.and_then(|at| shop.printers.get(at)) {
        Some(printer) => printer.name.clone(),
        None => args.name.trim().to_owned(),
    };
    let printer = Printer { name, trim: Some(trim.clone()) };
    let out = words(&printer, &trim, args, path);
    match before.and_then(|at| shop.printers.get_mut(at)) {
        Some(place) => *place = printer,
        None => shop.printers.push(printer),
    }
    host.write(path, file::save(&shop).as_bytes())?;
    Ok(Outcome { out, ..Outcome::default() })
}

/// Without readings: what is kept.
fn told(shop: &Shop, args: &TrimArgs, path: &Path) -> Result<Outcome, Failure> {
    let printer = of_name(shop, &args.name)?;
    let out = match &printer.trim {
        Some(trim) => format!("{}: {trim}.\n", printer.name),
        None => format!(
            "{}: no trim measured. Print a proof (blankwright proof --paper letter --out \
             proof.pdf), measure it and type the readings in with --shop {}.\n",
            printer.name,
            path.display()
        ),
    };
    Ok(Outcome { out, ..Outcome::default() })
}

fn words(printer: &Printer, trim: &Trim, args: &TrimArgs, path: &Path) -> String {
    let mut out = String::new();
    let name = &printer.name;
    let shop = path.display();
    let _ = writeln!(out, "{name}: {trim}. Kept in {shop}.");
    if let Some(within) = trim.within_mm.filter(|within| *within > GOOD_MM) {
        let _ = writeln!(
            out,
            "A line of {OVER_MM} mm may still be {} mm off; reading every line once or twice more \
             makes that less.",
            units::show_number(within, 2)
        );
    }
    if args.confirm {
        let _ =
            writeln!(out, "The second proof bears it out: print with --trim {name} --shop {shop}.");
    } else {
        let _ = writeln!(
            out,
            "Now print a second proof with it (blankwright proof --paper {} --trim {name} --shop \
             {shop} --out proof2.pdf), measure that, and type it in with --confirm.",
            trim.paper
        );
    }
    out
}

/// The readings of all lines, as they were sent to the printer.
fn readings(args: &TrimArgs, sides: Size, trim: Option<&Trim>) -> Result<Vec<Reading>, Failure> {
    let lines = [
        ("--across", &args.across, Vec2::new(sides.width, 0.0)),
        ("--up", &args.up, Vec2::new(0.0, sides.height)),
        ("--rising", &args.rising, Vec2::new(sides.width, sides.height)),
        ("--falling", &args.falling, Vec2::new(sides.width, -sides.height)),
    ];
    let mut all = Vec::new();
    for (what, typed, line) in lines {
        let sent_mm = trim.map_or(line, |trim| {
            let [[a, b], [c, d]] = trim.to_send();
            Vec2::new(a * line.x + b * line.y, c * line.x + d * line.y)
        });
        for text in typed {
            let measured_mm = reading_mm(text, line.hypot())
                .map_err(|why| Failure::Usage(format!("{what}: {why}")))?;
            all.push(Reading { sent_mm, measured_mm });
        }
    }
    Ok(all)
}

/// A reading; a bare number that makes sense in inches only is taken so.
fn reading_mm(text: &str, true_mm: f64) -> Result<f64, units::ReadError> {
    let read = |unit| read_length(text, unit).map(|length| length.to_mm());
    let (mm, by_inch) = (read(LengthUnit::Millimetre)?, read(LengthUnit::Inch)?);
    let near = |length: f64| (length / true_mm - 1.0).abs() < 0.2;
    Ok(if !near(mm) && near(by_inch) { by_inch } else { mm })
}

/// The setup with the border that was typed, a bare number taken as millimetres.
pub(super) fn with_margin(setup: Setup, typed: Option<&str>) -> Result<Setup, Failure> {
    let Some(typed) = typed else { return Ok(setup) };
    let margin = read_length(typed, LengthUnit::Millimetre)
        .map_err(|why| Failure::Usage(format!("--margin: {why}")))?;
    Ok(setup.with_margin_mm(margin.to_mm())?)
}

/// The printer of that name.
pub(super) fn of_name<'a>(shop: &'a Shop, name: &str) -> Result<&'a Printer, Failure> {
    shop.printers.iter().find(|printer| is_called(printer, name)).ok_or_else(|| {
        let names: Vec<&str> = shop.printers.iter().map(|printer| printer.name.as_str()).collect();
        let known = if names.is_empty() {
            "none in this shop yet; print a proof, measure it and type it in with blankwright trim, \
             and name the shop with --shop"
                .to_owned()
        } else {
            names.join(", ")
        };
        Failure::Unknown { what: "trim", found: name.to_owned(), known }
    })
}

fn is_called(printer: &Printer, name: &str) -> bool {
    printer.name.trim().to_lowercase() == name.trim().to_lowercase()
}

/// The setup through a printer's trim, with what to mind about it; without a name as it is.
pub(super) fn through(
    setup: Setup,
    shop: &Shop,
    name: Option<&str>,
) -> Result<(Setup, Option<String>), Failure> {
    let Some(name) = name else { return Ok((setup, None)) };
    let printer = of_name(shop, name)?;
    let Some(trim) = &printer.trim else {
        return Err(Failure::Usage(format!(
            "no trim was measured for the printer {}; print a proof, measure it and type it in \
             with blankwright trim",
            printer.name
        )));
    };
    let mind = if !trim.paper.is_empty() && trim.paper != setup.paper.name {
        Some(format!(
            "the trim of {} was measured on {}; print and measure a proof on {} before you trust it",
            printer.name, trim.paper, setup.paper.name
        ))
    } else {
        None
    };
    Ok((printing::trimmed(setup, printer), mind))
}
