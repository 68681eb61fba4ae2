//! Every command's help ends with two examples, and each of them runs as it is printed.
#![cfg(unix)]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

/// The program that is tested.
const PROGRAM: &str = env!("CARGO_BIN_EXE_blankwright");
/// Commands that no list shows.
const HIDDEN: [&str; 2] = ["completions", "man"];

/// Runs a line as a shell would, with the program found by its name.
fn shell(line: &str, folder: &Path) -> Output {
    let tools = Path::new(PROGRAM).parent().expect("a folder").display();
    let line = format!("PATH={tools}:$PATH; set -e; {line}");
    let done = Command::new("sh").args(["-c", &line]).current_dir(folder).output();
    done.expect("a shell")
}

fn help(words: &[&str]) -> String {
    let done = Command::new(PROGRAM).args(words).output().expect("the program runs");
    assert!(done.status.success(), "{words:?}: {}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).expect("text")
}

/// The examples at the end of a help text.
fn examples(help: &str) -> Vec<String> {
    let (_, lines) = help.split_once("\nExamples:\n").unwrap_or_default();
    let lines = lines.lines().map(str::trim).take_while(|line| line.starts_with("blankwright "));
    lines.map(str::to_owned).collect()
}

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let copy = |from: &str, to: &str| fs::copy(root.join(from), folder.path().join(to));
    copy("assets/starters/drop-point.blank.json", "mine.blank.json").expect("copied");
    copy("samples/hollow-oak-hunter.svg", "shape.svg").expect("copied");
    folder
}

#[test]
fn every_command_has_two_examples_that_run() {
    let list = help(&["help"]);
    let (_, commands) = list.split_once("Commands;").expect("commands are listed");
    let names = commands.lines().skip(1).take_while(|line| !line.is_empty());
    let names = names.filter_map(|line| line.split_whitespace().next()).chain(HIDDEN);
    let mut count = 0;
    for name in names {
        let lines = examples(&help(&[name, "--help"]));
        assert_eq!(lines.len(), 2, "{name}: {lines:?}");
        let folder = folder();
        for line in lines {
            count += 1;
            assert!(line.contains(name) || name == "open", "{name}: {line}");
            if name == "open" {
                // It waits for a person; here it may only find no display.
                let line = format!("env -u DISPLAY -u WAYLAND_DISPLAY -u WAYLAND_SOCKET {line}");
                let message = String::from_utf8(shell(&line, folder.path()).stderr).expect("text");
                assert!(
                    message.contains("no display") || message.contains("no window"),
                    "{message}"
                );
                continue;
            }
            let done = shell(&line, folder.path());
            let err = String::from_utf8_lossy(&done.stderr);
            assert!(done.status.success(), "{line}: {err}");
        }
    }
    assert!(count >= 34, "{count}");
    for line in examples(&help(&["--help"])) {
        assert!(shell(&line, folder().path()).status.success(), "{line}");
    }
}

#[test]
fn exit_codes_stand_in_one_table() {
    let page = manual::page("commands").expect("the page").text;
    for text in [help(&["help"]), help(&["--help"])] {
        let (_, table) = text.split_once("Exit codes:\n").expect("a table");
        let rows: Vec<&str> = table.lines().map(str::trim).collect();
        assert_eq!(rows.len(), 3, "{table}");
        for row in rows {
            let (code, words) = row.split_once("  ").expect("a code and its words");
            assert!(page.contains(&format!("| {code} | {words} |")), "{row}");
        }
    }
}
