//! Why a command could not be done, as one plain sentence each.

#[cfg(feature = "solids")]
use exchange::{cut::CutFault, dxf_import::DxfFault, printed::NotWritten, solid::SolidFault};
use host::{FileError, UnusableFile};
use knife::file::{BlankFileError, Fault};
use knife::svg_import::ImportError;
use paper::PaperError;
use reckon::NestError;
use reckon::shop::file::ShopFileError;
use sheets::InvalidDate;
use std::fmt::Write as _;
use std::path::PathBuf;
#[cfg(feature = "tracing")]
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
    /// This build was made without what is asked for.
    #[error(
        "this build was made without {what}: build it with the feature \"{feature}\", which is on by default"
    )]
    LeftOut {
        /// What is missing.
        what: &'static str,
        /// The feature that brings it.
        feature: &'static str,
    },
    /// A file could not be read or written.
    #[error("{0}")]
    File(#[from] FileError),
    /// A file is no blank file.
    #[error("{0}")]
    NotABlank(#[from] UnusableFile<BlankFileError>),
    /// A file is no shop file.
    #[error("{path} can't be used as a shop: {why}", path = .path.display())]
    NotAShop {
        /// Which file.
        path: PathBuf,
        /// Why.
        why: ShopFileError,
    },
    /// A blank or shop file has faults.
    #[error("{path} has {n} to fix first", path = .path.display(), n = list_faults(.faults, .more))]
    Faults {
        /// Which file.
        path: PathBuf,
        /// The first of them.
        faults: Vec<Fault>,
        /// How many there are besides.
        more: usize,
    },
    /// One of several files could not be written.
    #[error("{fault}; {}", list_written(.written))]
    Partly {
        /// The first that could not be.
        fault: FileError,
        /// Those that were before it.
        written: Vec<PathBuf>,
    },
    /// A date that no calendar has.
    #[error("--date: {0}")]
    Date(#[from] InvalidDate),
    /// No outline could be imported from an SVG.
    #[error("{0}")]
    NoSvgOutline(#[from] UnusableFile<ImportError>),
    /// No outline could be imported from a DXF.
    #[cfg(feature = "solids")]
    #[error("{0}")]
    NoDxfOutline(#[from] UnusableFile<DxfFault>),
    /// A knife can't be made a solid.
    #[cfg(feature = "solids")]
    #[error("{path} can't be made a solid: {why}", path = .path.display())]
    NoSolid {
        /// Which file.
        path: PathBuf,
        /// Why.
        why: SolidFault,
    },
    /// A blank can't be sent to be cut.
    #[cfg(feature = "solids")]
    #[error("nothing was written: {0}")]
    Cut(#[from] CutFault),
    /// A file could not be put together.
    #[cfg(feature = "solids")]
    #[error("{0}")]
    NotWritten(#[from] NotWritten),
    /// An exported file's ending says nothing usable.
    #[error(
        "{path} should end in .3mf, .stl, .dxf or .svg, which says what to write",
        path = .path.display()
    )]
    ExportEnding {
        /// The file.
        path: PathBuf,
    },
    /// A picture could not be traced.
    #[cfg(feature = "tracing")]
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
        why: NestError,
    },
    /// The paper could not be made.
    #[error("{0}{near}", near = near_paper(.0))]
    Paper(#[from] PaperError),
    /// Nothing of the kind asked for.
    #[error("there is no {what} called \"{found}\"{}", there_is(.found, .known))]
    Unknown {
        /// What was asked for.
        what: &'static str,
        /// The name given.
        found: String,
        /// The names there are.
        known: String,
    },
    /// The output would take the place of the shop that is worked by.
    #[error("{path} is the shop file itself; name another file to write", path = .path.display())]
    OverShop {
        /// The file.
        path: PathBuf,
    },
    /// The output would bear a name that blanks have.
    #[error("{path} is named like a blank; give what is written another ending", path = .path.display())]
    NamedLikeABlank {
        /// The file.
        path: PathBuf,
    },
    /// The output would take the place of the blank itself.
    #[error("{path} is the blank itself; name another file to write", path = .path.display())]
    OverItself {
        /// The file.
        path: PathBuf,
    },
    /// Dots to the inch for a drawing that has none.
    #[error("{path} has no dots per inch: leave --dpi out, or write a .png", path = .path.display())]
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
    /// A file that is no text, sent to a terminal.
    #[error(
        "a terminal can't show this file: redirect it with > FILE or | PROGRAM, or name a file \
         after --out"
    )]
    ToTerminal,
    /// An output file's ending says nothing usable.
    #[error("{path} should end in .svg or .png, which says what to write", path = .path.display())]
    Ending {
        /// The file.
        path: PathBuf,
    },
}

/// What joins a mistyped name to those there are: the nearest, if one is near.
fn there_is(found: &str, known: &str) -> String {
    match manual::nearest(found, known.split(", ")) {
        Some(near) => format!(", did you mean {near}? There is {known}"),
        None => format!("; there is {known}"),
    }
}

/// The paper most likely meant by a mistyped name.
fn near_paper(why: &PaperError) -> String {
    let PaperError::NoSize { typed, known } = why else { return String::new() };
    manual::nearest(typed, known.split(", "))
        .map_or_else(String::new, |near| format!(" Did you mean {near}?"))
}

fn list_written(written: &[PathBuf]) -> String {
    let names: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    match names.as_slice() {
        [] => "none of the files was written".to_owned(),
        [one] => format!("{one} was written before it, the others are as they were"),
        all => format!("{} were written before it, the others are as they were", all.join(", ")),
    }
}

fn list_faults(message: &[Fault], more: &usize) -> String {
    match message.len() + more {
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
