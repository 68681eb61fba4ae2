//! Reading and writing blank files.

use super::*;
use crate::edit::strategies as blade;
use crate::{
    Bevel, Edit, FiledAmount, Filing, FilingTrial, Grind, GrindLine, GroundSides, Hole, HoleId,
    HoleKind, Node, NodeId, NodeKind, Origin, Sharpening, Taper,
};
use kurbo::Point;
use proptest::prelude::*;

const SOUND: &str = r#"{ "format": "blankwright", "version": 1, "name": "A", "unit": "in",
  "bar": { "grade": "SAE 1084", "width_mm": 38.1, "thickness_mm": 3.175, "length_mm": 304.8 },
  "profile": { "nodes": [ { "id": 1, "at_mm": [0, 0] }, { "id": 2, "at_mm": [10, 0] },
                          { "id": 3, "at_mm": [10, 5], "handle_out_mm": [9, 9] } ],
               "tip": 1, "heel": null },
  "holes": [ { "id": 1, "kind": "pin", "at_mm": [7, 2], "diameter_mm": 1, "drill": "\#30" } ] }"#;

fn sound() -> String {
    SOUND.replace(r"\#", "#")
}

#[track_caller]
fn check(change: (&str, &str), expected: &[&str]) {
    let text = sound().replacen(change.0, change.1, 1);
    assert_ne!(text, sound(), "the change changed nothing");
    let opened = open(text.as_bytes()).unwrap();
    let message: Vec<String> = opened.faults.iter().map(ToString::to_string).collect();
    assert_eq!(message, expected);
}

#[test]
fn a_sound_file_has_no_faults() {
    let opened = open(sound().as_bytes()).unwrap();
    assert_eq!(opened.faults, vec![]);
    assert_eq!(opened.knife.profile.nodes.len(), 3);
    assert_eq!(opened.knife.profile.tip, Some(NodeId(1)));
    assert_eq!(opened.knife.holes[0].drill.as_deref(), Some("#30"));
    assert_eq!(open(&save(&opened.knife)).unwrap(), opened);
}

#[test]
fn every_fault_is_told_with_its_place_and_what_to_do() {
    check(
        (r#""width_mm": 38.1"#, r#""width_mm": -3"#),
        &["bar.width_mm is -3; it must lie between 1 and 1000"],
    );
    check((r#""width_mm": 38.1,"#, ""), &["bar.width_mm is missing; give it a number"]);
    check(
        (r#""kind": "pin""#, r#""kind": "pim""#),
        &[r#"holes[0].kind is "pim"; it must be one of pin, relief, thong"#],
    );
    check(
        (r#""at_mm": [10, 0]"#, r#""at_mm": [10]"#),
        &["profile.nodes[1].at_mm is [10]; it must be a point [x, y]"],
    );
    check(
        (r#""id": 2"#, r#""id": 1"#),
        &["profile.nodes[1].id is 1, which an earlier entry already has; give it another"],
    );
    check(
        (r#""tip": 1"#, r#""tip": 9"#),
        &["profile.tip names node 9, which is not there; name one of the nodes"],
    );
    check(
        (r#""name": "A""#, r#""nam": "A""#),
        &["nam is not a field of this format; check its spelling or remove it"],
    );
    check((r#""unit": "in""#, r#""unit": 3"#), &["unit is 3; it must be a word in quotes"]);
}

#[test]
fn what_was_set_aside_is_read_or_told() {
    let with = |aside: &str| format!(r#""unit": "in", "set_aside": [ {aside} ]"#);
    let faults =
        |aside: &str, expected: &[&str]| check((r#""unit": "in""#, &with(aside)), expected);
    faults(r#"{ "rule": "x", "parts": ["hole 1", "bar"], "reason": "so" }"#, &[]);
    faults(
        r#"{ "rule": "x", "reason": "" }"#,
        &["set_aside[0].reason is missing; give it a text in quotes"],
    );
    faults(
        r#"{ "rule": "x", "reason": "so", "parts": ["hull 1"] }"#,
        &["set_aside[0].parts[0] is \"hull 1\"; it must be one of profile, plunge, grind line, \
           scales, bar, sheath, hole 1, node 1, stretch 1"],
    );
    // A slip of the pen would otherwise set nothing aside, and say nothing.
    faults(
        r#"{ "rule": "x", "reason": "so", "parts": ["bar", "hole 7"] }"#,
        &["set_aside[0].parts[1] names hole 7, which is not there; name a part of this knife"],
    );
    faults(r#"{ "rule": "x", "reason": "so", "severity": "stop", "limit_mm": 3 }"#, &[]);
    faults(
        r#"{ "rule": "x", "reason": "so", "severity": "grave" }"#,
        &["set_aside[0].severity is \"grave\"; it must be one of stop, take care, note"],
    );
}

#[test]
fn a_field_written_twice_is_told() {
    check(
        (r#""diameter_mm": 1,"#, r#""diameter_mm": 1, "diameter_mm": 9,"#),
        &["holes[0].diameter_mm is there twice; keep the right one and remove the other"],
    );
    check((r#""version": 1"#, r#""version": 1.0"#), &[]);
}

#[test]
fn several_faults_are_all_told_and_the_rest_is_kept() {
    let text = sound()
        .replace(r#""length_mm": 304.8"#, r#""length_mm": "long""#)
        .replace(r#""diameter_mm": 1"#, r#""diameter_mm": 1e9"#);
    let opened = open(text.as_bytes()).unwrap();
    assert_eq!(opened.faults.len(), 2);
    assert_eq!(opened.knife.bar.width_mm, 38.1);
    assert!(opened.knife.holes.is_empty());
}

#[test]
fn the_first_faults_are_told_and_the_others_counted() {
    let many: String = (0..70).map(|i| format!("\"f{i}\": 1, ")).collect();
    let opened = open(sound().replacen('{', &format!("{{ {many}"), 1).as_bytes()).unwrap();
    assert_eq!((opened.faults.len(), opened.more_faults), (MAX_LISTED_FAULTS, 50));
    assert_eq!(opened.knife.bar.width_mm, 38.1, "the rest is read");
    let twice: String = (0..70).map(|_| "\"unit\": \"in\", ").collect();
    let opened = open(sound().replacen('{', &format!("{{ {twice}"), 1).as_bytes()).unwrap();
    assert_eq!((opened.faults.len(), opened.more_faults), (MAX_LISTED_FAULTS, 50));
}

#[test]
fn far_more_than_any_blank_holds_is_not_read() {
    let with = |text: String| open(sound().replacen('{', &format!("{{ {text},"), 1).as_bytes());
    let list = |count: usize| with(format!("\"f\": [{}1]", "1,".repeat(count)));
    assert_eq!(list(MAX_VALUES).unwrap_err(), BlankFileError::TooMuch);
    assert_eq!(list(100_000).unwrap().faults.len(), 1);
    let fields = |count: usize| {
        with((0..count).map(|i| format!("\"f{i}\": 1")).collect::<Vec<_>>().join(","))
    };
    assert_eq!(fields(1001).unwrap_err(), BlankFileError::TooMuch);
    assert!(fields(900).is_ok());
}

#[test]
fn what_could_not_be_read_again_is_not_given_out() {
    let knife = open(sound().as_bytes()).unwrap().knife;
    assert_eq!(save_read_back(&knife), Ok(save(&knife)));
    let mut wide = knife.clone();
    wide.holes[0].diameter_mm = 120.0;
    let why = save_read_back(&wide).unwrap_err().to_string();
    assert_eq!(why, "holes[0].diameter_mm is 120; it must lie between 0.1 and 100");
    let far = Knife { name: "n".repeat(201), ..knife };
    assert!(save_read_back(&far).unwrap_err().to_string().contains("longer than 200 characters"));
}

#[test]
fn what_is_no_blank_is_said_so() {
    let line = |text: &str| open(text.as_bytes()).unwrap_err().to_string();
    assert_eq!(line("{\n "), "it stops in the middle (line 2, column 1); use an earlier copy");
    assert!(line(" \n").starts_with("it is empty"));
    assert!(line("%PDF-1.7").starts_with("it is a PDF"));
    assert!(line("<?xml version=\"1.0\"?><svg/>").starts_with("it is an SVG drawing: take it"));
    assert!(line(&"[".repeat(500)).contains("nested too deep"));
    assert_eq!(
        line("{\"a\" 1}"),
        "it is not readable as JSON: expected `:` (line 1, column 6); correct it there or use an \
         earlier copy"
    );
    assert_eq!(open(b"\xff\xfe\x00").unwrap_err(), BlankFileError::NotText);
    assert!(line("[]").starts_with("it is JSON, but not a blank"));
    assert!(line(r#"{"format":"blankwright"}"#).contains("version"));
    assert!(line(r#"{"format":"blankwright","version":7}"#).contains("newer Blankwright"));
}

#[test]
fn a_file_reads_well_to_a_person() {
    let text = String::from_utf8(save(&open(sound().as_bytes()).unwrap().knife)).unwrap();
    assert!(text.contains("\n      { \"id\": 1, \"at_mm\": [0.0, 0.0] },\n"), "{text}");
    assert!(text.lines().all(|line| line.len() < 160));
}

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![-500.0..500.0f64, Just(0.1), Just(1.0 / 3.0), Just(-0.0)]
}

fn point() -> impl Strategy<Value = Point> {
    (number(), number()).prop_map(Point::from)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn writing_and_reading_gives_the_same_knife(
        nodes in prop::collection::vec((point(), prop::option::of(point()), prop::option::of(point()), 0..4usize), 2..20),
        holes in prop::collection::vec((point(), 0.1..90.0f64, 0..3usize, "[^\u{0}]{0,12}"), 0..6),
        name in "\\PC{0,30}", notes in "(?s).{0,80}",
    ) {
        let mut knife = Knife::empty();
        knife.name = name;
        knife.notes = notes;
        knife.profile.nodes = nodes.into_iter().enumerate().map(|(i, (at, handle_in, handle_out, kind))| {
            Node { id: NodeId(i as u32), at, handle_in, handle_out, kind: NodeKind::ALL[kind] }
        }).collect();
        // A profile that is too short to be a blank is told as a fault.
        knife.profile.nodes[0].at.x = knife.profile.nodes[1].at.x + 10.0;
        knife.holes = holes.into_iter().enumerate().map(|(i, (at, diameter_mm, kind, drill))| Hole {
            id: HoleId(i as u32), name: String::new(),
            kind: [HoleKind::Pin, HoleKind::Relief, HoleKind::Thong][kind],
            at, diameter_mm, drill: Some(drill), pin_mm: None,
        }).collect();
        let opened = open(&save(&knife)).unwrap();
        prop_assert_eq!(opened.faults, vec![]);
        prop_assert_eq!(opened.knife, knife);
    }

    #[test]
    fn no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = open(&bytes);
    }

    #[test]
    fn a_damaged_file_still_opens_or_says_why(place in 0usize..600, byte in any::<u8>()) {
        let mut bytes = sound().into_bytes();
        let place = place % bytes.len();
        bytes[place] = byte;
        if let Ok(opened) = open(&bytes) {
            let again = open(&save(&opened.knife)).unwrap();
            prop_assert!(again.knife == opened.knife);
        }
    }
}

/// The sound file with more in it.
#[track_caller]
fn with(parts: &str) -> Opened {
    let text = sound().replacen(r#""name": "A","#, &format!(r#""name": "A", {parts},"#), 1);
    open(text.as_bytes()).unwrap()
}

#[test]
fn a_blade_is_read_with_all_its_parts() {
    let opened = with(
        r#""bevel": { "plunge_x_mm": 90, "grind_height_mm": 5, "edge_thickness_mm": 0.5,
             "grind": "hollow", "wheel_mm": 254, "sides": "left", "plunge_lean_deg": 5,
             "plunge_file_mm": 6, "up_to": "line", "line_mm": [[0, 1], [9, 2]] },
           "taper": { "from_x_mm": 100, "tip_mm": 1.5 },
           "swedge": { "from_x_mm": 40, "height_mm": 6, "thickness_mm": 0.8 },
           "filing": { "facets": 5, "minutes": 10, "height_mm": 4 },
           "sharpening": { "angle_deg": 18 },
           "handle": { "scales": "black walnut", "glue_mm": 0.1 }"#,
    );
    assert_eq!(opened.faults, vec![]);
    let (knife, bevel) = (&opened.knife, opened.knife.bevel.unwrap());
    assert_eq!((bevel.grind, bevel.sides), (Grind::Hollow(254.0), GroundSides::Left));
    assert_eq!((bevel.plunge_lean_deg, bevel.plunge_file_mm), (5.0, 6.0));
    let line = [(0.0, 1.0), (9.0, 2.0)].map(Point::from).to_vec();
    assert_eq!(knife.grind_line, GrindLine::Through(line));
    assert_eq!(knife.taper, Some(Taper { from_x_mm: 100.0, tip_mm: 1.5 }));
    assert_eq!(knife.swedge.unwrap().height_mm, 6.0);
    let timing = FilingTrial { minutes: 10.0, done: FiledAmount::Height(4.0) };
    assert_eq!(knife.filing, Some(Filing { facets: 5, timing: Some(timing) }));
    assert_eq!(knife.sharpening, Some(Sharpening { angle_deg: 18.0, edge_mm: None }));
    assert_eq!(knife.handle.scales.as_deref(), Some("black walnut"));
    assert_eq!(open(&save(knife)).unwrap(), opened);
}

#[test]
fn faults_of_a_blade_are_told_and_the_rest_is_kept() {
    let message = |parts: &str| -> Vec<String> {
        with(parts).faults.iter().map(ToString::to_string).collect()
    };
    let plain = r#""plunge_x_mm": 90, "grind_height_mm": 5, "edge_thickness_mm": 0.5"#;
    for (more, expected) in [
        (r#""grind": "hollow""#, "bevel.wheel_mm is missing; give it a number"),
        (r#""radius_mm": 9"#, "bevel.radius_mm"),
        (r#""sides": "top""#, "bevel.sides is \"top\"; it must be one of both, left, right"),
        (r#""up_to": "line", "line_mm": [[1, 2]]"#, "bevel.line_mm"),
        (r#""up_to": "line", "line_mm": [[1, 2], [3], [4, 5]]"#, "bevel.line_mm[1] is [3]"),
        (r#""plunge_lean_deg": 80"#, "bevel.plunge_lean_deg is 80"),
    ] {
        let parts = format!(r#""bevel": {{ {plain}, {more} }}"#);
        let faults = message(&parts);
        assert!(faults.len() == 1 && faults[0].starts_with(expected), "{more}: {faults:?}");
        assert!(with(&parts).knife.bevel.is_some());
    }
    assert_eq!(
        message(r#""filing": { "facets": 2.5 }"#),
        ["filing.facets is 2.5; it must be a whole number"]
    );
    assert_eq!(
        message(r#""filing": { "facets": 99 }"#),
        ["filing.facets is 99; it must lie between 1 and 24"]
    );
    assert_eq!(
        message(r#""filing": { "facets": 3, "minutes": 10 }"#),
        ["filing.height_mm is missing; give it what was done in that time: a height reached, or \
          grams in its place"]
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_blade_written_is_read_the_same(
        bevel in blade::bevel(), line in blade::grind_line(), filing in blade::filing(),
        taper in prop::option::of((0.0..200.0f64, 0.0..5.0f64)),
    ) {
        let mut knife = crate::STARTERS[0].knife();
        let max_mm = *crate::limits::grind_height_on(&knife.profile).end();
        let grind_height_mm = bevel.grind_height_mm.min(max_mm);
        (knife.bevel, knife.filing) = (Some(Bevel { grind_height_mm, ..bevel }), Some(filing));
        if let Ok(changed) = Edit::SetGrindLine(line).apply(&knife) {
            knife = changed;
        }
        knife.taper = taper.map(|(from_x_mm, tip_mm)| Taper { from_x_mm, tip_mm });
        let opened = open(&save(&knife)).unwrap();
        prop_assert_eq!(opened.faults, vec![]);
        prop_assert_eq!(opened.knife, knife);
    }
}

#[test]
fn a_treatment_comes_back_and_unknown_words_are_told() {
    let with = |treatment: &str| {
        let text = String::from_utf8(save(&crate::STARTERS[0].knife())).unwrap();
        let text = text.replacen('{', &format!("{{ \"treatment\": {treatment},"), 1);
        open(text.as_bytes()).unwrap()
    };
    let sound = with(r#"{ "temper_c": 210, "finish": "satin", "heating": "open forge" }"#);
    assert_eq!(sound.faults, []);
    assert_eq!(sound.knife.treatment.temper, Some(crate::Temper::Heat(210.0)));
    assert_eq!(open(&save(&sound.knife)).unwrap(), sound);
    let faulty = with(r#"{ "hardness_hrc": 90, "finish": "shiny", "heating": "oven" }"#);
    let message: Vec<String> = faulty.faults.iter().map(ToString::to_string).collect();
    assert_eq!(
        message,
        [
            "treatment.hardness_hrc is 90; it must lie between 20 and 70",
            "treatment.finish is \"shiny\"; it must be one of stonewash, satin, etched, mirror",
        ]
    );
    let both = with(r#"{ "hardness_hrc": 60, "temper_c": 210 }"#);
    assert!(both.faults[0].to_string().contains("left out beside hardness_hrc"));
}

#[test]
fn faults_of_a_handle_are_told_and_the_rest_is_kept() {
    let jimping = r#""from_x_mm": 60, "to_x_mm": 90, "depth_mm": 0.5"#;
    for (part, expected) in [
        (
            r#""front": { "curve": "round", "lean_deg": 5 }"#.to_owned(),
            "handle.front.radius_mm is missing; give it a number",
        ),
        (
            format!(r#""jimping": {{ {jimping}, "vee_deg": 90 }}"#),
            "handle.jimping.pitch_mm is missing; give it a number, or lines_per_inch in its place",
        ),
        (
            format!(r#""jimping": {{ {jimping}, "vee_deg": 90, "pitch_mm": 1, "lines_per_inch": 20 }}"#),
            "handle.jimping.lines_per_inch is not a field",
        ),
        (
            r#""scallops": { "count": 4, "front_mm": 9, "butt_mm": 9, "drum_mm": 0, "angle_deg": 45,
               "depth_mm": 2 }"#
                .to_owned(),
            "handle.scallops.drum_mm is 0; it must lie between",
        ),
        (
            r#""fixings": [ { "hole": 1, "kind": "nail" } ]"#.to_owned(),
            "handle.fixings[0].kind is \"nail\"; it must be one of tube, screw",
        ),
        (
            r#""shaping": { "thickness": [ { "x_mm": 1 } ] }"#.to_owned(),
            "handle.shaping.thickness[0].thickness_mm is missing",
        ),
    ] {
        let opened = with(&format!(r#""handle": {{ "pins": "copper C11000", {part} }}"#));
        let message: Vec<String> = opened.faults.iter().map(ToString::to_string).collect();
        assert!(message.len() == 1 && message[0].starts_with(expected), "{part}: {message:?}");
        assert_eq!(opened.knife.handle.pins.as_deref(), Some("copper C11000"));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_handle_written_is_read_the_same(handle in blade::handle()) {
        let mut knife = crate::STARTERS[0].knife();
        knife.handle = handle;
        let opened = open(&save(&knife)).unwrap();
        prop_assert_eq!(opened.faults, vec![]);
        prop_assert_eq!(opened.knife, knife);
    }
}

#[test]
fn a_profile_too_short_to_be_a_blank_is_told_and_kept() {
    let mut knife = Knife::empty();
    let node = |id, at: (f64, f64)| Node {
        id: NodeId(id),
        at: at.into(),
        handle_in: None,
        handle_out: None,
        kind: NodeKind::Corner,
    };
    knife.profile.nodes = vec![node(1, (0.0, 0.0)), node(2, (0.0012, 0.0)), node(3, (0.0, 1e-4))];
    let opened = open(&save(&knife)).unwrap();
    let message: Vec<String> = opened.faults.iter().map(ToString::to_string).collect();
    assert_eq!(message.len(), 1);
    assert!(message[0].starts_with("profile is 0.0012 mm long; a blank is at least 5 mm long"));
    assert_eq!(opened.knife, knife);
}

#[test]
fn a_height_above_the_blank_is_told_and_the_rest_is_kept() {
    let opened = with(
        r#""bevel": { "plunge_x_mm": 5, "grind_height_mm": 500, "edge_thickness_mm": 0.5 },
           "swedge": { "from_x_mm": 4, "height_mm": 100, "thickness_mm": 1 }"#,
    );
    let message: Vec<String> = opened.faults.iter().map(ToString::to_string).collect();
    assert_eq!(message.len(), 2, "{message:?}");
    assert!(message[0].starts_with("bevel.grind_height_mm is 500, more than the whole profile"));
    assert!(message[1].starts_with("swedge.height_mm is 100, more than the whole profile"));
    let (bevel, swedge) = (opened.knife.bevel.unwrap(), opened.knife.swedge.unwrap());
    assert_eq!((bevel.plunge_x_mm, bevel.edge_thickness_mm), (5.0, 0.5));
    assert!(bevel.grind_height_mm < 10.0 && swedge.height_mm < 10.0);
    let again = open(&save(&opened.knife)).unwrap();
    assert!(again.faults.is_empty() && again.knife == opened.knife);
}

#[test]
fn a_knife_of_which_nothing_is_drawn_comes_back() {
    let mut knife = Knife::empty();
    for nodes in 0..2 {
        let opened = open(&save(&knife)).unwrap();
        assert!(opened.faults.is_empty(), "{nodes}: {:?}", opened.faults);
        assert_eq!(opened.knife, knife);
        let at = Point::new(1.0, 2.0);
        let node =
            Node { id: NodeId(1), at, handle_in: None, handle_out: None, kind: NodeKind::Corner };
        knife.profile.nodes = vec![node];
    }
    check(
        (r#""nodes""#, r#""knots""#),
        &[
            "profile.knots is not a field of this format; check its spelling or remove it",
            "profile.nodes is missing; give it a list [ … ]",
            "profile.tip names node 1, which is not there; name one of the nodes",
        ],
    );
}

#[test]
fn the_origin_may_be_absent_and_comes_back() {
    let text = sound();
    assert_eq!(open(text.as_bytes()).unwrap().knife.origin, Origin::Tip);
    for origin in Origin::ALL {
        let knife = Knife { origin, ..open(text.as_bytes()).unwrap().knife };
        let written = save(&knife);
        assert_eq!(open(&written).unwrap().knife, knife);
        let is_told = String::from_utf8(written).unwrap().contains("\"origin\"");
        assert_eq!(is_told, origin != Origin::Tip, "the usual one leaves files as they were");
    }
    check(
        (r#""unit": "in""#, r#""unit": "in", "origin": "butt""#),
        &["origin is \"butt\"; it must be one of tip, heel, plunge, bar-corner, drawing"],
    );
}

#[test]
fn a_picture_comes_back_and_what_is_wrong_with_it_is_told() {
    let with = |picture: &str| {
        let text = sound().replacen('{', &format!("{{ \"picture\": {picture},"), 1);
        open(text.as_bytes()).unwrap()
    };
    let sum = r#""sum": "00000000000000ff""#;
    let lies = r#""mm_from_view": [100, 0, 0, 0, -100, 5, 0.1, 0, 1]"#;
    let sound = with(&format!(r#"{{ "path": "pictures/a.jpg", {sum}, {lies} }}"#));
    assert_eq!(sound.faults, []);
    let picture = sound.knife.picture.clone().unwrap();
    assert_eq!((picture.path.as_str(), picture.sum), ("pictures/a.jpg", 255));
    assert_eq!(picture.placement.distortion, [0.0, 0.0]);
    assert_eq!(open(&save(&sound.knife)).unwrap(), sound);
    for (picture, expected) in [
        ("7".to_owned(), "picture is 7; it must be an object { … }"),
        (format!("{{ {sum}, {lies} }}"), "picture.path is missing; give it the picture's file"),
        (
            format!(r#"{{ "path": "a.jpg", "sum": "ff", {lies} }}"#),
            "picture.sum is \"ff\"; it must be the 16 hexadecimal digits of a sum",
        ),
        (
            format!(r#"{{ "path": "a.jpg", {sum}, "mm_from_view": [1, 2] }}"#),
            "picture.mm_from_view has 2 entries; it must have 9 to 9",
        ),
        (
            format!(r#"{{ "path": "a.jpg", {sum}, "mm_from_view": [0,0,0,0,0,0,0,0,1] }}"#),
            "picture.mm_from_view is a placement that no camera gives; it must be nine numbers that lay a picture in front \
             of the camera, the last one 1",
        ),
    ] {
        let faulty = with(&picture);
        assert_eq!(faulty.knife.picture, None);
        assert_eq!(faulty.faults[0].to_string(), expected);
        assert_eq!(faulty.knife.profile, sound.knife.profile, "the rest is kept");
    }
}

#[test]
fn dimensions_and_kinds_of_nodes_are_read_back_and_faults_have_their_place() {
    let more = r#", "dimensions": [
        { "kind": "distance", "from": { "node": 1 }, "to": { "at_mm": [4, 5] } },
        { "kind": "to-edge", "from": { "hole": 1 }, "to": { "stretch": 2 } },
        { "kind": "gap", "from": { "hole": 1 }, "to": { "stretch": 3 } },
        { "kind": "angle", "at": { "node": 1 }, "from": { "node": 2 }, "to": { "hole": 1 } },
        { "kind": "radius", "at": { "stretch": 3, "t": 0.25 } },
        { "kind": "along", "from": { "node": 1 }, "to": { "stretch": 2, "t": 1 } } ] }"#;
    let text = sound();
    let whole = format!("{}{more}", text.trim_end().strip_suffix('}').unwrap());
    let opened = open(whole.as_bytes()).unwrap();
    assert_eq!((&opened.faults[..], opened.knife.dimensions.len()), (&[][..], 6));
    assert_eq!(open(&save(&opened.knife)).unwrap().knife, opened.knife);
    for (from, to, message) in [
        ("\"node\": 2", "\"node\": 9", "dimensions[3]"),
        ("0.25", "1.5", "dimensions[4].at.t"),
        ("\"gap\"", "\"span\"", "dimensions[2].kind"),
        ("\"to\": { \"stretch\": 2 }", "\"to\": 3", "dimensions[1].to"),
    ] {
        let opened = open(whole.replace(from, to).as_bytes()).unwrap();
        assert_eq!(opened.knife.dimensions.len(), 5, "{to}");
        assert!(
            opened.faults.iter().any(|f| f.to_string().starts_with(message)),
            "{:?}",
            opened.faults
        );
    }
    let kept = text.replace("\"at_mm\": [10, 0]", "\"at_mm\": [10, 0], \"handles\": \"symmetric\"");
    let opened = open(kept.as_bytes()).unwrap();
    assert!(opened.faults[0].to_string().contains("smooth is not true"), "{:?}", opened.faults);
    let kept = kept.replace("\"handles\"", "\"smooth\": true, \"handles\"");
    let opened = open(kept.as_bytes()).unwrap();
    assert_eq!(opened.knife.profile.nodes[1].kind, NodeKind::Symmetric);
    assert!(opened.faults.is_empty());
}
