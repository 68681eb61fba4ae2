//! One command a file.

mod bar;
mod build;
mod check;
mod draw;
mod help;
mod materials;
mod new;
mod numbers;
mod papers;
mod picture;
mod print;
mod proof;
mod schema;
mod starters;
mod trim;

use crate::args::{Command, NewArgs, ShopArg};
use crate::{Failure, Outcome, args, plain};
use host::Host;
use knife::Knife;
use knife::file::{self, ENDING, Opened};
use reckon::tables::Tables;
use reckon::{Reckoning, Shop, reckon};
use std::path::Path;

pub(crate) fn run(command: Option<Command>, host: &mut dyn Host) -> Result<Outcome, Failure> {
    match command {
        None => open(None),
        Some(Command::Open { file }) => open(Some(&file)),
        Some(Command::Starters) => Ok(starters::run()),
        Some(Command::New(NewArgs { starter, outline, picture, tracing, out })) => {
            match (picture, outline, starter) {
                (Some(picture), ..) => picture::from_picture(&picture, &tracing, &out, host),
                (_, Some(outline), _) => new::from_outline(&outline, &out, host),
                (.., starter) => new::from_starter(&starter.unwrap_or_default(), &out, host),
            }
        }
        Some(Command::Check { file, json, shop }) => {
            check::run(&Work::open(&file, &shop, host)?, json)
        }
        Some(Command::Numbers { file, json, shop }) => {
            numbers::run(&Work::open(&file, &shop, host)?, json)
        }
        Some(Command::Help { topic }) => help::run(&topic),
        Some(Command::Completions { shell }) => {
            Ok(Outcome { out: args::completions(shell), ..Outcome::default() })
        }
        Some(Command::Man { command }) => {
            Ok(Outcome { out: args::man(command.as_deref())?, ..Outcome::default() })
        }
        Some(Command::Schema { of }) => schema::run(&of),
        Some(Command::Build { file, shop }) => build::run(&Work::open(&file, &shop, host)?),
        Some(Command::Materials { file, csv, shop }) => {
            let shop = read_shop(&shop, host)?;
            materials::run(&Work::read(&file, &shop, host)?, &shop, csv)
        }
        Some(Command::Print(args)) => {
            let shop = read_shop(&args.shop, host)?;
            match args.file.clone() {
                Some(file) => {
                    print::run(&Work::read(&file, &shop, host)?, &file, &shop, &args, host)
                }
                None => print::mat_alone(&shop, &args, host),
            }
        }
        Some(Command::Papers { papers, width }) => papers::run(&papers, width.as_deref()),
        Some(Command::Proof(args)) => proof::run(&args, host),
        Some(Command::Trim(args)) => trim::run(&args, host),
        Some(Command::Bar(args)) => bar::run(&args, host),
        Some(Command::Draw { file, out, dpi, sheet, bare, shop }) => {
            let wish = draw::Wish { dpi, sheet, bare };
            draw::run(&Work::open(&file, &shop, host)?, &file, &out, &wish, host)
        }
    }
}

/// The desk in its window, until it is closed.
#[cfg(feature = "window")]
fn open(file: Option<&Path>) -> Result<Outcome, Failure> {
    crate::window::open(file).map(|()| Outcome::default())
}

/// A build without a window says so.
#[cfg(not(feature = "window"))]
fn open(_file: Option<&Path>) -> Result<Outcome, Failure> {
    let words = "this build has no window; build it with the feature \"window\" (it is on by \
                 default) to open the desk, or use blankwright print FILE --out PDF";
    Err(Failure::Usage(words.to_owned()))
}

/// A knife read from its file and all that follows from it.
pub(crate) struct Work {
    pub(crate) knife: Knife,
    pub(crate) reckoning: Reckoning,
}

impl Work {
    /// Reads and reckons. A file with any fault is refused: steel is cut by what comes out.
    fn open(path: &Path, shop: &ShopArg, host: &dyn Host) -> Result<Self, Failure> {
        Self::read(path, &read_shop(shop, host)?, host)
    }

    fn read(path: &Path, shop: &Shop, host: &dyn Host) -> Result<Self, Failure> {
        let opened = file::open(&host.read(path)?)
            .map_err(|why| Failure::NotABlank { path: path.to_owned(), why })?;
        if !opened.faults.is_empty() {
            let Opened { faults, more_faults: more, .. } = opened;
            return Err(Failure::Faults { path: path.to_owned(), faults, more });
        }
        Ok(Self::by(opened.knife, shop))
    }

    /// By the built-in usual shop.
    fn of(knife: Knife) -> Self {
        Self::by(knife, &Shop::default())
    }

    fn by(knife: Knife, shop: &Shop) -> Self {
        let knife = plain::knife(knife);
        let reckoning = reckon(&knife, shop, Tables::built_in());
        Self { knife, reckoning }
    }
}

/// The shop that was named; else the built-in usual one. What the desk keeps is never read here,
/// so that a command gives the same answer whoever runs it.
pub(crate) fn read_shop(arg: &ShopArg, host: &dyn Host) -> Result<Shop, Failure> {
    let Some(path) = &arg.shop else { return Ok(Shop::default()) };
    let opened = reckon::shop::file::open(&host.read(path)?)
        .map_err(|why| Failure::NotAShop { path: path.clone(), why })?;
    if opened.faults.is_empty() {
        return Ok(plain::shop(opened.shop));
    }
    let (faults, more) = (opened.faults, opened.more_faults);
    Err(Failure::Faults { path: path.clone(), faults, more })
}

/// Refuses to write over the blank that is read, or over any name that a blank file would have.
fn keep_the_blank(file: &Path, out: &Path, host: &dyn Host) -> Result<(), Failure> {
    if host.same_file(file, out) {
        return Err(Failure::OverItself { path: out.to_owned() });
    }
    keep_a_blank(out, host)
}

/// Refuses to write over any name that a blank file would have, or where nothing may be written.
fn keep_a_blank(out: &Path, host: &dyn Host) -> Result<(), Failure> {
    if out.to_string_lossy().to_lowercase().ends_with(ENDING) {
        return Err(Failure::OverItself { path: out.to_owned() });
    }
    Ok(host.may_write(out)?)
}

/// Refuses to write a PDF under a name that says it is something else.
fn wants_pdf(out: &Path) -> Result<(), Failure> {
    match out.extension().and_then(|ending| ending.to_str()) {
        Some(ending) if ending.eq_ignore_ascii_case("pdf") => Ok(()),
        _ => Err(Failure::NotPdf { path: out.to_owned() }),
    }
}

/// The date that was typed, if it can be one.
fn date(typed: Option<&String>) -> Result<Option<String>, Failure> {
    typed
        .map(|text| sheets::check_day(text).map(|()| text.clone()))
        .transpose()
        .map_err(Failure::from)
}

/// The JSON as text, one value a line.
fn json_text(value: &serde_json::Value) -> String {
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}
