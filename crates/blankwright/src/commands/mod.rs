//! One command a file.

mod check;
mod draw;
mod new;
mod numbers;
mod print;
mod starters;

use crate::args::Command;
use crate::{Failure, Outcome, window};
use desk::Host;
use knife::Knife;
use knife::file::{self, ENDING};
use reckon::tables::Tables;
use reckon::{Reckoning, Shop, reckon};
use std::path::Path;

pub(crate) fn run(command: Option<Command>, host: &mut dyn Host) -> Result<Outcome, Failure> {
    match command {
        None => window::open(None).map(|()| Outcome::default()),
        Some(Command::Open { file }) => window::open(Some(&file)).map(|()| Outcome::default()),
        Some(Command::Starters) => Ok(starters::run()),
        Some(Command::New { starter, outline, out }) => match (outline, starter) {
            (Some(outline), _) => new::from_outline(&outline, &out, host),
            (None, starter) => new::from_starter(&starter.unwrap_or_default(), &out, host),
        },
        Some(Command::Check { file, json }) => check::run(&Work::open(&file, host)?, json),
        Some(Command::Numbers { file, json }) => numbers::run(&Work::open(&file, host)?, json),
        Some(Command::Print { file, out, paper, sheets, date, trim }) => {
            let wishes = print::Wishes { paper, sheets, date, trim };
            print::run(&Work::open(&file, host)?, &file, &out, wishes, host)
        }
        Some(Command::Draw { file, out, dpi }) => {
            draw::run(&Work::open(&file, host)?, &file, &out, dpi, host)
        }
    }
}

/// A knife read from its file and all that follows from it.
pub(crate) struct Work {
    pub(crate) knife: Knife,
    pub(crate) reckoning: Reckoning,
}

impl Work {
    /// Reads and reckons. A file with any fault is refused: steel is cut by what comes out.
    fn open(path: &Path, host: &dyn Host) -> Result<Self, Failure> {
        let opened = file::open(&host.read(path)?)
            .map_err(|why| Failure::NotABlank { path: path.to_owned(), why })?;
        if !opened.faults.is_empty() {
            return Err(Failure::Faults { path: path.to_owned(), faults: opened.faults });
        }
        Ok(Self::of(opened.knife))
    }

    fn of(knife: Knife) -> Self {
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        Self { knife, reckoning }
    }
}

/// Refuses to write over the blank that is read, or over any name that a blank file would have.
fn keep_the_blank(file: &Path, out: &Path, host: &dyn Host) -> Result<(), Failure> {
    let named_so = out.to_string_lossy().to_lowercase().ends_with(ENDING);
    if host.same_file(file, out) || named_so {
        return Err(Failure::OverItself { path: out.to_owned() });
    }
    Ok(())
}

/// The JSON as text, one value a line.
fn json_text(value: &serde_json::Value) -> String {
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}
