//! The list of materials as a maker and a spreadsheet meet it.

use bench_tests::{Bench, blanks};
use std::fs;

/// A starter with a handle of many materials.
fn handled(bench: &Bench) {
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    let text = fs::read_to_string(bench.path("a.blank.json")).unwrap();
    let mut file: serde_json::Value = serde_json::from_str(&text).unwrap();
    file["handle"] = serde_json::json!({
        "scales": "maple, \"curly\"",
        "right_scale": "black walnut",
        "pins": "brass C26000",
        "liners": { "thickness_mm": 0.8, "material": "glass-epoxy G-10" },
        "front_bolster": { "length_mm": 12, "material": "nickel silver C75200" },
    });
    fs::write(bench.path("b.blank.json"), file.to_string()).unwrap();
}

/// RFC 4180, read by hand: quotes around what holds a comma or a quote, quotes doubled.
#[test]
fn the_csv_is_quoted_and_tells_every_part() {
    let bench = Bench::new();
    handled(&bench);
    let csv = bench.done(&["materials", "@b.blank.json", "--csv"]);
    let head = csv.lines().next().unwrap();
    assert_eq!(head.split(',').count(), 11);
    assert!(csv.contains("\nleft scale,\"maple, \"\"curly\"\"\",1,"), "{csv}");
    for part in ["bar,", "right scale,black walnut,1,", "liners,", "front bolsters,", "glue,"] {
        assert!(csv.contains(&format!("\n{part}")), "{part}: {csv}");
    }
    // Every column stands in the manual.
    let pages = bench_tests::manual_text();
    for column in head.split(',') {
        assert!(pages.contains(&format!("`{column}`")), "{column}");
    }
}

/// The same figures as `numbers` tells, by both ways out of the program.
#[test]
fn rods_and_glue_are_those_of_the_numbers() {
    let bench = Bench::new();
    handled(&bench);
    let fit = bench.json(&["numbers", "@b.blank.json", "--json"])["fit"].clone();
    let csv = bench.done(&["materials", "@b.blank.json", "--csv"]);
    let rods = fit["rods"].as_array().unwrap();
    assert!(!rods.is_empty());
    for rod in rods {
        let total = format!("{:.3}", rod["total_mm"].as_f64().unwrap());
        let row = csv.lines().find(|line| line.starts_with("rod for pins,"));
        assert!(row.is_some_and(|row| row.contains(&format!(",{total},"))), "{total}: {csv}");
    }
    let mixed = format!(",{:.3},", fit["glue"]["mixed_ml"].as_f64().unwrap());
    assert!(csv.lines().any(|line| line.starts_with("glue,") && line.contains(&mixed)), "{csv}");
    let text = bench.done(&["materials", "@b.blank.json"]);
    assert!(text.contains("rod for pins") && text.contains("mix "), "{text}");
}

#[test]
fn every_shipped_blank_has_its_list() {
    let bench = Bench::new();
    for path in blanks() {
        let path = path.to_str().unwrap();
        let text = bench.done(&["materials", path]);
        let rows = bench.done(&["materials", path, "--csv"]).lines().count();
        assert!(text.lines().count() >= rows && rows >= 2, "{path}: {text}");
    }
    assert_eq!(bench.run(&["materials", "@none.blank.json"]).code, 2);
}
