//! The real disk for tests, with the program's own files in a folder of the test's.

use blankwright::Disk;
use host::{FileFault, Hold, Host};
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
    fn may_write(&self, path: &Path) -> Result<(), FileFault> {
        self.disk.may_write(path)
    }
    fn hold(&mut self, path: &Path) -> Result<Hold, FileFault> {
        self.disk.hold(path)
    }
    fn read(&self, path: &Path) -> Result<Vec<u8>, FileFault> {
        self.disk.read(path)
    }
    fn write(&mut self, path: &Path, bytes: &[u8]) -> Result<(), FileFault> {
        self.disk.write(path, bytes)
    }
    fn write_soon(&mut self, path: &Path, bytes: &[u8]) -> Result<(), FileFault> {
        self.disk.write_soon(path, bytes)
    }
    fn show(&mut self, path: &Path) -> Result<(), FileFault> {
        self.disk.show(path)
    }
    fn exists(&self, path: &Path) -> bool {
        self.disk.exists(path)
    }
    fn remove(&mut self, path: &Path) -> Result<(), FileFault> {
        self.disk.remove(path)
    }
    fn list(&self, folder: &Path) -> Vec<PathBuf> {
        self.disk.list(folder)
    }
    fn make_folder(&mut self, folder: &Path) -> Result<(), FileFault> {
        self.disk.make_folder(folder)
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
