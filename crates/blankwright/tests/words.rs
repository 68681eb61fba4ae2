//! What the command line answers to what was mistyped: one sentence with a way on, exit code 2.

use blankwright::{FAILED, Outcome, run};
use host::MemoryHost;
use knife::file;
use std::ffi::OsString;
use std::path::Path;

fn host() -> MemoryHost {
    let mut host = MemoryHost::default();
    host.files.insert("/a.blank.json".into(), file::save(&knife::STARTERS[0].knife()));
    host
}

fn typed(words: &[&str], host: &mut MemoryHost) -> Outcome {
    run(std::iter::once("blankwright").chain(words.iter().copied()).map(OsString::from), host)
}

/// The sentence that a mistyped command gets; nothing is written then.
fn message(words: &[&str]) -> String {
    let mut host = host();
    let done = typed(words, &mut host);
    assert_eq!((done.code, done.out.as_str()), (FAILED, ""), "{words:?}");
    assert_eq!(done.err.lines().count(), 1, "{words:?}: {}", done.err);
    assert_eq!(host.files.len(), 1, "{words:?} wrote something");
    done.err.trim_start_matches("blankwright: ").trim_end().to_owned()
}

#[test]
fn a_mistyped_command_is_told_the_nearest_one() {
    for (word, near) in
        [("pint", "print"), ("chek", "check"), ("numbrs", "numbers"), ("starter", "starters")]
    {
        let wanted =
            format!("there is no command \"{word}\", did you mean {near}? See blankwright --help");
        assert_eq!(message(&[word, "/a.blank.json"]), wanted);
    }
    assert_eq!(message(&["xyzzy"]), "there is no command \"xyzzy\"; see blankwright --help");
    // Two files without a command are no command; one blank alone is opened.
    assert!(message(&["/a.blank.json", "/b.blank.json"]).contains("see blankwright --help"));
}

#[test]
fn a_missing_file_or_output_is_asked_for() {
    for command in ["check", "numbers", "open"] {
        assert_eq!(message(&[command]), "name the blank file; see --help", "{command}");
    }
    for command in ["print", "draw"] {
        assert!(message(&[command, "/a.blank.json"]).starts_with("--out <"), "{command}");
        assert!(message(&[command]).ends_with("see --help"), "{command}");
    }
    assert!(message(&["new", "drop-point"]).starts_with("--out <FILE>"));
    assert!(message(&["trim", "club"]).starts_with("--shop <FILE> is missing"));
    assert!(message(&["print", "/a.blank.json", "--out"]).contains("needs a value"));
}

#[test]
fn what_is_not_known_is_told_with_what_is() {
    let print =
        |more: &[&str]| message(&[&["print", "/a.blank.json", "--out", "/o.pdf"], more].concat());
    assert!(print(&["--paper", "foolscap"]).contains("letter"));
    assert!(print(&["--sheets", "profle"]).contains("profile"));
    assert!(print(&["--pages", "1"]).contains("--pages is not known here"));
    let dashed = message(&["check", "-dash.blank.json"]);
    assert!(dashed.ends_with("to name a file, write ./-dash.blank.json"), "{dashed}");
    assert!(print(&["--pages=a.pdf"]).contains("--pages is not known here"));
    assert!(message(&["new", "drop", "--out", "/b.blank.json"]).contains("drop-point"));
    assert!(message(&["draw", "/a.blank.json", "--out", "/o.gif"]).contains(".svg or .png"));
    let dpi = message(&["draw", "/a.blank.json", "--out", "/o.png", "--dpi", "many"]);
    assert!(dpi.starts_with("\"many\" can't be used for --dpi"), "{dpi}");
}

/// Without names the shop set; `all` is every sheet, also beside others.
#[test]
fn usual_sheets_and_all_of_them_are_printed() {
    let printed = |sheets: &[&str]| {
        let mut host = host();
        let print = ["print", "/a.blank.json", "--out", "/o.pdf"];
        let done = typed(&[&print, sheets].concat(), &mut host);
        assert_eq!(done.code, 0, "{sheets:?}: {}", done.err);
        host.files[Path::new("/o.pdf")].clone()
    };
    assert!(printed(&[]) == printed(&["--sheets", "profile,drilling,bevels,scales,plan"]));
    let all = "profile,drilling,bevels,sections,scales,bar,heat,jigs,build,plan,offsets";
    assert!(printed(&["--sheets", "all"]) == printed(&["--sheets", all]));
    assert!(printed(&["--sheets", "proof,all"]) == printed(&["--sheets", &format!("proof,{all}")]));
}

#[test]
fn empty_sheet_names_are_no_names() {
    let mut printed = Vec::new();
    for sheets in [&["--sheets", "profile"][..], &["--sheets", ",profile, ,"], &["--sheets", ""]] {
        let mut host = host();
        let done =
            typed(&[&["print", "/a.blank.json", "--out", "/o.pdf"], sheets].concat(), &mut host);
        assert_eq!(done.code, 0, "{sheets:?}: {}", done.err);
        printed.push(host.files[Path::new("/o.pdf")].clone());
    }
    assert_eq!(printed[0], printed[1]);
    let mut host = host();
    typed(&["print", "/a.blank.json", "--out", "/o.pdf"], &mut host);
    assert_eq!(printed[2], host.files[Path::new("/o.pdf")], "no name means the usual sheets");
}

#[test]
fn dots_to_the_inch_are_for_a_png_only() {
    assert_eq!(
        message(&["draw", "/a.blank.json", "--out", "/o.svg", "--dpi", "600"]),
        "/o.svg has no dots per inch: leave --dpi out, or write a .png"
    );
    // A PNG begins with 8 fixed bytes and its header; width and height stand at 16 and 20
    // (W3C PNG specification, 5.2 and 11.2.2).
    let width = |dpi: &[&str]| {
        let mut host = host();
        let done = typed(&[&["draw", "/a.blank.json", "--out", "/o.png"], dpi].concat(), &mut host);
        assert_eq!(done.code, 0, "{}", done.err);
        let png = &host.files[Path::new("/o.png")];
        f64::from(u32::from_be_bytes([png[16], png[17], png[18], png[19]]))
    };
    let (usual, half) = (width(&[]), width(&["--dpi", "150"]));
    assert!((usual - width(&["--dpi", "300"])).abs() < 0.5);
    assert!((usual / half - 2.0).abs() < 0.01, "{usual} {half}");
}
