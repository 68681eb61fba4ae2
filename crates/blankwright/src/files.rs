//! The real host: files on disk, written whole or not at all, and the clock.

use crate::colour;
use host::{FileError, FileLock, FileProblem, Host};
use std::fs::{self, File, TryLockError};
use std::hash::Hasher as _;
use std::io::{self, IsTerminal as _, Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

/// The most that is read of one file, bytes; a vector drawing of more than this is no outline.
const MAX_BYTES: u64 = 50_000_000;

/// A viewer that has not failed by then has started.
#[cfg(feature = "window")]
const SHOWN_WITHIN: Duration = Duration::from_millis(1500);

/// Another run that holds a file longer than this has come to a stop.
const HELD_AT_MOST: Duration = Duration::from_secs(20);

/// Files on disk.
#[derive(Clone, Copy, Debug, Default)]
pub struct Disk;

impl Host for Disk {
    fn absolute(&self, path: &Path) -> PathBuf {
        // It fails only where there is no path or no folder to stand in; writing tells that.
        std::path::absolute(path).unwrap_or_else(|_| path.to_owned())
    }

    fn check_writable(&self, path: &Path) -> Result<(), FileError> {
        let fault = |problem| FileError { path: path.to_owned(), writing: true, problem };
        target(path).map(drop).map_err(fault)
    }

    fn lock(&mut self, path: &Path) -> Result<FileLock, FileError> {
        let begun = Instant::now();
        let Some(lock) = lock_for(&resolve_link(path)) else { return Ok(FileLock::default()) };
        loop {
            match lock.try_lock() {
                Ok(()) => return Ok(FileLock::new(lock)),
                // No lock can be had on this disk: as if there were none.
                Err(TryLockError::Error(_)) => return Ok(FileLock::default()),
                Err(TryLockError::WouldBlock) if begun.elapsed() > HELD_AT_MOST => {
                    let (path, problem) = (path.to_owned(), FileProblem::Busy);
                    return Err(FileError { path, writing: true, problem });
                }
                Err(TryLockError::WouldBlock) => std::thread::sleep(Duration::from_millis(5)),
            }
        }
    }

    fn read(&self, path: &Path) -> Result<Vec<u8>, FileError> {
        read(path).map_err(|problem| FileError { path: path.to_owned(), writing: false, problem })
    }

    fn input(&self) -> Result<Vec<u8>, FileError> {
        let fault = |problem| FileError { path: "standard input".into(), writing: false, problem };
        all_of(io::stdin().lock()).map_err(fault)
    }

    fn write(&mut self, path: &Path, bytes: &[u8]) -> Result<(), FileError> {
        write(path, bytes, WriteMode::Flushed(path)).map_err(|problem| not_written(path, problem))
    }

    fn write_like(&mut self, like: &Path, path: &Path, bytes: &[u8]) -> Result<(), FileError> {
        write(path, bytes, WriteMode::Flushed(like)).map_err(|problem| not_written(path, problem))
    }

    fn write_without_sync(&mut self, path: &Path, bytes: &[u8]) -> Result<(), FileError> {
        write(path, bytes, WriteMode::Private).map_err(|problem| not_written(path, problem))
    }

    fn exists(&self, path: &Path) -> bool {
        path.exists()
    }

    fn same_file(&self, a: &Path, b: &Path) -> bool {
        a == b || matches!((fs::canonicalize(a), fs::canonicalize(b)), (Ok(a), Ok(b)) if a == b)
    }

    fn remove(&mut self, path: &Path) -> Result<(), FileError> {
        match fs::remove_file(path) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => {
                Err(not_written(path, problem(&error)))
            }
            _ => Ok(()),
        }
    }

    fn list(&self, folder: &Path) -> Vec<PathBuf> {
        let entries = fs::read_dir(folder).into_iter().flatten().flatten();
        let mut files: Vec<PathBuf> =
            entries.map(|entry| entry.path()).filter(|path| path.is_file()).collect();
        files.sort();
        files
    }

    fn create_folder(&mut self, folder: &Path) -> Result<(), FileError> {
        fs::create_dir_all(folder).map_err(|error| not_written(folder, problem(&error)))
    }

    fn create_private_folder(&mut self, folder: &Path) -> Result<(), FileError> {
        private_folder(folder).map_err(|error| not_written(folder, problem(&error)))
    }

    fn modified(&self, path: &Path) -> Option<u64> {
        fs::metadata(path).ok()?.modified().ok().and_then(ms)
    }

    fn progress(&self, line: &str) {
        let mut err = io::stderr();
        if colour::is_able(err.is_terminal()) {
            // Over the line before; what can't be shown is no failure.
            let _ = write!(err, "\r\x1b[K{line}");
            let _ = err.flush();
        }
    }

    fn open_externally(&mut self, path: &Path) -> Result<(), FileError> {
        let fault = |problem| FileError { path: path.to_owned(), writing: false, problem };
        // Not every viewer can be told a path from where this program was started.
        let whole = fs::canonicalize(path).map_err(|error| fault(problem(&error)))?;
        if shown(whole) { Ok(()) } else { Err(fault(FileProblem::NotShown)) }
    }

    fn now_ms(&self) -> u64 {
        ms(SystemTime::now()).unwrap_or_default()
    }

    fn today(&self) -> String {
        jiff::Zoned::now().date().to_string()
    }

    fn data_folder(&self) -> Option<PathBuf> {
        let folders = directories::ProjectDirs::from("", "", "blankwright")?;
        Some(folders.data_local_dir().to_owned())
    }

    fn claim(&mut self, path: &Path) -> bool {
        let claimed = File::options().create(true).append(true).open(path);
        match claimed {
            Ok(file) if file.try_lock().is_ok() => {
                // The system lets go of the lock when the program ends, killed or not.
                std::mem::forget(file);
                true
            }
            _ => false,
        }
    }

    fn is_claimed(&self, path: &Path) -> bool {
        let file = File::open(path);
        file.is_ok_and(|file| matches!(file.try_lock_shared(), Err(TryLockError::WouldBlock)))
    }
}

/// Whether the system's viewer for a file has started.
#[cfg(feature = "window")]
fn shown(file: PathBuf) -> bool {
    let (sender, answer) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        // Nobody listens any more once the viewer was taken to have started.
        let _ = sender.send(opener::open(file).is_ok());
    });
    // Some starters return only when the viewer is closed.
    answer.recv_timeout(SHOWN_WITHIN).unwrap_or(true)
}

/// Only the desk shows files.
#[cfg(not(feature = "window"))]
fn shown(_file: PathBuf) -> bool {
    false
}

fn ms(time: SystemTime) -> Option<u64> {
    u64::try_from(time.duration_since(UNIX_EPOCH).ok()?.as_millis()).ok()
}

fn not_written(path: &Path, problem: FileProblem) -> FileError {
    FileError { path: path.to_owned(), writing: true, problem }
}

/// Makes a folder that nobody but this person looks into.
fn private_folder(folder: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::{DirBuilderExt as _, PermissionsExt as _};
        builder.mode(0o700);
        builder.create(folder)?;
        // One of an earlier version may be open to others; where that can't be changed it stays.
        if fs::metadata(folder)?.permissions().mode() & 0o077 != 0 {
            let _ = fs::set_permissions(folder, fs::Permissions::from_mode(0o700));
        }
    }
    builder.create(folder)
}

fn read(path: &Path) -> Result<Vec<u8>, FileProblem> {
    if path.is_dir() {
        return Err(FileProblem::IsFolder);
    }
    if would_wait(path) {
        return Err(FileProblem::NotRegular);
    }
    all_of(File::open(path).map_err(|error| problem(&error))?)
}

/// Whether reading might wait for ever: a pipe that lies in a folder, into which nobody may write.
/// One that a shell hands over, such as `<(…)`, is no file in any folder, and is read.
#[cfg(unix)]
fn would_wait(path: &Path) -> bool {
    use std::os::unix::fs::FileTypeExt as _;
    let kind = fs::canonicalize(path).and_then(fs::metadata).map(|meta| meta.file_type());
    kind.is_ok_and(|kind| kind.is_fifo() || kind.is_socket())
}

#[cfg(not(unix))]
fn would_wait(_path: &Path) -> bool {
    false
}

fn all_of(source: impl io::Read) -> Result<Vec<u8>, FileProblem> {
    let mut bytes = Vec::new();
    source.take(MAX_BYTES + 1).read_to_end(&mut bytes).map_err(|error| problem(&error))?;
    if bytes.len() as u64 > MAX_BYTES {
        return Err(FileProblem::TooLarge { max: MAX_BYTES });
    }
    Ok(bytes)
}

/// A link is followed, so that what it leads to is renewed and the link stays.
fn resolve_link(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// What is locked to hold a file: the folder it lies in, so that nothing is left behind, and
/// nothing is renewed under a lock.
#[cfg(unix)]
fn lock_for(path: &Path) -> Option<File> {
    File::open(folder_of(path)).ok()
}

/// Where no folder can be locked: an empty file in the system's folder for such.
#[cfg(not(unix))]
fn lock_for(path: &Path) -> Option<File> {
    let whole = fs::canonicalize(folder_of(path)).ok()?.join(path.file_name()?);
    let name = format!("blankwright-{:016x}.lock", digest(&whole.to_string_lossy()));
    File::options().create(true).append(true).open(std::env::temp_dir().join(name)).ok()
}

/// The file that a path leads to, if it may be written: nothing yet, or a plain file that isn't
/// write-protected. Renaming would replace even one that is.
fn target(path: &Path) -> Result<PathBuf, FileProblem> {
    match fs::metadata(path) {
        Ok(meta) if meta.is_dir() => Err(FileProblem::IsFolder),
        Ok(meta) if !meta.is_file() => Err(FileProblem::NotRegular),
        Ok(meta) if meta.permissions().readonly() => Err(FileProblem::Forbidden),
        Ok(_) => match File::options().write(true).open(path) {
            Err(error) => Err(problem(&error)),
            Ok(_) => Ok(resolve_link(path)),
        },
        Err(_) if fs::symlink_metadata(path).is_ok_and(|meta| meta.is_symlink()) => {
            Err(FileProblem::BrokenLink)
        }
        Err(_) => Ok(path.to_owned()),
    }
}

/// How a file is written.
#[derive(Clone, Copy, PartialEq, Eq)]
enum WriteMode<'a> {
    /// For those who may use this file, or as any file a person makes where it isn't there; on the
    /// disk before it counts as written.
    Flushed(&'a Path),
    /// For this person alone, and on the disk soon.
    Private,
}

/// Into a temporary file beside it, flushed to the disk if asked, then renamed over it.
fn write(path: &Path, bytes: &[u8], kind: WriteMode<'_>) -> Result<(), FileProblem> {
    let path = target(path)?;
    replace(&path, bytes, kind).map_err(|error| problem(&error))
}

fn replace(path: &Path, bytes: &[u8], kind: WriteMode<'_>) -> io::Result<()> {
    if is_over_limit(bytes) {
        return Err(io::ErrorKind::FileTooLarge.into());
    }
    let folder = folder_of(path);
    let prefix = part_prefix(path);
    remove_stale_parts(folder, &prefix);
    let mut builder = tempfile::Builder::new();
    builder.prefix(&prefix).suffix(PART);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = match kind {
            WriteMode::Private => 0o600,
            // The umask takes its part of what a new file gets.
            WriteMode::Flushed(like) => {
                fs::metadata(like).map_or(0o666, |meta| meta.permissions().mode() & 0o777)
            }
        };
        builder.permissions(fs::Permissions::from_mode(mode));
    }
    let file = builder.tempfile_in(folder)?;
    // Held until it is renamed or the program ends: no other one takes it for left behind.
    let _ = file.as_file().try_lock();
    file.as_file().write_all(bytes)?;
    if kind != WriteMode::Private {
        file.as_file().sync_all()?;
    }
    file.persist(path)?;
    #[cfg(unix)]
    if kind != WriteMode::Private
        && let Ok(folder) = File::open(folder)
    {
        // The rename is on the disk once the folder is; a disk that can't say so did its best.
        let _ = folder.sync_all();
    }
    Ok(())
}

/// Whether the system ends this program rather than let it write a file so large (`ulimit -f`): it
/// would leave a part of one behind.
#[cfg(unix)]
fn is_over_limit(bytes: &[u8]) -> bool {
    use rustix::process::{Resource, getrlimit};
    getrlimit(Resource::Fsize).current.is_some_and(|max| bytes.len() as u64 > max)
}

#[cfg(not(unix))]
fn is_over_limit(_bytes: &[u8]) -> bool {
    false
}

/// How the names of temporary files end.
const PART: &str = ".part";
/// A temporary file younger than this may be in use, whatever its lock says, seconds.
const PART_AGE_S: u64 = 60;

/// How the names of the temporary files of one target begin: by a digest of its name, so that they
/// are no longer than any file's may be.
fn part_prefix(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    format!(".blankwright-{:016x}-", digest(&name))
}

fn digest(text: &str) -> u64 {
    let mut hasher = fnv::FnvHasher::default();
    hasher.write(text.as_bytes());
    hasher.finish()
}

/// Removes what writings of the same target left behind that were killed: files that are old
/// enough and that no running program holds. What can't be removed stays.
fn remove_stale_parts(folder: &Path, prefix: &str) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        let is_plain = || entry.file_type().is_ok_and(|kind| kind.is_file());
        if !(name.starts_with(prefix) && name.ends_with(PART) && is_plain()) {
            continue;
        }
        let age = entry.metadata().and_then(|meta| meta.modified()).map(|at| at.elapsed());
        let is_old = matches!(age, Ok(Ok(age)) if age.as_secs() > PART_AGE_S);
        let is_free = || File::open(entry.path()).is_ok_and(|file| file.try_lock().is_ok());
        if is_old && is_free() {
            let _ = fs::remove_file(entry.path());
        }
    }
}

fn problem(error: &io::Error) -> FileProblem {
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => FileProblem::NotFound,
        io::ErrorKind::IsADirectory => FileProblem::IsFolder,
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            FileProblem::Forbidden
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => FileProblem::DiskFull,
        io::ErrorKind::FileTooLarge => FileProblem::FileTooLarge,
        io::ErrorKind::InvalidFilename | io::ErrorKind::InvalidInput => FileProblem::BadName,
        io::ErrorKind::ResourceBusy | io::ErrorKind::ExecutableFileBusy => FileProblem::Busy,
        _ => FileProblem::Other(system_message(error)),
    }
}

/// The system's words without its number, and without the name of a temporary file.
fn system_message(error: &io::Error) -> String {
    let text = error.to_string();
    let ends = [" (os error", " at path "].iter().filter_map(|mark| text.find(mark));
    let words = &text[..ends.min().unwrap_or(text.len())];
    format!("{}; try again, or choose another place", words.trim().to_lowercase())
}

/// What went wrong with standard output, in one sentence.
pub(crate) fn output_fault(error: &io::Error) -> FileError {
    not_written(Path::new("standard output"), problem(error))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_written_whole_or_not_at_all() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.blank.json");
        Disk.write(&path, b"first").unwrap();
        Disk.write(&path, b"second").unwrap();
        assert_eq!(Disk.read(&path).unwrap(), b"second");
        let names: Vec<_> = fs::read_dir(folder.path()).unwrap().collect();
        assert_eq!(names.len(), 1, "no temporary file is left");
    }

    #[test]
    fn what_a_killed_writing_left_is_swept_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let target = folder.path().join("a.blank.json");
        let part = |target: &Path, mark: &str| {
            folder.path().join(format!("{}{mark}{PART}", part_prefix(target)))
        };
        let other = folder.path().join("b.blank.json");
        let old = SystemTime::now() - Duration::from_secs(PART_AGE_S + 60);
        let make = |path: &Path, at: SystemTime| {
            let file = File::create(path).unwrap();
            file.set_modified(at).unwrap();
            file
        };
        let left = part(&target, "left");
        make(&left, old);
        let kept = [part(&target, "young"), part(&target, "held"), part(&other, "others")];
        make(&kept[0], SystemTime::now());
        let held = make(&kept[1], old);
        held.try_lock().unwrap();
        make(&kept[2], old);
        let own = folder.path().join(".blankwright-mine.part");
        make(&own, old);
        Disk.write(&target, b"new").unwrap();
        assert!(!left.exists());
        assert!(kept.iter().chain([&own]).all(|path| path.exists()));
        assert_eq!(fs::read(&target).unwrap(), b"new");
    }

    #[cfg(unix)]
    #[test]
    fn today_is_the_day_that_the_systems_own_date_tells() {
        let date = || {
            let message = std::process::Command::new("date").arg("+%F").output().unwrap();
            String::from_utf8(message.stdout).unwrap().trim().to_owned()
        };
        // Midnight may pass between the two.
        let (before, today, after) = (date(), Disk.today(), date());
        assert!(today == before || today == after, "{before} {today} {after}");
    }

    #[test]
    fn claims_times_and_lists_are_the_systems() {
        let folder = tempfile::tempdir().unwrap();
        let deep = folder.path().join("a/b");
        Disk.create_folder(&deep).unwrap();
        Disk.create_folder(&deep).unwrap();
        assert!(Disk.list(folder.path()).is_empty(), "folders are not files");
        assert!(Disk.list(&folder.path().join("no")).is_empty());
        let claim = deep.join("x.running");
        assert!(!Disk.is_claimed(&claim));
        assert!(Disk.claim(&claim) && Disk.is_claimed(&claim) && !Disk.claim(&claim));
        let file = deep.join("f");
        Disk.write_without_sync(&file, b"1").unwrap();
        let age = Disk.now_ms().abs_diff(Disk.modified(&file).unwrap());
        assert!(age < 60_000, "{age} ms between the clock and the disk's");
        assert_eq!(Disk.list(&deep), [file.clone(), claim]);
        Disk.remove(&file).unwrap();
        Disk.remove(&file).unwrap();
        assert_eq!(Disk.modified(&file), None);
        assert!(Disk.remove(&deep).is_err());
        assert!(Disk.data_folder().is_none_or(|data| data.ends_with("blankwright")));
    }

    #[cfg(unix)]
    #[test]
    fn links_are_followed_and_devices_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let (file, link) = (folder.path().join("a"), folder.path().join("b"));
        Disk.write(&file, b"first").unwrap();
        std::os::unix::fs::symlink(&file, &link).unwrap();
        Disk.write(&link, b"second").unwrap();
        assert_eq!(fs::read(&file).unwrap(), b"second");
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert!(Disk.same_file(&file, &link));
        let fault = Disk.write(Path::new("/dev/null"), b"x").unwrap_err();
        assert!(fault.to_string().contains("no plain file"), "{fault}");
        assert!(Disk.check_writable(Path::new("/dev/null")).is_err());
    }

    #[test]
    fn each_problem_is_one_plain_sentence() {
        let folder = tempfile::tempdir().unwrap();
        let message =
            |fault: FileError| fault.to_string().replace(folder.path().to_str().unwrap(), "…");
        let missing = folder.path().join("no/such.json");
        assert_eq!(
            message(Disk.read(&missing).unwrap_err()),
            "…/no/such.json is not there; check the name and the folder"
        );
        assert!(message(Disk.write(&missing, b"x").unwrap_err()).contains("make the folder first"));
        assert!(message(Disk.read(folder.path()).unwrap_err()).contains("is a folder"));
        assert!(message(Disk.write(folder.path(), b"x").unwrap_err()).contains("is a folder"));
    }
}
