//! Sheaths and jigs from the command line: printed, told, checked, listed.

use bench_tests::{Bench, root};
use serde_json::Value;
use std::fs;

fn sample() -> String {
    root().join("samples/woodland-camp-knife.blank.json").to_str().unwrap().to_owned()
}

#[test]
fn a_sheath_is_printed_told_and_listed() {
    let bench = Bench::new();
    let file = sample();
    let text = bench.done(&["numbers", &file]);
    for name in ["Sheath", "Bend allowance", "Stitches to the inch", "Jigs", "Centring block"] {
        assert!(text.contains(name), "{name}");
    }
    let numbers = bench.json(&["numbers", &file, "--json"]);
    let sheath = &numbers["sheath"];
    assert_eq!(sheath["kind"], "folded leather");
    let steps = sheath["steps"].as_u64().unwrap();
    assert_eq!(sheath["holes"].as_array().unwrap().len() as u64, steps + 1);
    // Both halves carry the row; the drain is on both too.
    let flat = sheath["pattern"]["holes"].as_array().unwrap().len() as u64;
    assert_eq!(flat, 2 * (steps + 2));
    let parts: Vec<String> = bench.json(&["materials", &file, "--json"])["materials"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| line["part"].as_str().unwrap().to_owned())
        .collect();
    for part in ["sheath", "welt", "belt loop", "thread"] {
        assert!(parts.iter().any(|found| found == part), "{parts:?}");
    }
    let build = bench.done(&["build", &file]);
    assert!(build.contains("Saddle-stitch") && build.contains("Vegetable-tanned"), "{build}");
    let out = bench.path("sheath.pdf");
    let out = out.to_str().unwrap();
    bench.done(&["print", &file, "--out", out, "--sheets", "sheath,jigs"]);
    assert!(fs::read(out).unwrap().starts_with(b"%PDF"));
}

#[test]
fn a_sheath_that_cannot_be_is_refused_or_found() {
    let bench = Bench::new();
    let mut knife: Value = serde_json::from_slice(&fs::read(sample()).unwrap()).unwrap();
    let file = bench.path("own.blank.json");
    let name = file.to_str().unwrap();
    knife["sheath"]["stitch_margin_mm"] = 11.0.into();
    fs::write(&file, knife.to_string()).unwrap();
    let found = bench.json(&["check", name, "--json"]);
    let rules: Vec<&str> =
        found["findings"].as_array().unwrap().iter().filter_map(|f| f["rule"].as_str()).collect();
    assert!(rules.contains(&"sheath-edge-near"), "{rules:?}");
    knife["sheath"]["stitch_margin_mm"] = 30.0.into();
    fs::write(&file, knife.to_string()).unwrap();
    let refused = bench.run(&["check", name]).err;
    assert!(refused.contains("sheath.stitch_margin_mm is 30"), "{refused}");
}
