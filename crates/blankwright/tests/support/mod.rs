//! The real disk for tests, with the program's own files in a folder of the test's.

use blankwright::Disk;
use host::{FileError, FileLock, Host};
use std::path::{Path, PathBuf};

/// The disk, with the program's own folder in the test's.
pub(crate) struct Bench {
    disk: Disk,
    folder: PathBuf,
}

impl Bench {
    /// In this folder.
    pub(crate) fn at(folder: &Path) -> Self {
        Self { disk: Disk, folder: folder.to_owned() }
    }

    /// Where the blank is saved.
    pub(crate) fn blank(&self) -> PathBuf {
        self.folder.join("work.blank.json")
    }
}

impl Host for Bench {
    fn absolute(&self, path: &Path) -> PathBuf {
        self.disk.absolute(path)
    }
    fn check_writable(&self, path: &Path) -> Result<(), FileError> {
        self.disk.check_writable(path)
    }
    fn lock(&mut self, path: &Path) -> Result<FileLock, FileError> {
        self.disk.lock(path)
    }
    fn read(&self, path: &Path) -> Result<Vec<u8>, FileError> {
        self.disk.read(path)
    }
    fn write(&mut self, path: &Path, bytes: &[u8]) -> Result<(), FileError> {
        self.disk.write(path, bytes)
    }
    fn write_like(&mut self, like: &Path, path: &Path, bytes: &[u8]) -> Result<(), FileError> {
        self.disk.write_like(like, path, bytes)
    }
    fn write_without_sync(&mut self, path: &Path, bytes: &[u8]) -> Result<(), FileError> {
        self.disk.write_without_sync(path, bytes)
    }
    fn open_externally(&mut self, path: &Path) -> Result<(), FileError> {
        self.disk.open_externally(path)
    }
    fn exists(&self, path: &Path) -> bool {
        self.disk.exists(path)
    }
    fn remove(&mut self, path: &Path) -> Result<(), FileError> {
        self.disk.remove(path)
    }
    fn list(&self, folder: &Path) -> Vec<PathBuf> {
        self.disk.list(folder)
    }
    fn create_folder(&mut self, folder: &Path) -> Result<(), FileError> {
        self.disk.create_folder(folder)
    }
    fn create_private_folder(&mut self, folder: &Path) -> Result<(), FileError> {
        self.disk.create_private_folder(folder)
    }
    fn modified(&self, path: &Path) -> Option<u64> {
        self.disk.modified(path)
    }
    fn now_ms(&self) -> u64 {
        self.disk.now_ms()
    }
    fn today(&self) -> String {
        self.disk.today()
    }
    fn data_folder(&self) -> Option<PathBuf> {
        Some(self.folder.join("data"))
    }
    fn claim(&mut self, path: &Path) -> bool {
        self.disk.claim(path)
    }
    fn is_claimed(&self, path: &Path) -> bool {
        self.disk.is_claimed(path)
    }
}
