//! The shop card, setting findings aside and lightening the tang, driven by their names.

use super::*;
use desk::{Dialog, ShopPage};
use reckon::shop::{Chamber, DrillSet};

/// A desk that goes by the shop kept on this host.
fn bench_of(host: MemoryHost) -> Harness<'static, Bench> {
    let mut desk = Desk::new(Settings::default());
    desk.session.dialogs.welcomed = true;
    desk.open_shop(&host);
    with(Bench { desk, host })
}

fn click(harness: &mut Harness<'_, Bench>, role: Role, name: &str) {
    harness.get_by_role_and_label(role, name).click();
    harness.run_steps(4);
}

fn page(harness: &mut Harness<'_, Bench>, page: ShopPage) {
    harness.state_mut().desk.session.dialogs.open = Some(Dialog::Shop(page));
    harness.run_steps(4);
}

/// The shop as the file in the program's own folder has it.
fn kept(harness: &Harness<'_, Bench>) -> reckon::Shop {
    let bytes = &harness.state().host.files[Path::new("/data/shop.json")];
    let opened = reckon::shop::file::open(bytes).expect("a shop is kept");
    assert_eq!(opened.faults, vec![]);
    opened.shop
}

#[test]
fn a_shop_is_typed_in_kept_and_gone_by() {
    let mut harness = bench_of(MemoryHost::with_data());
    run(&mut harness, Command::Shop);
    click(&mut harness, Role::CheckBox, "Metric drills, to 3 mm by 0.05, to 13 mm by 0.1");
    click(&mut harness, Role::CheckBox, "Number drills, #1 to #80");
    fill(&mut harness, "Other drills", "#30, 5.1 mm");
    assert_eq!(kept(&harness).drill_sets, [DrillSet::Letter, DrillSet::Fraction]);
    assert_eq!(kept(&harness).drills.len(), 2);
    fill(&mut harness, "Other drills", "#300");
    assert_eq!(kept(&harness).drills.len(), 2, "refused");
    assert!(harness.query_by_label_contains("isn't in the drill table").is_some());

    page(&mut harness, ShopPage::Tools);
    fill(&mut harness, "Diameter of 5/32 in round file", "4.02 mm");
    let file = kept(&harness).inside_tools.into_iter().find(|t| t.name.starts_with("5/32"));
    assert!((file.unwrap().radius_mm() - 2.01).abs() < 1e-9, "half of what was measured");

    page(&mut harness, ShopPage::Fire);
    click(&mut harness, Role::RadioButton, "Quench is a tube");
    fill(&mut harness, "Quench length", "2 in");
    let length_mm = kept(&harness).quench_tank.unwrap().length_mm();
    assert!((length_mm - 50.8).abs() < 1e-9);
    let told = |harness: &Harness<'_, Bench>, rule| {
        let findings = &harness.state().desk.derived.reckoning.findings;
        findings.iter().any(|finding| finding.rule == rule)
    };
    assert!(told(&harness, "does-not-go-in"), "a blade of 4 in doesn't go in");

    page(&mut harness, ShopPage::Limits);
    fill(&mut harness, "Hole's centre to the outline, in its diameters: caution below", "9");
    assert!(told(&harness, "web-to-edge"));
    click(&mut harness, Role::Button, "Usual value");
    assert!(!told(&harness, "web-to-edge"));
    // What says stop can't be milder than what says take care: the file would be refused.
    fill(&mut harness, "Hole's centre to the outline, in its diameters: stop below", "2");
    assert_eq!(kept(&harness).limits.edge_care_diameters, 2.0);

    // Another run finds it.
    let again = bench_of(harness.state().host.clone());
    assert_eq!(*again.state().desk.derived.shop(), kept(&harness));
    assert!(matches!(again.state().desk.derived.shop().quench_tank, Some(Chamber::Round { .. })));
}

#[test]
fn a_finding_is_set_aside_with_a_reason_and_taken_up_again() {
    let mut harness = bench_of(MemoryHost::with_data());
    let hole = harness.state().desk.document.knife().holes[0].clone();
    let outline = harness.state().desk.document.knife().profile.outline().unwrap();
    // A pin 1 mm from the belly, as a maker might push it by mistake.
    let (low, _) = outline.chord(hole.at, (0.0, 1.0).into()).unwrap();
    let to = kurbo::Point::new(hole.at.x, low.y + hole.diameter_mm / 2.0 + 1.0);
    harness.state_mut().desk.document.edit(&[Edit::MoveHole { hole: hole.id, to }]).unwrap();
    harness.run_steps(4);
    let stops = |harness: &Harness<'_, Bench>| harness.state().desk.derived.reckoning.stops();
    assert_eq!(stops(&harness), 1);
    harness.get_all_by_role_and_label(Role::Button, "Accept…").next().unwrap().click();
    harness.run_steps(4);
    harness.get_by_role_and_label(Role::TextInput, "Reason").type_text("a test piece");
    harness.run_steps(2);
    click(&mut harness, Role::Button, "Accept it");
    assert_eq!(stops(&harness), 0);
    assert_eq!(harness.state().desk.document.knife().set_aside[0].reason, "a test piece");
    harness.get_all_by_role_and_label(Role::Button, "More").last().unwrap().click();
    harness.run_steps(4);
    assert!(harness.query_by_label_contains("The reason: a test piece.").is_some());
    click(&mut harness, Role::Button, "Stop accepting");
    assert_eq!(stops(&harness), 1);
    run(&mut harness, Command::Undo);
    assert_eq!(stops(&harness), 0, "both are steps");
}

#[test]
fn a_row_of_relief_holes_is_one_step_and_finds_nothing_to_mind() {
    let mut harness = bench_of(MemoryHost::with_data());
    let relief: Vec<Edit> = (harness.state().desk.document.knife().holes.iter())
        .filter(|hole| hole.kind == HoleKind::Relief)
        .map(|hole| Edit::RemoveHole(hole.id))
        .collect();
    if !relief.is_empty() {
        harness.state_mut().desk.document.edit(&relief).unwrap();
    }
    run(&mut harness, Command::Station(Station::Holes));
    fill(&mut harness, "Relief drill", "3/16");
    let row = harness.state().desk.derived.relief().unwrap().clone();
    assert!(!row.at.is_empty() && row.saved_g.unwrap() > 0.0);
    let before = harness.state().desk.document.knife().holes.len();
    let steps = harness.state().desk.document.history().past().len();
    click(&mut harness, Role::Button, &row.edit().unwrap().label());
    assert_eq!(harness.state().desk.document.knife().holes.len(), before + row.at.len());
    assert_eq!(harness.state().desk.document.history().past().len(), steps + 1);
    let findings = &harness.state().desk.derived.reckoning.findings;
    assert!(findings.is_empty(), "{findings:?}");
}
