//! Standard input, output and error: `-` for a file, `--quiet`, and what goes where.

use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// The program that is tested.
const PROGRAM: &str = env!("CARGO_BIN_EXE_blankwright");

struct Bench {
    folder: tempfile::TempDir,
}

impl Bench {
    /// A folder with one blank in it.
    fn new() -> Self {
        let bench = Self { folder: tempfile::tempdir().expect("a folder") };
        bench.done(&["new", "drop-point", "--out", "a.blank.json"], b"");
        bench
    }

    fn run(&self, words: &[&str], input: &[u8]) -> Output {
        let mut child = Command::new(PROGRAM)
            .args(words)
            .current_dir(self.folder.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program runs");
        // A command that reads nothing may be gone by now.
        let _ = child.stdin.take().expect("its input").write_all(input);
        child.wait_with_output().expect("its output")
    }

    fn done(&self, words: &[&str], input: &[u8]) -> Output {
        let done = self.run(words, input);
        assert_eq!(done.status.code(), Some(0), "{words:?}: {}", text(&done.stderr));
        done
    }

    fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.folder.path().join(name)).expect("the file")
    }

    fn names(&self) -> usize {
        fs::read_dir(self.folder.path()).expect("the folder").count()
    }
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("text")
}

#[test]
fn a_blank_is_read_from_standard_input() {
    let bench = Bench::new();
    let blank = bench.read("a.blank.json");
    for command in [
        &["check"][..],
        &["numbers", "--json"],
        &["build"],
        &["materials", "--csv"],
        &["bar", "--copies", "2", "--json"],
    ] {
        let with = |file: &'static str| [&command[..1], &[file], &command[1..]].concat();
        let named = bench.done(&with("a.blank.json"), b"");
        let sent = bench.done(&with("-"), &blank);
        assert!(!named.stdout.is_empty() && named.stdout == sent.stdout, "{command:?}");
    }
    for (input, says) in [(&b"{"[..], "standard input can't be used"), (b"", "standard input")] {
        let refused = bench.run(&["check", "-"], input);
        assert_eq!((refused.status.code(), refused.stdout.len()), (Some(2), 0));
        assert!(text(&refused.stderr).contains(says), "{}", text(&refused.stderr));
    }
    let twice = bench.run(&["bar", "-", "-", "--json"], &blank);
    assert!(twice.status.code() == Some(2) && text(&twice.stderr).contains("only once"));
}

/// The bytes are those of the file, nothing is added, and what is told goes to standard error.
#[test]
fn a_file_is_sent_to_standard_output() {
    let bench = Bench::new();
    let blank = bench.read("a.blank.json");
    let cases: [(&[&str], &str); 6] = [
        (&["print", "a.blank.json", "--paper", "a4"], "f.pdf"),
        (&["draw", "a.blank.json"], "f.svg"),
        (&["draw", "a.blank.json", "--dpi", "100"], "f.png"),
        (&["new", "drop-point"], "f.blank.json"),
        (&["proof", "--paper", "letter"], "f.pdf"),
        (&["bar", "a.blank.json"], "f.pdf"),
    ];
    for (command, file) in cases {
        bench.done(&[command, &["--out", file]].concat(), b"");
        let before = bench.names();
        let sent = bench.done(&[command, &["--out", "-"]].concat(), b"");
        assert!(sent.stdout == bench.read(file), "{command:?}");
        assert!(text(&sent.stderr).contains("to standard output"), "{}", text(&sent.stderr));
        assert_eq!(bench.names(), before, "{command:?} leaves no file behind");
        let quiet = bench.done(&[command, &["--out", "-", "--quiet"]].concat(), b"");
        assert!(quiet.stdout == sent.stdout && quiet.stderr.is_empty(), "{command:?}");
    }
    let through = bench.done(&["print", "-", "--out", "-", "--paper", "a4"], &blank);
    assert!(through.stdout.starts_with(b"%PDF-"));
    for (command, says) in [
        (&["print", "a.blank.json", "--split", "--out", "-"][..], "several files"),
        (&["bar", "a.blank.json", "--json", "--out", "-"], "both write to standard output"),
    ] {
        let refused = bench.run(command, b"");
        assert_eq!((refused.status.code(), refused.stdout.len()), (Some(2), 0));
        assert!(text(&refused.stderr).contains(says), "{}", text(&refused.stderr));
    }
    assert!(!Path::new("-").exists());
}

/// Quiet leaves out what was written, never a result, a warning or a failure.
#[test]
fn quiet_leaves_results_and_warnings() {
    let bench = Bench::new();
    for command in [
        &["new", "tanto", "--out", "b.blank.json"][..],
        &["print", "a.blank.json", "--out", "a.pdf"],
        &["draw", "a.blank.json", "--out", "a.svg"],
        &["proof", "--paper", "a4", "--out", "proof.pdf"],
    ] {
        assert!(!bench.done(command, b"").stdout.is_empty());
        let quiet = bench.done(&[command, &["-q"]].concat(), b"");
        assert!(quiet.stdout.is_empty() && quiet.stderr.is_empty(), "{command:?}");
    }
    for command in ["check", "numbers", "build", "materials"] {
        let words = [command, "a.blank.json"];
        let quiet = bench.done(&[&["--quiet"], &words[..]].concat(), b"");
        assert!(quiet.stdout == bench.done(&words, b"").stdout, "{command}");
    }
    let failed = bench.run(&["check", "none.blank.json", "--quiet"], b"");
    assert!(failed.status.code() == Some(2) && text(&failed.stderr).contains("is not there"));
}

/// A mistyped name is answered with the nearest one.
#[test]
fn mistyped_names_are_answered_with_the_nearest() {
    let bench = Bench::new();
    let print = ["print", "a.blank.json", "--out", "a.pdf"];
    for (words, says) in [
        (&["new", "droppoint", "--out", "b.blank.json"][..], "did you mean drop-point?"),
        (&[&print[..], &["--sheets", "profil"]].concat()[..], "did you mean profile?"),
        (&[&print[..], &["--paper", "leter"]].concat()[..], "Did you mean letter?"),
        (&[&print[..], &["--papr", "letter"]].concat()[..], "did you mean --paper?"),
        (&["schema", "number"], "did you mean numbers?"),
        (&["help", "bevl"], "did you mean bevels?"),
    ] {
        let refused = bench.run(words, b"");
        assert_eq!(refused.status.code(), Some(2), "{words:?}");
        assert!(text(&refused.stderr).contains(says), "{}", text(&refused.stderr));
    }
    let blank = text(&bench.read("a.blank.json")).replacen("SAE 1084", "SEA 1084", 1);
    let output = bench.done(&["check", "-"], blank.as_bytes());
    let says = "no table has the steel \"SEA 1084\", did you mean SAE 1084?";
    assert!(text(&output.stderr).contains(says), "{}", text(&output.stderr));
}

// What the shell's limit forbids would end the program by a signal half way through a file.
#[cfg(unix)]
#[test]
fn a_file_over_the_systems_limit_is_refused_and_leaves_nothing() {
    let bench = Bench::new();
    let before = fs::read(bench.folder.path().join("a.blank.json")).expect("the blank");
    for words in ["print a.blank.json --out a.pdf", "new tanto --out a.blank.json"] {
        let done = Command::new("sh")
            .args(["-c", &format!("ulimit -f 1; exec {PROGRAM} {words}")])
            .current_dir(bench.folder.path())
            .output()
            .expect("a shell");
        assert_eq!(done.status.code(), Some(2), "{words}");
        let message = text(&done.stderr);
        assert!(
            message.contains("takes no file this large") && message.lines().count() == 1,
            "{message}"
        );
    }
    let names = fs::read_dir(bench.folder.path()).expect("the folder").count();
    assert_eq!(names, 1, "nothing but the blank");
    assert_eq!(fs::read(bench.folder.path().join("a.blank.json")).expect("the blank"), before);
}
