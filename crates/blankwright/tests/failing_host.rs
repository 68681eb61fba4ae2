//! Whichever call to the world outside fails, a command leaves each file as it was or whole and
//! new, says which file it is about in one sentence, and does its work when it is run again.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use blankwright::{FAILED, Outcome, run};
use host::{FileProblem, MemoryHost};
use knife::{file, starter};
use std::collections::BTreeMap;
use std::ffi::OsString;
use std::path::PathBuf;

const READINGS: [&str; 8] =
    ["--across", "178.2", "--up", "227.7", "--rising", "289.1", "--falling", "289.1"];

fn typed(words: &[&str], host: &mut MemoryHost) -> Outcome {
    run(std::iter::once("blankwright").chain(words.iter().copied()).map(OsString::from), host)
}

fn bench() -> MemoryHost {
    let mut host = MemoryHost::with_data();
    for (path, key) in [("/a.blank.json", "drop-point"), ("/old.blank.json", "chefs-8in")] {
        host.files.insert(path.into(), file::save(&starter(key).unwrap().knife()));
    }
    let drawing = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"300mm\" height=\"60mm\" \
                   viewBox=\"0 0 300 60\"><path d=\"M5 30 L60 20 H200 V45 H9 Z\"/></svg>";
    host.files.insert("/d.svg".into(), drawing.into());
    for path in ["/o.pdf", "/o-profile.pdf", "/o.stl"] {
        host.files.insert(path.into(), b"what was there before".to_vec());
    }
    let done = typed(
        &[&["trim", "club", "--shop", "/s.json", "--paper", "letter"], &READINGS[..]].concat(),
        &mut host,
    );
    assert_eq!(done.code, 0, "{}", done.err);
    host.calls.set(0);
    host
}

type Files = BTreeMap<PathBuf, Vec<u8>>;

/// Runs a command with each of its calls failing in turn.
fn fails_anywhere(words: &[&str]) {
    let mut whole = bench();
    let before: Files = whole.files.clone();
    let done = typed(words, &mut whole);
    assert!(done.code < FAILED, "{words:?}: {}", done.err);
    let count = whole.calls.get();
    assert!(count > 0, "{words:?}");
    for nth in 1..=count {
        for problem in [FileProblem::DiskFull, FileProblem::Other("the cable was pulled".into())] {
            let mut host = bench();
            host.fails_at = Some((nth, problem));
            let done = typed(words, &mut host);
            let which = format!("{words:?}, call {nth}");
            for (path, bytes) in &host.files {
                let known = [before.get(path), whole.files.get(path)];
                assert!(known.contains(&Some(bytes)), "{which}: {} is another", path.display());
            }
            for path in before.keys() {
                assert!(host.files.contains_key(path), "{which}: {} is gone", path.display());
            }
            if done.code == FAILED {
                let named = host.files.keys().chain(whole.files.keys());
                let mut named = named.map(|path| path.display().to_string());
                assert!(named.any(|name| done.err.contains(&name)), "{which}: {}", done.err);
                assert!(done.err.starts_with("blankwright: "), "{which}: {}", done.err);
            } else {
                assert_eq!(host.files, whole.files, "{which}: said to be done");
            }
            host.fails_at = None;
            let again = typed(words, &mut host);
            // Readings that were stored before the failure count twice: only a print is the same.
            assert!(again.code < FAILED, "{which}, again: {}", again.err);
            if words[0] != "trim" {
                assert_eq!(host.files, whole.files, "{which}, again");
            }
        }
    }
}

#[test]
fn print_leaves_the_old_or_the_new() {
    fails_anywhere(&["print", "/a.blank.json", "--sheets", "profile", "--out", "/o.pdf"]);
    let trim = ["--shop", "/s.json", "--trim", "club", "--paper", "letter"];
    let print = ["print", "/a.blank.json", "--sheets", "profile", "--out", "/o.pdf"];
    fails_anywhere(&[&print[..], &trim].concat());
}

#[test]
fn trim_leaves_the_old_or_the_new_shop() {
    let words = ["trim", "elm", "--shop", "/s.json", "--paper", "letter"];
    fails_anywhere(&[&words[..], &READINGS].concat());
    fails_anywhere(&["trim", "club", "--shop", "/s.json"]);
}

#[test]
fn new_bar_draw_and_export_leave_the_old_or_the_new() {
    fails_anywhere(&["new", "drop-point", "--out", "/n.blank.json"]);
    fails_anywhere(&["new", "--outline", "/d.svg", "--out", "/n.blank.json"]);
    fails_anywhere(&["bar", "/a.blank.json", "--steps", "10", "--out", "/o.pdf"]);
    fails_anywhere(&["draw", "/a.blank.json", "--out", "/o.svg"]);
    fails_anywhere(&["proof", "--paper", "a4", "--out", "/o.pdf"]);
}

/// Sheets in a file each: those written before the failure are whole, and the sentence names them.
#[test]
fn split_sheets_are_each_the_old_or_the_new_and_it_is_said_which() {
    let words =
        ["print", "/a.blank.json", "--sheets", "profile,drilling", "--split", "--out", "/o.pdf"];
    let mut whole = bench();
    let before = whole.files.clone();
    assert!(typed(&words, &mut whole).code < FAILED);
    let mut mixed = 0;
    for nth in 1..=whole.calls.get() {
        let mut host = bench();
        host.fails_at = Some((nth, FileProblem::DiskFull));
        let done = typed(&words, &mut host);
        assert_eq!(done.code, FAILED, "{nth}");
        let new = |path: &&PathBuf| {
            host.files[*path] == whole.files[*path] && before.get(*path) != whole.files.get(*path)
        };
        for (path, bytes) in &host.files {
            assert!([before.get(path), whole.files.get(path)].contains(&Some(bytes)), "{nth}");
        }
        for path in host.files.keys().filter(new) {
            mixed += 1;
            assert!(done.err.contains(&path.display().to_string()), "{nth}: {}", done.err);
        }
    }
    assert!(mixed > 0, "some were written before a failure");
}
