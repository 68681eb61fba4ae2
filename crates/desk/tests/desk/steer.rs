//! Wheel and middle button steer over whatever lies on the canvas: nodes, holes, grips.

use super::*;
use egui::{Event, PointerButton, Pos2};

fn wheel(harness: &mut Harness<'_, Bench>, at: Pos2) {
    harness.hover_at(at);
    harness.run_steps(2);
    harness.event(Event::MouseWheel {
        unit: egui::MouseWheelUnit::Line,
        delta: vec2(0.0, 1.0),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Unknown,
        modifiers: Modifiers::NONE,
    });
    harness.run_steps(2);
}

fn pull(harness: &mut Harness<'_, Bench>, button: PointerButton, from: Pos2, by: egui::Vec2) {
    let press =
        |pos, pressed| Event::PointerButton { pos, button, pressed, modifiers: Modifiers::NONE };
    harness.hover_at(from);
    harness.run_steps(2);
    harness.event(press(from, true));
    harness.run_steps(1);
    for part in [0.25_f32, 0.5, 1.0] {
        harness.hover_at(from + by * part);
        harness.run_steps(1);
    }
    harness.event(press(from + by, false));
    harness.run_steps(3);
}

#[test]
fn nodes_holes_and_grips_are_steered_over() {
    let node = plain_node(bench().state().desk.document.knife());
    let things = [
        (Station::Profile, node.as_str()),
        (Station::Holes, "Hole 1, front pin"),
        (Station::Bevels, "Plunge line"),
        (Station::Handle, "Front of scales"),
        (Station::Bar, "Blank"),
    ];
    for (station, name) in things {
        let mut harness = bench();
        run(&mut harness, Command::Station(station));
        let before = saved(&harness);
        let at = middle_of(&harness, name);
        let camera = harness.state().desk.session.view.camera.unwrap();
        wheel(&mut harness, at);
        let nearer = harness.state().desk.session.view.camera.unwrap();
        let zoom = nearer.points_per_mm / camera.points_per_mm;
        assert!((zoom - 1.18).abs() < 1e-3, "the wheel over {name}: {zoom}");

        let at = middle_of(&harness, name);
        let way = vec2(30.0, -18.0);
        pull(&mut harness, PointerButton::Middle, at, way);
        let pulled = harness.state().desk.session.view.camera.unwrap();
        let went = (nearer.centre - pulled.centre) * nearer.points_per_mm;
        let off = (went.x - f64::from(way.x)).hypot(went.y + f64::from(way.y));
        assert!(off < 0.5, "pulled over {name}: {went:?}");

        let at = middle_of(&harness, name);
        harness.key_down(Key::Space);
        harness.run_steps(1);
        pull(&mut harness, PointerButton::Primary, at, way);
        harness.key_up(Key::Space);
        harness.run_steps(2);
        let again = harness.state().desk.session.view.camera.unwrap();
        let went = (pulled.centre - again.centre) * pulled.points_per_mm;
        let off = (went.x - f64::from(way.x)).hypot(went.y + f64::from(way.y));
        assert!(off < 0.5, "pulled with Space over {name}: {went:?}");
        assert_eq!(saved(&harness), before, "{name} moved itself");
    }
}

/// What is held is not zoomed from under the hand.
#[test]
fn the_wheel_rests_while_something_is_dragged() {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Profile));
    let name = plain_node(harness.state().desk.document.knife());
    let from = middle_of(&harness, &name);
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    harness.hover_at(from + vec2(20.0, 0.0));
    harness.run_steps(1);
    let camera = harness.state().desk.session.view.camera.unwrap();
    wheel(&mut harness, from + vec2(20.0, 0.0));
    assert_eq!(harness.state().desk.session.view.camera.unwrap(), camera);
}
