//! The finished knife in light from the side, as the desk keeps its picture.

use super::*;
use desk::shaded::Shaded;
use std::sync::Arc;

fn lit(harness: &Harness<'_, Bench>) -> Shaded {
    harness.state().desk.derived.shaded().cloned().unwrap_or_else(|| panic!("it is lit"))
}

fn shaded_bevels() -> Harness<'static, Bench> {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Bevels));
    harness.key_press(Key::V);
    harness.run_steps(4);
    harness
}

#[test]
fn it_is_toggled_kept_and_no_part_of_the_knife() {
    let mut harness = bench();
    let before = saved(&harness);
    run(&mut harness, Command::Station(Station::Bevels));
    assert!(harness.state().desk.derived.shaded().is_none());
    harness.key_press(Key::V);
    harness.run_steps(4);
    let shaded = lit(&harness);
    assert!(Settings::read(&harness.state().host).0.shaded, "kept between runs");
    assert!(saved(&harness) == before && harness.state().desk.document.history().past().is_empty());
    // As fine as the screen, and all of the blank.
    let desk = &harness.state().desk;
    let bounds = desk.derived.reckoning.outline.as_ref().unwrap().bounds();
    assert_eq!(shaded.image.size, [shaded.patch.columns, shaded.patch.rows]);
    let zoom = desk.session.view.camera.unwrap().points_per_mm;
    assert!((shaded.patch.step_mm * zoom - 1.0).abs() < 1e-9);
    let covered = shaded.patch.bounds();
    assert!(covered.x0 <= bounds.x0 && covered.x1 >= bounds.x1 - 1e-6);
    // Handles still stand on it.
    for name in ["Plunge line", "Plunge lean", "Grind line"] {
        harness.get_by_role_and_label(Role::Button, name);
    }
    // An idle desk lights it once.
    let count = harness.state().desk.derived.count();
    harness.run_steps(5);
    assert_eq!(harness.state().desk.derived.count(), count);
    run(&mut harness, Command::Shaded);
    assert!(!harness.state().desk.settings.shaded);
    harness.run_steps(3);
    assert!(harness.state().desk.derived.shaded().is_none());
    let again = harness.ctx.has_requested_repaint();
    assert!(!again, "an idle desk asks for no frame");
}

#[test]
fn it_is_renewed_while_something_is_dragged() {
    let mut harness = shaded_bevels();
    let from = middle_of(&harness, "Grind line");
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    let mut before = lit(&harness).image;
    for part in 1..=4_u8 {
        harness.hover_at(from + vec2(0.0, 12.0 * f32::from(part)));
        harness.run_steps(2);
        let now = lit(&harness).image;
        assert!(!Arc::ptr_eq(&before, &now) && before.pixels != now.pixels, "move {part}");
        before = now;
    }
    harness.key_press(Key::Escape);
    harness.run_steps(4);
    harness.drop_at(from);
    harness.run_steps(4);
    assert!(lit(&harness).image.pixels == lit(&shaded_bevels()).image.pixels, "taken back");
}

#[test]
fn only_what_is_seen_is_lit_however_near() {
    let mut harness = shaded_bevels();
    for _ in 0..12 {
        run(&mut harness, Command::ZoomIn);
    }
    harness.run_steps(4);
    let shaded = lit(&harness);
    let canvas = harness.get_by_label("Canvas").rect();
    let most = (canvas.width() + 2.0) * (canvas.height() + 2.0);
    assert!((shaded.patch.columns * shaded.patch.rows) as f32 <= most);
    let seen = shaded.patch.bounds().width();
    let zoom = harness.state().desk.session.view.camera.unwrap().points_per_mm;
    assert!(seen * zoom < f64::from(canvas.width()) + 3.0);
    // A knife without an outline is no harm.
    run(&mut harness, Command::Station(Station::Paper));
    harness.state_mut().desk.document = desk::Document::fresh(knife::Knife::empty());
    harness.state_mut().desk.derived.forget();
    run(&mut harness, Command::Station(Station::Bevels));
    harness.run_steps(4);
    assert!(harness.state().desk.derived.shaded().is_none());
}

/// Panning and zooming lay the picture that there is; it is lit anew once the camera rests.
#[test]
fn nothing_is_lit_while_the_camera_moves() {
    let mut harness = shaded_bevels();
    let canvas = harness.get_by_label("Canvas").rect();
    harness.hover_at(canvas.center());
    harness.run_steps(4);
    let before = lit(&harness).image;
    let zoom = harness.state().desk.session.view.camera.unwrap().points_per_mm;
    for _ in 0..4 {
        harness.event(egui::Event::MouseWheel {
            unit: egui::MouseWheelUnit::Line,
            delta: vec2(0.0, -1.0),
            phase: egui::TouchPhase::Move,
            source: egui::MouseWheelSource::Unknown,
            modifiers: Modifiers::NONE,
        });
        harness.run_steps(1);
        assert!(Arc::ptr_eq(&lit(&harness).image, &before));
    }
    assert!(harness.state().desk.session.view.camera.unwrap().points_per_mm < zoom / 1.5);
    harness.run_steps(4);
    assert!(!Arc::ptr_eq(&lit(&harness).image, &before), "as fine as the screen again");
}
