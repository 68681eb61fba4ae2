//! Tidy: the house's rules that a machine can check, held against the tree itself.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::{env, fs};

/// Which crates of the house each crate may depend on. A new edge is a decision: change this
/// table and DEVELOPERS.md together.
const MAY_DEPEND_ON: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("outline", &[]),
    ("knife", &["units", "outline"]),
    ("reckon", &["units", "outline", "knife"]),
    ("marks", &[]),
    ("drawing", &["units", "outline", "knife", "reckon", "marks"]),
    ("paper", &["units", "marks"]),
    ("sheets", &["units", "knife", "reckon", "marks", "drawing", "paper", "mat"]),
    ("host", &[]),
    ("manual", &[]),
    ("mat", &[]),
    ("trace", &["units", "outline", "mat"]),
    ("exchange", &["units", "outline", "knife", "reckon", "host"]),
    (
        "desk",
        &[
            "units", "outline", "knife", "reckon", "marks", "drawing", "paper", "sheets", "host",
            "manual", "trace", "exchange",
        ],
    ),
    (
        "blankwright",
        &[
            "units", "outline", "knife", "reckon", "marks", "drawing", "paper", "sheets", "host",
            "manual", "trace", "exchange", "desk",
        ],
    ),
];

/// What the top level of the repository may hold, besides dotfiles and tool settings.
const TOP_LEVEL: &[&str] = &[
    "Cargo.toml",
    "Cargo.lock",
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "clippy.toml",
    "deny.toml",
    "rustfmt.toml",
    "crates",
    "assets",
    "tests",
    "samples",
    "target",
];

/// Longest a source file may grow before it needs a seam, lines.
const LONGEST: usize = 700;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn sources() -> Vec<PathBuf> {
    fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
        let mut entries: Vec<_> =
            fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
        entries.sort();
        for path in entries {
            if path.is_dir() && !path.ends_with("target") {
                walk(&path, found);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                found.push(path);
            }
        }
    }
    let mut found = Vec::new();
    for folder in ["crates", "tests"] {
        walk(&root().join(folder), &mut found);
    }
    assert!(found.len() > 60, "the walk finds the sources");
    found
}

#[test]
fn crates_depend_only_downwards() {
    let metadata = cargo_metadata::MetadataCommand::new()
        .manifest_path(root().join("Cargo.toml"))
        .no_deps()
        .other_options(vec!["--offline".to_owned()])
        .exec()
        .unwrap();
    let allowed: BTreeMap<&str, &[&str]> = MAY_DEPEND_ON.iter().copied().collect();
    let house: BTreeSet<&str> = allowed.keys().copied().collect();
    let mut seen = 0;
    for package in &metadata.packages {
        let Some(allowed) = allowed.get(package.name.as_str()) else { continue };
        seen += 1;
        for dependency in &package.dependencies {
            let (name, normal) = (
                dependency.name.as_str(),
                dependency.kind == cargo_metadata::DependencyKind::Normal,
            );
            assert!(
                !normal || !house.contains(name) || allowed.contains(&name),
                "{} may not depend on {name}",
                package.name
            );
            // The editor knows no window, the paper no knife's file format.
            let no_window = ["eframe", "rfd"].contains(&name) && package.name != "blankwright";
            assert!(!no_window, "only the program may open windows, not {}", package.name);
        }
    }
    assert_eq!(seen, MAY_DEPEND_ON.len());
}

/// Printing builds no window: what the program needs without its feature `window`.
#[test]
fn the_command_line_alone_builds_no_window() {
    let tree = |more: &[&str]| {
        let cargo = env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let mut command = std::process::Command::new(cargo);
        command.args(["tree", "--offline", "--package", "blankwright", "--edges", "normal"]);
        command.args(["--prefix", "none"]).args(more).current_dir(root());
        let message = command.output().unwrap();
        assert!(message.status.success(), "{}", String::from_utf8_lossy(&message.stderr));
        let text = String::from_utf8(message.stdout).unwrap();
        let name = |line: &str| line.split_whitespace().next().unwrap_or_default().to_owned();
        text.lines().map(name).collect::<BTreeSet<String>>()
    };
    let (whole, alone) = (tree(&[]), tree(&["--no-default-features"]));
    for name in ["desk", "egui", "eframe", "winit", "accesskit", "rfd"] {
        assert!(whole.contains(name), "the whole program has {name}");
        assert!(!alone.contains(name), "the command line alone has {name}");
    }
    assert!(!alone.contains("zbus") && alone.contains("paper"));
    // The first command of a newcomer waits for no library of pictures and meshes either.
    for name in ["trace", "exchange", "image", "nalgebra", "dxf", "spade"] {
        assert!(whole.contains(name) && !alone.contains(name), "the command line alone has {name}");
    }
}

#[test]
fn every_source_says_what_it_is_and_keeps_one_subject() {
    for path in sources() {
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.starts_with("//! "), "{} should start with a //! line", path.display());
        let lines = text.lines().count();
        assert!(lines <= LONGEST, "{} has {lines} lines: find its seam", path.display());
    }
}

#[test]
fn only_the_program_touches_files_clock_and_environment() {
    let words = ["std::fs", "std::env::", "SystemTime", "Instant::now", "std::net", "std::process"];
    for path in sources() {
        let place = path.strip_prefix(root()).unwrap().to_string_lossy().into_owned();
        let is_test = place.contains("/tests/")
            || place.contains("/benches/")
            || place.contains("/examples/")
            || place.starts_with("tests");
        if is_test || place.starts_with("crates/blankwright") {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        let code = text.split("#[cfg(test)]").next().unwrap();
        for word in words {
            assert!(!code.contains(word), "{place} may not use {word}");
        }
    }
}

#[test]
fn the_file_format_stays_in_its_own_folder() {
    for path in sources() {
        let place = path.to_string_lossy().into_owned();
        if place.contains("crates/knife/src") && !place.contains("knife/src/file") {
            let text = fs::read_to_string(&path).unwrap();
            assert!(!text.contains("serde"), "{place}: the model is not serialised itself");
        }
    }
}

#[test]
fn the_top_level_holds_nothing_else() {
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        assert!(
            name.starts_with('.') || TOP_LEVEL.contains(&name.as_str()),
            "{name} at the top level"
        );
    }
}

#[test]
fn every_table_row_names_its_source() {
    let mut tables = 0;
    for entry in fs::read_dir(root().join("assets")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "csv") {
            continue;
        }
        tables += 1;
        let mut reader = csv::Reader::from_path(&path).unwrap();
        let column = reader.headers().unwrap().iter().position(|name| name == "source");
        let column = column.unwrap_or_else(|| panic!("{} has no source column", path.display()));
        for row in reader.records() {
            let row = row.unwrap();
            assert!(!row[column].trim().is_empty(), "{}: {row:?}", path.display());
        }
    }
    assert!(tables >= 4, "drills, papers, steels, pin stock");
}

/// DEVELOPERS.md can be scanned: no paragraph, point or row is long.
#[test]
fn developers_find_no_long_paragraph() {
    const MAX_WORDS: usize = 80;
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let mut paragraph = 0;
    let mut in_code = false;
    for line in text.lines() {
        in_code ^= line.starts_with("```");
        let is_item = line.starts_with(['|', '-', '#', '`']) || line.starts_with(char::is_numeric);
        let begins = in_code || line.is_empty() || is_item;
        let words = line.split_whitespace().count();
        paragraph = if begins { words } else { paragraph + words };
        assert!(paragraph <= MAX_WORDS, "DEVELOPERS.md: {paragraph} words up to: {line}");
    }
}

#[test]
fn paths_named_for_developers_exist() {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let mut named = 0;
    for word in text.split('`').skip(1).step_by(2) {
        let is_path = ["crates/", "assets/", "tests/", "samples/", ".ci/"]
            .iter()
            .any(|p| word.starts_with(p));
        if is_path && !word.contains(['*', '<', '{', ' ']) {
            named += 1;
            assert!(root().join(word).exists(), "DEVELOPERS.md names {word}, which is not there");
        }
    }
    assert!(named > 15);
}
