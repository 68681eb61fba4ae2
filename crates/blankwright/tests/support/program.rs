//! The program run in a folder of its own, as the tests of files share it.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

/// The program that is tested.
pub(crate) const PROGRAM: &str = env!("CARGO_BIN_EXE_blankwright");

pub(crate) fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder")
}

pub(crate) fn command(words: &[&str], folder: &Path) -> Command {
    let mut command = Command::new(PROGRAM);
    command.args(words).current_dir(folder);
    command
}

pub(crate) fn run(words: &[&str], folder: &Path) -> Output {
    command(words, folder).output().expect("the program runs")
}

/// The one sentence on standard error of a command that could not be done.
pub(crate) fn failed(done: &Output) -> String {
    let message = String::from_utf8(done.stderr.clone()).expect("text");
    assert_eq!(done.status.code(), Some(2), "{message}");
    assert!(done.stdout.is_empty(), "{}", String::from_utf8_lossy(&done.stdout));
    assert_eq!(message.lines().count(), 1, "{message}");
    assert!(message.starts_with("blankwright: ") && !message.contains("panicked"), "{message}");
    assert!(!message.contains("os error") && !message.contains(".part"), "{message}");
    message
}

/// The names in a folder, in their order.
pub(crate) fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let name = |entry: fs::DirEntry| entry.file_name().to_string_lossy().into_owned();
    let mut names: Vec<String> = entries.map(|entry| name(entry.expect("an entry"))).collect();
    names.sort();
    names
}
