//! A desk on which nothing happens: nothing is worked out, nothing is painted.

use super::{Bench, bench, frame, run};
use desk::{Command, Desk, MemoryHost, Settings, Station};
use egui_kittest::Harness;
use reckon::reckon;
use reckon::tables::Tables;
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

/// A desk whose pointer holds a node, and where.
fn dragging() -> (Harness<'static, Bench>, egui::Pos2) {
    let state = Bench { desk: Desk::new(Settings::default()), host: MemoryHost::with_data() };
    let builder = Harness::builder().with_size(egui::vec2(1280.0, 800.0)).with_step_dt(1.0 / 60.0);
    let mut harness = builder.build_ui_state(frame, state);
    harness.run_steps(4);
    harness.state_mut().desk.session.dialogs.welcomed = true;
    run(&mut harness, Command::Station(Station::Profile));
    harness.run_steps(4);
    let at = super::middle_of(&harness, &super::plain_node(harness.state().desk.document.knife()));
    harness.hover_at(at);
    harness.step();
    harness.drag_at(at);
    harness.step();
    (harness, at)
}

/// How many of some moves are not seen in their own frame.
fn late(
    harness: &mut Harness<'_, Bench>,
    at: egui::Pos2,
    moves: std::ops::RangeInclusive<u16>,
) -> u32 {
    let mut late = 0;
    for k in moves {
        let before = harness.state().desk.document.revision();
        harness.hover_at(at + egui::vec2(f32::from(k) * 7.0, f32::from(k) * 3.0));
        harness.step();
        let desk = &harness.state().desk;
        assert_ne!(desk.document.revision(), before, "move {k}");
        let now = reckon(desk.document.knife(), desk.derived.shop(), Tables::built_in());
        late += u32::from(*desk.derived.reckoning != now);
    }
    late
}

/// Of every three frames in which something moved one more is painted here, as egui would write a
/// warning else; the program that is handed out has no such frames.
#[test]
fn a_drag_is_seen_in_the_frame_of_its_move_and_rests_while_it_is_held() {
    let (mut harness, at) = dragging();
    let late = late(&mut harness, at, 1..=9);
    // The first move begins the drag.
    assert!(late <= 4, "{late} of 9 moves were seen in a later frame");
    assert!(harness.state().desk.document.history().in_gesture());
    harness.run_steps(90);
    assert_eq!(next_frame(&harness), Duration::MAX, "held still");
    harness.drop_at(at);
    harness.run_steps(4);
    assert_eq!(harness.state().desk.document.history().past().len(), 1);
}

/// Else it would change from one way of painting to the other and back, as the slower of them makes
/// frames slow and the quicker quick.
#[test]
fn once_frames_come_slowly_all_of_a_drag_is_seen_a_frame_later() {
    let (mut harness, at) = dragging();
    let mut time_s = harness.ctx.input(|input| input.time);
    let mut late_at = |harness: &mut Harness<'_, Bench>, k, step_s| {
        time_s += step_s;
        harness.input_mut().time = Some(time_s);
        late(harness, at, k..=k)
    };
    for k in 1..=6 {
        late_at(&mut harness, k, 0.03);
    }
    let late_moves: u32 = (7..=12).map(|k| late_at(&mut harness, k, 0.01)).sum();
    assert_eq!(late_moves, 6, "in its own frame, though it had been slow");
    let at = at + egui::vec2(12.0 * 7.0, 12.0 * 3.0);
    harness.drop_at(at);
    harness.input_mut().time = None;
    harness.run_steps(30);
    harness.drag_at(at);
    harness.step();
    let late = late(&mut harness, at, 1..=12);
    assert!(late <= 5, "{late} of 12 moves of another drag");
}

#[test]
fn unsaved_work_is_kept_once_and_then_left_alone() {
    let mut host = MemoryHost::with_data();
    let mut desk = Desk::new(Settings::default());
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
