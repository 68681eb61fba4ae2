//! `export`, `draw --view`, `bar` and `new --outline` with DXF, through the real program.

use bench_tests::{Bench, root};
use std::fs;
use std::path::Path;

fn bench() -> Bench {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    bench
}

#[test]
fn every_format_is_written_and_the_same_twice() {
    let bench = bench();
    for (name, starts) in [
        ("a.3mf", &b"PK"[..]),
        ("a.stl", &[0; 80]),
        ("a.dxf", b"999"),
        ("a.svg", b"<"),
        ("a.STL", &[0; 80]),
    ] {
        let out = format!("@{name}");
        let told = bench.done(&["export", "@a.blank.json", "--out", &out]);
        assert!(told.contains(name), "{told}");
        let first = fs::read(bench.path(name)).unwrap();
        assert!(first.starts_with(starts), "{name}");
        bench.done(&["export", "@a.blank.json", "--out", &out]);
        assert!(first == fs::read(bench.path(name)).unwrap(), "{name}: the same bytes twice");
    }
}

#[test]
fn a_printed_blade_is_said_to_be_no_tool() {
    let bench = bench();
    for more in [&[][..], &["--mock-up", "one-piece"], &["--mock-up", "halves"]] {
        let typed = [&["export", "@a.blank.json", "--out", "@m.3mf"][..], more].concat();
        assert!(bench.done(&typed).contains("for the hand, not for cutting"));
    }
}

#[test]
fn parts_go_into_files_of_their_own() {
    let bench = bench();
    bench.done(&["export", "@a.blank.json", "--out", "@k.stl", "--each"]);
    let names = bench.names();
    for part in ["k-blade.stl", "k-left-scale.stl", "k-right-scale.stl"] {
        assert!(names.iter().any(|name| name == part), "{names:?}");
    }
    assert!(!names.iter().any(|name| name == "k.stl"));
}

#[test]
fn what_means_nothing_is_refused() {
    let bench = bench();
    for (typed, says) in [
        (&["export", "@a.blank.json", "--out", "@a.pdf"][..], "should end in .3mf"),
        (&["export", "@a.blank.json", "--out", "@a.blank.json"], "should end in .3mf"),
        (
            &["export", "@a.blank.json", "--out", "@a.dxf", "--mock-up", "halves"],
            "--mock-up is for",
        ),
        (&["export", "@a.blank.json", "--out", "@a.3mf", "--units", "in"], "--units is for a .dxf"),
        (&["export", "@a.blank.json", "--out", "@a.3mf", "--each"], "--each is for an .stl"),
        (
            &["export", "@a.blank.json", "--out", "@a.stl", "--tolerance", "2mm"],
            "between 0.005 and 1",
        ),
        (&["export", "@a.blank.json", "--out", "@a.stl", "--tolerance", "few"], "--tolerance"),
        (&["export", "@a.blank.json", "--out", "@a.dxf", "--units", "cm"], "can't be used for"),
        (&["draw", "@a.blank.json", "--out", "@a.svg", "--view", "tip"], "should end in .png"),
        (&["draw", "@a.blank.json", "--out", "@a.png", "--view", "tip", "--dpi", "0"], "--dpi"),
        (
            &["draw", "@a.blank.json", "--out", "@a.png", "--view", "tip", "--dpi", "90000"],
            "lower --dpi",
        ),
    ] {
        let outcome = bench.run(typed);
        assert_eq!(outcome.code, 2, "{typed:?}");
        assert!(outcome.err.contains(says) && outcome.err.lines().count() == 1, "{}", outcome.err);
    }
    assert_eq!(bench.names(), ["a.blank.json"]);
}

#[test]
fn a_blank_goes_out_and_comes_back() {
    let bench = bench();
    bench.done(&["export", "@a.blank.json", "--out", "@a.dxf", "--units", "mm"]);
    bench.done(&["new", "--outline", "@a.dxf", "--out", "@b.blank.json"]);
    let numbers = |file: &str| bench.json(&["numbers", file, "--json"]);
    let (a, b) = (numbers("@a.blank.json"), numbers("@b.blank.json"));
    let area = |of: &serde_json::Value| of["profile"]["area_mm2"].as_f64().unwrap();
    assert!((area(&a) / area(&b) - 1.0).abs() < 1e-4);
    assert_eq!(a["holes"].as_array().unwrap().len(), b["holes"].as_array().unwrap().len());
    let later = bench.done(&["export", "@a.blank.json", "--out", "@c.dxf", "--holes", "none"]);
    assert!(later.contains("left to be drilled"), "{later}");
    assert!(!fs::read_to_string(bench.path("c.dxf")).unwrap().contains("CIRCLE"));
}

/// The drawing for looking at has more lines than the one to cut, some of them around it.
#[test]
fn the_programs_own_drawings_come_back_as_their_cut_line() {
    let bench = bench();
    bench.done(&["draw", "@a.blank.json", "--out", "@look.svg"]);
    bench.done(&["draw", "@a.blank.json", "--bare", "--out", "@bare.svg"]);
    let outlines = ["look", "bare"].map(|name| {
        let (svg, blank) = (format!("@{name}.svg"), format!("@{name}.blank.json"));
        let outcome = bench.run(&["new", "--outline", &svg, "--out", &blank]);
        let is_said = outcome.err.contains("layers beside cut line and holes were left out");
        assert_eq!((outcome.code, is_said), (0, name == "look"), "{}", outcome.err);
        let figures = bench.json(&["numbers", &blank, "--json"]);
        let holes = figures["holes"].as_array().unwrap().len();
        (figures["profile"]["area_mm2"].as_f64().unwrap(), holes)
    });
    let own = bench.json(&["numbers", "@a.blank.json", "--json"]);
    let area = own["profile"]["area_mm2"].as_f64().unwrap();
    for (taken, holes) in outlines {
        assert!((taken / area - 1.0).abs() < 1e-6, "{taken} {area}");
        assert_eq!(holes, own["holes"].as_array().unwrap().len());
    }
}

#[test]
fn a_dxf_without_units_wants_them_said() {
    let bench = bench();
    bench.done(&["export", "@a.blank.json", "--out", "@a.dxf", "--units", "mm"]);
    let text = fs::read_to_string(bench.path("a.dxf")).unwrap().replace("$INSUNITS", "$NOUNITS");
    fs::write(bench.path("none.dxf"), text).unwrap();
    let outcome = bench.run(&["new", "--outline", "@none.dxf", "--out", "@n.blank.json"]);
    assert!(outcome.code == 2 && outcome.err.contains("--units mm"), "{}", outcome.err);
    bench.done(&["new", "--outline", "@none.dxf", "--units", "mm", "--out", "@n.blank.json"]);
    let svg = root().join("samples/bench-marking-knife.svg");
    let svg = svg.to_str().unwrap();
    let outcome = bench.run(&["new", "--outline", svg, "--units", "mm", "--out", "@s.blank.json"]);
    assert!(outcome.code == 2 && outcome.err.contains("an SVG says its size itself"));
}

#[test]
fn many_blanks_go_to_the_shop_in_one_file() {
    let bench = bench();
    let typed = ["bar", "@a.blank.json", "--copies", "4", "--steps", "20", "--out", "@bar.dxf"];
    let told = bench.done(&typed);
    assert!(told.contains("Wrote 4 outlines"), "{told}");
    let text = fs::read_to_string(bench.path("bar.dxf")).unwrap();
    assert_eq!(text.matches("\r\nPOLYLINE\r\n").count(), 5);
    // In the unit and with the holes that are asked for, as export has them.
    let with = |more: &[&str], name: &str| {
        let out = format!("@{name}");
        let last = ["--steps", "20", "--out", out.as_str()];
        bench.done(&[&["bar", "@a.blank.json", "--copies", "2"][..], more, &last].concat());
        fs::read_to_string(bench.path(name)).unwrap()
    };
    let (mm, inch) = (with(&["--units", "mm"], "mm.dxf"), with(&["--units", "in"], "in.dxf"));
    assert!(mm.contains("in millimetres") && inch.contains("in inches"));
    let circles = |text: &str| text.matches("\r\nCIRCLE\r\n").count();
    assert!(circles(&mm) > 0 && circles(&mm) == circles(&inch));
    let last = |text: &str| {
        let at = text.find("$EXTMAX").unwrap();
        text[at..].lines().nth(2).unwrap().trim().parse::<f64>().unwrap()
    };
    assert!((last(&mm) / last(&inch) - 25.4).abs() < 1e-4);
    assert_eq!(circles(&with(&["--holes", "none"], "none.dxf")), 0);
    for option in ["--units=mm", "--holes=none"] {
        let outcome = bench.run(&["bar", "@a.blank.json", option, "--out", "@bar.pdf"]);
        assert!(outcome.code == 2 && outcome.err.contains("is for a DXF"), "{}", outcome.err);
    }
}

#[test]
fn the_knife_is_shown_from_every_side() {
    let bench = bench();
    for side in ["three-quarter", "left", "right", "edge", "spine", "tip", "butt"] {
        let out = format!("@{side}.png");
        bench.done(&["draw", "@a.blank.json", "--view", side, "--out", &out, "--dpi", "50"]);
        assert!(fs::read(bench.path(&format!("{side}.png"))).unwrap().starts_with(b"\x89PNG"));
    }
    bench.done(&["draw", "@a.blank.json", "--view", "tip", "--cut", "40mm", "--out", "@c.png"]);
}

/// The names of a PDF's layers.
fn layers(path: &Path) -> Vec<String> {
    let document = lopdf::Document::load(path).unwrap();
    let groups = document.objects.values().filter_map(|object| object.as_dict().ok());
    let groups = groups.filter(|group| {
        group.get(b"Type").and_then(lopdf::Object::as_name).is_ok_and(|name| name == b"OCG")
    });
    let name = |group: &lopdf::Dictionary| {
        group.get(b"Name").and_then(lopdf::Object::as_str).ok().map(<[u8]>::to_vec)
    };
    groups.filter_map(name).map(|name| String::from_utf8_lossy(&name).into_owned()).collect()
}

#[test]
fn a_hand_is_drawn_on_the_template_alone() {
    let bench = bench();
    bench.done(&["print", "@a.blank.json", "--sheets", "profile", "--out", "@plain.pdf"]);
    for size in ["small", "medium", "large"] {
        let out = format!("@{size}.pdf");
        let typed =
            ["print", "@a.blank.json", "--sheets", "profile", "--hand", size, "--out", &out];
        bench.done(&typed);
        let layers = layers(&bench.path(&format!("{size}.pdf")));
        assert!(layers.contains(&"Hand".to_owned()), "{layers:?}");
    }
    let plain = layers(&bench.path("plain.pdf"));
    assert!(plain.contains(&"Cut line".to_owned()) && !plain.contains(&"Hand".to_owned()));
    let outcome = bench.run(&["print", "@a.blank.json", "--hand", "huge", "--out", "@h.pdf"]);
    assert_eq!(outcome.code, 2);
}
