//! The finished knife in the round: opened by its name, turned, cut open, and still when idle.

use super::*;
use exchange::view::{Eye, Frame, Picture};
use kurbo::Point;
use std::sync::Arc;
use std::time::Duration;

type Shown = (Eye, Frame, Arc<Picture>);

/// Waits until the thread that makes the solid is done and its picture is drawn.
fn settle(harness: &mut Harness<'_, Bench>) {
    for _ in 0..3000 {
        harness.run_steps(2);
        let turning = &harness.state().desk.session.turning;
        if !turning.is_busy() {
            harness.run_steps(2);
            return;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    panic!("the solid is never made");
}

fn shown(harness: &Harness<'_, Bench>) -> Shown {
    let (eye, frame, picture) =
        harness.state().desk.session.turning.picture().expect("it is drawn");
    (eye, frame, Arc::clone(picture))
}

fn opened() -> Harness<'static, Bench> {
    let mut harness = bench();
    harness.get_by_label("View").click();
    harness.run_steps(3);
    harness.get_by_label_contains("Knife in the round").click();
    settle(&mut harness);
    harness
}

fn look(harness: &mut Harness<'_, Bench>, side: &str) {
    harness.get_by_role_and_label(Role::Button, side).click();
    harness.run_steps(3);
}

fn opaque(picture: &Picture) -> usize {
    picture.dots.iter().filter(|dot| dot[3] > 127).count()
}

/// Seen on its left face a knife covers what its outline does, to a dot: holes are filled by pins,
/// and those that stay open are left out here.
#[test]
fn its_silhouette_is_the_outline() {
    let mut harness = opened();
    look(&mut harness, "Left face");
    let (_, frame, picture) = shown(&harness);
    assert!(frame.width > 700 && (picture.width, picture.height) == (frame.width, frame.height));
    let desk = &harness.state().desk;
    let outline = desk.derived.reckoning.outline.as_ref().unwrap();
    let holes = &desk.document.knife().holes;
    let (mut inside, mut outside) = (0, 0);
    for row in 0..picture.height {
        for column in 0..picture.width {
            let off = (
                (column as f64 + 0.5 - frame.width as f64 / 2.0) * frame.mm_per_dot,
                (frame.height as f64 / 2.0 - row as f64 - 0.5) * frame.mm_per_dot,
            );
            let p = Point::new(frame.middle.x + off.0, frame.middle.y + off.1);
            // A dot counts by its middle: within a dot of the rim it may be either.
            let bounds = outline.bounds().inflate(2.0, 2.0);
            let near_mm = frame.mm_per_dot;
            let is_in = bounds.contains(p) && outline.contains(p);
            if bounds.contains(p) && outline.nearest(p).distance_mm < near_mm {
                continue;
            }
            let in_a_hole =
                |hole: &knife::Hole| hole.at.distance(p) < hole.diameter_mm / 2.0 + near_mm;
            if is_in && holes.iter().any(in_a_hole) {
                continue;
            }
            let alpha = picture.dots[row * picture.width + column][3];
            assert_eq!(alpha, if is_in { 255 } else { 0 }, "at {p:?}, dot {column}, {row}");
            if is_in {
                inside += 1;
            } else {
                outside += 1;
            }
        }
    }
    assert!(inside > 30_000 && outside > 100_000, "{inside} {outside}");
}

#[test]
fn it_turns_by_drags_and_keys_and_comes_back() {
    let mut harness = opened();
    let first = shown(&harness);
    let middle = harness.get_by_label_contains("Finished knife").rect().center();
    drag(&mut harness, middle, vec2(120.0, 30.0));
    harness.run_steps(2);
    let dragged = shown(&harness);
    assert!(!dragged.0.looks_as(&first.0) && dragged.2 != first.2);
    // 120 points are 48° about the upright, 30 are 12° about the level, in steps of the drag.
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
    harness.run_steps(3);
    let left = shown(&harness);
    harness.get_by_label("Finished knife, left face");
    for _ in 0..6 {
        harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
        harness.run_steps(1);
    }
    harness.run_steps(3);
    assert!(shown(&harness).0.looks_as(&left.0.turned_by(180.0, 0.0)));
    harness.get_by_label("Finished knife, right face");
    // It shows the same silhouette, mirrored.
    let right = shown(&harness).2;
    assert!(opaque(&right).abs_diff(opaque(&left.2)) < opaque(&right) / 200);
    harness.key_press(Key::PageUp);
    harness.run_steps(3);
    harness.get_by_label("Finished knife, turned");
    harness.key_press(Key::Home);
    harness.run_steps(3);
    assert!(shown(&harness).0.looks_as(&first.0) && shown(&harness).2 == first.2);
    assert!(harness.state().desk.document.history().past().is_empty(), "nothing of the knife");
}

#[test]
fn six_sides_are_as_large_as_the_knife() {
    let mut harness = opened();
    let bounds = harness.state().desk.derived.reckoning.outline.as_ref().unwrap().bounds();
    for (side, across_mm) in [
        ("Left face", bounds.width()),
        ("Right face", bounds.width()),
        ("Edge", bounds.width()),
        ("Spine", bounds.width()),
        ("Tip", bounds.height()),
        ("Butt", bounds.height()),
    ] {
        look(&mut harness, side);
        let (_, frame, picture) = shown(&harness);
        let is_end = matches!(side, "Tip" | "Butt");
        let of_line = |i: usize, is_row: bool| {
            let (long, many) = if is_row {
                (picture.width, picture.height)
            } else {
                (picture.height, picture.width)
            };
            let at = |j: usize| if is_row { i * picture.width + j } else { j * picture.width + i };
            i < many && (0..long).any(|j| picture.dots[at(j)][3] > 127)
        };
        let lines = if is_end { picture.height } else { picture.width };
        let covered = (0..lines).filter(|i| of_line(*i, is_end)).count();
        let found_mm = covered as f64 * frame.mm_per_dot;
        assert!((found_mm - across_mm).abs() < 2.0 * frame.mm_per_dot, "{side}: {found_mm}");
    }
}

#[test]
fn it_is_cut_open_where_it_is_asked_to_be() {
    let mut harness = opened();
    look(&mut harness, "Left face");
    let whole = shown(&harness);
    harness.get_by_role_and_label(Role::RadioButton, "across").click();
    harness.run_steps(3);
    let cut = shown(&harness);
    assert!(cut.0.cut.is_some() && cut.1 == whole.1, "nothing jumps");
    assert!(opaque(&cut.2) < opaque(&whole.2));
    // What is left and the other half are the whole.
    harness.get_by_role_and_label(Role::CheckBox, "Other half").click();
    harness.run_steps(3);
    let other = shown(&harness);
    let both = opaque(&cut.2) + opaque(&other.2);
    assert!(both.abs_diff(opaque(&whole.2)) < whole.2.height, "{both}");
    harness.get_by_role_and_label(Role::RadioButton, "along").click();
    harness.run_steps(3);
    // The half with the left face looks whole from there; of the other the inside is seen.
    assert!(opaque(&shown(&harness).2) == opaque(&whole.2));
    harness.get_by_role_and_label(Role::CheckBox, "Other half").click();
    harness.run_steps(3);
    assert!(shown(&harness).2 != whole.2);
    harness.get_by_role_and_label(Role::Button, "Reset the view").click();
    harness.run_steps(3);
    assert!(shown(&harness).0.cut.is_none());
}

#[test]
fn an_idle_view_costs_nothing_and_an_edit_makes_it_anew() {
    let mut harness = opened();
    let before = shown(&harness).2;
    harness.run_steps(40);
    assert!(Arc::ptr_eq(&before, &shown(&harness).2), "not drawn again");
    let root = harness.output().viewport_output.get(&egui::ViewportId::ROOT).unwrap();
    assert_eq!(root.repaint_delay, Duration::MAX);
    let scales = harness.state().desk.document.knife().scales.unwrap();
    let thicker = knife::Scales { thickness_mm: scales.thickness_mm + 3.0, ..scales };
    harness.state_mut().desk.document.edit(&[Edit::SetScales(Some(thicker))]).unwrap();
    settle(&mut harness);
    assert!(before != shown(&harness).2);
    // Without an outline there is nothing to turn, and that is said.
    harness.state_mut().desk.document = desk::Document::fresh(knife::Knife::empty());
    harness.state_mut().desk.derived.forget();
    settle(&mut harness);
    harness.get_by_label_contains("Finished knife: There is no closed outline");
    run(&mut harness, Command::Turn);
    harness.get_by_label("Canvas");
}
