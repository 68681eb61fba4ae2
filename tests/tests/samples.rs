//! The samples: complete knives, each as the program itself writes it, with its line and its
//! picture in the manual.

use bench_tests::{Bench, root};
use knife::file;
use serde_json::Value;
use std::fs;
use std::path::PathBuf;

/// Every sample that is a blank.
fn samples() -> Vec<PathBuf> {
    let all = bench_tests::files(&root().join("samples"));
    let found: Vec<PathBuf> =
        all.into_iter().filter(|path| path.to_string_lossy().ends_with(file::EXTENSION)).collect();
    assert!(found.len() >= 6);
    found
}

/// What is to be bought and done is all chosen, so that `build` needs no word of its reader.
#[test]
fn every_sample_is_complete() {
    let bench = Bench::new();
    for path in samples() {
        let name = path.to_str().unwrap();
        let numbers = bench.json(&["numbers", name, "--json"]);
        for part in ["bevel", "scales", "fit", "whole", "sharpening"] {
            assert!(numbers[part].is_object(), "{name}: no {part}");
        }
        let file: Value = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
        let treatment = file["treatment"].as_object().unwrap();
        assert!(treatment.contains_key("finish") && treatment.contains_key("heating"), "{name}");
        for command in ["build", "materials"] {
            let text = bench.done(&[command, name]);
            assert!(!text.contains("not chosen") && !text.contains("not stated"), "{name}: {text}");
        }
        for material in bench.json(&["materials", name, "--json"])["materials"].as_array().unwrap()
        {
            assert!(material["material"].is_string(), "{name}: {material}");
            // What is bought by the piece, by area or by length has no mass here.
            let by_piece = ["screws", "sheath", "welt", "belt loop", "thread", "eyelets"];
            let by_piece = by_piece.iter().any(|part| material["part"] == *part);
            assert!(material["mass_g"].is_number() || by_piece, "{name}: {material}");
        }
    }
}

#[test]
fn every_sample_is_as_the_program_writes_it() {
    for path in samples() {
        let bytes = fs::read(&path).unwrap();
        let opened = file::open(&bytes).unwrap();
        assert!(opened.faults.is_empty());
        let written = String::from_utf8(file::save(&opened.knife)).unwrap();
        assert!(written == String::from_utf8(bytes).unwrap(), "{}", path.display());
    }
}

/// Its notes begin with what it is for, in one sentence; the manual tells the same.
#[test]
fn the_manual_shows_every_sample() {
    let page = manual::page("samples").unwrap().text;
    for path in samples() {
        let knife = file::open(&fs::read(&path).unwrap()).unwrap().knife;
        let purpose = knife.notes.split_inclusive('.').next().unwrap();
        assert!((20..110).contains(&purpose.len()), "{purpose}");
        let name = path.file_name().unwrap().to_string_lossy();
        assert!(page.contains(&format!("`{name}`")), "{name}");
        assert!(page.contains(purpose), "{name}: {purpose}");
        let stem = name.strip_suffix(file::EXTENSION).unwrap();
        assert!(page.contains(&format!("({stem}.png)")), "{name} has no picture");
    }
    for path in bench_tests::files(&root().join("samples")) {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        assert!(page.contains(&format!("`{name}`")), "{name} is not told");
    }
}
