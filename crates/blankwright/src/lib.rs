//! Blankwright, the program: command line, files and exit codes.
//!
//! [`run`] does one command against a [`Host`] and gives back what to print; only
//! [`main`] touches the real streams.

mod args;
mod commands;
mod failure;
mod files;
mod plain;
#[cfg(feature = "window")]
mod window;

pub use failure::Failure;
pub use files::Disk;

use host::Host;
use std::ffi::OsString;
use std::io::Write as _;
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
}

/// Does the command that was typed.
pub fn run(typed: impl IntoIterator<Item = OsString>, host: &mut dyn Host) -> Outcome {
    let done = args::parse(typed).and_then(|command| commands::run(command, host));
    let message = match done {
        Ok(outcome) => outcome,
        Err(Failure::Help(text)) => Outcome { out: text, ..Outcome::default() },
        Err(failure) => Outcome { out: String::new(), err: failure.report(), code: FAILED },
    };
    Outcome { out: plain::escape_lines(&message.out), err: plain::escape_lines(&message.err), ..message }
}

/// Does the command that was typed, on the real disk and streams.
pub fn main(typed: impl IntoIterator<Item = OsString>) -> ExitCode {
    let outcome = run(typed, &mut Disk);
    let mut out = std::io::stdout();
    let written = out.write_all(outcome.out.as_bytes()).and_then(|()| out.flush());
    let mut err = std::io::stderr();
    let _ = err.write_all(outcome.err.as_bytes());
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
