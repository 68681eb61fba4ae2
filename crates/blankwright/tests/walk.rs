//! The whole walk at the desk, on a real disk, held against the same done by the command line:
//! the saved file and the PDF, byte for byte.

#[path = "../../desk/tests/desk/driver.rs"]
mod driver;
mod support;

use blankwright::run;
use desk::{Command, Desk, Host as _, Settings, Station};
use driver::{click_at, drag, fill, middle_of, pick, plain_node};
use egui::{Key, Modifiers, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use knife::file;
use std::ffi::OsString;
use std::path::Path;
use support::Bench;

struct Room {
    desk: Desk,
    host: Bench,
}

fn room(folder: &Path) -> Harness<'static, Room> {
    let state = Room { desk: Desk::new(Settings::default()), host: Bench::at(folder) };
    let size = vec2(1280.0, 800.0);
    let mut harness = Harness::builder().with_size(size).build_ui_state(
        |ui, room: &mut Room| {
            room.desk.logic();
            room.desk.ui(ui);
            room.desk.act(ui.ctx(), &mut room.host);
        },
        state,
    );
    harness.run_steps(4);
    harness
}

fn run_command(harness: &mut Harness<'_, Room>, command: Command) {
    harness.state_mut().desk.actions.run(command);
    harness.run_steps(4);
}

/// Asks for a path with this command and types it.
fn to_path(harness: &mut Harness<'_, Room>, command: Command, path: &Path) {
    run_command(harness, command);
    harness.get_by_role_and_label(Role::TextInput, "Path").focus();
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(2);
    let path = path.to_str().expect("a plain path");
    harness.get_by_role_and_label(Role::TextInput, "Path").type_text(path);
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(4);
}

/// What a command of the command line writes into this file.
fn typed(words: &[&str], out: &Path, host: &mut Bench) -> Vec<u8> {
    let out_word = out.to_str().expect("a plain path");
    let words = [&["blankwright"], words, &["--out", out_word]].concat();
    let done = run(words.into_iter().map(OsString::from), host);
    assert_ne!(done.code, blankwright::FAILED, "{}", done.err);
    host.read(out).expect("written")
}

#[test]
fn the_desk_and_the_command_line_write_the_same_bytes() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    let mut host = Bench::at(folder.path());
    let mut harness = room(folder.path());
    let saved = |harness: &Harness<'_, Room>| file::save(harness.state().desk.document.knife());

    // From a starter, saved as it is.
    let starter = &knife::STARTERS[4];
    run_command(&mut harness, Command::Starters);
    let name = starter.knife().name.trim().to_owned();
    pick(&mut harness, Role::Button, &name);
    to_path(&mut harness, Command::SaveAs, &host.blank());
    let first = typed(&["new", starter.key], &at("typed.blank.json"), &mut host);
    assert_eq!(host.read(&host.blank()).expect("saved"), first);

    // A node moved, a hole put and typed.
    let node = plain_node(harness.state().desk.document.knife());
    let from = middle_of(&harness, &node);
    drag(&mut harness, from, vec2(24.0, -16.0));
    let to = middle_of(&harness, &node);
    assert!(from.distance(to) > 15.0, "{node} went from {from:?} to {to:?}");
    run_command(&mut harness, Command::Station(Station::Holes));
    let count = harness.state().desk.document.knife().holes.len();
    run_command(&mut harness, Command::AddHole);
    let canvas = harness.get_by_label("Canvas").rect();
    let place = canvas.center() + vec2(canvas.width() * 0.31, -6.0);
    click_at(&mut harness, place);
    assert_eq!(harness.state().desk.document.knife().holes.len(), count + 1);
    fill(&mut harness, "Drill or diameter", "5/32");
    let hole = harness.state().desk.document.knife().holes[count].clone();
    // 5/32 in is 3.96875 mm.
    assert!((hole.diameter_mm - 3.968_75).abs() < 1e-9 && hole.drill.as_deref() == Some("5/32"));

    // Undone to the last step, saved: the command line's file again. Done again: as before.
    let last = saved(&harness);
    let steps = harness.state().desk.document.history().past().len();
    assert!(steps >= 3, "{steps} steps");
    for _ in 0..steps {
        run_command(&mut harness, Command::Undo);
    }
    run_command(&mut harness, Command::Save);
    assert_eq!(host.read(&host.blank()).expect("saved"), first);
    for _ in 0..steps {
        run_command(&mut harness, Command::Redo);
    }
    assert_eq!(saved(&harness), last);

    // Saved, opened again, printed on each paper: what the command line prints of that file.
    let mine = at("mine.blank.json");
    to_path(&mut harness, Command::SaveAs, &mine);
    assert_eq!(host.read(&mine).expect("saved"), last);
    to_path(&mut harness, Command::Open, &host.blank());
    assert_eq!(saved(&harness), first);
    to_path(&mut harness, Command::Open, &mine);
    assert_eq!(saved(&harness), last);
    for paper in ["letter", "a4", "a3"] {
        harness.state_mut().desk.session.print.paper = Some(paper.to_owned());
        run_command(&mut harness, Command::Station(Station::Paper));
        let (desk_pdf, typed_pdf) = (at(&format!("d-{paper}.pdf")), at(&format!("t-{paper}.pdf")));
        to_path(&mut harness, Command::Print, &desk_pdf);
        let words = ["print", mine.to_str().expect("plain"), "--paper", paper];
        let printed = typed(&words, &typed_pdf, &mut host);
        assert!(printed.starts_with(b"%PDF-"));
        assert_eq!(host.read(&desk_pdf).expect("printed"), printed, "{paper}");
    }
}
