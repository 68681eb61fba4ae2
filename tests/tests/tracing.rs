//! From picture to blank: the real program on pictures that OpenCV made, and on bad ones.

use bench_tests::{Bench, root};
use std::fs;

fn photo(name: &str) -> String {
    root().join("tests/reference/photos").join(name).to_string_lossy().into_owned()
}

#[test]
fn a_photo_on_the_mat_becomes_a_blank_that_can_be_printed() {
    let bench = Bench::new();
    let picture = photo("drop_point_on_mat.jpg");
    let told = bench.run(&["new", "--picture", &picture, "--out", "@a.blank.json"]);
    assert_eq!(told.code, 0, "{}", told.err);
    for said in ["tracing mat of 13 × 5 targets", "nodes", "4 holes", "traced ±", "guessed"] {
        assert!(told.out.contains(said), "{said}: {}", told.out);
    }
    bench.done(&["print", "@a.blank.json", "--sheets", "profile", "--out", "@a.pdf"]);
    let svg = bench.run(&["draw", "@a.blank.json", "--out", "@a.svg", "--sheet", "profile"]);
    assert_eq!(svg.code, 0, "{}", svg.err);
    let kept = fs::read_to_string(bench.path("a.blank.json")).unwrap();
    assert!(kept.contains("\"traced_mm\""));
    let knife = knife::file::open(kept.as_bytes()).unwrap().knife;
    let notes = drawing_notes(&knife);
    assert!(notes.iter().any(|note| note.starts_with("Traced from a picture, ±")), "{notes:?}");
    let cleared = knife::Edit::SetTraced(None).apply(&knife).unwrap();
    assert!(drawing_notes(&cleared).iter().all(|note| !note.contains("Traced")));
}

fn drawing_notes(knife: &knife::Knife) -> Vec<String> {
    let shop = reckon::Shop::default();
    let reckoning = reckon::reckon(knife, &shop, reckon::tables::Tables::built_in());
    drawing::views::profile_notes(knife, &reckoning)
}

#[test]
fn every_way_of_squaring_up_can_be_typed() {
    let bench = Bench::new();
    let (scan, sheet) = (photo("sheepsfoot_scan.jpg"), photo("bird_and_trout_on_letter.jpg"));
    let drawn = photo("finger_notch_drawn.jpg");
    let cases: [(&str, &[&str], &str); 6] = [
        (&scan, &[], "scan density, 300"),
        (&scan, &["--dpi", "300", "--tolerance", "0.3mm"], "scan density, 300"),
        (&scan, &["--between", "20,100,2382.2,100=200mm"], "two points"),
        (&sheet, &[], "guessed to be letter"),
        (&sheet, &["--rectangle", "letter"], "sheet of paper"),
        (&drawn, &["--line", "outer", "--gap", "1mm"], "scan density, 200"),
    ];
    for (picture, options, said) in cases {
        let words = ["new", "--picture", picture, "--out", "@a.blank.json"];
        let typed: Vec<&str> = words.iter().chain(options).copied().collect();
        let told = bench.run(&typed);
        assert_eq!(told.code, 0, "{typed:?}: {}", told.err);
        assert!(told.out.contains(said), "{typed:?}: {}", told.out);
    }
}

#[test]
fn what_can_not_be_traced_is_told_in_one_sentence() {
    let bench = Bench::new();
    fs::write(bench.path("text.jpg"), "a text file named .jpg").unwrap();
    let whole = fs::read(photo("drop_point_on_mat.jpg")).unwrap();
    fs::write(bench.path("cut.jpg"), &whole[..whole.len() / 2]).unwrap();
    let scan = photo("sheepsfoot_scan.jpg");
    let mat = photo("drop_point_on_mat.jpg");
    let cases: [(&[&str], &str); 12] = [
        (&["@text.jpg"], "not a PNG, JPEG"),
        (&["@cut.jpg"], "damaged or incomplete"),
        (&["@none.jpg"], "none.jpg"),
        (&[&scan, "--mat"], "no tracing mat"),
        (&[&scan, "--rectangle", "letter"], "no whole sheet"),
        (&[&scan, "--rectangle", "postcard"], "--rectangle"),
        (&[&scan, "--dpi", "-5"], "scan density"),
        (&[&scan, "--between", "1,2,3=4mm"], "--between"),
        (&[&scan, "--line", "middle"], "centre, outer, inner"),
        (&[&scan, "--tolerance", "0"], "tolerance"),
        (&[&scan, "--thickness", "-1mm"], "thickness"),
        (&[&mat, "--rectangle", "a4", "--corners", "1,1,2,1,2,2,1,2"], "four corners"),
    ];
    for (words, says) in cases {
        let typed: Vec<&str> = ["new", "--picture"]
            .iter()
            .chain(words)
            .chain(&["--out", "@a.blank.json"])
            .copied()
            .collect();
        let outcome = bench.run(&typed);
        assert_eq!((outcome.code, outcome.out.as_str()), (2, ""), "{typed:?}");
        assert!(outcome.err.contains(says), "{typed:?}: {}", outcome.err);
        assert_eq!(outcome.err.lines().count(), 1, "{}", outcome.err);
        assert!(!bench.path("a.blank.json").exists());
    }
}

#[test]
fn the_mat_is_printed_without_a_knife_and_beside_one() {
    let bench = Bench::new();
    let told = bench.done(&["print", "--sheets", "mat", "--paper", "a3", "--out", "@mat.pdf"]);
    assert!(told.contains("Wrote 1 page") && told.contains("actual size"), "{told}");
    let first = fs::read(bench.path("mat.pdf")).unwrap();
    bench.done(&["print", "--sheets", "mat", "--paper", "a3", "--out", "@again.pdf"]);
    assert!(first == fs::read(bench.path("again.pdf")).unwrap(), "the same bytes twice");
    bench.done(&["new", "petty", "--out", "@a.blank.json"]);
    let words = ["print", "@a.blank.json", "--sheets", "profile,mat", "--out", "@a.pdf"];
    assert!(bench.done(&words).contains("Wrote 2 pages"));
    let none = bench.run(&["print", "--out", "@b.pdf"]);
    assert_eq!(none.code, 2);
    assert!(none.err.contains("name the blank file"), "{}", none.err);
}

#[test]
fn the_sample_pictures_trace() {
    let bench = Bench::new();
    for (name, holes) in [("pencil-sketch.jpg", 7), ("cut-out-on-mat.jpg", 7)] {
        let picture = root().join("samples").join(name);
        let words = ["new", "--picture", picture.to_str().unwrap(), "--out", "@a.blank.json"];
        let told = bench.done(&words);
        let knife =
            knife::file::open(&fs::read(bench.path("a.blank.json")).unwrap()).unwrap().knife;
        assert!(knife.holes.len() >= holes, "{name}: {told}");
        assert!((8..=40).contains(&knife.profile.nodes.len()), "{name}: {told}");
    }
}
