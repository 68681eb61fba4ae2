//! The examples that a command's help ends with, and what exit codes say. A test runs them all.

use std::fmt::Write as _;

/// Two examples of each command, by its name; the program's own first.
const EXAMPLES: &[(&str, [&str; 2])] = &[
    (
        "blankwright",
        [
            "blankwright new drop-point --out mine.blank.json",
            "blankwright print mine.blank.json --out mine.pdf --paper letter",
        ],
    ),
    ("open", ["blankwright open mine.blank.json", "blankwright mine.blank.json"]),
    ("starters", ["blankwright starters", "blankwright starters --json"]),
    (
        "new",
        [
            "blankwright new drop-point --out mine.blank.json",
            "blankwright new --outline shape.svg --out own.blank.json",
        ],
    ),
    (
        "check",
        [
            "blankwright check mine.blank.json",
            "blankwright new tanto --out - | blankwright check - --json",
        ],
    ),
    (
        "numbers",
        ["blankwright numbers mine.blank.json", "blankwright numbers mine.blank.json --json"],
    ),
    ("schema", ["blankwright schema numbers", "blankwright schema check > check.schema.json"]),
    ("build", ["blankwright build mine.blank.json", "blankwright build mine.blank.json --json"]),
    (
        "materials",
        [
            "blankwright materials mine.blank.json",
            "blankwright materials mine.blank.json --csv > materials.csv",
        ],
    ),
    (
        "print",
        [
            "blankwright print mine.blank.json --out mine.pdf --paper letter",
            "blankwright print mine.blank.json --out set.pdf --sheets proof,profile,plan --paper a4",
        ],
    ),
    ("papers", ["blankwright papers", "blankwright papers letter a3 --width 2in"]),
    (
        "proof",
        [
            "blankwright proof --paper letter --out proof.pdf",
            "blankwright proof --paper a4 --margin 5mm --out proof.pdf",
        ],
    ),
    (
        "trim",
        [
            "blankwright trim club --shop shop.json --paper letter --across 176.1 --up 225.8 \
             --rising 286.0 --falling 286.7",
            "blankwright trim club --shop shop.json",
        ],
    ),
    (
        "bar",
        [
            "blankwright bar mine.blank.json --copies 4 --out bar.pdf",
            "blankwright bar mine.blank.json --fill --length 48in --json",
        ],
    ),
    (
        "draw",
        [
            "blankwright draw mine.blank.json --out mine.svg",
            "blankwright draw mine.blank.json --bare --out - > cut.svg",
        ],
    ),
    (
        "export",
        [
            "blankwright export mine.blank.json --out mine.3mf",
            "blankwright export mine.blank.json --out mine.dxf --units mm",
        ],
    ),
    (
        "completions",
        [
            "blankwright completions bash > blankwright.bash",
            "blankwright completions fish > blankwright.fish",
        ],
    ),
    ("man", ["blankwright man > blankwright.1", "blankwright man print > blankwright-print.1"]),
    ("help", ["blankwright help first-knife", "blankwright help print"]),
];

/// What each exit code says.
const EXIT_CODES: [(u8, &str); 3] = [
    (crate::CLEAN, "done, and nothing to stop for"),
    (
        crate::STOP,
        "look first: a finding says stop, a sheet had no room, or an outline crosses itself",
    ),
    (crate::FAILED, "it could not be done; standard error says why"),
];

/// The examples of a command.
pub(crate) fn of(command: &str) -> String {
    let found = EXAMPLES.iter().find(|(name, _)| *name == command);
    let lines = found.map_or_else(String::new, |(_, lines)| format!("\n  {}", lines.join("\n  ")));
    format!("Examples:{lines}")
}

/// The table of exit codes.
pub(crate) fn exit_codes() -> String {
    let mut text = "Exit codes:".to_owned();
    for (code, words) in EXIT_CODES {
        let _ = write!(text, "\n  {code}  {words}");
    }
    text
}
