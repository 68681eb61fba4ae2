//! The real desk, driven by the names of its things, with no window and no graphics card.

use desk::{COMMANDS, Command, Desk, MemoryHost, Settings, Station};
use driver::{click_at, drag, fill, middle_of, pick, plain_node};
use egui::{Key, Modifiers, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use knife::{Edit, HoleKind, file};
use std::path::Path;

#[path = "desk/background.rs"]
mod background;
#[path = "desk/bad_input.rs"]
mod bad_input;
#[path = "desk/driver.rs"]
mod driver;
#[path = "desk/idle.rs"]
mod idle;
#[path = "desk/keeping.rs"]
mod keeping;
#[cfg(feature = "pixels")]
#[path = "desk/pixels.rs"]
mod pixels;
#[path = "desk/room.rs"]
mod room;
#[path = "desk/sheath.rs"]
mod sheath;
#[path = "desk/shop.rs"]
mod shop;
#[path = "desk/tabs.rs"]
mod tabs;

struct Bench {
    desk: Desk,
    host: MemoryHost,
}

fn bench() -> Harness<'static, Bench> {
    let host = MemoryHost::with_data();
    let desk = Desk::new(Settings::default());
    with(Bench { desk, host })
}

fn with(state: Bench) -> Harness<'static, Bench> {
    let size = vec2(1280.0, 800.0);
    let mut harness = Harness::builder().with_size(size).build_ui_state(frame, state);
    harness.run_steps(4);
    harness
}

/// A desk that keeps its work under a name of its own on this disk, and finds what is kept there.
fn recovering(session: &str, mut host: MemoryHost) -> Harness<'static, Bench> {
    let mut desk = Desk::new(Settings::default());
    desk.start_recovery(session, &mut host);
    with(Bench { desk, host })
}

/// What is left of a desk that was killed: its disk.
fn killed(harness: Harness<'_, Bench>) -> MemoryHost {
    let mut host = harness.state().host.clone();
    drop(harness);
    host.claimed.clear();
    host
}

/// One frame, as the window has it: without the margin that the harness leaves.
fn frame(ui: &mut egui::Ui, bench: &mut Bench) {
    let window = ui.ctx().content_rect();
    let mut whole = ui.new_child(egui::UiBuilder::new().max_rect(window));
    whole.set_clip_rect(window);
    bench.desk.logic();
    bench.desk.ui(&mut whole);
    bench.desk.act(ui.ctx(), &mut bench.host);
}

fn saved(harness: &Harness<'_, Bench>) -> Vec<u8> {
    file::save(harness.state().desk.document.knife())
}

fn run(harness: &mut Harness<'_, Bench>, command: Command) {
    harness.state_mut().desk.actions.run(command);
    harness.run_steps(4);
}

#[test]
fn a_blank_from_starter_to_print() {
    let mut harness = bench();
    run(&mut harness, Command::Starters);
    let names: Vec<String> =
        knife::STARTERS.iter().map(|s| s.knife().name.trim().to_owned()).collect();
    harness.get_by_role_and_label(Role::Button, &names[3]).click();
    harness.run_steps(4);
    assert_eq!(harness.state().desk.document.knife().name.trim(), names[3]);
    let first = saved(&harness);

    // A node, by its total drag.
    let name = plain_node(harness.state().desk.document.knife());
    let number = name.trim_start_matches("Node ").parse().unwrap();
    let node = harness.state().desk.document.knife().profile.node(knife::NodeId(number));
    let node = node.unwrap().clone();
    let from = middle_of(&harness, &name);
    let zoom = harness.state().desk.session.view.camera.unwrap().points_per_mm;
    drag(&mut harness, from, vec2(24.0, -16.0));
    let moved = harness.state().desk.document.knife().profile.node(node.id).unwrap().at;
    let way = moved - node.at;
    assert!((way.hypot() - 24.0_f64.hypot(16.0) / zoom).abs() < 9.0 / zoom, "{way:?}");
    assert_eq!(harness.state().desk.document.history().past().len(), 1, "one drag is one step");

    // A hole where the tang is clicked, then typed.
    run(&mut harness, Command::Station(Station::Holes));
    let count = harness.state().desk.document.knife().holes.len();
    run(&mut harness, Command::AddHole);
    let canvas = harness.get_by_label("Canvas").rect();
    let at = canvas.center() + vec2(canvas.width() * 0.335, 0.0);
    click_at(&mut harness, at);
    assert_eq!(harness.state().desk.document.knife().holes.len(), count + 1);
    fill(&mut harness, "Drill or diameter", "1/16");
    let hole = harness.state().desk.document.knife().holes[count].clone();
    // 1/16 in is 1.5875 mm.
    assert!((hole.diameter_mm - 1.5875).abs() < 1e-9 && hole.drill.as_deref() == Some("1/16"));
    fill(&mut harness, "Drill or diameter", "wide");
    assert_eq!(harness.state().desk.document.knife().holes[count], hole, "refused");
    assert!(harness.query_by_label_contains("isn't a drill or a diameter").is_some());

    // Undo all, redo all.
    let last = saved(&harness);
    let steps = harness.state().desk.document.history().past().len();
    for _ in 0..steps {
        run(&mut harness, Command::Undo);
    }
    assert_eq!(saved(&harness), first);
    for _ in 0..steps {
        run(&mut harness, Command::Redo);
    }
    assert_eq!(saved(&harness), last);

    // Save by a typed path, open again, print: the bytes are what the crates below write.
    run(&mut harness, Command::SaveAs);
    let path = Path::new("/bench/mine.blank.json");
    let field = harness.get_by_role_and_label(Role::TextInput, "Path");
    field.focus();
    harness.run_steps(1);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, "Path").type_text("/bench/mine");
    harness.run_steps(1);
    harness.get_by_label("Save").click();
    harness.run_steps(4);
    assert_eq!(harness.state().host.files.get(path), Some(&last));
    assert!(!harness.state().desk.document.is_dirty());
    let host = harness.state().host.clone();
    harness.state_mut().desk.open_path(path, &host);
    harness.run_steps(3);
    assert_eq!(saved(&harness), last);

    run(&mut harness, Command::Print);
    // The field has the keyboard at once, so Enter is enough.
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    let pdf = harness.state().host.files.get(Path::new("/bench/mine.pdf")).unwrap().clone();
    let opened = file::open(&last).unwrap().knife;
    let tables = reckon::tables::Tables::built_in();
    let reckoning = reckon::reckon(&opened, &reckon::Shop::default(), tables);
    let sheets = sheets::printing::default_sheets(&opened, &reckoning);
    let pages = sheets::printing::pages(&opened, &sheets, "letter", None).unwrap();
    assert_eq!(pdf, sheets::printing::pdf(&opened, &pages, None).unwrap());
}

#[test]
fn every_key_of_the_table_does_no_harm() {
    for row in COMMANDS {
        let mut harness = bench();
        let Some(key) = row.shortcut else { continue };
        harness.key_press_modifiers(key.modifiers, key.logical_key);
        harness.run_steps(3);
        harness.key_press(Key::Escape);
        harness.run_steps(3);
        run(&mut harness, row.command);
    }
}

#[test]
fn stations_are_chosen_by_number_and_by_word() {
    let mut harness = bench();
    for (key, station) in
        [(Key::Num1, Station::Bar), (Key::Num6, Station::Sheath), (Key::Num7, Station::Paper)]
    {
        harness.key_press(key);
        harness.run_steps(2);
        assert_eq!(harness.state().desk.session.station, station);
    }
    harness.get_by_role_and_label(Role::Tab, "Bevels").click();
    harness.run_steps(2);
    assert_eq!(harness.state().desk.session.station, Station::Bevels);
    for name in ["Plunge line", "Grind line"] {
        harness.get_by_role_and_label(Role::Button, name);
    }
}

#[test]
fn chain_drilling_is_shown_at_the_bar_and_its_bridge_typed() {
    let mut harness = bench();
    harness.key_press(Key::D);
    harness.run_steps(2);
    assert!(harness.state().desk.session.view.chain);
    assert_eq!(harness.state().desk.session.station, Station::Bar);
    let holes = |harness: &Harness<'_, Bench>| {
        harness.state().desk.derived.reckoning.chain.as_ref().map_or(0, |chain| chain.holes.len())
    };
    let before = holes(&harness);
    fill(&mut harness, "Bridge", "3 mm");
    let after = holes(&harness);
    assert!(before > 50 && after < before, "{before} {after}");
    assert_eq!(harness.state().desk.document.knife().cutting().bridge_mm, 3.0);
    pick(&mut harness, Role::CheckBox, "Chain drilling");
    assert!(!harness.state().desk.session.view.chain);
}

#[test]
fn escape_takes_a_drag_back() {
    let mut harness = bench();
    let before = saved(&harness);
    let from = middle_of(&harness, &plain_node(harness.state().desk.document.knife()));
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    harness.hover_at(from + vec2(40.0, 20.0));
    harness.run_steps(3);
    assert_ne!(saved(&harness), before);
    harness.key_press(Key::Escape);
    harness.run_steps(3);
    assert_eq!(saved(&harness), before);
    harness.drop_at(from + vec2(40.0, 20.0));
    harness.run_steps(3);
    assert_eq!(saved(&harness), before);
    assert!(harness.state().desk.document.history().past().is_empty());
}

#[test]
fn arrow_keys_nudge_what_is_chosen() {
    let mut harness = bench();
    let name = plain_node(harness.state().desk.document.knife());
    harness.get_by_label(&name).click();
    harness.run_steps(3);
    let id = harness.state().desk.session.selection.nodes()[0];
    let before = harness.state().desk.document.knife().profile.node(id).unwrap().at;
    harness.key_press(Key::ArrowRight);
    harness.run_steps(3);
    let after = harness.state().desk.document.knife().profile.node(id).unwrap().at;
    // One 64th of an inch is 0.396875 mm.
    assert!((after.x - before.x - 0.396_875).abs() < 1e-9 && (after.y - before.y).abs() < 1e-9);
}

#[test]
fn unsaved_work_is_asked_about() {
    let mut harness = bench();
    assert!(harness.state_mut().desk.may_close());
    harness.state_mut().desk.document.edit(&[Edit::Rename("Heron".into())]).unwrap();
    assert!(!harness.state_mut().desk.may_close());
    harness.run_steps(3);
    harness.get_by_label("Cancel").click();
    harness.run_steps(3);
    assert!(harness.query_by_label("Cancel").is_none());
    assert!(harness.state().desk.title().starts_with("• Heron"));
}

/// A desk started again after another was killed with unsaved work, which is taken up.
fn restore_edit(also: impl FnOnce(&mut MemoryHost)) -> Harness<'static, Bench> {
    let mut host = MemoryHost::with_data();
    let mut desk = Desk::new(Settings::default());
    desk.start_recovery("first", &mut host);
    let mut harness = with(Bench { desk, host });
    let wish = desk::Action::PathChosen(desk::Purpose::Save, "/bench/a.blank.json".into());
    harness.state_mut().desk.actions.push(wish);
    harness.run_steps(3);
    harness.state_mut().host.now_ms += 5_000;
    harness.state_mut().desk.document.edit(&[Edit::Rename("Heron".into())]).expect("a name");
    harness.run_steps(3);
    let mut host = harness.state().host.clone();
    drop(harness);
    host.claimed.clear();
    also(&mut host);
    let mut desk = Desk::new(Settings::default());
    desk.start_recovery("second", &mut host);
    let mut harness = with(Bench { desk, host });
    harness.get_by_label("Restore").click();
    harness.run_steps(4);
    assert_eq!(harness.state().desk.document.knife().name, "Heron");
    assert!(harness.state().desk.document.is_dirty());
    harness
}

#[test]
fn work_that_was_killed_is_offered_again() {
    let mut harness = restore_edit(|_| {});
    run(&mut harness, Command::Save);
    assert!(
        !harness.state().desk.document.is_dirty(),
        "its file is as it was, so nothing is asked"
    );
    let work = saved(&harness);
    assert_eq!(harness.state().host.files.get(Path::new("/bench/a.blank.json")), Some(&work));
}

#[test]
fn work_that_was_killed_is_not_saved_over_a_later_file_unasked() {
    let path = Path::new("/bench/a.blank.json");
    let mut harness = restore_edit(|host| {
        host.now_ms += 5_000;
        desk::Host::write(host, path, b"of another program").unwrap();
    });
    run(&mut harness, Command::Save);
    assert!(harness.state().desk.document.is_dirty());
    assert_eq!(harness.state().host.files[path], b"of another program");
    harness.get_by_label("Save over it").click();
    harness.run_steps(4);
    assert!(!harness.state().desk.document.is_dirty());
}

#[test]
fn nothing_is_nameless_in_either_room_at_any_size() {
    for (size, room) in [(vec2(1280.0, 800.0), 0), (vec2(640.0, 400.0), 1)] {
        let mut harness = bench();
        harness.set_size(size);
        if room == 1 {
            run(&mut harness, Command::Theme);
        }
        for station in Station::ALL {
            run(&mut harness, Command::Station(station));
            for node in harness.get_all_by_role(Role::Button) {
                let named = node.accesskit_node().label().is_some_and(|name| !name.is_empty());
                assert!(named, "{station:?} at {size:?}");
            }
        }
    }
}

#[path = "desk/appearance.rs"]
mod appearance;
#[path = "desk/bevels.rs"]
mod bevels;
#[path = "desk/draw_outline.rs"]
mod draw_outline;
#[path = "desk/drops.rs"]
mod drops;
#[path = "desk/editing.rs"]
mod editing;
#[path = "desk/exporting.rs"]
mod exporting;
#[path = "desk/fair_walk.rs"]
mod fair_walk;
#[path = "desk/grid.rs"]
mod grid;
#[path = "desk/handle.rs"]
mod handle;
#[path = "desk/heat.rs"]
mod heat;
#[path = "desk/help.rs"]
mod help;
#[path = "desk/origin.rs"]
mod origin;
#[path = "desk/papers.rs"]
mod papers;
#[path = "desk/picture.rs"]
mod picture;
#[path = "desk/section.rs"]
mod section;
#[path = "desk/shaded.rs"]
mod shaded;
#[path = "desk/steer.rs"]
mod steer;
#[path = "desk/trims.rs"]
mod trims;
#[path = "desk/turning.rs"]
mod turning;

mod property {
    use super::*;
    use proptest::prelude::*;

    /// Edits that may or may not be possible on what is there.
    fn edits() -> impl Strategy<Value = Edit> {
        let node = (0u32..24).prop_map(knife::NodeId);
        let hole = (0u32..12).prop_map(knife::HoleId);
        let by = (-20.0..20.0f64, -20.0..20.0f64);
        prop_oneof![
            (node.clone(), by.clone())
                .prop_map(|(n, (x, y))| Edit::MoveNodes { nodes: vec![n], by: (x, y).into() }),
            (node.clone(), 0.05..0.95f64).prop_map(|(stretch, t)| Edit::AddNode { stretch, t }),
            node.clone().prop_map(Edit::RemoveNode),
            node.clone().prop_map(Edit::MakeSmooth),
            node.clone().prop_map(|stretch| Edit::Bend { stretch }),
            (node, 0.1..9.0f64).prop_map(|(node, radius_mm)| Edit::RoundCorner { node, radius_mm }),
            (by, 0.5..9.0f64).prop_map(|((x, y), diameter_mm)| Edit::AddHole {
                name: String::new(),
                kind: HoleKind::Relief,
                at: (100.0 + x, y).into(),
                diameter_mm,
                drill: None,
                pin_mm: None,
            }),
            hole.prop_map(Edit::RemoveHole),
            (-90.0..90.0f64).prop_map(Edit::Turn),
            Just(Edit::MirrorAcross),
            (50.0..300.0f64).prop_map(Edit::ScaleToLength),
        ]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]

        #[test]
        fn as_many_undos_give_the_first_bytes(
            which in 0..knife::STARTERS.len(),
            edits in prop::collection::vec(edits(), 1..25),
        ) {
            let knife = knife::STARTERS[which].knife();
            let first = file::save(&knife);
            let mut open = desk::Document::fresh(knife);
            for edit in &edits {
                // A refusal leaves everything as it was.
                let _ = open.edit(std::slice::from_ref(edit));
            }
            let last = file::save(open.knife());
            while open.undo().is_some() || open.history().undo_label().is_some() {}
            prop_assert_eq!(file::save(open.knife()), first);
            prop_assert!(!open.is_dirty());
            while open.redo().is_some() || open.history().redo_label().is_some() {}
            prop_assert_eq!(file::save(open.knife()), last);
        }
    }
}
