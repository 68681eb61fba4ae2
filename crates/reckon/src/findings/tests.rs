//! What all rules have in common. Each rule's own tests stand in its file.

use super::*;
use std::collections::BTreeSet;

#[test]
fn every_rule_is_documented_and_has_a_name_of_its_own() {
    let keys: BTreeSet<&str> = RULES.iter().map(|rule| rule.key).collect();
    assert_eq!(keys.len(), RULES.len());
    for rule in RULES {
        assert!(rule.key.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{}", rule.key);
        for text in [rule.checks, rule.rationale, rule.remedy] {
            assert!(text.ends_with('.') && text.len() > 20, "{}: {text}", rule.key);
        }
    }
}

#[test]
fn every_rule_has_a_file_of_its_own() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/findings");
    for rule in RULES {
        let file = format!("{folder}/{}.rs", rule.key.replace('-', "_"));
        assert!(std::path::Path::new(&file).exists(), "{file}");
    }
}

#[test]
fn a_sentence_is_one_line_whatever_names_the_file_has() {
    let mut knife = crate::sample::drilled(&[(150.0, 11.5, 6.0)]);
    knife.holes[0].drill = Some("a\nb".to_owned());
    knife.holes[0].name = "c\td".to_owned();
    let finding = crate::sample::found(&knife, "drill-mismatch").remove(0);
    assert!(finding.sentence.contains("(c d) names the drill \"a b\""), "{}", finding.sentence);
    let aside = finding.set_aside_edit("e\nf").apply(&knife).unwrap();
    let message = crate::sample::found(&aside, "drill-mismatch").remove(0).message();
    assert!(message.ends_with("The reason: e f."), "{message}");
}

#[test]
fn what_was_set_aside_no_longer_stops_until_it_is_worse() {
    // A 6 mm hole in a blank that ends at y 15: webs of 0.5 and 0.2 mm.
    let knife = crate::sample::drilled(&[(150.0, 11.5, 6.0)]);
    let stops = |knife: &Knife| crate::sample::reckoned(knife).stops();
    assert_eq!(stops(&knife), 1);
    let finding = crate::sample::found(&knife, "web-to-edge").remove(0);
    let aside = finding.set_aside_edit("a test piece").apply(&knife).unwrap();
    let message = crate::sample::found(&aside, "web-to-edge").remove(0);
    assert_eq!((stops(&aside), message.set_aside.as_deref()), (0, Some("a test piece")));
    assert_eq!(message.label(), "accepted");
    let up = message.restore_edit().apply(&aside).unwrap();
    assert_eq!((stops(&up), up.set_aside.len()), (1, 0));

    let mut moved = aside.clone();
    moved.holes[0].at.y = 11.0;
    assert_eq!(stops(&moved), 0, "better is still aside");
    moved.holes[0].at.y = 11.8;
    assert_eq!(stops(&moved), 1);
    let message = crate::sample::found(&moved, "web-to-edge").remove(0);
    assert!(message.sentence.contains("has become worse since"), "{}", message.sentence);
}

/// The findings of one rule after the hole was set aside at one height and moved to another.
fn moved(from_y: f64, to: (f64, f64)) -> Finding {
    let knife = crate::sample::drilled(&[(150.0, from_y, 6.0)]);
    let finding = crate::sample::found(&knife, "web-to-edge").remove(0);
    let mut moved = finding.set_aside_edit("a test piece").apply(&knife).unwrap();
    (moved.holes[0].at.y, moved.holes[0].diameter_mm) = to;
    crate::sample::found(&moved, "web-to-edge").remove(0)
}

// A 6 mm hole in a blank that ends at y 15: take care under a web of 6, stop under 3 mm.
#[test]
fn what_was_set_aside_as_care_comes_back_as_a_stop() {
    let stop = moved(7.0, (9.5, 6.0));
    assert_eq!((stop.severity, stop.set_aside.as_deref()), (Severity::Stop, None));
    assert!(stop.sentence.contains("has become worse since"), "{}", stop.sentence);
    // Just over the border between the two, where the web is hardly less.
    assert!(moved(8.999, (9.0001, 6.0)).set_aside.is_none());
    assert!(moved(8.0, (8.01, 6.0)).set_aside.is_none(), "a hundredth nearer");
    assert!(moved(8.0, (8.0, 6.0)).set_aside.is_some());
    // Better, though the milder limit asks for more than the graver one did.
    assert!(moved(9.5, (8.5, 6.0)).set_aside.is_some());
    // The same web of 4 mm around a larger hole: more of it is lacking.
    assert!(moved(8.0, (7.0, 8.0)).set_aside.is_none());
}

#[test]
fn a_measure_that_should_be_at_most_its_limit_comes_back_when_it_grows() {
    let mut knife = crate::sample::drilled(&[(150.0, 0.0, 3.5)]);
    knife.holes[0].pin_mm = Some(3.175);
    let wide = crate::sample::found(&knife, "pin-gap").remove(0);
    assert_eq!(wide.limit_side, LimitSide::AtMost);
    let mut aside = wide.set_aside_edit("a loose fit").apply(&knife).unwrap();
    let counts = |knife: &Knife| crate::sample::found(knife, "pin-gap")[0].set_aside.is_none();
    for (diameter_mm, comes_back) in [(3.5, false), (3.45, false), (3.51, true), (3.18, true)] {
        aside.holes[0].diameter_mm = diameter_mm;
        assert_eq!(counts(&aside), comes_back, "{diameter_mm}: too wide, then too tight");
    }
}

#[test]
fn an_aside_that_does_not_say_how_grave_it_was_holds_no_stop() {
    let message = |y: f64, change: fn(&mut SetAside)| {
        let knife = crate::sample::drilled(&[(150.0, y, 6.0)]);
        let finding = crate::sample::found(&knife, "web-to-edge").remove(0);
        let Edit::SetAside(mut aside) = finding.set_aside_edit("so") else {
            panic!("another edit")
        };
        change(&mut aside);
        let aside = Edit::SetAside(aside).apply(&knife).unwrap();
        crate::sample::found(&aside, "web-to-edge").remove(0)
    };
    let old = |aside: &mut SetAside| (aside.severity, aside.limit_mm) = (None, None);
    assert!(message(8.0, old).set_aside.is_some());
    let stop = message(10.0, old);
    assert!(stop.set_aside.is_none());
    assert!(
        stop.sentence.ends_with("Accept it again if that is still right."),
        "{}",
        stop.sentence
    );
    assert!(message(8.0, |aside| aside.measured_mm = None).set_aside.is_none());
}

// Width and stiffness of one section are two findings at the same holes.
#[test]
fn a_weak_width_set_aside_leaves_the_stiffness() {
    let mut knife = crate::sample::drilled(&[(150.0, 6.0, 17.0), (180.0, 0.0, 4.0)]);
    knife.scales = Some(knife::Scales { front_x_mm: 110.0, thickness_mm: 6.35 });
    let message = crate::sample::found(&knife, "tang-weak");
    assert_eq!(message.len(), 2, "{message:?}");
    let stiffness = message.iter().find(|finding| finding.case == "stiffness").unwrap();
    // As stiff as whole tangs of these widths: 30 mm times the cube root of the share.
    let limit = 30.0 * 0.75_f64.cbrt();
    assert!((stiffness.limit_mm.unwrap() - limit).abs() < 1e-9);
    let width = message.iter().find(|finding| finding.case.is_empty()).unwrap();
    let aside = width.set_aside_edit("so").apply(&knife).unwrap();
    for finding in crate::sample::found(&aside, "tang-weak") {
        assert_eq!(finding.set_aside.is_some(), finding.case.is_empty());
    }
    let mut weaker = stiffness.set_aside_edit("so").apply(&knife).unwrap();
    let counts = |knife: &Knife| {
        let message = crate::sample::found(knife, "tang-weak");
        message.iter().any(|finding| finding.case == "stiffness" && finding.set_aside.is_none())
    };
    assert!(!counts(&weaker));
    weaker.holes[0].at.y = 6.4;
    assert!(counts(&weaker));
}

/// A knife and shop at which many rules speak, each limit as given.
fn many(limits: Limits) -> Vec<Finding> {
    let mut knife = crate::sample::drilled(&[
        (150.0, 9.0, 9.0),
        (163.0, 0.0, 4.0),
        (103.0, 0.0, 4.0),
        (190.0, 14.3, 0.5),
    ]);
    knife.scales = Some(knife::Scales { front_x_mm: 101.0, thickness_mm: 6.35 });
    knife.bevel = Some(knife::Bevel {
        plunge_x_mm: 100.0,
        grind_height_mm: 12.0,
        edge_thickness_mm: 0.5,
        ..knife::Bevel::default()
    });
    knife.holes[1].pin_mm = Some(3.0);
    knife.holes[1].drill = Some("4 mm".to_owned());
    knife.holes[1].diameter_mm = 4.2;
    let shop = Shop { limits, ..Shop::default() };
    crate::reckon(&knife, &shop, Tables::built_in()).findings
}

// "The limit is common practice" is untrue of a limit that the maker has set.
#[test]
fn a_limit_of_this_shop_is_told_as_such() {
    let own = |limits: Limits| -> BTreeSet<&'static str> {
        let message = many(limits).into_iter();
        message.filter(|finding| finding.limit_source == THIS_SHOP).map(|f| f.rule).collect()
    };
    assert_eq!(own(Limits::default()), BTreeSet::new());
    let usual = Limits::default();
    for (limits, rule) in [
        (Limits { edge_stop_diameters: 1.1, ..usual }, "web-to-edge"),
        (Limits { edge_care_diameters: 1.6, ..usual }, "web-to-edge"),
        (Limits { web_care_diameters: 1.6, ..usual }, "web-between-holes"),
        (Limits { pin_gap_most_mm: 0.2, ..usual }, "pin-gap"),
        (Limits { scale_front_diameters: 2.5, ..usual }, "hole-off-the-scales"),
        (Limits { tang_net_share: 0.99, ..usual }, "tang-weak"),
        (Limits { tang_stiffness_share: 0.9, ..usual }, "tang-weak"),
        (Limits { plunge_front_mm: 4.0, ..usual }, "plunge-out-of-place"),
        (Limits { drill_slack_mm: 0.01, ..usual }, "drill-mismatch"),
        (Limits { tip_width_mm: 40.0, ..usual }, "tip-thin"),
    ] {
        assert!(own(limits).contains(rule), "{rule}: {:?}", own(limits));
    }
    let small = many(Limits { web_care_mm: 10.0, ..usual });
    let between = small.iter().find(|finding| finding.rule == "web-between-holes").unwrap();
    assert_eq!((between.limit_source, between.limit_mm), (THIS_SHOP, Some(10.0)));
}

#[test]
fn a_heap_of_bad_holes_is_counted_not_listed() {
    let heap: Vec<(f64, f64, f64)> = (0..200).map(|_| (150.0, 0.0, 6.0)).collect();
    let message = crate::sample::found(&crate::sample::drilled(&heap), "holes-overlap");
    assert_eq!(message.len(), MAX_LISTED + 1);
    // 200 · 199 / 2 pairs.
    assert!(message[MAX_LISTED].sentence.starts_with("And 19850 more of this kind"));
}

// Each rule's own tests see each of its short texts; here in inches, with their longer figures.
#[test]
fn what_a_list_shows_is_short_in_inches_too() {
    let mut knife = crate::sample::drilled(&[
        (150.0, 11.9, 9.0),
        (159.0, 11.0, 4.0),
        (163.0, 0.0, 4.0),
        (164.0, 0.0, 4.0),
        (199.0, 0.0, 6.0),
        (102.0, 0.0, 4.0),
        (-60.0, 0.0, 4.0),
    ]);
    knife.unit = units::LengthUnit::Inch;
    knife.scales = Some(knife::Scales { front_x_mm: 101.0, thickness_mm: 6.35 });
    knife.bevel = Some(knife::Bevel {
        plunge_x_mm: 120.0,
        grind_height_mm: 12.0,
        edge_thickness_mm: 0.2,
        ..knife::Bevel::default()
    });
    knife.holes[2].pin_mm = Some(5.0);
    let findings = crate::sample::reckoned(&knife).findings;
    let rules: BTreeSet<&str> = findings.iter().map(|finding| finding.rule).collect();
    assert!(rules.len() >= 8, "{rules:?}");
    findings.iter().for_each(crate::sample::judge_short);
    for finding in findings {
        let aside = finding.set_aside_edit("so").apply(&knife).unwrap();
        let told = crate::sample::reckoned(&aside).findings;
        told.iter().for_each(crate::sample::judge_short);
    }
}

/// Rules whose button moves, removes or turns something: once pressed, the finding is gone.
#[test]
fn remedies_cure() {
    let cases = [
        ("web-between-holes", vec![(150.0, 0.0, 4.0), (155.0, 0.0, 4.0)]),
        ("holes-overlap", vec![(150.0, 0.0, 4.0), (153.0, 0.0, 4.0)]),
        ("holes-overlap", vec![(150.0, 0.0, 4.0), (150.0, 0.0, 4.0)]),
        ("hole-outside", vec![(150.0, 14.0, 4.0)]),
        ("hole-outside", vec![(150.0, 40.0, 4.0)]),
    ];
    for (rule, holes) in cases {
        let knife = crate::sample::drilled(&holes);
        let finding = crate::sample::found(&knife, rule).remove(0);
        let mended = finding.remedy.unwrap().apply(&knife).unwrap();
        assert!(crate::sample::found(&mended, rule).is_empty(), "{rule} {holes:?}");
        let stops = crate::sample::reckoned(&mended).stops();
        assert_eq!(stops, 0, "{rule} {holes:?}");
    }
}

#[test]
fn lines_out_of_place_are_brought_to_the_heel() {
    let mut knife = crate::sample::blank();
    for (plunge_x_mm, rule) in [
        (130.0, "plunge-out-of-place"),
        (60.0, "plunge-out-of-place"),
        (-20.0, "line-off-the-blank"),
    ] {
        let bevel = knife::Bevel {
            plunge_x_mm,
            grind_height_mm: 12.0,
            edge_thickness_mm: 0.5,
            ..knife::Bevel::default()
        };
        knife.bevel = Some(bevel);
        let finding = crate::sample::found(&knife, rule).remove(0);
        let mended = finding.remedy.unwrap().apply(&knife).unwrap();
        assert_eq!(mended.bevel.unwrap().plunge_x_mm, 100.0);
        assert!(crate::sample::found(&mended, rule).is_empty(), "{plunge_x_mm}");
    }
}

#[test]
fn marks_are_set_by_one_click() {
    let mut knife = crate::sample::blank();
    let (tip, heel) = (knife.profile.tip, knife.profile.heel);
    for marks in [(None, None), (tip, None), (None, heel), (heel, tip), (tip, tip)] {
        (knife.profile.tip, knife.profile.heel) = marks;
        let finding = crate::sample::found(&knife, "marks-missing").remove(0);
        let mended = finding.remedy.unwrap().apply(&knife).unwrap();
        assert!(crate::sample::found(&mended, "marks-missing").is_empty(), "{marks:?}");
    }
}
