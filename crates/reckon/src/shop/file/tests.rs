//! Reading and writing shop files.

use super::*;
use crate::shop::{Printer, Trim, trim::ProofReading};
use kurbo::Vec2;
use proptest::prelude::*;
use units::DrillName;

fn message(fields: &str) -> Vec<String> {
    let text = format!(r#"{{ "format": "blankwright-shop", "version": 1, {fields} }}"#);
    open(text.as_bytes()).unwrap().faults.iter().map(ToString::to_string).collect()
}

fn whole() -> Shop {
    Shop {
        name: "Hollow Oak".into(),
        drill_sets: vec![DrillSet::Number, DrillSet::Fraction],
        drills: vec![DrillName::metric(5.1).unwrap()],
        saws: vec![Saw { name: "hacksaw".into(), kerf_mm: 1.1 }],
        pins: vec![PinOnHand { material: "brass C36000".into(), diameter_mm: 3.17 }],
        bars: vec![BarOnHand {
            grade: "SAE 1084".into(),
            width_mm: 38.1,
            thickness_mm: 3.175,
            length_mm: 1219.2,
            count: 3,
            price_per_m: Some(12.5),
        }],
        papers: vec!["letter".into()],
        printers: vec![
            Printer { name: "hall".into(), trim: None },
            Printer {
                name: "club".into(),
                trim: Some(Trim {
                    scale_x: 1.003,
                    scale_y: 0.998,
                    skew_deg: 0.05,
                    within_mm: Some(0.08),
                    paper: "letter".into(),
                    readings: vec![ProofReading {
                        sent_mm: Vec2::new(175.0, 0.0),
                        measured_mm: 174.5,
                    }],
                }),
            },
            Printer {
                name: "typed".into(),
                trim: Some(Trim { scale_x: 1.0, scale_y: 0.99, ..Trim::default() }),
            },
        ],
        oven: Some(Chamber::Box { width_mm: 300.0, height_mm: 200.0, length_mm: 400.0 }),
        forge: Some(Chamber::Round { diameter_mm: 57.15, length_mm: 230.0 }),
        limits: Limits { edge_care_diameters: 2.0, ..Limits::default() },
        ..Shop::default()
    }
}

#[test]
fn what_is_written_comes_back_and_a_partial_file_takes_the_defaults() {
    for shop in [Shop::default(), whole()] {
        let text = save(&shop);
        assert_eq!(
            open(text.as_bytes()).unwrap(),
            OpenedShop { shop, faults: vec![], more_faults: 0 },
            "{text}"
        );
    }
    let text = r#"{ "format": "blankwright-shop", "version": 1.0, "drill_sets": ["fraction"] }"#;
    let opened = open(text.as_bytes()).unwrap();
    assert_eq!(opened.faults, vec![]);
    let expected = Shop { drill_sets: vec![DrillSet::Fraction], ..Shop::default() };
    assert_eq!(opened.shop, expected);
    let text = save(&whole());
    assert!(text.contains("\"limits\": { \"edge_care_diameters\": 2.0 }"), "{text}");
    assert!(text.lines().all(|line| line.len() < 160), "{text}");
}

#[test]
fn every_fault_is_told_with_its_place_and_what_to_do() {
    assert_eq!(
        message(r#""drill_sets": ["numbr"]"#),
        [r#"drill_sets[0] is "numbr"; it must be one of number, letter, fraction, metric"#]
    );
    assert_eq!(message("\"drills\": [\"#30\", \"7.77 mm\", 3]").len(), 2);
    assert_eq!(
        message(r#""saws": [{ "name": "x", "kerf_mm": -1 }]"#),
        ["saws[0].kerf_mm is -1; it must lie between 0.05 and 10"]
    );
    assert_eq!(
        message(r#""oven": { "shape": "box", "width_mm": 300 }"#),
        [
            "oven.length_mm is missing; give it a number",
            "oven.height_mm is missing; give it a number"
        ]
    );
    assert_eq!(
        message(r#""limits": { "edge_care": 2 }, "kiln": 1"#),
        [
            "kiln is not a field of this format; check its spelling or remove it",
            "limits.edge_care is not a field of this format; check its spelling or remove it"
        ]
    );
    assert_eq!(message(r#""name": "a", "name": "b""#).len(), 1);
    assert_eq!(
        message(r#""limits": { "edge_stop_diameters": 2, "pin_gap_least_mm": 0.3 }"#),
        [
            "limits.edge_stop_diameters is 2, above edge_care_diameters, which is 1.5; correct one of them",
            "limits.pin_gap_least_mm is 0.3, above pin_gap_most_mm, which is 0.1524; correct one of them"
        ]
    );
    assert_eq!(
        message(r#""limits": { "edge_stop_diameters": 2, "edge_care_diameters": 2 }"#).len(),
        0
    );
    assert_eq!(
        message(r#""papers": ["A4", "Letter", "A44"]"#),
        [r#"papers[2] is "A44"; it must be one of a paper of the table such as letter or A4"#]
    );
    assert_eq!(
        message(
            r#""forge": { "shape": "round", "width_mm": 9, "diameter_mm": 60, "length_mm": 230 }"#
        ),
        ["forge.width_mm says nothing where the shape is round; remove it or correct that"]
    );
    let bar = r#""bars": [{ "width_mm": 40, "thickness_mm": 3, "length_mm": 900, "count": 1.5 }]"#;
    assert_eq!(message(bar), ["bars[0].count is 1.5; it must be a whole number"]);
    assert_eq!(
        message(r#""inside_tools": [4]"#),
        ["inside_tools[0] is 4; it must be an object { … }"]
    );
}

#[test]
fn what_is_no_shop_is_said_so() {
    let line = |text: &str| open(text.as_bytes()).unwrap_err().to_string();
    assert!(line(" \n").starts_with("it is empty"));
    assert!(line("{").starts_with("it is not readable as JSON"));
    assert!(line(r#"{"format":"blankwright","version":1}"#).contains("not a shop"));
    assert!(line(r#"{"format":"blankwright-shop","version":2}"#).contains("newer Blankwright"));
    assert!(line(r#"{"format":"blankwright-shop"}"#).contains("version"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_damaged_file_still_opens_or_says_why(place in any::<prop::sample::Index>(), byte in any::<u8>()) {
        let mut bytes = save(&whole()).into_bytes();
        let place = place.index(bytes.len());
        bytes[place] = byte;
        if let Ok(opened) = open(&bytes) {
            let again = open(save(&opened.shop).as_bytes()).unwrap();
            prop_assert_eq!(again.shop, opened.shop);
            prop_assert!(again.faults.is_empty());
        }
    }
}

#[test]
fn a_drill_set_named_twice_is_told_and_kept_once() {
    let text = r#"{ "format": "blankwright-shop", "version": 1,
        "drill_sets": ["number", "metric", "number"] }"#;
    let opened = open(text.as_bytes()).unwrap();
    assert_eq!(opened.shop.drill_sets, vec![DrillSet::Number, DrillSet::Metric]);
    let message: Vec<String> = opened.faults.iter().map(ToString::to_string).collect();
    assert_eq!(message.len(), 1);
    assert!(message[0].contains("number") && message[0].contains("is there twice"), "{message:?}");
    assert_eq!(open(save(&opened.shop).as_bytes()).unwrap().shop, opened.shop);
}

/// An older shop file says nothing of the limit that came later.
#[test]
fn a_thin_web_allowed_by_an_older_shop_still_opens() {
    let text =
        r#"{ "format": "blankwright-shop", "version": 1, "limits": { "web_care_mm": 0.3 } }"#;
    let opened = open(text.as_bytes()).unwrap();
    assert_eq!(opened.faults, vec![]);
    assert_eq!(opened.shop.limits.web_stop_mm, 0.3);
}
