//! The maker's shop on the command line, and findings set aside in a blank.

use bench_tests::Bench;
use std::fs;

fn write(bench: &Bench, name: &str, text: &str) {
    fs::write(bench.path(name), text).unwrap();
}

#[test]
fn a_shops_limits_rule_when_it_is_named_and_only_then() {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    let shop = |fields: &str| {
        format!(r#"{{ "format": "blankwright-shop", "version": 1, "limits": {{ {fields} }} }}"#)
    };
    // Every hole wants its centre nine diameters from the edge: none has that.
    write(&bench, "strict.json", &shop(r#""edge_stop_diameters": 9, "edge_care_diameters": 9"#));
    let check = bench.run(&["check", "@a.blank.json", "--shop", "@strict.json"]);
    assert_eq!(check.code, 1, "{}", check.out);
    assert!(check.out.contains("9 × its diameter"), "{}", check.out);
    bench.done(&["check", "@a.blank.json"]);
    for command in
        [&["numbers", "@a.blank.json"][..], &["print", "@a.blank.json", "--out", "@a.pdf"]]
    {
        bench.done(&[command, &["--shop", "@strict.json"]].concat());
    }
    write(&bench, "wrong.json", &shop(r#""edge_stop_diameters": 90, "edges": 1"#));
    let refused = bench.run(&["check", "@a.blank.json", "--shop", "@wrong.json"]);
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("has 2 faults to fix first"), "{}", refused.err);
    assert!(refused.err.contains("limits.edges is not a field"), "{}", refused.err);
    let refused = bench.run(&["check", "@a.blank.json", "--shop", "@a.blank.json"]);
    assert!(refused.err.contains("can't be used as a shop"), "{}", refused.err);
    assert_eq!(bench.run(&["check", "@a.blank.json", "--shop", "@none.json"]).code, 2);
}

#[test]
fn the_sample_shop_is_sound_and_its_limits_are_told_as_its_own() {
    let bench = Bench::new();
    let sample = bench_tests::root().join("samples/hollow-oak.shop.json");
    let shop = sample.to_str().unwrap();
    let opened = reckon::shop::file::open(&fs::read(&sample).unwrap()).unwrap();
    assert_eq!(opened.faults, vec![]);
    assert_eq!(opened.shop.limits.edge_care_diameters, 2.0);
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    let message = bench.run(&["check", "@a.blank.json", "--shop", shop]);
    assert_eq!(message.code, 0, "{}", message.out);
    assert!(message.out.contains("      The limit is set in this shop."), "{}", message.out);
    bench.done(&["bar", "@a.blank.json", "--out", "@b.pdf", "--steps", "50", "--shop", shop]);
}

// What a maker may write by hand stands in the manual: every limit and every rule.
#[test]
fn the_manual_lists_every_limit_and_every_rule() {
    let pages = bench_tests::manual_text();
    let explained = |key: &str| pages.lines().any(|line| line == format!("## {key}"));
    for row in reckon::shop::LIMITS {
        assert!(explained(row.key), "{}", row.key);
    }
    for rule in reckon::findings::RULES {
        assert!(explained(rule.key), "{}", rule.key);
    }
}

#[test]
fn a_finding_set_aside_is_told_with_its_reason_and_no_longer_stops() {
    let bench = Bench::new();
    bench.done(&["new", "drop-point", "--out", "@a.blank.json"]);
    let text = fs::read_to_string(bench.path("a.blank.json")).unwrap();
    // A bar too narrow for any turn.
    let narrow = text.replace("\"width_mm\": 38.1", "\"width_mm\": 30");
    write(&bench, "b.blank.json", &narrow);
    assert_eq!(bench.run(&["check", "@b.blank.json"]).code, 1);
    let json = bench.json(&["check", "@b.blank.json", "--json"]);
    let stop = json["findings"].as_array().unwrap().iter().find(|f| f["severity"] == "stop");
    let stop = stop.unwrap();
    let aside = format!(
        r#""set_aside": [ {{ "rule": {}, "parts": {}, "severity": {}, "measured_mm": {},
        "reason": "only a card template" }}, {{ "rule": "of-another-version", "reason": "kept" }} ],
        "unit": "in""#,
        stop["set_aside_as"], stop["parts"], stop["severity"], stop["measured_mm"]
    );
    write(&bench, "c.blank.json", &narrow.replace("\"unit\": \"in\"", &aside));
    let message = bench.done(&["check", "@c.blank.json"]);
    assert!(message.contains("ACCEPTED: The blank sticks out of its bar"), "{message}");
    assert!(message.contains("The reason: only a card template."), "{message}");
    assert!(message.contains("NOTE: set_aside[1].rule in the file is \"of-another-version\""));
    let json = bench.json(&["check", "@c.blank.json", "--json"]);
    assert_eq!(json["stops"], 0);
    let findings = json["findings"].as_array().unwrap();
    let aside = findings.iter().find(|finding| finding["rule"] == "off-the-bar").unwrap();
    assert_eq!(aside["set_aside"], "only a card template");
}

#[test]
fn what_was_set_aside_stands_on_the_sheet_with_its_reason() {
    let mut knife = knife::starter("drop-point").unwrap().knife();
    knife.bar.width_mm = 30.0;
    let reckoned = |knife: &knife::Knife| {
        reckon::reckon(knife, &reckon::Shop::default(), reckon::tables::Tables::built_in())
    };
    let notes = |knife: &knife::Knife| drawing::views::profile_notes(knife, &reckoned(knife));
    let finding = reckoned(&knife).findings.into_iter().find(|f| f.rule == "off-the-bar").unwrap();
    assert!(notes(&knife).iter().any(|note| note.starts_with("STOP: ")));
    let aside = finding.set_aside_edit("only a card template").apply(&knife).unwrap();
    let message = notes(&aside);
    assert!(
        message.iter().any(|note| note.starts_with("ACCEPTED (only a card template): The blank"))
    );
    assert!(!message.iter().any(|note| note.starts_with("STOP: ")), "{message:?}");
}
