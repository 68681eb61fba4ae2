//! Many blanks on a bar, and chains of holes on the reference outlines, through the program.

#[path = "../../crates/outline/tests/support/reference.rs"]
mod reference;

use bench_tests::Bench;
use knife::{ChainDrilling, Knife, Profile};
use kurbo::Point;
use outline::Outline;
use proptest::prelude::*;
use reckon::{Shop, reckon, tables::Tables};
use serde_json::{Value, json};
use std::fs;

#[test]
fn a_bar_is_laid_told_and_printed() {
    let bench = Bench::new();
    bench.done(&["new", "petty", "--out", "@a.blank.json"]);
    let typed = [
        "bar",
        "@a.blank.json",
        "--copies",
        "4",
        "--length",
        "48in",
        "--width",
        "2in",
        "--out",
        "@bar.pdf",
    ];
    let message = bench.done(&typed);
    assert!(message.contains("4 blanks on a bar 48.000 in (48) long"), "{message}");
    assert!(message.contains("the offcut is") && message.contains("not for tracing"), "{message}");
    let first = fs::read(bench.path("bar.pdf")).unwrap();
    assert!(first.starts_with(b"%PDF-"));
    assert_eq!(bench.done(&typed), message);
    assert!(first == fs::read(bench.path("bar.pdf")).unwrap(), "the same bytes twice");
    assert_eq!(bench.names(), ["a.blank.json", "bar.pdf"]);
}

#[test]
fn the_json_of_a_bar_is_documented_and_adds_up() {
    let bench = Bench::new();
    bench.done(&["new", "petty", "--out", "@a.blank.json"]);
    let json = bench.json(&["bar", "@a.blank.json", "--copies", "3", "--drill", "--json"]);
    let pages = bench_tests::manual_text();
    let mut keys: Vec<String> = Vec::new();
    let mut todo = vec![&json];
    while let Some(value) = todo.pop() {
        match value {
            Value::Object(map) => map.iter().for_each(|(key, value)| {
                keys.push(key.clone());
                todo.push(value);
            }),
            Value::Array(list) => todo.extend(list),
            _ => {}
        }
    }
    assert!(keys.len() > 30);
    for key in keys.iter().filter(|key| !["format", "version"].contains(&key.as_str())) {
        assert!(pages.contains(&format!("`{key}`")), "{key}");
    }
    let bar = &json["bars"][0];
    assert_eq!(json["count"], 3);
    let number = |key: &str| bar[key].as_f64().unwrap();
    assert!((number("length_mm") - number("taken_mm") - number("offcut_mm")).abs() < 1e-9);
    let holes = bar["blanks"][1]["chain_centres_mm"].as_array().unwrap();
    assert!(holes.len() > 40, "{}", holes.len());
    // As many as the bar takes: one more does not go on it.
    let fill = bench.json(&["bar", "@a.blank.json", "--fill", "--length", "1000 mm", "--json"]);
    assert_eq!(fill["bars"].as_array().unwrap().len(), 1);
    let count = fill["count"].as_u64().unwrap();
    let more = (count + 1).to_string();
    let two =
        bench.json(&["bar", "@a.blank.json", "--copies", &more, "--length", "1000 mm", "--json"]);
    assert_eq!(two["bars"].as_array().unwrap().len(), 2, "{count}");
}

#[test]
fn what_cannot_be_laid_is_said_in_one_sentence() {
    let bench = Bench::new();
    bench.done(&["new", "petty", "--out", "@a.blank.json"]);
    let mut thick: Value =
        serde_json::from_slice(&fs::read(bench.path("a.blank.json")).unwrap()).unwrap();
    thick["bar"]["thickness_mm"] = 6.0.into();
    fs::write(bench.path("thick.blank.json"), thick.to_string()).unwrap();
    let before = bench.names();
    let cases: &[(&[&str], &str)] = &[
        (&["bar", "@a.blank.json"], "--out"),
        (&["bar", "--out", "@b.pdf"], "name the blank file"),
        (&["bar", "@a.blank.json", "@thick.blank.json", "--out", "@b.pdf"], "of another thickness"),
        (&["bar", "@a.blank.json", "--width", "20 mm", "--out", "@b.pdf"], "use a wider"),
        (&["bar", "@a.blank.json", "--length", "5in", "--out", "@b.pdf"], "use a wider or longer"),
        (&["bar", "@a.blank.json", "--length", "five", "--out", "@b.pdf"], "--length"),
        (&["bar", "@a.blank.json", "--copies", "0", "--out", "@b.pdf"], "at least 1"),
        (&["bar", "@a.blank.json", "--copies", "-2", "--out", "@b.pdf"], "--help"),
        (&["bar", "@a.blank.json", "--copies", "100000", "--out", "@b.pdf"], "too many"),
        (
            &["bar", "@a.blank.json", "--kerf", "-1 mm", "--out", "@b.pdf"],
            "it must lie between 0 in and 1.9685 in",
        ),
        (&["bar", "@a.blank.json", "--fill", "--out", "@b.pdf"], "--length"),
        (&["bar", "@a.blank.json", "--out", "@a.blank.json"], "is the blank itself"),
        (&["bar", "@a.blank.json", "--paper", "napkin", "--out", "@b.pdf"], "napkin"),
        (&["bar", "@none.blank.json", "--out", "@b.pdf"], "none.blank.json"),
        (&["bar", "@a.blank.json", "--seconds", "nan", "--out", "@b.pdf"], "--seconds"),
    ];
    for (typed, says) in cases {
        let outcome = bench.run(typed);
        assert_eq!(outcome.code, 2, "{typed:?}: {}", outcome.err);
        assert!(outcome.out.is_empty() && outcome.err.contains(says), "{typed:?}: {}", outcome.err);
        assert_eq!(outcome.err.lines().count(), 1, "{}", outcome.err);
        assert_eq!(bench.names(), before, "{typed:?} leaves no file behind");
    }
}

/// The reference outlines that don't touch themselves.
fn references() -> Vec<(String, Outline)> {
    let file = reference::read("outlines.json");
    let mut found = Vec::new();
    for case in file["outlines"].as_array().unwrap() {
        let outline = reference::outline(&case["outline"]);
        if outline.contacts().is_empty() {
            found.push((case["id"].to_string(), outline));
        }
    }
    assert!(found.len() >= 12);
    found
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn reference_outlines_are_drilled_out_soundly(
        which in 0..12usize,
        drill_mm in 1.5..8.0f64,
        bridge_mm in 0.4..2.5f64,
        leave_mm in 0.0..2.0f64,
        room_mm in 1.0..15.0f64,
    ) {
        let (id, outline) = references().swap_remove(which);
        let mut knife = Knife::empty();
        let bounds = outline.bounds();
        knife.profile = Profile::from_outline(&outline);
        knife.bar.width_mm = bounds.height() + 2.0 * room_mm;
        knife.bar.length_mm = bounds.width() + 2.0 * room_mm;
        knife.bar.placement.at = Point::new(room_mm - bounds.x0, room_mm - bounds.y0);
        knife.cutting = Some(ChainDrilling { drill_mm, drill: None, bridge_mm, leave_mm });
        let chain = reckon(&knife, &Shop::default(), Tables::built_in()).chain.unwrap();
        let placed = outline.transformed(knife.bar.placement.bar_from_knife());
        for (i, at) in chain.holes.iter().enumerate() {
            let gap = placed.nearest(*at).distance_mm - drill_mm / 2.0;
            prop_assert!(!placed.contains(*at) && gap >= leave_mm - 1e-9, "{id}: {gap}");
            prop_assert!(gap <= leave_mm + 0.01, "{id}: {gap}");
            let rim = at.x.min(at.y)
                .min(knife.bar.length_mm - at.x).min(knife.bar.width_mm - at.y);
            prop_assert!(rim >= drill_mm / 2.0 - 1e-6, "{id}: off the bar");
            for other in &chain.holes[i + 1..] {
                prop_assert!(at.distance(*other) >= drill_mm + bridge_mm / 2.0 - 1e-6, "{id}");
            }
        }
    }
}

/// Blanks beyond what can be laid are refused before all of them are worked out.
#[test]
fn too_many_files_are_refused_before_they_are_read() {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    let typed = [vec!["bar", "--json"], vec!["@none.blank.json"; 501]].concat();
    let outcome = bench.run(&typed);
    assert!(outcome.code == 2 && outcome.err.contains("name at most 500"), "{}", outcome.err);
    let ring: Vec<Value> = (0..10_000)
        .map(|i| {
            let turn = std::f64::consts::TAU * f64::from(i) / 10_000.0;
            json!({ "id": i + 1, "at_mm": [120.0 - 120.0 * turn.cos(), -15.0 * turn.sin()] })
        })
        .collect();
    let mut file: Value =
        serde_json::from_slice(&fs::read(bench.path("a.blank.json")).unwrap()).unwrap();
    file["profile"] = json!({ "nodes": ring, "tip": 1, "heel": 2500 });
    fs::write(bench.path("ring.blank.json"), file.to_string()).unwrap();
    let outcome = bench.run(&[vec!["bar", "--json"], vec!["@ring.blank.json"; 12]].concat());
    assert!(outcome.code == 2 && outcome.err.contains("only the first 9"), "{}", outcome.err);
}
