//! What all rules have in common. Each rule's own tests stand in its file.

use super::*;
use std::collections::BTreeSet;

#[test]
fn every_rule_is_documented_and_has_a_name_of_its_own() {
    let keys: BTreeSet<&str> = RULES.iter().map(|rule| rule.key).collect();
    assert_eq!(keys.len(), RULES.len());
    for rule in RULES {
        assert!(rule.key.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{}", rule.key);
        for text in [rule.checks, rule.matters, rule.cure] {
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
fn what_was_set_aside_no_longer_stops_until_it_is_worse() {
    // A 6 mm hole in a blank that ends at y 15: webs of 0.5 and 0.2 mm.
    let knife = crate::sample::drilled(&[(150.0, 11.5, 6.0)]);
    let stops = |knife: &Knife| crate::sample::reckoned(knife).stops();
    assert_eq!(stops(&knife), 1);
    let finding = crate::sample::found(&knife, "web-to-edge").remove(0);
    let aside = finding.aside("a test piece").apply(&knife).unwrap();
    let told = crate::sample::found(&aside, "web-to-edge").remove(0);
    assert_eq!((stops(&aside), told.set_aside.as_deref()), (0, Some("a test piece")));
    assert_eq!(told.word(), "set aside");
    let up = told.taken_up().apply(&aside).unwrap();
    assert_eq!((stops(&up), up.set_aside.len()), (1, 0));

    let mut moved = aside.clone();
    moved.holes[0].at.y = 11.0;
    assert_eq!(stops(&moved), 0, "better is still aside");
    moved.holes[0].at.y = 11.8;
    assert_eq!(stops(&moved), 1);
    let told = crate::sample::found(&moved, "web-to-edge").remove(0);
    assert!(told.sentence.contains("has become worse since"), "{}", told.sentence);
}

#[test]
fn a_heap_of_bad_holes_is_counted_not_listed() {
    let heap: Vec<(f64, f64, f64)> = (0..200).map(|_| (150.0, 0.0, 6.0)).collect();
    let told = crate::sample::found(&crate::sample::drilled(&heap), "holes-overlap");
    assert_eq!(told.len(), MOST_TOLD + 1);
    // 200 · 199 / 2 pairs.
    assert!(told[MOST_TOLD].sentence.starts_with("And 19850 more of this kind"));
}
