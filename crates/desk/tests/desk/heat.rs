//! Heat and finish: chosen on their card, told by chart and finding.

use super::*;
use knife::{Finish, Heating, Temper, Treatment};

fn heat() -> Harness<'static, Bench> {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Bevels));
    harness.key_press(Key::Q);
    harness.run_steps(4);
    harness
}

fn treatment(harness: &Harness<'_, Bench>) -> Treatment {
    harness.state().desk.document.knife().treatment
}

/// What the chart says of itself.
fn chart(harness: &Harness<'_, Bench>) -> Option<String> {
    let found = harness.query_by_label_contains("Temper chart of");
    found.and_then(|node| node.accesskit_node().label())
}

/// The grade's own table: SAE 1084 at 400 °F gives 61 to 62 HRC.
#[test]
fn a_temper_is_chosen_by_hardness_and_by_heat() {
    let mut harness = heat();
    let first = saved(&harness);
    run_grade(&mut harness, "SAE 1084");
    assert!(chart(&harness).unwrap().contains("no temper is chosen"));
    pick(&mut harness, Role::RadioButton, "Hardness");
    fill(&mut harness, "Hardness wanted", "60 HRC");
    assert_eq!(treatment(&harness).temper, Some(Temper::Hardness(60.0)));
    // Its own band holds 60 HRC from 450 °F to 500 °F, that of SAE 1080 from 400 °F on; above
    // 450 °F lies temper embrittlement.
    let words = chart(&harness).unwrap();
    assert!(words.contains("400–500 °F") && words.contains("embrittlement"), "{words}");
    pick(&mut harness, Role::RadioButton, "Temperature");
    fill(&mut harness, "Tempering temperature", "400 F");
    let Some(Temper::Heat(celsius)) = treatment(&harness).temper else { panic!("by its heat") };
    assert!((celsius - 1840.0 / 9.0).abs() < 1e-9);
    let words = chart(&harness).unwrap();
    assert!(words.contains("400 °F") && words.contains("then 59–62.5 HRC"), "{words}");
    assert!(harness.query_by_label("59–62.5 HRC").is_some(), "among the figures too");
    pick(&mut harness, Role::RadioButton, "Left open");
    assert_eq!(treatment(&harness).temper, None);
    for _ in 0..harness.state().desk.document.history().past().len() {
        run(&mut harness, Command::Undo);
    }
    assert!(saved(&harness) == first);
}

fn run_grade(harness: &mut Harness<'_, Bench>, grade: &str) {
    let bar = harness.state().desk.document.knife().bar.clone();
    let edit = Edit::SetBar {
        grade: grade.into(),
        width_mm: bar.width_mm,
        thickness_mm: bar.thickness_mm,
        length_mm: bar.length_mm,
    };
    harness.state_mut().desk.document.edit(&[edit]).expect("a bar");
    harness.run_steps(4);
}

#[test]
fn what_no_temper_can_be_is_refused_or_found() {
    let mut harness = heat();
    run_grade(&mut harness, "SAE 1084");
    pick(&mut harness, Role::RadioButton, "Hardness");
    fill(&mut harness, "Hardness wanted", "60");
    let before = saved(&harness);
    fill(&mut harness, "Hardness wanted", "hard");
    assert!(harness.query_by_label_contains("isn't a hardness").is_some());
    fill(&mut harness, "Hardness wanted", "90");
    assert!(harness.query_by_label_contains("hardness in HRC of 90").is_some());
    assert!(saved(&harness) == before, "refused");
    // What can be typed, but stands in no table, is a finding: on the card and along the bottom.
    fill(&mut harness, "Hardness wanted", "66");
    assert_eq!(treatment(&harness).temper, Some(Temper::Hardness(66.0)));
    let told = harness.query_all_by_label_contains("No temper of the tables gives 66 HRC").count();
    assert!(told >= 2, "{told}");
    pick(&mut harness, Role::RadioButton, "Temperature");
    let before = saved(&harness);
    fill(&mut harness, "Tempering temperature", "400");
    assert!(harness.query_by_label_contains("needs a unit").is_some());
    assert!(saved(&harness) == before, "refused");
}

#[test]
fn heating_and_finish_are_chosen() {
    let mut harness = heat();
    pick(&mut harness, Role::RadioButton, "Oven");
    assert_eq!(treatment(&harness).heating, Some(Heating::Oven));
    pick(&mut harness, Role::RadioButton, "Open forge");
    assert_eq!(treatment(&harness).heating, Some(Heating::OpenForge));
    for (word, finish) in Finish::LABELS.iter().zip(Finish::ALL) {
        pick(&mut harness, Role::ComboBox, "Finish");
        pick(&mut harness, Role::Button, word);
        assert_eq!(treatment(&harness).finish, Some(finish));
    }
    pick(&mut harness, Role::ComboBox, "Finish");
    pick(&mut harness, Role::Button, "not chosen");
    pick(&mut harness, Role::RadioButton, "Not decided");
    assert_eq!(treatment(&harness), Treatment::default());
}

fn is_open(harness: &Harness<'_, Bench>) -> bool {
    matches!(harness.state().desk.session.dialogs.open, Some(desk::Dialog::Heat))
}

#[test]
fn a_steel_that_no_table_has_gets_no_chart() {
    let mut harness = heat();
    run_grade(&mut harness, "Unheard-of 1");
    assert_eq!(chart(&harness), None);
    assert!(harness.query_by_label_contains("no chart").is_some());
    pick(&mut harness, Role::Button, "Close");
    assert!(!is_open(&harness));
    pick(&mut harness, Role::Button, "Heat and finish…");
    assert!(is_open(&harness), "opened from the card of the bevels too");
}
