//! The real host: files on disk, written whole or not at all.

use desk::{FileFault, FileProblem, Host};
use std::fs::{self, File};
use std::io::{self, Read as _, Write as _};
use std::path::Path;

/// The most that is read of one file, bytes; a vector drawing of more than this is no outline.
const MOST_BYTES: u64 = 50_000_000;

/// Files on disk.
#[derive(Clone, Copy, Debug, Default)]
pub struct Disk;

impl Host for Disk {
    fn read(&self, path: &Path) -> Result<Vec<u8>, FileFault> {
        read(path).map_err(|problem| FileFault { path: path.to_owned(), writing: false, problem })
    }

    fn write(&mut self, path: &Path, bytes: &[u8]) -> Result<(), FileFault> {
        write(path, bytes).map_err(|error| FileFault {
            path: path.to_owned(),
            writing: true,
            problem: problem(&error),
        })
    }

    fn exists(&self, path: &Path) -> bool {
        path.exists()
    }
}

fn read(path: &Path) -> Result<Vec<u8>, FileProblem> {
    if path.is_dir() {
        return Err(FileProblem::IsFolder);
    }
    let file = File::open(path).map_err(|error| problem(&error))?;
    let mut bytes = Vec::new();
    file.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(|error| problem(&error))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(FileProblem::TooLarge { most: MOST_BYTES });
    }
    Ok(bytes)
}

/// Into a temporary file beside it, flushed to the disk, then renamed over it.
fn write(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if path.is_dir() {
        return Err(io::ErrorKind::IsADirectory.into());
    }
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".blankwright-").suffix(".part");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // Like any file a person makes: what the umask leaves, or what the file had before.
        let mode = fs::metadata(path).map_or(0o666, |meta| meta.permissions().mode() & 0o777);
        builder.permissions(fs::Permissions::from_mode(mode));
    }
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    file.persist(path)?;
    #[cfg(unix)]
    if let Ok(folder) = File::open(folder) {
        // The rename is on the disk once the folder is; a disk that can't say so did its best.
        let _ = folder.sync_all();
    }
    Ok(())
}

fn problem(error: &io::Error) -> FileProblem {
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => FileProblem::NotThere,
        io::ErrorKind::IsADirectory => FileProblem::IsFolder,
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            FileProblem::Forbidden
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => FileProblem::DiskFull,
        _ => FileProblem::Other(error.to_string()),
    }
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
    fn each_problem_is_one_plain_sentence() {
        let folder = tempfile::tempdir().unwrap();
        let told =
            |fault: FileFault| fault.to_string().replace(folder.path().to_str().unwrap(), "…");
        let missing = folder.path().join("no/such.json");
        assert_eq!(
            told(Disk.read(&missing).unwrap_err()),
            "…/no/such.json is not there; check the name and the folder"
        );
        assert!(told(Disk.write(&missing, b"x").unwrap_err()).contains("make the folder first"));
        assert!(told(Disk.read(folder.path()).unwrap_err()).contains("is a folder"));
        assert!(told(Disk.write(folder.path(), b"x").unwrap_err()).contains("is a folder"));
    }
}
