//! The fuzz targets in every run of the tests: on all that fuzzing has found, on the small files of
//! the corpus and the samples, and on those spoilt by rule. What fuzzing finds lies in
//! `tests/fuzz/corpus` once it is mended. `BLANKWRIGHT_SPOILT=5000` spoils so many for each target.

use std::fs;
use std::path::{Path, PathBuf};

#[path = "../fuzz/src/commands.rs"]
mod commands;
#[path = "../fuzz/src/desk_paths.rs"]
mod desk_paths;
#[path = "../fuzz/src/knives.rs"]
mod knives;
#[path = "../fuzz/src/pictures.rs"]
mod pictures;
#[path = "../fuzz/src/lib.rs"]
mod targets;

use targets::bytes;

/// Every target there is.
fn all_targets() -> impl Iterator<Item = targets::Target> {
    let apart: [targets::Target; 5] = [
        ("trim_any_readings", commands::trim_any_readings),
        ("edit_any_sequence", knives::edit_any_sequence),
        ("print_any_knife", knives::print_any_knife),
        ("picture_any_bytes", pictures::picture_any_bytes),
        ("desk_any_recovery", desk_paths::desk_any_recovery),
    ];
    targets::TARGETS.into_iter().chain(apart)
}

/// How often each seed is spoilt, and how many inputs a target gets at most.
const SPOILT: usize = 4;
const AT_MOST: usize = 240;
/// Targets that work out and print whole knives get fewer.
const AT_MOST_SLOW: usize = 40;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// The files of a folder in the order of their names; none where it isn't there.
fn files(folder: &str) -> Vec<Vec<u8>> {
    let entries = fs::read_dir(root().join(folder)).into_iter().flatten().flatten();
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
    paths.sort();
    paths.into_iter().filter(|path| path.is_file()).map(|path| fs::read(path).unwrap()).collect()
}

fn seeds(target: &str) -> Vec<Vec<u8>> {
    let more: &[&str] = match target {
        "open_any_bytes" | "desk_any_recovery" => &["assets/starters"],
        "svg_any_bytes" => &["tests/corpus/svg"],
        _ => &[],
    };
    more.iter().flat_map(|folder| files(folder)).collect()
}

/// Numbers of no pattern, the same in every run (Marsaglia's xorshift, Journal of Statistical
/// Software 8, 2003, from memory).
struct Chance(u64);

impl Chance {
    fn below(&mut self, count: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % count.max(1) as u64).unwrap()
    }

    /// The bytes with some of them replaced, taken out, doubled or put elsewhere.
    fn spoilt(&mut self, bytes: &[u8]) -> Vec<u8> {
        let mut bytes = bytes.to_vec();
        for _ in 0..1 + self.below(5) {
            let at = self.below(bytes.len());
            let long = 1 + self.below(12.min(bytes.len() - at.min(bytes.len())).max(1));
            let part: Vec<u8> = bytes.iter().copied().skip(at).take(long).collect();
            match self.below(5) {
                0 => bytes.truncate(at),
                1 => drop(bytes.drain(at..(at + long).min(bytes.len()))),
                2 => drop(bytes.splice(at..at, part)),
                3 => {
                    let words: [&[u8]; 8] =
                        [b"0", b"-1", b"1e308", b"null", b"[]", b"\"", b"1e-9", b"\xff"];
                    drop(bytes.splice(at..at, words[self.below(8)].iter().copied()));
                }
                _ => {
                    if let Some(byte) = bytes.get_mut(at) {
                        *byte = u8::try_from(self.below(256)).unwrap();
                    }
                }
            }
        }
        bytes
    }
}

/// Keeps an input beside the test's other files if it made the target panic.
struct OnPanic<'a> {
    name: &'a str,
    bytes: &'a [u8],
}

impl Drop for OnPanic<'_> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{}.broken", self.name));
            fs::write(&path, self.bytes).unwrap();
            println!("the input lies in {}", path.display());
        }
    }
}

fn replay(name: &str) {
    let (_, target) = all_targets().find(|(known, _)| *known == name).unwrap();
    let kept = files(&format!("tests/fuzz/corpus/{name}"));
    kept.iter().for_each(|bytes| target(bytes));
    let slow = ["edit_any_sequence", "print_any_knife"].contains(&name);
    let at_most = if slow { AT_MOST_SLOW } else { AT_MOST };
    let mut chance = Chance(0x9e37_79b9_7f4a_7c15);
    let mut seeds = [kept, seeds(name)].concat();
    if seeds.len() < 8 {
        // Any bytes are a knife or a picture's beginning to somebody.
        seeds.extend((0..8).map(|_| (0..200).map(|_| chance.below(256) as u8).collect()));
    }
    let wished = std::env::var("BLANKWRIGHT_SPOILT").ok().and_then(|count| count.parse().ok());
    let count: usize = wished.unwrap_or_else(|| at_most.min(SPOILT * seeds.len()));
    for i in 0..count {
        let mut spoilt = chance.spoilt(&seeds[i % seeds.len()]);
        while chance.below(3) == 0 {
            spoilt = chance.spoilt(&spoilt);
        }
        // What breaks a law stays to be looked at, and to be put into the corpus.
        let _broken = OnPanic { name, bytes: &spoilt };
        target(&spoilt);
    }
}

macro_rules! replays {
    ($($name:ident)*) => {
        $(#[test]
        fn $name() {
            replay(stringify!($name));
        })*

        /// A target that is added is replayed too, and has its file.
        #[test]
        fn every_target_is_replayed_and_built() {
            let known = [$(stringify!($name)),*];
            for (name, _) in all_targets() {
                assert!(known.contains(&name), "{name}");
                assert!(root().join(format!("tests/fuzz/fuzz_targets/{name}.rs")).exists(), "{name}");
                let manifest = fs::read_to_string(root().join("tests/fuzz/Cargo.toml")).unwrap();
                assert!(manifest.contains(&format!("name = \"{name}\"")), "{name}");
            }
        }
    };
}

replays! {
    open_any_bytes shop_any_bytes svg_any_bytes dxf_any_bytes picture_any_bytes value_any_text
    trim_any_readings edit_any_sequence print_any_knife desk_any_recovery
}
