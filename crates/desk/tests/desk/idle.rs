//! A desk on which nothing happens: nothing is worked out, nothing is painted.

use super::{Bench, bench, run};
use desk::{Command, Station};
use egui_kittest::Harness;
use std::time::Duration;

/// How long until the desk wants to paint again; `MAX` when it waits for the maker.
fn next_frame(harness: &Harness<'_, Bench>) -> Duration {
    let root = harness.output().viewport_output.get(&egui::ViewportId::ROOT);
    root.expect("the window").repaint_delay
}

#[test]
fn an_idle_desk_works_nothing_out() {
    let mut harness = bench();
    for station in Station::ALL {
        run(&mut harness, Command::Station(station));
        let before = harness.state().desk.derived.count();
        harness.run_steps(50);
        assert_eq!(harness.state().desk.derived.count(), before, "{station:?}");
    }
}

#[test]
fn an_idle_desk_asks_for_no_frame() {
    let mut harness = bench();
    for station in Station::ALL {
        run(&mut harness, Command::Station(station));
        harness.run_steps(40);
        assert_eq!(next_frame(&harness), Duration::MAX, "{station:?}");
    }
    for sheet in [Command::Shortcuts, Command::Manual, Command::New, Command::MatchScreen] {
        run(&mut harness, sheet);
        harness.run_steps(40);
        assert_eq!(next_frame(&harness), Duration::MAX, "{sheet:?}");
        harness.key_press(egui::Key::Escape);
        harness.run_steps(40);
        assert_eq!(next_frame(&harness), Duration::MAX, "after {sheet:?}");
    }
}

#[test]
fn a_pointer_at_rest_and_a_choice_ask_for_no_frame() {
    let mut harness = bench();
    let at = super::middle_of(&harness, &super::plain_node(harness.state().desk.document.knife()));
    harness.hover_at(at);
    harness.run_steps(90);
    assert_eq!(next_frame(&harness), Duration::MAX, "over a node");
    harness.drag_at(at);
    harness.drop_at(at);
    harness.run_steps(90);
    assert_eq!(next_frame(&harness), Duration::MAX, "a node chosen");
}

#[test]
fn unsaved_work_is_kept_once_and_then_left_alone() {
    let mut host = desk::MemoryHost::with_data();
    let mut desk = desk::Desk::new(desk::Settings::default());
    desk.start_recovery("first", &mut host);
    let mut harness = super::with(Bench { desk, host });
    let edit = knife::Edit::Rename("Heron".into());
    harness.state_mut().desk.document.edit(&[edit]).unwrap();
    harness.run_steps(3);
    let kept = harness.state().host.written_ms.clone();
    assert!(kept.keys().any(|path| path.starts_with("/data")), "{kept:?}");
    harness.state_mut().host.now_ms += 60_000;
    harness.run_steps(40);
    assert_eq!(harness.state().host.written_ms, kept);
    assert_eq!(next_frame(&harness), Duration::MAX);
}
