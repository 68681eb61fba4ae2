//! Scribing distances held against GEOS, through the JSON that `numbers` prints.

use bench_tests::root;
use knife::{Hole, HoleId, HoleKind, Knife, Profile, Reference, ReferenceEdge, ReferenceEnd, file};
use kurbo::{BezPath, Point};
use outline::Outline;
use reckon::{Shop, numbers_json, reckon, tables::Tables};
use serde_json::Value;
use std::fs;

/// The reference's outline is a polyline of 3000 pieces to a curve: on the longest one its chords
/// lie this far from the curve, and farther along a ray that meets it at a slant, mm.
const NEAR_MM: f64 = 2e-5;

fn n(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

fn place(value: &Value) -> Point {
    Point::new(value[0].as_f64().unwrap(), value[1].as_f64().unwrap())
}

/// The knife of a case: a shipped one, or a reference outline on a bar of its own.
fn blank(case: &Value) -> Knife {
    let Some(path) = case["path"].as_str() else {
        let path = root().join(case["name"].as_str().unwrap());
        return file::open(&fs::read(path).unwrap()).unwrap().knife;
    };
    let outline = Outline::new(BezPath::from_svg(path).unwrap().segments().collect()).unwrap();
    let bar = &case["bar"];
    let mut knife = Knife::empty();
    knife.profile = Profile::from_outline(&outline);
    (knife.bar.width_mm, knife.bar.length_mm) = (n(bar, "width"), n(bar, "length"));
    knife.bar.placement.at = place(&bar["at"]);
    knife.bar.placement.turn_deg = n(bar, "turn_deg");
    let holes = (1u32..).zip(case["holes"].as_array().unwrap());
    knife.holes = holes
        .map(|(id, hole)| Hole {
            id: HoleId(id),
            name: String::new(),
            kind: HoleKind::Relief,
            at: place(&hole["at"]),
            diameter_mm: 1.0,
            drill: None,
            pin_mm: None,
        })
        .collect();
    knife
}

#[test]
fn distances_are_those_of_geos() {
    let text = fs::read_to_string(root().join("tests/reference/scribe_reference.json")).unwrap();
    let reference: Value = serde_json::from_str(&text).unwrap();
    let cases = reference["cases"].as_array().unwrap();
    let mut checked = 0;
    let mut outlines = 0;
    for case in cases {
        let mut knife = blank(case);
        outlines += usize::from(case["path"].is_string());
        for (edge, end) in [
            (ReferenceEdge::Lower, ReferenceEnd::Left),
            (ReferenceEdge::Upper, ReferenceEnd::Right),
        ] {
            knife.bar.reference = Reference { edge, end };
            checked += check(case, &knife);
        }
    }
    assert!(outlines >= 12 && cases.len() - outlines >= 16, "{outlines} of {}", cases.len());
    assert!(checked > 3000, "{checked}");
}

fn check(case: &Value, knife: &Knife) -> usize {
    let name = case["name"].as_str().unwrap();
    let reckoning = reckon(knife, &Shop::default(), Tables::built_in());
    let json = numbers_json(knife, &reckoning);
    let mut checked = 0;
    let mut near = |what: &str, got: f64, want: f64| {
        assert!((got - want).abs() < NEAR_MM, "{name}: {what} {got}, by GEOS {want}");
        checked += 1;
    };
    let from_left = knife.bar.reference.end == ReferenceEnd::Left;
    let from_lower = knife.bar.reference.edge == ReferenceEdge::Lower;
    let wanted = case["holes"].as_array().unwrap();
    for (i, want) in wanted.iter().enumerate() {
        let (got, plain) = (&json["scribe"]["holes"][i], &json["holes"][i]);
        near("lower edge", n(got, "from_lower_edge_mm"), n(want, "lower"));
        near("upper edge", n(got, "from_upper_edge_mm"), n(want, "upper"));
        near("left end", n(got, "from_left_end_mm"), n(want, "left"));
        near("right end", n(got, "from_right_end_mm"), n(want, "right"));
        let (edge, end) = (["upper", "lower"][usize::from(from_lower)], ["right", "left"]);
        near("reference edge", n(plain, "from_bar_edge_mm"), n(want, edge));
        near("reference end", n(plain, "from_bar_end_mm"), n(want, end[usize::from(from_left)]));
        // Upper or lower on the bar, whichever is the spine's side.
        let (spine, belly) = (n(got, "to_spine_mm"), n(got, "to_belly_mm"));
        let (up, down) = (n(want, "up"), n(want, "down"));
        let upright = (spine - up).abs() < (spine - down).abs();
        near("spine", spine, if upright { up } else { down });
        near("belly", belly, if upright { down } else { up });
        near("upper", n(plain, "from_upper_mm"), up);
        near("lower", n(plain, "from_lower_mm"), down);
        if from_left {
            assert_eq!(got["hole_before"], want["before"], "{name}");
            if want["along"].is_number() {
                near("along the row", n(got, "along_row_mm"), n(want, "along"));
            }
        }
    }
    checked
}
