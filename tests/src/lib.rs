//! What the end-to-end checks share: the real program in a folder of its own.

pub mod pages;

use blankwright::{Disk, Outcome, run};
use serde_json::Value;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};

/// The repository's top level.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Every shipped blank file: starters, then samples.
pub fn blanks() -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = ["assets/starters", "samples"]
        .iter()
        .flat_map(|folder| files(&root().join(folder)))
        .filter(|path| path.to_string_lossy().ends_with(".blank.json"))
        .collect();
    found.sort();
    assert!(found.len() >= 13, "twelve starters and some samples");
    found
}

/// The files of a folder, by name.
///
/// # Panics
/// When the folder can't be read.
pub fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap_or_else(|error| panic!("{}: {error}", folder.display()))
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .collect();
    found.sort();
    found
}

/// Every page of the manual, as one text: what is documented stands somewhere in it.
pub fn manual_text() -> String {
    manual::PAGES.iter().map(|page| page.text).collect()
}

/// Holds a generated page of the manual against its file, or writes it with BLESS=1.
///
/// # Panics
/// When the two differ.
#[track_caller]
pub fn hold_page(topic: &str, page: &str) {
    let path = root().join("assets/manual").join(format!("{topic}.md"));
    let at = path.display();
    if std::env::var_os("BLESS").is_some() {
        fs::write(&path, page).unwrap_or_else(|error| panic!("{at}: {error}"));
    }
    let kept = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{at}: {error}"));
    assert!(kept == page, "{at} is not what the program says; write it with BLESS=1, and read it");
}

/// A folder of its own in which the program is run.
pub struct Bench {
    folder: tempfile::TempDir,
}

impl Bench {
    /// An empty folder, gone when dropped.
    ///
    /// # Panics
    /// When the system gives none.
    #[expect(clippy::new_without_default, reason = "it makes a folder")]
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap_or_else(|error| panic!("no folder: {error}"));
        Self { folder }
    }

    /// A path in the folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Runs the program with what was typed; `@name` stands for a path in the folder.
    pub fn run(&self, typed: &[&str]) -> Outcome {
        let words = typed.iter().map(|word| match word.strip_prefix('@') {
            Some(name) => self.path(name).into_os_string(),
            None => OsString::from(word),
        });
        run(std::iter::once(OsString::from("blankwright")).chain(words), &mut Disk)
    }

    /// Runs it and wants success.
    ///
    /// # Panics
    /// When the exit code isn't 0.
    #[track_caller]
    pub fn done(&self, typed: &[&str]) -> String {
        let outcome = self.run(typed);
        assert_eq!(outcome.code, 0, "{typed:?}: {}", outcome.err);
        outcome.out
    }

    /// Runs it and wants JSON on standard output, whatever the exit code.
    ///
    /// # Panics
    /// When what comes isn't JSON.
    #[track_caller]
    pub fn json(&self, typed: &[&str]) -> Value {
        let outcome = self.run(typed);
        serde_json::from_str(&outcome.out)
            .unwrap_or_else(|error| panic!("{typed:?}: {error}: {}", outcome.err))
    }

    /// The names of the files now in the folder.
    pub fn names(&self) -> Vec<String> {
        let name = |path: &PathBuf| path.file_name().map(|n| n.to_string_lossy().into_owned());
        files(self.folder.path()).iter().filter_map(name).collect()
    }
}
