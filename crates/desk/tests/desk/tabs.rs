//! Several knives open at once, each with its own steps, place and unsaved work.

use super::*;
use desk::{Prompt, Question};

fn two_tabs() -> Harness<'static, Bench> {
    let mut harness = bench();
    harness.state_mut().desk.session.dialogs.welcomed = true;
    run(&mut harness, Command::Station(Station::Holes));
    run(&mut harness, Command::NewTab);
    pick(&mut harness, Role::Button, "Start from a knife");
    let name = knife::STARTERS[4].knife().name.trim().to_owned();
    pick(&mut harness, Role::Button, &name);
    harness
}

fn name(harness: &Harness<'_, Bench>) -> String {
    harness.state().desk.document.knife().name.clone()
}

fn rename(harness: &mut Harness<'_, Bench>, name: &str) {
    harness.state_mut().desk.document.edit(&[Edit::Rename(name.to_owned())]).expect("a short name");
    harness.run_steps(3);
}

#[test]
fn each_tab_keeps_its_knife_its_steps_and_its_place() {
    let mut harness = bench();
    assert!(harness.query_by_label_contains("Close knife").is_none(), "one knife needs no tabs");
    harness = two_tabs();
    let second = name(&harness);
    assert_eq!(harness.state().desk.tabs().1, 1);
    rename(&mut harness, "Heron");
    harness.get_by_label_contains("Knife 1: ").click();
    harness.run_steps(4);
    assert_ne!(name(&harness), "Heron");
    assert_eq!(harness.state().desk.session.station, Station::Holes, "as it was left");
    assert!(harness.state().desk.document.history().past().is_empty());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::PageDown);
    harness.run_steps(4);
    assert_eq!(name(&harness), "Heron");
    run(&mut harness, Command::Undo);
    assert_eq!(name(&harness), second);
}

#[test]
fn closing_asks_before_work_is_lost() {
    let mut harness = two_tabs();
    rename(&mut harness, "Heron");
    harness.get_by_label("Close knife 2").click();
    harness.run_steps(4);
    let prompt = |harness: &Harness<'_, Bench>| harness.state().desk.session.dialogs.prompt.clone();
    assert_eq!(prompt(&harness), Some(Prompt::Question(Question::CloseTab)));
    harness.get_by_label("Cancel").click();
    harness.run_steps(4);
    assert_eq!(harness.state().desk.tabs().0.len(), 2);
    harness.get_by_label("Close knife 2").click();
    harness.run_steps(4);
    harness.get_by_label("Discard changes").click();
    harness.run_steps(4);
    assert_eq!(harness.state().desk.tabs(), (vec![harness.state().desk.document.title()], 0));
    assert_ne!(name(&harness), "Heron");
}

#[test]
fn quitting_asks_for_every_knife_with_unsaved_work() {
    let mut harness = two_tabs();
    rename(&mut harness, "Heron");
    run(&mut harness, Command::PreviousTab);
    rename(&mut harness, "Gull");
    let desk = &mut harness.state_mut().desk;
    assert!(!desk.may_close());
    // The first is given up; the other is asked about then.
    desk.actions.push(desk::Action::Confirm(Question::Quit));
    desk.session.dialogs.prompt = None;
    harness.run_steps(4);
    assert!(!harness.state().desk.session.quit);
    assert_eq!(name(&harness), "Heron");
    let prompt = harness.state().desk.session.dialogs.prompt.clone();
    assert_eq!(prompt, Some(Prompt::Question(Question::Quit)));
    harness.state_mut().desk.session.dialogs.prompt = None;
    harness.state_mut().desk.actions.push(desk::Action::Confirm(Question::Quit));
    harness.run_steps(4);
    assert!(harness.state().desk.session.quit);
}

/// The work of a tab that waits is kept for recovery too, though it was left within the second.
#[test]
fn unsaved_work_of_every_tab_is_stored() {
    let mut harness = bench();
    harness.state_mut().desk.session.dialogs.welcomed = true;
    {
        let Bench { desk, host } = harness.state_mut();
        desk.start_recovery("one", host);
    }
    rename(&mut harness, "Gull");
    run(&mut harness, Command::NewTab);
    pick(&mut harness, Role::Button, "Start from a knife");
    pick(&mut harness, Role::Button, knife::STARTERS[4].knife().name.trim());
    rename(&mut harness, "Heron");
    harness.state_mut().host.now_ms += 2_000;
    harness.run_steps(3);
    let mut host = harness.state().host.clone();
    host.claimed.clear();
    let found = desk::recovery::found(&mut host).works;
    let mut names: Vec<&str> = found.iter().map(|work| work.knife.name.as_str()).collect();
    names.sort_unstable();
    assert_eq!(names, ["Gull", "Heron"]);
    // Closed in good order nothing is left.
    let Bench { desk, host } = harness.state_mut();
    desk.close(host);
    host.claimed.clear();
    assert!(desk::recovery::found(host).works.is_empty());
}

/// What was measured, and an outline that isn't closed yet, wait with their tab.
#[test]
fn measurements_and_an_unfinished_drawing_wait_with_their_tab() {
    let mut harness = bench();
    harness.state_mut().desk.session.dialogs.welcomed = true;
    run(&mut harness, Command::Station(Station::Profile));
    run(&mut harness, Command::Measure);
    let nodes = harness.state().desk.document.knife().profile.nodes.clone();
    for node in [&nodes[0], &nodes[2]] {
        let at = middle_of(&harness, &format!("Node {}", node.id.0));
        click_at(&mut harness, at);
    }
    let measured =
        |harness: &Harness<'_, Bench>| harness.state().desk.session.tools.measuring.results.clone();
    let results = measured(&harness);
    assert_eq!(results.len(), 1);
    run(&mut harness, Command::NewTab);
    pick(&mut harness, Role::Button, "Draw my own");
    assert!(measured(&harness).is_empty());
    for x in [10.0, 60.0, 90.0] {
        assert!(harness.state_mut().desk.session.drawing.add((x, 10.0).into(), false));
    }
    run(&mut harness, Command::PreviousTab);
    assert_eq!(measured(&harness), results);
    assert!(harness.state().desk.session.drawing.knots().is_empty());
    run(&mut harness, Command::NextTab);
    assert_eq!(harness.state().desk.session.drawing.knots().len(), 3);
    assert!(harness.query_by_label("Point 3").is_some(), "it goes on");
    run(&mut harness, Command::PreviousTab);
    pick(&mut harness, Role::Button, "Clear measurements");
    assert!(measured(&harness).is_empty());
}
