//! The one door to the world: files. The real host lives in the program, a memory one in tests.

use std::collections::BTreeMap;
use std::fmt;
use std::path::{Path, PathBuf};

/// What can go wrong with a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FileProblem {
    /// There is no such file (or no such folder to write into).
    NotThere,
    /// It is a folder.
    IsFolder,
    /// No permission.
    Forbidden,
    /// Larger than anything this program reads.
    TooLarge {
        /// The most that is read, bytes.
        most: u64,
    },
    /// The disk is full.
    DiskFull,
    /// Anything else, in the system's words.
    Other(String),
}

/// A file that could not be read or written. Nothing half-written is left behind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileFault {
    /// Which file.
    pub path: PathBuf,
    /// Whether it was to be written.
    pub writing: bool,
    /// What went wrong.
    pub problem: FileProblem,
}

impl std::error::Error for FileFault {}

impl fmt::Display for FileFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let path = self.path.display();
        let doing = if self.writing { "written" } else { "read" };
        match &self.problem {
            FileProblem::NotThere if self.writing => {
                write!(f, "{path} can't be written: its folder is not there; make the folder first")
            }
            FileProblem::NotThere => {
                write!(f, "{path} is not there; check the name and the folder")
            }
            FileProblem::IsFolder => write!(f, "{path} is a folder; name a file in it"),
            FileProblem::Forbidden => write!(
                f,
                "{path} can't be {doing}: no permission; choose another place or change its permissions"
            ),
            FileProblem::TooLarge { most } => write!(
                f,
                "{path} is larger than {} MB, more than any such file holds; choose another",
                most / 1_000_000
            ),
            FileProblem::DiskFull => {
                write!(
                    f,
                    "{path} can't be written: the disk is full; make room or choose another disk"
                )
            }
            FileProblem::Other(why) => write!(f, "{path} can't be {doing}: {why}"),
        }
    }
}

/// The world outside: files.
pub trait Host {
    /// All bytes of a file.
    ///
    /// # Errors
    /// [`FileFault`] when it can't be read.
    fn read(&self, path: &Path) -> Result<Vec<u8>, FileFault>;

    /// Writes a file whole or not at all.
    ///
    /// # Errors
    /// [`FileFault`] when it can't be written; what was there before is untouched then.
    fn write(&mut self, path: &Path, bytes: &[u8]) -> Result<(), FileFault>;

    /// Whether a file is there.
    fn exists(&self, path: &Path) -> bool;
}

/// A host in memory, for tests.
#[derive(Clone, Debug, Default)]
pub struct MemoryHost {
    /// The files it holds.
    pub files: BTreeMap<PathBuf, Vec<u8>>,
    /// What writing answers, to try out a full disk and the like.
    pub write_problem: Option<FileProblem>,
}

impl Host for MemoryHost {
    fn read(&self, path: &Path) -> Result<Vec<u8>, FileFault> {
        self.files.get(path).cloned().ok_or_else(|| FileFault {
            path: path.to_owned(),
            writing: false,
            problem: FileProblem::NotThere,
        })
    }

    fn write(&mut self, path: &Path, bytes: &[u8]) -> Result<(), FileFault> {
        if let Some(problem) = &self.write_problem {
            return Err(FileFault {
                path: path.to_owned(),
                writing: true,
                problem: problem.clone(),
            });
        }
        self.files.insert(path.to_owned(), bytes.to_owned());
        Ok(())
    }

    fn exists(&self, path: &Path) -> bool {
        self.files.contains_key(path)
    }
}
