//! What was typed, nothing else.

use crate::Failure;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Args, CommandFactory as _, Parser, Subcommand};
use knife::file::ENDING;
use std::ffi::OsString;
use std::path::PathBuf;

const EXAMPLES: &str = "Examples:
  blankwright new drop-point --out mine.blank.json
  blankwright check mine.blank.json
  blankwright print mine.blank.json --out mine.pdf --paper letter
  blankwright help first-knife

Exit codes: 0 nothing to stop for, 1 at least one finding says stop, 2 it could not be done.";

/// Lays out a knife blank on a bar of steel, works out the bench's numbers and prints
/// templates that are truly full size.
#[derive(Debug, Parser)]
#[command(name = "blankwright", version, after_help = EXAMPLES, disable_help_subcommand = true)]
struct Typed {
    #[command(subcommand)]
    command: Option<Command>,
}

/// The shop to work by.
#[derive(Debug, Args)]
pub(crate) struct ShopArg {
    /// The shop file to work by; without it the built-in usual shop, whatever the desk keeps
    #[arg(long, value_name = "FILE")]
    pub(crate) shop: Option<PathBuf>,
}

/// Blanks to lay on a bar, and the bar.
#[derive(Debug, Args)]
pub(crate) struct BarArgs {
    /// The blank files, all for one thickness and grade
    #[arg(required = true, value_name = "FILE")]
    pub(crate) files: Vec<PathBuf>,
    /// How many of each
    #[arg(
        long,
        value_name = "N",
        default_value_t = 1,
        conflicts_with = "fill",
        allow_negative_numbers = true
    )]
    pub(crate) copies: usize,
    /// As many as one bar takes
    #[arg(long)]
    pub(crate) fill: bool,
    /// Length of the bar, such as 48in; without it the shortest that takes all
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) length: Option<String>,
    /// Width of the bar; without it the widest of the blanks' own bars
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) width: Option<String>,
    /// Room for the saw between two blanks; without it 2 mm
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) kerf: Option<String>,
    /// Clear steel along the bar's edges and ends; without it 2 mm
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) margin: Option<String>,
    /// Blanks may lie on their other face too
    #[arg(long)]
    pub(crate) flip: bool,
    /// Drill the blanks out: room for a row of holes between them, and the holes on the sheet
    #[arg(long)]
    pub(crate) drill: bool,
    /// Search for so long instead of a fixed number of steps; the result then depends on the machine
    #[arg(long, value_name = "N", conflicts_with = "steps", allow_negative_numbers = true)]
    pub(crate) seconds: Option<f64>,
    /// Search so many steps; the same number gives the same result
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub(crate) steps: Option<u64>,
    /// The PDF to write
    #[arg(long, value_name = "PDF", required_unless_present = "json")]
    pub(crate) out: Option<PathBuf>,
    /// Paper as for print
    #[arg(long)]
    pub(crate) paper: Option<String>,
    /// A date to print on every sheet; without it none is printed
    #[arg(long)]
    pub(crate) date: Option<String>,
    /// As JSON, documented in the manual's page json
    #[arg(long)]
    pub(crate) json: bool,
    #[command(flatten)]
    pub(crate) shop: ShopArg,
}

/// The sheets to print, and on what.
#[derive(Debug, Args)]
pub(crate) struct PrintArgs {
    /// The blank file; the tracing mat alone needs none
    pub(crate) file: Option<PathBuf>,
    /// The PDF to write
    #[arg(long, value_name = "PDF")]
    pub(crate) out: PathBuf,
    /// letter, legal, tabloid, ledger, c, d, e, a0, a1, a2, a3, a4 or a5, two sides such as
    /// 300x600mm, or a roll such as roll:610mm; without it letter for a knife in inches, else a4
    #[arg(long)]
    pub(crate) paper: Option<String>,
    /// The border in which the printer prints nothing; without it 10 mm
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) margin: Option<String>,
    /// These sheets, in this order, separated by commas, or by + where they are to share a page;
    /// proof and mat (the tracing mat) may be among them, and all stands for every sheet of the knife. Without it what is
    /// laid on steel and handle: profile, drilling, bevels, scales, strips
    #[arg(long, value_delimiter = ',')]
    pub(crate) sheets: Vec<String>,
    /// One file for each sheet, its name put before the ending
    #[arg(long)]
    pub(crate) split: bool,
    /// Several sheets on one page where it is large enough, to save paper
    #[arg(long, conflicts_with = "split")]
    pub(crate) together: bool,
    /// A date to print on every sheet; without it none is printed
    #[arg(long)]
    pub(crate) date: Option<String>,
    /// The printer whose trim to print with, as the shop names it
    #[arg(long, value_name = "NAME")]
    pub(crate) trim: Option<String>,
    #[command(flatten)]
    pub(crate) shop: ShopArg,
}

/// The paper of a proof.
#[derive(Debug, Args)]
pub(crate) struct ProofArgs {
    /// The PDF to write
    #[arg(long, value_name = "PDF")]
    pub(crate) out: PathBuf,
    /// Paper as for print
    #[arg(long)]
    pub(crate) paper: String,
    /// The border in which the printer prints nothing; without it 10 mm
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) margin: Option<String>,
    /// A date to print on it
    #[arg(long)]
    pub(crate) date: Option<String>,
    /// A second proof, printed with this printer's trim
    #[arg(long, value_name = "NAME", requires = "shop")]
    pub(crate) trim: Option<String>,
    #[command(flatten)]
    pub(crate) shop: ShopArg,
}

/// What was measured on a proof.
#[derive(Debug, Args)]
pub(crate) struct TrimArgs {
    /// The printer's name
    pub(crate) name: String,
    /// The shop file that keeps the trim; made if it isn't there
    #[arg(long, value_name = "FILE")]
    pub(crate) shop: PathBuf,
    /// The paper the proof was printed on
    #[arg(long)]
    pub(crate) paper: Option<String>,
    /// The margin the proof was printed with, if it was typed there
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub(crate) margin: Option<String>,
    /// Readings of the lines A and B, as many as were made, separated by commas
    #[arg(long, value_name = "A,B", allow_hyphen_values = true)]
    pub(crate) across: Vec<String>,
    /// Readings of the lines C and D
    #[arg(long, value_name = "C,D", allow_hyphen_values = true)]
    pub(crate) up: Vec<String>,
    /// Readings of the rising diagonal E
    #[arg(long, value_name = "E", allow_hyphen_values = true)]
    pub(crate) rising: Vec<String>,
    /// Readings of the falling diagonal F
    #[arg(long, value_name = "F", allow_hyphen_values = true)]
    pub(crate) falling: Vec<String>,
    /// The proof was printed with this printer's trim: confirm it, and take all readings together
    #[arg(long)]
    pub(crate) confirm: bool,
    /// The proof was printed without a trim: measure a printer anew that has one already
    #[arg(long, conflicts_with = "confirm")]
    pub(crate) anew: bool,
}

/// What a new blank is made from.
#[derive(Debug, Args)]
pub(crate) struct NewArgs {
    /// The starter's name; blankwright starters lists them
    #[arg(
        required_unless_present_any = ["outline", "picture"],
        conflicts_with_all = ["outline", "picture"]
    )]
    pub(crate) starter: Option<String>,
    /// A vector drawing in true units; its largest closed outline becomes the profile,
    /// circles inside it become holes
    #[arg(long, value_name = "SHAPE.svg", conflicts_with = "picture")]
    pub(crate) outline: Option<PathBuf>,
    /// A scan or photograph (PNG, JPEG, WebP, TIFF, BMP) of a drawn line, a cut-out or a knife; its
    /// outline is traced. Without one of the next five it is squared up by a tracing mat, a sheet
    /// of letter or A4 paper, or its scan density, whichever is found first
    #[arg(long, value_name = "PICTURE")]
    pub(crate) picture: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) tracing: PictureArgs,
    /// The blank file to write
    #[arg(long, value_name = "FILE")]
    pub(crate) out: PathBuf,
}

/// How a picture is squared up and traced.
#[derive(Debug, Args)]
pub(crate) struct PictureArgs {
    /// The scan's density in dots to the inch
    #[arg(
        long,
        value_name = "N",
        requires = "picture",
        conflicts_with_all = ["between", "rectangle", "mat"],
        allow_negative_numbers = true
    )]
    pub(crate) dpi: Option<f64>,
    /// Two points of the picture in pixels and their distance; only for a picture taken square
    /// from above
    #[arg(
        long,
        value_name = "X1,Y1,X2,Y2=LENGTH",
        requires = "picture",
        conflicts_with_all = ["rectangle", "mat"],
        allow_hyphen_values = true
    )]
    pub(crate) between: Option<String>,
    /// The sheet it lies on: a paper's name or two sides such as 100x150mm
    #[arg(long, value_name = "PAPER", requires = "picture", conflicts_with = "mat")]
    pub(crate) rectangle: Option<String>,
    /// That sheet's corners in pixels: top left, top right, bottom right, bottom left; without
    /// them they are found
    #[arg(
        long,
        value_name = "X,Y,X,Y,X,Y,X,Y",
        requires = "rectangle",
        allow_hyphen_values = true
    )]
    pub(crate) corners: Option<String>,
    /// The tracing mat that print --sheets mat prints
    #[arg(long, requires = "picture")]
    pub(crate) mat: bool,
    /// A drawn line: its centre, outer or inner side; without it a filled shape or a line's
    /// centre, whichever it looks like
    #[arg(long, value_name = "SIDE", requires = "picture")]
    pub(crate) line: Option<String>,
    /// Gaps in a drawn line up to this width are closed; without it 0.6 mm
    #[arg(long, value_name = "WIDTH", requires = "picture", allow_hyphen_values = true)]
    pub(crate) gap: Option<String>,
    /// The thickness of what lies on the mat or sheet, as its rim is nearer to the camera; without
    /// it none
    #[arg(long, value_name = "LENGTH", requires = "picture", allow_hyphen_values = true)]
    pub(crate) thickness: Option<String>,
    /// How far the outline may lie from the traced contour; without it 0.15 mm
    #[arg(long, value_name = "LENGTH", requires = "picture", allow_hyphen_values = true)]
    pub(crate) tolerance: Option<String>,
}

/// One command of the program.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Open the desk on a blank
    Open {
        /// The blank file
        file: PathBuf,
    },
    /// List the starter blanks, one a line, its name first
    Starters,
    /// Write a new blank from a starter, a closed outline drawn elsewhere, or a picture
    New(NewArgs),
    /// Say what there is to mind before steel is cut
    Check {
        /// The blank file
        file: PathBuf,
        /// As JSON, documented in the manual's page json
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        shop: ShopArg,
    },
    /// Tell every number worked out
    Numbers {
        /// The blank file
        file: PathBuf,
        /// As JSON, documented in the manual's page json
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        shop: ShopArg,
    },
    /// The JSON Schema of what numbers, check or bar write with --json
    Schema {
        /// numbers, check or bar
        of: String,
    },
    /// Tell every step from bar to finished knife, to tick off
    Build {
        /// The blank file
        file: PathBuf,
        #[command(flatten)]
        shop: ShopArg,
    },
    /// List what to have: bar, scales, liners, bolsters, pins, glue
    Materials {
        /// The blank file
        file: PathBuf,
        /// As CSV, documented in the manual's page commands
        #[arg(long)]
        csv: bool,
        #[command(flatten)]
        shop: ShopArg,
    },
    /// Print the sheets, full size, to a PDF
    Print(PrintArgs),
    /// Tell the papers there are, and the longest blank that each takes in one piece
    Papers {
        /// Only these, as for print
        papers: Vec<String>,
        /// Width of the blank's bar; without it 1 1/2 in
        #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
        width: Option<String>,
    },
    /// Print the page that measures a printer
    Proof(ProofArgs),
    /// Keep what was measured on a proof as a printer's trim; without readings tell what is kept
    Trim(TrimArgs),
    /// Lay many blanks on a bar, head to tail where that saves steel
    Bar(BarArgs),
    /// Write the drawing at true size as SVG or PNG
    Draw {
        /// The blank file
        file: PathBuf,
        /// The file to write, ending in .svg or .png
        #[arg(long, value_name = "SVG-or-PNG")]
        out: PathBuf,
        /// Dots to the inch of a PNG; without it 300
        #[arg(long, allow_negative_numbers = true)]
        dpi: Option<f64>,
        /// The sheet whose drawing it is; without it profile
        #[arg(long, value_name = "SHEET", conflicts_with = "bare")]
        sheet: Option<String>,
        /// Only what is cut: outline and holes
        #[arg(long)]
        bare: bool,
        #[command(flatten)]
        shop: ShopArg,
    },
    /// Write a shell's completions of these commands to standard output
    #[command(hide = true)]
    Completions {
        /// Which shell
        shell: clap_complete::Shell,
    },
    /// Write the manual page of the program, or of one of its commands, to standard output
    #[command(hide = true)]
    Man {
        /// The command; without it the whole program
        command: Option<String>,
    },
    /// Print a page of the manual, or the options of a command; without a topic list them
    Help {
        /// A page of the manual, such as first-knife, or a command
        topic: Vec<String>,
    },
}

/// The command typed; `None` opens the desk.
pub(crate) fn parse(typed: impl IntoIterator<Item = OsString>) -> Result<Option<Command>, Failure> {
    match Typed::try_parse_from(with_open(typed.into_iter().collect())) {
        Ok(typed) => Ok(typed.command.map(Command::tidied)),
        Err(error) => Err(match error.kind() {
            ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => Failure::Help(error.to_string()),
            _ => Failure::Usage(sentence(&error)),
        }),
    }
}

/// A blank file alone is one to open, as a file manager gives it.
fn with_open(mut typed: Vec<OsString>) -> Vec<OsString> {
    let is_blank = |word: &OsString| word.to_string_lossy().to_lowercase().ends_with(ENDING);
    if typed.len() == 2 && typed.get(1).is_some_and(is_blank) {
        typed.insert(1, "open".into());
    }
    typed
}

/// Every command with what it does.
pub(crate) fn commands() -> Vec<(String, String)> {
    let told = |command: &clap::Command| {
        let about = command.get_about().map(ToString::to_string).unwrap_or_default();
        (command.get_name().to_owned(), about)
    };
    Typed::command().get_subcommands().filter(|one| !one.is_hide_set()).map(told).collect()
}

/// The options of a command, as its `--help` prints them.
pub(crate) fn options(command: &str) -> Option<String> {
    let words = ["blankwright", command, "--help"];
    Typed::command().find_subcommand(command)?;
    Typed::try_parse_from(words).err().map(|help| help.to_string())
}

/// The completions of every command, for a shell.
pub(crate) fn completions(shell: clap_complete::Shell) -> String {
    let mut out = Vec::new();
    clap_complete::generate(shell, &mut Typed::command(), "blankwright", &mut out);
    String::from_utf8_lossy(&out).into_owned()
}

/// The manual page of a command, or of the program, in the language of `man`.
pub(crate) fn man(command: Option<&str>) -> Result<String, Failure> {
    let mut whole = Typed::command();
    whole.build();
    let page = match command {
        None => whole,
        Some(name) => {
            let found = whole.find_subcommand(name).cloned().ok_or_else(|| {
                let fault = format!("there is no command \"{name}\"; see blankwright help");
                Failure::Usage(fault)
            })?;
            found.display_name(format!("blankwright-{name}"))
        }
    };
    let mut out = Vec::new();
    // What is written to memory can't fail.
    let _ = clap_mangen::Man::new(page).render(&mut out);
    Ok(String::from_utf8_lossy(&out).into_owned())
}

/// Whether an argument is a number below zero and no option.
fn is_negative_number(argument: &str) -> bool {
    let rest = argument.strip_prefix('-').unwrap_or_default();
    rest.trim_start_matches('.').starts_with(|sign: char| sign.is_ascii_digit())
}

impl Command {
    /// Empty names in a list, as after a trailing comma, are no names.
    fn tidied(mut self) -> Self {
        if let Self::Print(PrintArgs { sheets, .. }) = &mut self {
            sheets.retain(|name| !name.trim().is_empty());
        }
        self
    }
}

/// The argument parser's complaint as one sentence.
fn sentence(error: &clap::Error) -> String {
    let told = |kind| match error.get(kind) {
        Some(ContextValue::String(text)) => text.clone(),
        Some(ContextValue::Strings(texts)) => texts.join(", "),
        _ => String::new(),
    };
    let (argument, value) = (told(ContextKind::InvalidArg), told(ContextKind::InvalidValue));
    match error.kind() {
        ErrorKind::InvalidSubcommand => {
            let found = told(ContextKind::InvalidSubcommand);
            let near = match error.get(ContextKind::SuggestedSubcommand) {
                // The nearest comes last.
                Some(ContextValue::Strings(names)) => names.last().cloned(),
                Some(ContextValue::String(name)) => Some(name.clone()),
                _ => None,
            };
            let near = near.map_or_else(String::new, |name| format!(", did you mean {name}?"));
            let end = if near.is_empty() { "; see" } else { " See" };
            format!("there is no command \"{found}\"{near}{end} blankwright --help")
        }
        ErrorKind::UnknownArgument if is_negative_number(&argument) => {
            format!("{argument} can't be used here: no number below zero is wanted; see --help")
        }
        ErrorKind::UnknownArgument => format!("{argument} is not known here; see --help"),
        ErrorKind::MissingRequiredArgument
            if argument.contains("<FILE>") && !argument.contains("--out") =>
        {
            "name the blank file; see --help".to_owned()
        }
        ErrorKind::MissingRequiredArgument => format!("{argument} is missing; see --help"),
        ErrorKind::InvalidValue if value.is_empty() => {
            format!("{argument} needs a value after it; see --help")
        }
        ErrorKind::ValueValidation | ErrorKind::InvalidValue => {
            format!("\"{value}\" can't be used for {argument}; see --help")
        }
        ErrorKind::ArgumentConflict => {
            format!("{argument} can't be given together with {}", told(ContextKind::PriorArg))
        }
        _ => {
            let text = error.to_string();
            let line = text.lines().next().unwrap_or_default();
            line.trim_start_matches("error: ").to_owned()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Command, parse};
    use std::ffi::OsString;

    #[test]
    fn a_blank_file_alone_is_opened() {
        let parsed = |words: &[&str]| {
            parse(std::iter::once("blankwright").chain(words.iter().copied()).map(OsString::from))
        };
        for words in [&["/a.blank.json"][..], &["B.BLANK.JSON"], &["open", "/a.blank.json"]] {
            assert!(matches!(parsed(words), Ok(Some(Command::Open { .. }))), "{words:?}");
        }
        for words in [&["/a.pdf"][..], &["check.json"], &["/a.blank.json", "/b.blank.json"]] {
            assert!(parsed(words).is_err(), "{words:?}");
        }
    }
}
