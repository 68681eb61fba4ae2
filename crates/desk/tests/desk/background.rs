//! Figures that are slow: the desk goes on with the last good ones, says so, and catches up.

use super::{Bench, frame, run};
use desk::{Action, Command, Desk, Document, MemoryHost, Purpose, Settings, Station};
use egui::vec2;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use knife::{Edit, Knife, starter};
use reckon::tables::Tables;
use reckon::{Shop, reckon};
use std::cell::Cell;
use std::path::Path;
use std::rc::Rc;
use std::time::Duration;

const BEHIND: &str = "Working out the figures";

/// A desk whose frames wait for nothing: whatever is worked out comes in a later one.
fn impatient() -> Harness<'static, Bench> {
    held(Rc::default())
}

/// The same, whose frames only paint while they are held: nothing is taken over then.
fn held(hold: Rc<Cell<bool>>) -> Harness<'static, Bench> {
    let mut desk = Desk::new(Settings::default());
    desk.work_in_background(Duration::ZERO, || ());
    let state = Bench { desk, host: MemoryHost::with_data() };
    let painted = move |ui: &mut egui::Ui, bench: &mut Bench| {
        if hold.get() { bench.desk.ui(ui) } else { frame(ui, bench) }
    };
    let mut harness =
        Harness::builder().with_size(vec2(1280.0, 800.0)).build_ui_state(painted, state);
    caught_up(&mut harness);
    harness
}

/// Changes the blank and asks for what follows, whose frames are held from then on.
fn change_held(harness: &mut Harness<'_, Bench>, hold: &Cell<bool>, action: Action) {
    hold.set(true);
    let desk = &mut harness.state_mut().desk;
    desk.actions.push(action);
    desk.act(&egui::Context::default(), &mut MemoryHost::default());
    desk.logic();
}

/// Frames until nothing is behind.
fn caught_up(harness: &mut Harness<'_, Bench>) {
    for _ in 0..8 {
        harness.step();
        harness.state_mut().desk.derived.finish();
    }
    assert!(!harness.state().desk.derived.is_behind());
}

fn named(name: &str) -> Action {
    Action::Edit(vec![Edit::Rename(name.into())])
}

fn wider(mm: f64) -> Action {
    let Knife { bar, .. } = starter("drop-point").expect("a starter").knife();
    Action::Edit(vec![Edit::SetBar {
        grade: bar.grade,
        width_mm: mm,
        thickness_mm: bar.thickness_mm,
        length_mm: bar.length_mm,
    }])
}

#[test]
fn a_frame_shows_the_last_good_figures_and_catches_up() {
    let mut harness = impatient();
    let before = harness.state().desk.derived.reckoning.bar;
    harness.state_mut().desk.actions.push(wider(77.0));
    harness.state_mut().desk.act(&egui::Context::default(), &mut MemoryHost::default());
    harness.state_mut().desk.logic();
    let derived = &harness.state().desk.derived;
    assert!(derived.is_behind() && derived.reckoning.bar == before);
    assert!(harness.state().desk.document.knife().bar.width_mm > 76.0, "the blank is the new one");
    caught_up(&mut harness);
    let desk = &harness.state().desk;
    let whole = reckon(desk.document.knife(), &Shop::default(), Tables::built_in());
    assert_eq!(*desk.derived.reckoning, whole);
    assert_ne!(desk.derived.reckoning.bar, before);
}

#[test]
fn what_is_behind_is_said_once_somebody_waits_and_no_longer_when_it_is_there() {
    let hold = Rc::default();
    let mut harness = held(Rc::clone(&hold));
    change_held(&mut harness, &hold, wider(78.0));
    let shown = |harness: &Harness<'_, Bench>| harness.query_by_label_contains(BEHIND).is_some();
    harness.step();
    assert!(!shown(&harness), "what comes soon needs no words");
    // A step of the harness is a quarter of a second.
    harness.run_steps(3);
    assert!(shown(&harness), "a fifth of a second is over");
    hold.set(false);
    caught_up(&mut harness);
    harness.run_steps(2);
    assert!(!shown(&harness));
}

#[test]
fn of_many_changes_the_last_counts_and_not_each_is_worked_out() {
    let mut harness = impatient();
    let before = harness.state().desk.derived.count();
    let ctx = egui::Context::default();
    for step in 0..200 {
        let desk = &mut harness.state_mut().desk;
        desk.actions.push(wider(60.0 + f64::from(step) * 0.1));
        desk.act(&ctx, &mut MemoryHost::default());
        desk.logic();
    }
    caught_up(&mut harness);
    let desk = &harness.state().desk;
    let whole = reckon(desk.document.knife(), &Shop::default(), Tables::built_in());
    assert_eq!(*desk.derived.reckoning, whole);
    assert!(desk.derived.count() - before <= 2 * 200 + 20, "no change is worked out twice");
}

#[test]
fn what_is_printed_waits_for_the_figures_of_the_blank_as_it_stands() {
    let mut harness = impatient();
    let desk = &mut harness.state_mut().desk;
    desk.actions.push(named("Heron"));
    desk.actions.push(Action::PathChosen(Purpose::Print, "/a.pdf".into()));
    let (ctx, mut host) = (egui::Context::default(), MemoryHost::with_data());
    desk.act(&ctx, &mut host);
    let knife = desk.document.knife().clone();
    let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
    let sheets = sheets::printing::default_sheets(&knife, &reckoning);
    let pages = sheets::printing::pages(&knife, &sheets, "letter", None).unwrap();
    let whole = sheets::printing::pdf(&knife, &pages, None).unwrap();
    assert_eq!(host.files[Path::new("/a.pdf")], whole);
}

#[test]
fn pages_come_later_and_another_blank_shows_nothing_of_the_one_before() {
    let mut harness = impatient();
    run(&mut harness, Command::Station(Station::Paper));
    caught_up(&mut harness);
    assert!(
        matches!(harness.state().desk.derived.pages(), Some(Ok(laid)) if !laid.pages.is_empty())
    );
    let desk = &mut harness.state_mut().desk;
    desk.document = Document::fresh(starter("chefs-8in").unwrap().knife());
    desk.derived.forget();
    desk.logic();
    assert!(desk.derived.reckoning.outline.is_none() && desk.derived.is_behind());
    assert!(desk.derived.pages().is_none());
    caught_up(&mut harness);
    let desk = &harness.state().desk;
    let whole = reckon(desk.document.knife(), &Shop::default(), Tables::built_in());
    assert_eq!(*desk.derived.reckoning, whole);
}

/// A mend that was worked out for the blank before the change can't be taken.
#[test]
fn remedies_wait_for_the_figures_too() {
    let hold = Rc::default();
    let mut harness = held(Rc::clone(&hold));
    harness.state_mut().desk.actions.push(wider(20.0));
    harness.step();
    caught_up(&mut harness);
    let accept = |harness: &Harness<'_, Bench>| {
        let all: Vec<_> = harness.query_all_by_label("Accept…").collect();
        all.first().map(|node| node.accesskit_node().is_disabled())
    };
    assert_eq!(accept(&harness), Some(false));
    change_held(&mut harness, &hold, wider(21.0));
    harness.run_steps(2);
    assert_eq!(accept(&harness), Some(true));
}
