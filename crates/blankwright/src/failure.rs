//! Why a command could not be done, as one plain sentence each.

use host::FileFault;
use knife::file::{Fault, NotABlank};
use knife::intake::IntakeFault;
use paper::PaperError;
use reckon::NestFault;
use reckon::shop::file::NotAShop;
use sheets::NoSuchDay;
use std::fmt::Write as _;
use std::path::PathBuf;
use trace::TraceError;

/// Why a command could not be done.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// Help or version was asked for: no failure at all.
    #[error("{0}")]
    Help(String),
    /// The command line makes no sense.
    #[error("{0}")]
    Usage(String),
    /// A file could not be read or written.
    #[error("{0}")]
    File(#[from] FileFault),
    /// A file is no blank file.
    #[error("{path} can't be used: {why}", path = .path.display())]
    NotABlank {
        /// Which file.
        path: PathBuf,
        /// Why.
        why: NotABlank,
    },
    /// A file is no shop file.
    #[error("{path} can't be used as a shop: {why}", path = .path.display())]
    NotAShop {
        /// Which file.
        path: PathBuf,
        /// Why.
        why: NotAShop,
    },
    /// A blank or shop file has faults.
    #[error("{path} has {n} to mend first", path = .path.display(), n = counted(.faults, .more))]
    Faults {
        /// Which file.
        path: PathBuf,
        /// The first of them.
        faults: Vec<Fault>,
        /// How many there are besides.
        more: usize,
    },
    /// One of several files could not be written.
    #[error("{fault}; {}", so_far(.written))]
    Partly {
        /// The first that could not be.
        fault: FileFault,
        /// Those that were before it.
        written: Vec<PathBuf>,
    },
    /// A date that no calendar has.
    #[error("--date: {0}")]
    Date(#[from] NoSuchDay),
    /// A vector outline could not be taken.
    #[error("{path} can't be taken: {why}", path = .path.display())]
    Intake {
        /// Which file.
        path: PathBuf,
        /// Why.
        why: IntakeFault,
    },
    /// A picture could not be traced.
    #[error("{path} can't be traced: {why}", path = .path.display())]
    Picture {
        /// Which file.
        path: PathBuf,
        /// Why.
        why: TraceError,
    },
    /// There is nothing to print.
    #[error("{path} has no closed outline to print; give it one first", path = .path.display())]
    NoOutline {
        /// Which file.
        path: PathBuf,
    },
    /// A blank can't be laid on the bar with the others.
    #[error("{path} can't be laid: {why}", path = .path.display())]
    NotLaid {
        /// Which file.
        path: PathBuf,
        /// Why.
        why: NestFault,
    },
    /// The paper could not be made.
    #[error("{0}")]
    Paper(#[from] PaperError),
    /// Nothing of the kind asked for.
    #[error("there is no {what} called \"{found}\"; there is {known}")]
    Unknown {
        /// What was asked for.
        what: &'static str,
        /// The name given.
        found: String,
        /// The names there are.
        known: String,
    },
    /// The output would take the place of the blank itself.
    #[error("{path} is the blank itself; name another file to write", path = .path.display())]
    OverItself {
        /// The file.
        path: PathBuf,
    },
    /// Dots to the inch for a drawing that has none.
    #[error("{path} has no dots to the inch: leave --dpi out, or write a .png", path = .path.display())]
    NoDots {
        /// The file.
        path: PathBuf,
    },
    /// A PDF under a name that says otherwise.
    #[error("{path} should end in .pdf, as a PDF is written; name it so", path = .path.display())]
    NotPdf {
        /// The file.
        path: PathBuf,
    },
    /// An output file's ending says nothing usable.
    #[error("{path} should end in .svg or .png, so that it's known what to write", path = .path.display())]
    Ending {
        /// The file.
        path: PathBuf,
    },
}

fn so_far(written: &[PathBuf]) -> String {
    let names: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    match names.as_slice() {
        [] => "none of the files was written".to_owned(),
        [one] => format!("{one} was written before it, the others are as they were"),
        all => format!("{} were written before it, the others are as they were", all.join(", ")),
    }
}

fn counted(told: &[Fault], more: &usize) -> String {
    match told.len() + more {
        1 => "one fault".to_owned(),
        n => format!("{n} faults"),
    }
}

impl Failure {
    /// The text for standard error: one sentence, with a file's faults listed below it.
    pub fn report(&self) -> String {
        let mut text = format!("blankwright: {self}\n");
        if let Self::Faults { faults, more, .. } = self {
            for fault in faults {
                let _ = writeln!(text, "  {fault}");
            }
            if *more > 0 {
                let _ = writeln!(text, "  and {more} more");
            }
        }
        text
    }
}
