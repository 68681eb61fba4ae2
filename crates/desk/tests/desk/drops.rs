//! Files dropped on the window.

use super::*;
use std::path::PathBuf;
use std::sync::Arc;

/// A file as the window hands it over: the desk reads it through its host.
#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        Err("it is read by the host".to_owned())
    }
}

/// A plate of 200 × 40 mm with a hole, in millimetres.
const PLATE: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="60mm"
viewBox="0 0 210 60"><path d="M5 10H205V50H5Z"/><circle cx="50" cy="30" r="3"/></svg>"#;

pub(super) fn drop(harness: &mut Harness<'_, Bench>, paths: &[&str]) {
    let files = paths.iter().map(|path| Arc::new(Dropped(path.into())) as egui::DroppedFileHandle);
    harness.input_mut().dropped_files = files.collect();
    harness.run_steps(4);
}

pub(super) fn put(harness: &mut Harness<'_, Bench>, path: &str, bytes: impl Into<Vec<u8>>) {
    harness.state_mut().host.files.insert(path.into(), bytes.into());
}

#[test]
fn a_blank_opens_and_unsaved_work_is_asked_about() {
    let mut harness = bench();
    let other = knife::starter("chef").unwrap_or(&knife::STARTERS[5]).knife();
    put(&mut harness, "/bench/other.blank.json", file::save(&other));
    drop(&mut harness, &["/bench/other.blank.json"]);
    assert_eq!(saved(&harness), file::save(&other));
    harness.state_mut().desk.document.edit(&[Edit::Rename("Heron".into())]).unwrap();
    drop(&mut harness, &["/bench/other.blank.json"]);
    assert_eq!(harness.state().desk.document.knife().name, "Heron");
    harness.get_by_label("Discard changes").click();
    harness.run_steps(4);
    assert_eq!(saved(&harness), file::save(&other));
}

#[test]
fn a_drawing_gives_its_outline_as_one_step_in_the_makers_unit() {
    for unit in [units::LengthUnit::Inch, units::LengthUnit::Millimetre] {
        let mut harness = bench();
        harness.state_mut().desk.settings.unit = unit;
        let before = saved(&harness);
        put(&mut harness, "/bench/plate.svg", PLATE);
        drop(&mut harness, &["/bench/plate.svg", "/bench/more.svg"]);
        let knife = harness.state().desk.document.knife().clone();
        assert!((knife.profile.outline().unwrap().area() - 8000.0).abs() < 1e-9);
        assert_eq!((knife.holes.len(), knife.unit), (1, unit));
        assert!(harness.query_by_label_contains("only the first was used").is_some());
        run(&mut harness, Command::Undo);
        assert_eq!(saved(&harness), before);
    }
}

#[test]
fn anything_else_is_one_plain_sentence() {
    let mut harness = bench();
    let before = saved(&harness);
    put(&mut harness, "/bench/bad.blank.json", *b"\x00");
    for (path, told) in [
        (
            "/bench/notes.txt",
            "/bench/notes.txt is neither a blank (.blank.json) nor a vector drawing",
        ),
        ("/bench/folder", "neither a blank"),
        ("/bench/gone.svg", "/bench/gone.svg is not there"),
        ("/bench/bad.blank.json", "/bench/bad.blank.json can't be used"),
    ] {
        drop(&mut harness, &[path]);
        let said = harness.state().desk.session.toasts.latest().unwrap();
        assert!(said.contains(told), "{said}");
        assert_eq!(saved(&harness), before);
    }
}

#[test]
fn what_is_held_over_the_window_is_told_and_nothing_done() {
    let mut harness = bench();
    let before = saved(&harness);
    harness.input_mut().hovered_files = vec![egui::HoveredFile::default()];
    harness.run_steps(2);
    harness.input_mut().hovered_files.clear();
    harness.run_steps(2);
    assert_eq!(saved(&harness), before);
}

/// Lets the thread that traces come to its end.
pub(super) fn settle(harness: &mut Harness<'_, Bench>) {
    for _ in 0..600 {
        harness.run_steps(2);
        if harness.query_by_label("Tracing…").is_none() {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    panic!("still tracing");
}

fn photo(name: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference/photos");
    std::fs::read(folder.join(name)).expect("a picture")
}

#[test]
fn a_picture_is_traced_and_its_outline_taken_as_one_step() {
    let mut harness = bench();
    let before = saved(&harness);
    put(&mut harness, "/bench/scan.jpg", photo("sheepsfoot_scan.jpg"));
    drop(&mut harness, &["/bench/scan.jpg"]);
    settle(&mut harness);
    assert!(harness.query_by_label_contains("Scan at 300 dots per inch").is_some());
    assert_eq!(saved(&harness), before, "nothing is done until it is asked for");
    harness.run_steps(4);
    harness.get_by_label("Use this outline").click();
    harness.run_steps(6);
    let knife = harness.state().desk.document.knife().clone();
    let said = harness.state().desk.session.toasts.latest();
    assert_eq!((knife.name.as_str(), knife.holes.len()), ("scan", 3), "{said:?}");
    assert!((knife.profile.size_mm().unwrap().width - 196.0).abs() < 0.3);
    assert!(knife.traced_mm.is_some_and(|mm| mm <= 0.25) && knife.profile.tip.is_some());
    run(&mut harness, Command::Undo);
    assert_eq!(saved(&harness), before);
}

#[test]
fn a_picture_that_can_not_be_traced_says_why_and_offers_other_ways() {
    let mut harness = bench();
    let before = saved(&harness);
    put(&mut harness, "/bench/scan.jpg", photo("sheepsfoot_scan.jpg"));
    drop(&mut harness, &["/bench/scan.jpg"]);
    settle(&mut harness);
    harness.get_by_label("the tracing mat").click();
    harness.run_steps(2);
    settle(&mut harness);
    assert!(harness.query_by_label_contains("No tracing mat was found").is_some());
    harness.get_by_label("a sheet of paper").click();
    harness.run_steps(2);
    settle(&mut harness);
    assert!(harness.query_by_label_contains("No whole sheet").is_some());
    assert!(harness.query_by_label("Corner top left").is_some());
    put(&mut harness, "/bench/text.png", *b"notes");
    harness.get_by_label("Cancel").click();
    harness.run_steps(4);
    drop(&mut harness, &["/bench/text.png"]);
    settle(&mut harness);
    assert!(harness.query_by_label_contains("It is not a PNG").is_some());
    harness.get_by_label("Cancel").click();
    harness.run_steps(4);
    assert_eq!(saved(&harness), before);
}
