//! Blankwright, the program: command line, files and exit codes.
//!
//! [`run`] does one command against a [`Host`] and gives back what to print; only
//! [`main`] touches the real streams.
//!
//! ```
//! use host::{Host as _, MemoryHost};
//! use std::path::Path;
//!
//! let mut host = MemoryHost::default();
//! let typed = ["blankwright", "new", "drop-point", "--out", "/mine.blank.json"];
//! let outcome = blankwright::run(typed.map(Into::into), &mut host);
//! assert_eq!(outcome.code, blankwright::CLEAN, "{}", outcome.err);
//! assert!(host.exists(Path::new("/mine.blank.json")));
//! ```

mod args;
mod colour;
mod commands;
mod examples;
mod failure;
mod files;
mod parsing;
mod plain;
#[cfg(feature = "window")]
mod window;

pub use failure::Failure;
pub use files::Disk;

use host::Host;
use std::ffi::OsString;
use std::io::{IsTerminal as _, Write as _};
use std::process::ExitCode;

/// Nothing to stop for.
pub const CLEAN: u8 = 0;
/// At least one finding says to stop.
pub const STOP: u8 = 1;
/// The command could not be done.
pub const FAILED: u8 = 2;

/// What a command has to say.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Outcome {
    /// For standard output.
    pub out: String,
    /// For standard error.
    pub err: String,
    /// Exit code: [`CLEAN`], [`STOP`] or [`FAILED`].
    pub code: u8,
    /// A file that goes to standard output, alone.
    pub file: Option<Vec<u8>>,
}

/// The JSON Schema of what each command writes with `--json`, by the command.
pub fn schemas() -> Vec<(&'static str, schemars::Schema)> {
    commands::schema::schemas()
}

/// Does the command that was typed.
pub fn run(typed: impl IntoIterator<Item = OsString>, host: &mut dyn Host) -> Outcome {
    let mut outcome = match parsing::parse(typed).and_then(|typed| commands::run(typed, host)) {
        Ok(outcome) => outcome,
        Err(Failure::Help(text)) => Outcome { out: text, ..Outcome::default() },
        Err(failure) => Outcome { err: failure.report(), code: FAILED, ..Outcome::default() },
    };
    if outcome.file.is_some() {
        // Nothing may stand in the file's way.
        outcome.err.insert_str(0, &std::mem::take(&mut outcome.out));
    }
    Outcome {
        out: plain::escape_lines(&outcome.out),
        err: plain::escape_lines(&outcome.err),
        ..outcome
    }
}

/// Does the command that was typed, on the real disk and streams.
pub fn main(typed: impl IntoIterator<Item = OsString>) -> ExitCode {
    let mut outcome = run(typed, &mut Disk);
    let (mut out, mut err) = (std::io::stdout(), std::io::stderr());
    let bytes = match outcome.file.take() {
        None => colour::on_terminal(out.is_terminal(), outcome.out).into_bytes(),
        Some(file) if !out.is_terminal() => file,
        Some(file) => String::from_utf8(file).map_or_else(
            |_| {
                (outcome.err, outcome.code) = (Failure::ToTerminal.report(), FAILED);
                Vec::new()
            },
            |text| plain::escape_lines(&text).into_bytes(),
        ),
    };
    let written = out.write_all(&bytes).and_then(|()| out.flush());
    let _ = err.write_all(colour::on_terminal(err.is_terminal(), outcome.err).as_bytes());
    match written {
        // A reader that has seen enough (`| head`) is no failure.
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            let failure = Failure::File(files::output_fault(&error));
            let _ = err.write_all(failure.report().as_bytes());
            ExitCode::from(FAILED)
        }
        _ => ExitCode::from(outcome.code),
    }
}
