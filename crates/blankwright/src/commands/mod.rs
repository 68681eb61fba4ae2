//! One command a file.

mod bar;
mod build;
mod check;
mod draw;
#[cfg(feature = "solids")]
mod dxf_outline;
#[cfg(feature = "solids")]
mod export;
mod help;
mod materials;
mod new;
mod numbers;
mod papers;
#[cfg(feature = "tracing")]
mod picture;
mod print;
mod proof;
pub(crate) mod schema;
mod starters;
mod trim;
#[cfg(feature = "solids")]
mod view;

use crate::args::{Cli, Command, ShopArg};
use crate::{Failure, Outcome, parsing, plain};
use host::{Host, UnusableFile};
use knife::Knife;
use knife::file::{self, EXTENSION, Opened};
use reckon::tables::Tables;
use reckon::{Reckoning, Shop, reckon};
use std::path::{Path, PathBuf};
use units::one_line;

/// Does a command. With `--quiet` what only tells of files written is left out.
pub(crate) fn run(typed: Cli, host: &mut dyn Host) -> Result<Outcome, Failure> {
    let is_left_out = typed.quiet && typed.command.as_ref().is_some_and(Command::only_tells);
    let mut outcome = done(typed.command, host)?;
    if is_left_out {
        outcome.out.clear();
    }
    Ok(outcome)
}

fn done(command: Option<Command>, host: &mut dyn Host) -> Result<Outcome, Failure> {
    match command {
        None => open(None),
        Some(Command::Open { file }) => open(Some(&file)),
        Some(Command::Starters { json }) => Ok(starters::run(json)),
        Some(Command::New { starter, shape, picture, tracing, out }) => {
            let alone = |name, with| Failure::Usage(format!("{name} goes with {with}; see --help"));
            if shape.units.is_some() && shape.outline.is_none() {
                return Err(alone("--units", "--outline"));
            }
            if tracing.corners.is_some() && tracing.rectangle.is_none() {
                return Err(alone("--corners", "--rectangle"));
            }
            if let (None, Some(name)) = (&picture, tracing.first()) {
                return Err(alone(name, "--picture"));
            }
            match (picture, &shape.outline, starter) {
                #[cfg(not(feature = "tracing"))]
                (Some(_), ..) => {
                    Err(Failure::LeftOut { what: "tracing of pictures", feature: "tracing" })
                }
                #[cfg(feature = "tracing")]
                (Some(picture), ..) => {
                    picture::from_picture(&picture, shape.gap.as_deref(), &tracing, &out, host)
                }
                (_, Some(outline), _) => new::from_outline(outline, &shape, &out, host),
                (.., starter) => new::from_starter(&starter.unwrap_or_default(), &out, host),
            }
        }
        Some(Command::Check { file, json, shop }) => {
            check::run(&LoadedKnife::open(&file, &shop, host)?, json)
        }
        Some(Command::Numbers { file, json, shop }) => {
            numbers::run(&LoadedKnife::open(&file, &shop, host)?, json)
        }
        Some(Command::Help { topic }) => help::run(&topic),
        Some(Command::Completions { shell }) => {
            Ok(Outcome { out: parsing::completions(shell), ..Outcome::default() })
        }
        Some(Command::Man { command }) => {
            Ok(Outcome { out: parsing::man(command.as_deref())?, ..Outcome::default() })
        }
        Some(Command::Schema { of }) => schema::run(&of),
        Some(Command::Build { file, json, shop }) => {
            build::run(&LoadedKnife::open(&file, &shop, host)?, json)
        }
        Some(Command::Materials { file, csv, json, shop }) => {
            let shop = read_shop(&shop, host)?;
            materials::run(&LoadedKnife::read(&file, &shop, host)?, &shop, csv, json)
        }
        Some(Command::Print(args)) => {
            let shop = read_shop(&args.shop, host)?;
            match &args.file {
                Some(file) => {
                    print::run(&LoadedKnife::read(file, &shop, host)?, file, &shop, &args, host)
                }
                None => print::mat_alone(&shop, &args, host),
            }
        }
        Some(Command::Papers { papers, width, json }) => {
            papers::run(&papers, width.as_deref(), json)
        }
        Some(Command::Proof(args)) => proof::run(&args, host),
        Some(Command::Trim(args)) => trim::run(&args, host),
        Some(Command::Bar(args)) => bar::run(&args, host),
        #[cfg(not(feature = "solids"))]
        Some(Command::Export(_) | Command::Draw { view: Some(_), .. }) => Err(NO_SOLIDS),
        #[cfg(feature = "solids")]
        Some(Command::Draw { file, out, dpi, view: Some(side), cut, shop, .. }) => {
            let work = LoadedKnife::open(&file, &shop, host)?;
            protect_input(&file, &shop, &out, host)?;
            view::run(&work, &file, &out, &view::View { side, cut, dpi }, host)
        }
        Some(Command::Draw { file, out, dpi, sheet, bare, shop, .. }) => {
            let work = LoadedKnife::open(&file, &shop, host)?;
            protect_input(&file, &shop, &out, host)?;
            draw::run(&work, &file, &out, &draw::DrawOptions { dpi, sheet, bare }, host)
        }
        #[cfg(feature = "solids")]
        Some(Command::Export(args)) => {
            export::run(&LoadedKnife::open(&args.file, &args.shop, host)?, &args, host)
        }
    }
}

/// What a build without solids says where they are asked for.
#[cfg(not(feature = "solids"))]
const NO_SOLIDS: Failure = Failure::LeftOut { what: "solids and DXF", feature: "solids" };

/// The desk in its window, until it is closed.
#[cfg(feature = "window")]
fn open(file: Option<&Path>) -> Result<Outcome, Failure> {
    crate::window::open(file).map(|()| Outcome::default())
}

/// A build without a window says so.
#[cfg(not(feature = "window"))]
fn open(_file: Option<&Path>) -> Result<Outcome, Failure> {
    Err(Failure::LeftOut { what: "the desk's window", feature: "window" })
}

/// A knife read from its file and all that follows from it.
pub(crate) struct LoadedKnife {
    pub(crate) knife: Knife,
    pub(crate) reckoning: Reckoning,
}

impl LoadedKnife {
    /// Reads and reckons. A file with any fault is refused: steel is cut by what comes out.
    fn open(path: &Path, shop: &ShopArg, host: &dyn Host) -> Result<Self, Failure> {
        Self::read(path, &read_shop(shop, host)?, host)
    }

    fn read(path: &Path, shop: &Shop, host: &dyn Host) -> Result<Self, Failure> {
        let bytes = if is_stream(path) { host.input() } else { host.read(path) }?;
        let path = read_from(path);
        let opened = match file::open(&bytes) {
            Ok(opened) => opened,
            Err(why) => return Err(UnusableFile { path, why }.into()),
        };
        if !opened.faults.is_empty() {
            let Opened { faults, more_faults: more, .. } = opened;
            return Err(Failure::Faults { path, faults, more });
        }
        Ok(Self::with_shop(opened.knife, shop))
    }

    /// By the built-in usual shop.
    fn with_default_shop(knife: Knife) -> Self {
        Self::with_shop(knife, &Shop::default())
    }

    fn with_shop(knife: Knife, shop: &Shop) -> Self {
        let knife = plain::knife(knife);
        let reckoning = reckon(&knife, shop, Tables::built_in());
        Self { knife, reckoning }
    }
}

/// The shop that was named; else the built-in usual one. What the desk keeps is never read here,
/// so that a command gives the same answer whoever runs it.
pub(crate) fn read_shop(arg: &ShopArg, host: &dyn Host) -> Result<Shop, Failure> {
    arg.shop.as_ref().map_or(Ok(Shop::default()), |path| open_shop(path, host).map(plain::shop))
}

/// A shop as its file has it, to be written again.
fn open_shop(path: &Path, host: &dyn Host) -> Result<Shop, Failure> {
    let opened = reckon::shop::file::open(&host.read(path)?)
        .map_err(|why| Failure::NotAShop { path: path.to_owned(), why })?;
    if opened.faults.is_empty() {
        return Ok(opened.shop);
    }
    let (faults, more) = (opened.faults, opened.more_faults);
    Err(Failure::Faults { path: path.to_owned(), faults, more })
}

/// Whether a name stands for standard input or output. A file of that name is `./-`.
fn is_stream(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// A file that is read, as a sentence names it.
fn read_from(path: &Path) -> PathBuf {
    if is_stream(path) { "standard input".into() } else { path.to_owned() }
}

/// A file that is written, as a sentence names it.
fn written_to(path: &Path) -> std::path::Display<'_> {
    if is_stream(path) { Path::new("standard output").display() } else { path.display() }
}

/// Writes a file, or gives it back where standard output is to have it.
fn write(out: &Path, bytes: Vec<u8>, host: &mut dyn Host) -> Result<Option<Vec<u8>>, Failure> {
    if is_stream(out) {
        return Ok(Some(bytes));
    }
    host.write(out, &bytes)?;
    Ok(None)
}

/// What to say of a grade that no table has but that is much like one's name.
fn likely_grade(work: &LoadedKnife) -> String {
    let grade = work.knife.bar.grade.trim();
    if grade.is_empty() || work.reckoning.heat.steel.is_some() {
        return String::new();
    }
    let steels = Tables::built_in().steels();
    let names = steels.iter().flat_map(|steel| steel.other_names.iter().chain([&steel.grade]));
    manual::nearest(grade, names.map(String::as_str)).map_or_else(String::new, |near| {
        let grade = one_line(grade);
        format!("blankwright: no table has the steel \"{grade}\", did you mean {near}?\n")
    })
}

/// Refuses to write over the blank that is read, over the shop, or over any name that a blank file
/// would have.
fn protect_input(file: &Path, shop: &ShopArg, out: &Path, host: &dyn Host) -> Result<(), Failure> {
    if !is_stream(out) && host.same_file(file, out) {
        return Err(Failure::OverItself { path: out.to_owned() });
    }
    protect_shop(shop, out, host)
}

/// Refuses to write over the shop, over any name that a blank file would have, or where nothing may
/// be written.
fn protect_shop(shop: &ShopArg, out: &Path, host: &dyn Host) -> Result<(), Failure> {
    if is_stream(out) {
        return Ok(());
    }
    if shop.shop.as_ref().is_some_and(|shop| host.same_file(shop, out)) {
        return Err(Failure::OverShop { path: out.to_owned() });
    }
    if out.to_string_lossy().to_lowercase().ends_with(EXTENSION) {
        return Err(Failure::NamedLikeABlank { path: out.to_owned() });
    }
    Ok(host.check_writable(out)?)
}

/// Refuses to write a PDF under a name that says it is something else.
fn check_pdf_name(out: &Path) -> Result<(), Failure> {
    match out.extension().and_then(|ending| ending.to_str()) {
        _ if is_stream(out) => Ok(()),
        Some(ending) if ending.eq_ignore_ascii_case("pdf") => Ok(()),
        _ => Err(Failure::NotPdf { path: out.to_owned() }),
    }
}

/// The date that was typed, if it can be one.
fn check_date(typed: Option<&String>) -> Result<Option<String>, Failure> {
    typed
        .map(|text| sheets::check_date(text).map(|()| text.clone()))
        .transpose()
        .map_err(Failure::from)
}

/// The JSON as text, one value a line.
fn json_of(value: &impl serde::Serialize) -> String {
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}
