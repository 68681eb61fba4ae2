//! The Sheath station: begun, typed, chosen, dragged, undone.

use super::*;
use knife::{Hand, Sheath, SheathBody, SheathKind};

fn station() -> Harness<'static, Bench> {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Sheath));
    harness
}

fn sheath_of(harness: &Harness<'_, Bench>) -> Option<Sheath> {
    harness.state().desk.document.knife().sheath.clone()
}

fn from_list(harness: &mut Harness<'_, Bench>, list: &str, name: &str) {
    pick(harness, Role::ComboBox, list);
    pick(harness, Role::Button, name);
}

#[test]
fn a_sheath_is_begun_shaped_and_removed() {
    let mut harness = station();
    let first = saved(&harness);
    assert_eq!(sheath_of(&harness), None);
    pick(&mut harness, Role::Button, "Begin the sheath");
    let unit = harness.state().desk.document.knife().unit;
    assert_eq!(sheath_of(&harness), Some(Sheath::usual(SheathKind::FoldedLeather, unit)));
    assert!(harness.query_by_label("Bend allowance").is_some(), "figures on the card");
    from_list(&mut harness, "Leather", "9 oz");
    assert!((sheath_of(&harness).unwrap().thickness_mm - 9.0 * 25.4 / 64.0).abs() < 1e-9);
    fill(&mut harness, "Up the handle", "30 mm");
    fill(&mut harness, "Welt width", "14 mm");
    fill(&mut harness, "Stitch", "5 mm");
    fill(&mut harness, "Stitches from the rim", "5 mm");
    fill(&mut harness, "Neutral line at", "0.4");
    pick(&mut harness, Role::RadioButton, "Left");
    let sheath = sheath_of(&harness).unwrap();
    assert_eq!((sheath.cover_mm, sheath.neutral, sheath.hand), (30.0, Some(0.4), Hand::Left));
    let SheathBody::Leather(leather) = sheath.body else { panic!() };
    assert_eq!(
        (leather.welt_width_mm, leather.stitch_pitch_mm, leather.stitch_margin_mm),
        (14.0, 5.0, 5.0)
    );
    pick(&mut harness, Role::Button, "Remove the belt loop");
    pick(&mut harness, Role::Button, "Add a belt loop");
    from_list(&mut harness, "Belt", "2 in");
    pick(&mut harness, Role::Button, "Remove the sheath");
    assert_eq!(sheath_of(&harness), None);
    assert!(saved(&harness) == first);
    run(&mut harness, Command::Undo);
    assert!(sheath_of(&harness).is_some());
}

#[test]
fn another_kind_keeps_what_both_have() {
    let mut harness = station();
    pick(&mut harness, Role::Button, "Begin the sheath");
    fill(&mut harness, "Up the handle", "28 mm");
    from_list(&mut harness, "Made as", "folded thermoplastic");
    let sheath = sheath_of(&harness).unwrap();
    assert_eq!((sheath.kind(), sheath.cover_mm), (SheathKind::FoldedThermoplastic, 28.0));
    pick(&mut harness, Role::Button, "Add a thumb ramp");
    fill(&mut harness, "Ramp rise", "8 mm");
    fill(&mut harness, "Clip spacing", " ");
    let sheath = sheath_of(&harness).unwrap();
    let formed = sheath.formed().unwrap();
    assert_eq!((formed.ramp.unwrap().rise_mm, formed.clip_mm), (8.0, None));
}

#[test]
fn what_cannot_be_is_said_below_its_field() {
    let mut harness = station();
    pick(&mut harness, Role::Button, "Begin the sheath");
    let before = saved(&harness);
    for (field, text, reason) in [
        ("Sheath thickness", "90 mm", "sheath's thickness of 90"),
        ("Neutral line at", "2", "share of the thickness of 2"),
        ("Neutral line at", "half", "isn't a share"),
        ("Stitches from the rim", "40 mm", "distance to the rim of 40"),
        ("Welt width", "wide", "isn't a length"),
    ] {
        fill(&mut harness, field, text);
        assert!(harness.query_by_label_contains(reason).is_some(), "{field}: {reason}");
        assert!(saved(&harness) == before, "{field}");
        harness.key_press(Key::Escape);
        harness.run_steps(3);
    }
}

#[test]
fn the_mouth_is_dragged_along_the_handle() {
    let mut harness = station();
    pick(&mut harness, Role::Button, "Begin the sheath");
    let before = sheath_of(&harness).unwrap().cover_mm;
    let from = middle_of(&harness, "Mouth of the sheath");
    drag(&mut harness, from, vec2(30.0, 0.0));
    let after = sheath_of(&harness).unwrap().cover_mm;
    assert!((after - before).abs() > 1.0, "{before} {after}");
}
