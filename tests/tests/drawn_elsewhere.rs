//! Outlines drawn elsewhere, all the way through: taken, measured against independent
//! libraries, checked and printed. Nothing may panic or hang.

use bench_tests::{Bench, files, root};
use proptest::prelude::*;
use serde_json::Value;
use std::fmt::Write as _;
use std::fs;

/// A reference outline as an SVG of its own millimetres, y turned down.
fn svg(outline: &Value) -> String {
    let numbers = |list: &Value| -> Vec<f64> {
        list.as_array().unwrap().iter().map(|n| n.as_f64().unwrap()).collect()
    };
    let start = numbers(&outline["outline"]["start"]);
    let mut path = format!("M {} {}", start[0], -start[1]);
    for segment in outline["outline"]["segments"].as_array().unwrap() {
        let n = numbers(segment);
        let letter = if n.len() == 2 { "L" } else { "C" };
        let _ = write!(path, " {letter}");
        for pair in n.chunks(2) {
            let _ = write!(path, " {} {}", pair[0], -pair[1]);
        }
    }
    let mut circles = String::new();
    for hole in outline["holes"].as_array().into_iter().flatten() {
        let [x, y, r] = ["cx", "cy", "r"].map(|key| hole[key].as_f64().unwrap());
        let _ = writeln!(circles, "<circle cx=\"{x}\" cy=\"{}\" r=\"{r}\"/>", -y);
    }
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"400mm\" height=\"100mm\" \
         viewBox=\"-200 -50 400 100\"><path d=\"{path} Z\"/>{circles}</svg>"
    )
}

/// Values: medians of fontTools, OpenCASCADE, SciPy, Clipper and (for webs) GEOS.
#[test]
fn the_numbers_agree_with_independent_libraries() {
    let text = fs::read_to_string(root().join("tests/reference/outlines.json")).unwrap();
    let reference: Value = serde_json::from_str(&text).unwrap();
    let mut checked = 0;
    for outline in reference["outlines"].as_array().unwrap() {
        let bench = Bench::new();
        let name = outline["name"].as_str().unwrap();
        fs::write(bench.path("a.svg"), svg(outline)).unwrap();
        let new = bench.run(&["new", "--outline", "@a.svg", "--out", "@a.blank.json"]);
        let check = bench.run(&["check", "@a.blank.json"]);
        if outline["valid"] == false {
            assert_eq!((new.code, check.code), (1, 1), "{name}: {}", new.err);
            assert!(new.err.contains("itself at"), "{name}: {}", new.err);
            continue;
        }
        assert_eq!(new.code, 0, "{name}: {}", new.err);
        let numbers = bench.json(&["numbers", "@a.blank.json", "--json"]);
        let (profile, truth) = (&numbers["profile"], &outline["truth"]);
        let near = |message: &Value, true_value: &Value, slack: f64, what: &str| {
            let (message, true_value) = (message.as_f64().unwrap(), true_value.as_f64().unwrap());
            assert!(
                (message - true_value).abs() <= slack,
                "{name} {what}: {message} for {true_value}"
            );
        };
        let area = truth["area_mm2"].as_f64().unwrap();
        near(&profile["area_mm2"], &truth["area_mm2"], 1e-9 * area, "area");
        near(&profile["net_area_mm2"], &truth["area_net_of_holes_mm2"], 1e-9 * area, "net area");
        let perimeter = truth["perimeter_mm"].as_f64().unwrap();
        near(&profile["perimeter_mm"], &truth["perimeter_mm"], 1e-6 * perimeter, "perimeter");
        for axis in 0..2 {
            near(&profile["centroid_mm"][axis], &truth["centroid_mm"][axis], 1e-6, "centroid");
        }
        near(&profile["least_width_mm"], &truth["least_width_mm"], 1e-4, "least width");
        // The turn lays the direction of the least width across the bar.
        let normal = truth["least_width_normal_deg"].as_f64().unwrap();
        let turn = profile["least_width_turn_deg"].as_f64().unwrap();
        let off = (normal + turn - 90.0).rem_euclid(180.0);
        assert!(off.min(180.0 - off) < 0.02, "{name}: {normal} {turn}");
        let radius = &truth["tightest_inside_radius_mm"];
        if let Some(radius_mm) = radius.as_f64().filter(|r| *r > 0.0) {
            near(&profile["tightest_inside_radius_mm"], radius, 1e-3 * radius_mm, "radius");
        }
        for (hole, web) in numbers["holes"]
            .as_array()
            .unwrap()
            .iter()
            .zip(truth["hole_to_outline_mm"].as_array().unwrap())
        {
            near(&hole["edge_web_mm"], web, 1e-4, "web");
        }
        assert!(numbers["bar"]["fits"].as_bool().unwrap(), "{name} lies on its bar");
        bench.done(&["print", "@a.blank.json", "--out", "@a.pdf", "--paper", "a4"]);
        checked += 1;
    }
    assert_eq!(checked, 12);
}

/// Every drawing of the corpus, and the samples, through every command.
#[test]
fn whatever_is_drawn_ends_in_a_sheet_or_a_sentence() {
    let mut drawings = files(&root().join("tests/corpus/svg"));
    drawings.extend(files(&root().join("samples")));
    drawings.retain(|path| path.extension().is_some_and(|ending| ending == "svg"));
    assert!(drawings.len() > 50);
    let (mut taken, mut refused) = (0, 0);
    for path in drawings {
        match through(&Bench::new(), path.to_str().unwrap()) {
            2 => refused += 1,
            _ => taken += 1,
        }
    }
    assert!(taken > 30 && refused > 15, "{taken} {refused}");
}

/// Takes a drawing through all commands; its exit code.
fn through(bench: &Bench, drawing: &str) -> u8 {
    let new = bench.run(&["new", "--outline", drawing, "--out", "@a.blank.json"]);
    if new.code == 2 {
        let sentence = new.err.lines().last().unwrap();
        assert!(
            sentence.starts_with("blankwright: ") && sentence.len() > 40,
            "{drawing}: {}",
            new.err
        );
        assert!(!bench.path("a.blank.json").exists());
        return 2;
    }
    let check = bench.run(&["check", "@a.blank.json", "--json"]);
    assert!(check.code < 2, "{drawing}: {}", check.err);
    assert!(new.code == 0 || check.code == 1, "{drawing}: what new stops at, check stops at");
    bench.json(&["numbers", "@a.blank.json", "--json"]);
    let print = bench.run(&["print", "@a.blank.json", "--out", "@a.pdf"]);
    // A blank far larger than any paper is refused in a sentence; all else is printed.
    assert!(print.code == 0 || print.err.contains("pages"), "{drawing}: {}", print.err);
    new.code
}

/// A smooth closed outline of n nodes with a ripple, as cubics.
fn rippled(nodes: usize, at: (f64, f64), clockwise: bool, repeat: usize) -> String {
    let place = |i: usize| {
        let turn = std::f64::consts::TAU * i as f64 / nodes as f64;
        let turn = if clockwise { -turn } else { turn };
        let ripple = 1.0 + 0.02 * (turn * 9.0).sin();
        (at.0 + 95.0 * turn.cos() * ripple, at.1 + 14.0 * turn.sin() * ripple)
    };
    let mut path = String::new();
    for i in 0..nodes {
        for _ in 0..repeat {
            let (x, y) = place(i);
            let _ = write!(path, "{} {x} {y} ", if path.is_empty() { "M" } else { "L" });
        }
    }
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1000mm\" height=\"1000mm\" \
         viewBox=\"0 0 1000 1000\"><path d=\"{path}Z\"/><circle cx=\"{}\" cy=\"{}\" r=\"3\"/></svg>",
        at.0 + 30.0,
        at.1
    )
}

#[test]
fn hard_drawings_give_the_same_numbers_as_easy_ones() {
    let numbers = |drawing: String| {
        let bench = Bench::new();
        fs::write(bench.path("a.svg"), drawing).unwrap();
        assert_eq!(through(&bench, bench.path("a.svg").to_str().unwrap()), 0);
        bench.json(&["numbers", "@a.blank.json", "--json"])
    };
    let easy = numbers(rippled(10_000, (300.0, 300.0), false, 1));
    let area = easy["profile"]["area_mm2"].as_f64().unwrap();
    for (what, hard, slack) in [
        ("clockwise", rippled(10_000, (300.0, 300.0), true, 1), 1e-9),
        ("every node twice", rippled(10_000, (300.0, 300.0), false, 2), 1e-9),
        ("far away", rippled(10_000, (1e6, -1e6), false, 1), 1e-8),
    ] {
        let hard = numbers(hard);
        let message = hard["profile"]["area_mm2"].as_f64().unwrap();
        assert!((message - area).abs() < slack * area, "{what}: {message} {area}");
        let web = |numbers: &Value| numbers["holes"][0]["edge_web_mm"].as_f64().unwrap();
        assert!((web(&hard) - web(&easy)).abs() < 1e-4, "{what}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn any_scribble_ends_in_a_sheet_or_a_sentence(
        points in prop::collection::vec((-120.0..120.0f64, -30.0..30.0f64), 1..30),
        holes in prop::collection::vec((-150.0..150.0f64, -40.0..40.0f64, 0.0..20.0f64), 0..6),
        curves in any::<bool>(),
    ) {
        let mut path = String::new();
        for (i, (x, y)) in points.iter().enumerate() {
            let letter = match (i, curves) { (0, _) => "M", (_, true) => "T", _ => "L" };
            let _ = write!(path, "{letter}{x} {y} ");
        }
        let circles: String = holes.iter().map(|(x, y, r)| format!("<circle cx='{x}' cy='{y}' r='{r}'/>")).collect();
        let drawing = format!("<svg xmlns='http://www.w3.org/2000/svg' width='300mm' viewBox='-150 -50 300 100'><path d='{path}Z'/>{circles}</svg>");
        let bench = Bench::new();
        fs::write(bench.path("a.svg"), drawing).unwrap();
        through(&bench, bench.path("a.svg").to_str().unwrap());
    }
}
