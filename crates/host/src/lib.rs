//! The one door to the world: files and the clock. The real host lives in the program, a
//! memory one in tests.
//!
//! ```
//! use host::{Host, MemoryHost};
//! use std::path::Path;
//!
//! let mut host = MemoryHost::with_data();
//! host.write(Path::new("/bench/heron.blank.json"), b"{}")?;
//! assert_eq!(host.read(Path::new("/bench/heron.blank.json"))?, b"{}");
//! # Ok::<(), host::FileError>(())
//! ```

use std::any::Any;
use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::path::{Path, PathBuf};

/// `mine.pdf` with "-profile" is `mine-profile.pdf`, whatever bytes the name is made of; a name
/// without an ending gets the usual one.
pub fn name_with(path: &Path, more: &str, usual_ending: &str) -> PathBuf {
    let mut name = path.file_stem().unwrap_or_default().to_owned();
    name.push(more);
    name.push(".");
    name.push(path.extension().unwrap_or(usual_ending.as_ref()));
    path.with_file_name(name)
}

/// So many earlier contents of one name are kept.
pub const MAX_KEPT: usize = 99;

/// A name beside the file for its earlier content: `NAME~`, or with a number where that holds
/// something else, so that no content is lost by writing anew twice; `None` where [`MAX_KEPT`] are
/// kept already.
///
/// # Errors
/// [`FileError`] when what is kept can't be read.
pub fn backup_path(
    path: &Path,
    earlier: &[u8],
    host: &dyn Host,
) -> Result<Option<PathBuf>, FileError> {
    let endings = std::iter::once("~".to_owned()).chain((2..=MAX_KEPT).map(|n| format!("~{n}")));
    for ending in endings {
        let mut name = path.as_os_str().to_owned();
        name.push(ending);
        let name = PathBuf::from(name);
        // Where nothing may be written something else stands.
        let is_free = host.check_writable(&name).is_ok();
        if is_free && (!host.exists(&name) || host.read(&name)? == earlier) {
            return Ok(Some(name));
        }
    }
    Ok(None)
}

/// What can go wrong with a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FileProblem {
    /// There is no such file (or no such folder to write into).
    NotFound,
    /// It is a folder.
    IsFolder,
    /// It is a pipe, a device or something else that is no file.
    NotRegular,
    /// It is a link to something that is not there.
    BrokenLink,
    /// Its name is too long, or of signs that no name may have here.
    BadName,
    /// The disk lets no file be so large.
    FileTooLarge,
    /// Another program is at work on it and does not come to an end.
    Busy,
    /// What was to be written could not have been read again; the reader's words.
    Unreadable(String),
    /// No permission.
    Forbidden,
    /// Larger than anything this program reads.
    TooLarge {
        /// The most that is read, bytes.
        max: u64,
    },
    /// The disk is full.
    DiskFull,
    /// No program that shows such a file could be started.
    NotShown,
    /// Anything else, in the system's words.
    Other(String),
}

/// A file that could not be read or written. Nothing half-written is left behind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileError {
    /// Which file.
    pub path: PathBuf,
    /// Whether it was to be written.
    pub writing: bool,
    /// What went wrong.
    pub problem: FileProblem,
}

impl FileError {
    /// What was to be written could not be read back: nothing was.
    pub fn unreadable(path: &Path, why: impl fmt::Display) -> Self {
        let problem = FileProblem::Unreadable(why.to_string());
        Self { path: path.to_owned(), writing: true, problem }
    }
}

impl std::error::Error for FileError {}

/// A file that was read and holds nothing that can be used: the one sentence for it, wherever it
/// is said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnusableFile<E> {
    /// Which file.
    pub path: PathBuf,
    /// Why, as the rest of the sentence.
    pub why: E,
}

impl<E: fmt::Display> fmt::Display for UnusableFile<E> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} can't be used: {}", self.path.display(), self.why)
    }
}

impl<E: fmt::Debug + fmt::Display> std::error::Error for UnusableFile<E> {}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let path = self.path.display();
        let doing = if self.writing { "written" } else { "read" };
        match &self.problem {
            FileProblem::NotFound if self.writing => {
                write!(f, "{path} can't be written: its folder is not there; make the folder first")
            }
            FileProblem::NotFound => {
                write!(f, "{path} is not there; check the name and the folder")
            }
            FileProblem::IsFolder => write!(f, "{path} is a folder; name a file in it"),
            FileProblem::NotRegular => {
                write!(f, "{path} is a pipe or a device, no plain file; name another")
            }
            FileProblem::BrokenLink => write!(
                f,
                "{path} is a link to a file that is not there; remove the link or name another file"
            ),
            FileProblem::BadName => write!(
                f,
                "{path} can't be {doing}: its name is too long or has characters that a name \
                 can't have; choose another"
            ),
            FileProblem::FileTooLarge => write!(
                f,
                "{path} can't be written: the disk, or a limit set for this program, takes no \
                 file this large; choose another disk or raise the limit"
            ),
            FileProblem::Busy => write!(
                f,
                "{path} can't be written: another program is using it; try again when it is done"
            ),
            FileProblem::Unreadable(why) => {
                write!(f, "{path} can't be written, as it could not be read again: {why}")
            }
            FileProblem::Forbidden => write!(
                f,
                "{path} can't be {doing}: no permission; choose another place or change its permissions"
            ),
            FileProblem::TooLarge { max } => write!(
                f,
                "{path} is larger than {} MB, more than any such file holds; choose another",
                max / 1_000_000
            ),
            FileProblem::DiskFull => {
                write!(
                    f,
                    "{path} can't be written: the disk is full; make room or choose another disk"
                )
            }
            FileProblem::NotShown => write!(
                f,
                "{path} can't be shown: no program for it was found here; open it in your own viewer"
            ),
            FileProblem::Other(why) => write!(f, "{path} can't be {doing}: {why}"),
        }
    }
}

/// A file held for this program alone until this is dropped; see [`Host::lock`].
#[must_use]
#[derive(Default)]
pub struct FileLock {
    _lock: Option<Box<dyn Any>>,
}

impl FileLock {
    /// Held for as long as this lock lives.
    pub fn new(lock: impl Any) -> Self {
        Self { _lock: Some(Box::new(lock)) }
    }
}

/// The world outside: files and the clock.
pub trait Host {
    /// The same path from the root on, wherever this program stands later; links in it stay.
    fn absolute(&self, path: &Path) -> PathBuf;

    /// Whether a file may be written here, as far as can be told before: there is nothing, or a
    /// plain file that isn't write-protected.
    ///
    /// # Errors
    /// [`FileError`] when [`Host::write`] would refuse.
    fn check_writable(&self, path: &Path) -> Result<(), FileError> {
        let _ = path;
        Ok(())
    }

    /// Holds a file for this program alone, from reading it to writing it: another run of this
    /// program that wants to hold it waits. Where that can't be had, nothing is held.
    ///
    /// # Errors
    /// [`FileError`] when another run does not let go of it.
    fn lock(&mut self, path: &Path) -> Result<FileLock, FileError> {
        let _ = path;
        Ok(FileLock::default())
    }

    /// All bytes of a file.
    ///
    /// # Errors
    /// [`FileError`] when it can't be read.
    fn read(&self, path: &Path) -> Result<Vec<u8>, FileError>;

    /// All bytes that are sent to this program: its standard input.
    ///
    /// # Errors
    /// [`FileError`] when it can't be read.
    fn input(&self) -> Result<Vec<u8>, FileError> {
        self.read(Path::new("standard input"))
    }

    /// Writes a file whole or not at all, and waits until the disk has it.
    ///
    /// # Errors
    /// [`FileError`] when it can't be written; what was there before is untouched then.
    fn write(&mut self, path: &Path, bytes: &[u8]) -> Result<(), FileError>;

    /// Writes a file as [`Host::write`] does, for the same people as another that is there.
    ///
    /// # Errors
    /// [`FileError`] as [`Host::write`].
    fn write_like(&mut self, like: &Path, path: &Path, bytes: &[u8]) -> Result<(), FileError> {
        let _ = like;
        self.write(path, bytes)
    }

    /// Writes a file whole or not at all as seen by every program, also when this one is
    /// killed, but doesn't wait for the disk: for what is soon written again. Nobody but this
    /// person may read it.
    ///
    /// # Errors
    /// [`FileError`] as [`Host::write`].
    fn write_without_sync(&mut self, path: &Path, bytes: &[u8]) -> Result<(), FileError> {
        self.write(path, bytes)
    }

    /// Whether a file is there.
    fn exists(&self, path: &Path) -> bool;

    /// Whether two paths lead to the same file.
    fn same_file(&self, a: &Path, b: &Path) -> bool {
        a == b
    }

    /// Removes a file; one that isn't there is no fault.
    ///
    /// # Errors
    /// [`FileError`] when it can't be removed.
    fn remove(&mut self, path: &Path) -> Result<(), FileError>;

    /// The files in a folder (not its folders), in the order of their names; none when it
    /// isn't there or can't be read.
    fn list(&self, folder: &Path) -> Vec<PathBuf>;

    /// Makes a folder and those above it; one that is there is no fault.
    ///
    /// # Errors
    /// [`FileError`] when it can't be made.
    fn create_folder(&mut self, folder: &Path) -> Result<(), FileError>;

    /// The same for a folder of the program's own: it is for this person alone, also if it was there.
    ///
    /// # Errors
    /// [`FileError`] when it can't be made.
    fn create_private_folder(&mut self, folder: &Path) -> Result<(), FileError> {
        self.create_folder(folder)
    }

    /// When a file was last written, milliseconds since 1970 (UTC); `None` when that can't be
    /// told.
    fn modified(&self, path: &Path) -> Option<u64>;

    /// Tells a person who waits how far slow work is, in one line in place of the one before;
    /// empty when it is done. Where nobody waits, nothing is told.
    fn progress(&self, line: &str) {
        let _ = line;
    }

    /// Shows a file in the program that this computer opens such files with.
    ///
    /// # Errors
    /// [`FileError`] when the file isn't there or no program shows it.
    fn open_externally(&mut self, path: &Path) -> Result<(), FileError>;

    /// The time now, milliseconds since 1970 (UTC).
    fn now_ms(&self) -> u64;

    /// Today where this computer stands, as ISO 8601 writes a day: `2026-03-09`.
    fn today(&self) -> String;

    /// The folder for the program's own files of this person; `None` where there is none.
    fn data_folder(&self) -> Option<PathBuf>;

    /// Makes an empty file that stays claimed for as long as this program runs, however it
    /// ends. Whether that worked.
    fn claim(&mut self, path: &Path) -> bool;

    /// Whether a running program, this one included, claims a file.
    fn is_claimed(&self, path: &Path) -> bool;
}

/// A host in memory, for tests.
#[derive(Clone, Debug, Default)]
pub struct MemoryHost {
    /// The files it holds.
    pub files: BTreeMap<PathBuf, Vec<u8>>,
    /// When they were written, as [`Host::modified`] tells.
    pub written_ms: BTreeMap<PathBuf, u64>,
    /// What writing answers, to try out a full disk and the like.
    pub write_problem: Option<FileProblem>,
    /// What reading and writing answer at a path and below it.
    pub problems: BTreeMap<PathBuf, FileProblem>,
    /// What the clock says.
    pub now_ms: u64,
    /// What the calendar says.
    pub today: String,
    /// The folder for the program's own files, if it is to have one.
    pub data_folder: Option<PathBuf>,
    /// The files that were shown, in turn.
    pub shown: Vec<PathBuf>,
    /// The files claimed by a running program.
    pub claimed: BTreeSet<PathBuf>,
    /// The folder it stands in, from which a path leads that begins at no root.
    pub folder: PathBuf,
    /// How many times it was asked to do something that can fail.
    pub calls: Cell<u64>,
    /// Which of these times fails, and how.
    pub fails_at: Option<(u64, FileProblem)>,
}

impl MemoryHost {
    /// A host with a folder for the program's own files.
    pub fn with_data() -> Self {
        Self { data_folder: Some("/data".into()), ..Self::default() }
    }

    /// Counts a call; its fault, if it is the one that fails.
    fn nth(&self, path: &Path, writing: bool) -> Option<FileError> {
        self.calls.set(self.calls.get() + 1);
        let (_, problem) = self.fails_at.as_ref().filter(|(at, _)| *at == self.calls.get())?;
        Some(FileError { path: path.to_owned(), writing, problem: problem.clone() })
    }

    fn fault(&self, path: &Path, writing: bool) -> Option<FileError> {
        if let Some(fault) = self.nth(path, writing) {
            return Some(fault);
        }
        let at = path.ancestors().find_map(|above| self.problems.get(above));
        let problem = at.or(self.write_problem.as_ref().filter(|_| writing))?.clone();
        Some(FileError { path: path.to_owned(), writing, problem })
    }
}

impl Host for MemoryHost {
    fn absolute(&self, path: &Path) -> PathBuf {
        self.folder.join(path)
    }

    fn lock(&mut self, path: &Path) -> Result<FileLock, FileError> {
        self.nth(path, true).map_or_else(|| Ok(FileLock::default()), Err)
    }

    fn read(&self, path: &Path) -> Result<Vec<u8>, FileError> {
        let missing =
            || FileError { path: path.to_owned(), writing: false, problem: FileProblem::NotFound };
        match self.fault(path, false) {
            Some(fault) => Err(fault),
            None => self.files.get(path).cloned().ok_or_else(missing),
        }
    }

    fn write(&mut self, path: &Path, bytes: &[u8]) -> Result<(), FileError> {
        if let Some(fault) = self.fault(path, true) {
            return Err(fault);
        }
        self.files.insert(path.to_owned(), bytes.to_owned());
        self.written_ms.insert(path.to_owned(), self.now_ms);
        Ok(())
    }

    fn exists(&self, path: &Path) -> bool {
        self.files.contains_key(path)
    }

    fn remove(&mut self, path: &Path) -> Result<(), FileError> {
        if self.files.contains_key(path)
            && let Some(fault) = self.nth(path, true)
        {
            return Err(fault);
        }
        self.files.remove(path);
        self.written_ms.remove(path);
        self.claimed.remove(path);
        Ok(())
    }

    fn list(&self, folder: &Path) -> Vec<PathBuf> {
        self.files.keys().filter(|path| path.parent() == Some(folder)).cloned().collect()
    }

    fn create_folder(&mut self, folder: &Path) -> Result<(), FileError> {
        self.nth(folder, true).map_or(Ok(()), Err)
    }

    fn modified(&self, path: &Path) -> Option<u64> {
        self.written_ms.get(path).copied()
    }

    fn open_externally(&mut self, path: &Path) -> Result<(), FileError> {
        self.read(path)?;
        self.shown.push(path.to_owned());
        Ok(())
    }

    fn now_ms(&self) -> u64 {
        self.now_ms
    }

    fn today(&self) -> String {
        self.today.clone()
    }

    fn data_folder(&self) -> Option<PathBuf> {
        self.data_folder.clone()
    }

    fn claim(&mut self, path: &Path) -> bool {
        if self.nth(path, true).is_some() {
            return false;
        }
        self.files.entry(path.to_owned()).or_default();
        self.claimed.insert(path.to_owned())
    }

    fn is_claimed(&self, path: &Path) -> bool {
        self.claimed.contains(path)
    }
}
