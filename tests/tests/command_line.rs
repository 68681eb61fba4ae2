//! The command line as a maker meets it: every command, every refusal, every exit code.

use bench_tests::{Bench, blanks, root};
use serde_json::Value;
use std::fs;
use std::path::PathBuf;

/// One refused call: exit code 2, nothing on standard output, one sentence that says this.
#[track_caller]
fn refused(bench: &Bench, typed: &[&str], says: &str) {
    let before = bench.names();
    let outcome = bench.run(typed);
    assert_eq!(outcome.code, 2, "{typed:?}");
    assert_eq!(outcome.out, "", "{typed:?}");
    assert!(outcome.err.starts_with("blankwright: "), "{}", outcome.err);
    assert!(outcome.err.contains(says), "{typed:?}: {}", outcome.err);
    assert_eq!(outcome.err.lines().count(), 1, "{}", outcome.err);
    assert_eq!(bench.names(), before, "{typed:?} leaves no file behind");
}

#[test]
fn every_starter_can_be_taken_checked_and_printed() {
    let bench = Bench::new();
    let list = bench.done(&["starters"]);
    assert!(list.lines().count() >= 10);
    for line in list.lines() {
        let key = line.split_whitespace().next().unwrap();
        bench.done(&["new", key, "--out", "@a.blank.json"]);
        let shipped = root().join(format!("assets/starters/{key}.blank.json"));
        assert_eq!(fs::read(bench.path("a.blank.json")).unwrap(), fs::read(shipped).unwrap());
        let message = bench.done(&["check", "@a.blank.json"]);
        assert_eq!(message, "No problems found.\n", "{key}");
        for paper in ["letter", "a4"] {
            bench.done(&["print", "@a.blank.json", "--out", "@a.pdf", "--paper", paper]);
            let first = fs::read(bench.path("a.pdf")).unwrap();
            assert!(first.starts_with(b"%PDF-"));
            bench.done(&["print", "@a.blank.json", "--out", "@b.pdf", "--paper", paper]);
            assert!(first == fs::read(bench.path("b.pdf")).unwrap(), "{key}: the same bytes twice");
        }
    }
}

#[test]
fn starters_and_samples_pass_every_check_on_their_own_bar() {
    let bench = Bench::new();
    for path in blanks() {
        let check = bench.json(&["check", path.to_str().unwrap(), "--json"]);
        assert_eq!(check["findings"], Value::Array(vec![]), "{}", path.display());
        let numbers = bench.json(&["numbers", path.to_str().unwrap(), "--json"]);
        assert_eq!(numbers["bar"]["fits"], true);
        assert!(numbers["bar"]["margin_mm"].as_f64().unwrap() >= 1.0, "{}", path.display());
    }
}

#[test]
fn an_earlier_file_is_kept_when_another_takes_its_name() {
    let bench = Bench::new();
    bench.done(&["new", "skinner", "--out", "@a.blank.json"]);
    let skinner = fs::read(bench.path("a.blank.json")).unwrap();
    let again = bench.done(&["new", "skinner", "--out", "@a.blank.json"]);
    assert!(!again.contains("kept"), "the same file is no other file");
    let message = bench.done(&["new", "tanto", "--out", "@a.blank.json"]);
    assert!(message.contains("kept as"), "{message}");
    assert_eq!(fs::read(bench.path("a.blank.json~")).unwrap(), skinner);
    // Nor is anything lost the next time.
    let tanto = fs::read(bench.path("a.blank.json")).unwrap();
    let message = bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    assert!(message.contains("a.blank.json~2"), "{message}");
    assert_eq!(fs::read(bench.path("a.blank.json~")).unwrap(), skinner);
    assert_eq!(fs::read(bench.path("a.blank.json~2")).unwrap(), tanto);
}

#[test]
fn a_pdf_is_written_only_under_a_name_that_says_so() {
    let bench = Bench::new();
    bench.done(&["new", "skinner", "--out", "@a.blank.json"]);
    for command in [
        &["print", "@a.blank.json", "--out", "@p.png"][..],
        &["bar", "@a.blank.json", "--out", "@p"],
    ] {
        let refused = bench.run(command);
        assert_eq!(refused.code, 2);
        assert!(refused.err.contains("should end in .pdf"), "{}", refused.err);
    }
    bench.done(&["print", "@a.blank.json", "--out", "@p.PDF"]);
    assert_eq!(bench.names(), ["a.blank.json", "p.PDF"]);
}

#[test]
fn what_a_file_says_commands_no_terminal() {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    let text = fs::read_to_string(bench.path("a.blank.json")).unwrap();
    let evil = r"\u001b[2J\nSTOP: all is well\u009b31m\u202e";
    let named = text.replacen("front pin", evil, 1).replacen("SAE 1084", evil, 1);
    let aside =
        format!(r#""set_aside": [ {{ "rule": "{evil}", "reason": "{evil}" }} ], "unit": "in""#);
    let named = named.replacen(r#""unit": "in""#, &aside, 1).replacen("Drop point", evil, 1);
    fs::write(bench.path("b.blank.json"), named).unwrap();
    for command in [
        &["check", "@b.blank.json"][..],
        &["check", "@b.blank.json", "--json"],
        &["numbers", "@b.blank.json"],
        &["bar", "@b.blank.json", "--steps", "50", "--out", "@b.pdf"],
        &["bar", "@b.blank.json", "--steps", "50", "--json", "--out", "@b.pdf"],
    ] {
        let message = bench.run(command);
        assert_ne!(message.code, 2, "{}", message.err);
        let all = message.out + &message.err;
        let harmless = |sign: char| sign == '\n' || !(sign.is_control() || sign == '\u{202e}');
        assert!(all.chars().all(harmless), "{command:?}: {all:?}");
        assert!(!all.lines().any(|line| line.starts_with("STOP: all is well")), "{all}");
    }
    let wrong = text.replacen(r#""unit": "in""#, &format!(r#""unit": "{evil}""#), 1);
    fs::write(bench.path("b.blank.json"), wrong).unwrap();
    let message = bench.run(&["check", "@b.blank.json"]);
    assert_eq!((message.code, message.err.lines().count()), (2, 2), "{}", message.err);
    assert!(!message.err.contains('\u{1b}'));
}

#[test]
fn what_cannot_be_done_is_said_in_one_sentence() {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    fs::write(bench.path("text.blank.json"), "not json").unwrap();
    fs::write(bench.path("other.json"), "{\"a\": 1}").unwrap();
    fs::create_dir(bench.path("folder")).unwrap();
    let cases: &[(&[&str], &str)] = &[
        (&["cut"], "there is no command \"cut\""),
        (
            &["new", "cleaver", "--out", "@b.blank.json"],
            "no starter called \"cleaver\"; there is drop-point",
        ),
        (&["new", "--out", "@b.blank.json"], "is missing"),
        (&["new", "tanto"], "--out"),
        (&["new", "tanto", "--out", "@none/b.blank.json"], "make the folder first"),
        (&["new", "tanto", "--out", "@folder"], "is a folder"),
        (&["new", "tanto", "--dpi", "300", "--out", "@b.blank.json"], "--dpi goes with --picture"),
        (&["new", "tanto", "--mat", "--out", "@b.blank.json"], "--mat goes with --picture"),
        (
            &["new", "--outline", "@o.svg", "--line", "outer", "--out", "@b.blank.json"],
            "--line goes with --picture",
        ),
        (
            &["new", "--picture", "@p.png", "--units", "in", "--out", "@b.blank.json"],
            "--units goes with --outline",
        ),
        (
            &["new", "--picture", "@p.png", "--mat", "--corners", "1,1", "--out", "@b.blank.json"],
            "--corners goes with --rectangle",
        ),
        (&["new", "--outline", "@none.svg", "--out", "@b.blank.json"], "is not there"),
        (&["new", "--outline", "@other.json", "--out", "@b.blank.json"], "can't be used"),
        (&["check", "@none.blank.json"], "is not there; check the name"),
        (&["check", "@folder"], "is a folder"),
        (&["check", "@text.blank.json"], "not readable as JSON"),
        (&["numbers", "@other.json", "--json"], "but not a blank"),
        (&["print", "@a.blank.json", "--out", "@a.pdf", "--paper", "napkin"], "napkin"),
        (
            &["print", "@a.blank.json", "--out", "@a.pdf", "--sheets", "poem"],
            "no sheet called \"poem\"",
        ),
        (
            &["print", "@a.blank.json", "--out", "@a.pdf", "--trim", "attic"],
            "no correction called \"attic\"",
        ),
        (&["print", "@a.blank.json", "--out", "@folder"], "is a folder"),
        (&["print", "@a.blank.json", "--out", "@a.blank.json"], "is the blank itself"),
        (&["draw", "@a.blank.json", "--out", "@other.blank.json"], "is named like a blank"),
        (&["print", "@a.blank.json"], "--out"),
        (&["print", "@a.blank.json", "--out", "@a.pdf", "--sheets", "+"], "names no sheet"),
        (
            &["draw", "@a.blank.json", "--view", "left", "--cut", "9999", "--out", "@a.png"],
            "--cut leaves nothing",
        ),
        (&["draw", "@a.blank.json", "--out", "@a.gif"], "should end in .svg or .png"),
        (&["draw", "@a.blank.json", "--out", "@a.png", "--dpi", "-3"], "-3"),
        (&["draw", "@a.blank.json", "--out", "@a.png", "--dpi", "many"], "many"),
    ];
    for (typed, says) in cases {
        refused(&bench, typed, says);
    }
}

#[test]
fn a_faulty_file_is_refused_with_every_fault() {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    let text = fs::read_to_string(bench.path("a.blank.json")).unwrap();
    let text =
        text.replacen("\"width_mm\": 38.1", "\"width_mm\": 0", 1).replacen("\"pin\"", "\"pim\"", 1);
    fs::write(bench.path("bad.blank.json"), text).unwrap();
    for command in ["check", "numbers"] {
        let outcome = bench.run(&[command, "@bad.blank.json"]);
        assert_eq!((outcome.code, outcome.out.as_str()), (2, ""));
        assert!(outcome.err.contains("has 2 faults to fix first"), "{}", outcome.err);
        assert!(outcome.err.contains("bar.width_mm is 0; it must lie between 1 and 1000"));
        assert!(outcome.err.contains("it must be one of pin, relief, thong"));
    }
}

#[test]
fn check_says_stop_with_its_exit_code() {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    let mut file: Value =
        serde_json::from_slice(&fs::read(bench.path("a.blank.json")).unwrap()).unwrap();
    // A maker moves the first pin to 1 mm from the spine.
    let hole = &mut file["holes"][0];
    let up = bench.json(&["numbers", "@a.blank.json", "--json"])["holes"][0]["from_upper_mm"]
        .as_f64()
        .unwrap();
    hole["at_mm"][1] = (hole["at_mm"][1].as_f64().unwrap() + up - 1.0).into();
    fs::write(bench.path("b.blank.json"), file.to_string()).unwrap();
    let outcome = bench.run(&["check", "@b.blank.json"]);
    assert_eq!(outcome.code, 1);
    assert!(outcome.out.contains("STOP: The outline is broken by hole 1"), "{}", outcome.out);
    let print = bench.run(&["print", "@b.blank.json", "--out", "@b.pdf"]);
    assert_eq!(print.code, 0);
    assert!(print.err.contains("says stop"), "{}", print.err);
}

#[test]
fn every_field_of_the_json_is_documented() {
    fn keys(value: &Value, found: &mut Vec<String>) {
        match value {
            Value::Object(map) => {
                for (key, value) in map {
                    found.push(key.clone());
                    keys(value, found);
                }
            }
            Value::Array(list) => list.iter().for_each(|value| keys(value, found)),
            _ => {}
        }
    }
    let pages = bench_tests::manual_text();
    let bench = Bench::new();
    bench.done(&["new", "tanto", "--out", "@a.blank.json"]);
    let mut found = Vec::new();
    keys(&bench.json(&["numbers", "@a.blank.json", "--json"]), &mut found);
    keys(&bench.json(&["check", "@a.blank.json", "--json"]), &mut found);
    assert!(found.len() > 60);
    for key in found {
        assert!(
            ["format", "version"].contains(&key.as_str()) || pages.contains(&format!("`{key}`")),
            "{key}"
        );
    }
}

/// Readings for a person count from the origin of the file; the JSON stays in the drawing's own
/// coordinates, and says where the origin lies.
#[test]
fn places_are_told_from_the_origin_of_the_file() {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    let before = bench.json(&["numbers", "@a.blank.json", "--json"]);
    assert!(bench.done(&["numbers", "@a.blank.json"]).contains("the tip"));
    let mut file: Value =
        serde_json::from_slice(&fs::read(bench.path("a.blank.json")).unwrap()).unwrap();
    file["origin"] = "heel".into();
    fs::write(bench.path("a.blank.json"), file.to_string()).unwrap();
    let after = bench.json(&["numbers", "@a.blank.json", "--json"]);
    assert_eq!(after["origin"]["name"], "heel");
    assert_eq!(after["origin"]["at_mm"], after["profile"]["heel_mm"]);
    assert_eq!(after["holes"], before["holes"]);
    let text = bench.done(&["numbers", "@a.blank.json"]);
    let x = |place: &Value| place[0].as_f64().unwrap();
    let mm = x(&after["holes"][0]["at_mm"]) - x(&after["profile"]["heel_mm"]);
    assert!(text.contains("the heel") && text.contains(&format!("{mm:.3} mm")), "{mm}: {text}");
    file["origin"] = "pommel".into();
    fs::write(bench.path("a.blank.json"), file.to_string()).unwrap();
    let outcome = bench.run(&["check", "@a.blank.json"]);
    assert!(outcome.code == 2 && outcome.err.contains("origin is \"pommel\""), "{}", outcome.err);
}

#[test]
fn the_drawing_is_at_true_size() {
    let bench = Bench::new();
    bench.done(&["new", "petty", "--out", "@a.blank.json"]);
    let message = bench.done(&["draw", "@a.blank.json", "--out", "@a.svg"]);
    let svg = fs::read_to_string(bench.path("a.svg")).unwrap();
    let attribute = |name: &str| -> String {
        let from = svg.find(&format!(" {name}=\"")).unwrap() + name.len() + 3;
        svg[from..].split('"').next().unwrap().to_owned()
    };
    let (width, height) = (attribute("width"), attribute("height"));
    let view: Vec<f64> = attribute("viewBox").split(' ').map(|n| n.parse().unwrap()).collect();
    assert_eq!(width.strip_suffix("mm").unwrap().parse::<f64>().unwrap(), view[2]);
    assert_eq!(height.strip_suffix("mm").unwrap().parse::<f64>().unwrap(), view[3]);
    assert!(message.contains("at true size"));
    // Another reader (usvg) finds the cut line as long as the profile, at 96 px to the inch.
    let tree = resvg::usvg::Tree::from_str(&svg, &resvg::usvg::Options::default()).unwrap();
    let resvg::usvg::Node::Group(cut) = tree.node_by_id("cut-line").unwrap() else { panic!() };
    let profile = bench.json(&["numbers", "@a.blank.json", "--json"])["profile"].clone();
    let mm = f64::from(cut.abs_bounding_box().width()) * 25.4 / 96.0;
    assert!((mm - profile["length_mm"].as_f64().unwrap()).abs() < 0.01, "{mm}");
    bench.done(&["draw", "@a.blank.json", "--out", "@a.png", "--dpi", "254"]);
    let png = fs::read(bench.path("a.png")).unwrap();
    let wide = u32::from_be_bytes(png[16..20].try_into().unwrap());
    assert!((f64::from(wide) / 10.0 - view[2]).abs() < 0.11, "{wide}");
}

/// The proof prints as one sheet of a set; sheets share large paper unless asked not to; a sheet without
/// room is told and doesn't stop the others.
#[test]
fn a_set_is_printed_as_far_as_the_paper_goes() {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    let print = |more: &[&str]| {
        bench.run(&[&["print", "@a.blank.json", "--out", "@a.pdf"][..], more].concat())
    };
    let pages = || lopdf::Document::load(bench.path("a.pdf")).unwrap().get_pages().len();
    let set = print(&["--sheets", "proof,profile,drilling,bevels", "--paper", "a1", "--apart"]);
    assert!(set.code == 0 && set.err.is_empty(), "{}", set.err);
    assert_eq!(pages(), 4);
    let text = lopdf::Document::load(bench.path("a.pdf")).unwrap().extract_text(&[1]).unwrap();
    assert!(text.contains("Proof") && text.contains("Sheet 1 of 4"), "{text}");
    let together = print(&["--sheets", "proof,profile,drilling,bevels", "--paper", "a1"]);
    assert_eq!((together.code, pages()), (0, 2), "{}", together.err);
    let chosen = print(&["--sheets", "scales+profile,drilling,bevels", "--paper", "a1"]);
    assert_eq!((chosen.code, pages(), chosen.err.as_str()), (0, 3, ""));
    let text = lopdf::Document::load(bench.path("a.pdf")).unwrap().extract_text(&[1]).unwrap();
    assert!(text.contains("Scales · Profile"), "{text}");
    let narrow = print(&["--sheets", "profile+bevels", "--paper", "letter"]);
    assert_eq!(narrow.code, 0);
    assert!(narrow.err.contains("Bevels has no room beside Profile on Letter"), "{}", narrow.err);
    for wrong in [&["--sheets", "profile+proof"][..], &["--sheets", "profile+bar", "--split"]] {
        let wrong = print(wrong);
        assert!(wrong.code == 2 && wrong.err.contains('+'), "{}", wrong.err);
    }

    // A proof wants 100 mm between its crosses; the other sheets go on such narrow paper.
    let short = print(&["--sheets", "proof,build", "--paper", "140x400mm"]);
    assert_eq!(short.code, 1, "{}", short.err);
    assert!(short.err.contains("not printed") && short.err.contains("\"proof\""), "{}", short.err);
    assert!(pages() > 0 && short.out.contains("Wrote"));
    let none = print(&["--sheets", "proof", "--paper", "140x400mm"]);
    assert_eq!(none.code, 2, "{}", none.err);
}

/// A sheet that comes again later has a file of its own, and so has a knife whose name differs only by
/// bytes that are no text.
#[test]
fn split_never_writes_two_sheets_to_one_file() {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    let sheets = "profile,profile,drilling,profile";
    bench.done(&["print", "@a.blank.json", "--split", "--sheets", sheets, "--out", "@o.pdf"]);
    for name in ["o-profile.pdf", "o-drilling.pdf", "o-profile-2.pdf"] {
        assert!(bench.path(name).exists(), "{name}");
    }
    #[cfg(unix)]
    {
        use std::os::unix::ffi::OsStrExt as _;
        let name = |bytes: &[u8]| PathBuf::from(std::ffi::OsStr::from_bytes(bytes));
        for byte in [0xFE, 0xFF] {
            let named = host::name_with(&name(&[b'a', byte, b'.', b'p', b'd', b'f']), "-b", "pdf");
            assert_eq!(named, name(&[b'a', byte, b'-', b'b', b'.', b'p', b'd', b'f']));
        }
    }
}

/// The shop that is worked by is never written over by what is made.
#[test]
fn a_shop_is_not_written_over() {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    let readings = ["--across", "176", "--up", "226", "--rising", "286", "--falling", "286"];
    let shop = |name: &str| {
        let trim = ["trim", "attic", "--paper", "letter", "--shop", name];
        bench.done(&[&trim[..], &readings[..]].concat());
    };
    shop("@s.pdf");
    shop("@s.svg");
    let before = fs::read(bench.path("s.pdf")).unwrap();
    let cases: [&[&str]; 4] = [
        &["print", "@a.blank.json", "--shop", "@s.pdf", "--out", "@s.pdf"],
        &["bar", "@a.blank.json", "--shop", "@s.pdf", "--out", "@s.pdf"],
        &["proof", "--paper", "letter", "--shop", "@s.pdf", "--out", "@s.pdf"],
        &["draw", "@a.blank.json", "--shop", "@s.svg", "--out", "@s.svg"],
    ];
    for typed in cases {
        refused(&bench, typed, "is the shop file itself");
    }
    assert_eq!(fs::read(bench.path("s.pdf")).unwrap(), before);
}

/// What no terminal should be told is told as a harmless sign, and kept as it is.
#[test]
fn a_correction_leaves_every_other_name_as_it_is() {
    let bench = Bench::new();
    let shop = reckon::Shop { name: "p\u{202e}q\nr".to_owned(), ..reckon::Shop::default() };
    let saved = reckon::shop::file::save_read_back(&shop).unwrap();
    fs::write(bench.path("s.json"), &saved).unwrap();
    bench.done(&[
        "trim",
        "a\u{202e}b",
        "--paper",
        "letter",
        "--across",
        "176",
        "--up",
        "226",
        "--rising",
        "286",
        "--falling",
        "286",
        "--shop",
        "@s.json",
    ]);
    let kept = reckon::shop::file::open(&fs::read(bench.path("s.json")).unwrap()).unwrap().shop;
    assert_eq!(kept.name, shop.name);
    assert_eq!(kept.printers[0].name, "a\u{202e}b");
    let shown = bench.run(&["trim", "a\u{202e}b", "--shop", "@s.json"]);
    assert!(shown.code == 0 && !shown.out.contains('\u{202e}'), "{}{}", shown.out, shown.err);
    refused(&bench, &["trim", "attic", "--shop", "@none.json"], "is not there");
}
