//! Segments dragged, selections turned and scaled, parts copied, arcs and strokes drawn, things
//! measured: the hand of a maker at the drawing tools.

use super::*;
use desk::{Pen, View};
use egui::Pos2;
use knife::{Dimension, NodeId, PartId, Profile};
use marks::kurbo::{ParamCurve as _, PathSeg, Point, Vec2};

fn profile(harness: &Harness<'_, Bench>) -> Profile {
    harness.state().desk.document.knife().profile.clone()
}

fn view(harness: &Harness<'_, Bench>) -> View {
    let session = &harness.state().desk.session;
    View {
        rect: session.view.canvas.expect("a canvas"),
        camera: session.view.camera.expect("a camera"),
    }
}

fn screen(harness: &Harness<'_, Bench>, p: Point) -> Pos2 {
    view(harness).ui_from_mm(p)
}

/// A desk in millimetres, without the panel that may lie over the canvas.
fn ready() -> Harness<'static, Bench> {
    let mut harness = bench();
    harness.state_mut().desk.settings.section = false;
    harness.state_mut().desk.actions.edit(Edit::SetUnit(units::LengthUnit::Millimetre));
    harness.run_steps(3);
    harness
}

/// The longest curve of an outline, by its number.
fn longest_curve(profile: &Profile) -> usize {
    let outline = profile.outline().expect("it is closed");
    let length = |i: usize| outline.length_between((i, 0.0), (i, 1.0));
    let curves =
        (0..profile.nodes.len()).filter(|i| matches!(outline.segs()[*i], PathSeg::Cubic(_)));
    curves.max_by(|a, b| length(*a).total_cmp(&length(*b))).expect("there are curves")
}

#[test]
fn a_segment_is_bent_by_dragging_it_as_one_step() {
    let mut harness = ready();
    let before = profile(&harness);
    let i = longest_curve(&before);
    let place = before.outline().unwrap().point_at(i, 0.5);
    let from = screen(&harness, place);
    let steps = harness.state().desk.document.history().past().len();
    drag(&mut harness, from, vec2(6.0, -20.0));
    let after = profile(&harness);
    let moved = after.outline().unwrap().segs()[i].eval(0.5) - place;
    let zoom = view(&harness).camera.points_per_mm;
    let wanted = Vec2::new(6.0, 20.0) / zoom;
    assert!((moved - wanted).hypot() * zoom < 2.0, "{moved:?} {wanted:?}");
    assert_eq!(after.nodes[i].at, before.nodes[i].at);
    assert_eq!(harness.state().desk.document.history().past().len(), steps + 1);
    assert_eq!(harness.state().desk.document.history().undo_label(), Some("Bend segment"));
    // Escape in the middle takes it back.
    let from = screen(&harness, after.outline().unwrap().point_at(i, 0.5));
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    harness.hover_at(from + vec2(0.0, 30.0));
    harness.run_steps(2);
    assert_ne!(profile(&harness), after);
    harness.key_press(Key::Escape);
    harness.run_steps(2);
    harness.drop_at(from + vec2(0.0, 30.0));
    harness.run_steps(2);
    assert_eq!(profile(&harness), after);
}

#[test]
fn a_rubber_band_still_begins_beside_the_outline() {
    let mut harness = ready();
    let around = profile(&harness).outline().unwrap().bounds();
    let from = screen(&harness, Point::new(around.x0, around.y0)) + vec2(-14.0, 14.0);
    let to = screen(&harness, Point::new(around.x1, around.y1)) + vec2(14.0, -14.0);
    drag(&mut harness, from, to - from);
    let count = profile(&harness).nodes.len();
    assert_eq!(harness.state().desk.session.selection.nodes().len(), count);
}

#[test]
fn a_selection_is_turned_scaled_and_mirrored_by_handles_and_typed() {
    let mut harness = ready();
    run(&mut harness, Command::Station(Station::Holes));
    run(&mut harness, Command::SelectAll);
    let holes = |harness: &Harness<'_, Bench>| -> Vec<Point> {
        harness.state().desk.document.knife().holes.iter().map(|hole| hole.at).collect()
    };
    let before = holes(&harness);
    assert!(before.len() > 1);
    let middle = |all: &[Point]| {
        let sum = |f: fn(&Point) -> f64| {
            let (low, high) = all
                .iter()
                .map(f)
                .fold((f64::MAX, f64::MIN), |(low, high), v| (low.min(v), high.max(v)));
            0.5 * (low + high)
        };
        Point::new(sum(|p| p.x), sum(|p| p.y))
    };
    let from = middle_of(&harness, "Rotate selection");
    drag(&mut harness, from, vec2(30.0, 12.0));
    let turned = holes(&harness);
    for (a, b) in before.iter().zip(&turned) {
        let about = middle(&before);
        assert!((a.distance(about) - b.distance(about)).abs() < 1e-9);
    }
    assert!(before.iter().zip(&turned).any(|(a, b)| a.distance(*b) > 1.0));
    assert!(harness.state().desk.document.history().undo_label().unwrap().starts_with("Rotate"));
    run(&mut harness, Command::Undo);
    run(&mut harness, Command::SelectAll);
    let from = middle_of(&harness, "Scale selection right");
    drag(&mut harness, from, vec2(25.0, 0.0));
    let width = |all: &[Point]| {
        let xs: Vec<f64> = all.iter().map(|p| p.x).collect();
        xs.iter().fold(f64::MIN, |a, b| a.max(*b)) - xs.iter().fold(f64::MAX, |a, b| a.min(*b))
    };
    let zoom = view(&harness).camera.points_per_mm;
    let wider = width(&holes(&harness)) - width(&before);
    assert!((wider * zoom - 25.0).abs() < 9.0, "{wider}");
    run(&mut harness, Command::Undo);
}

#[test]
fn nodes_are_lined_up_and_moved_by_what_is_typed() {
    let mut harness = ready();
    let ids: Vec<NodeId> = profile(&harness).nodes.iter().map(|node| node.id).collect();
    let (a, b) = (ids[1], ids[2]);
    harness.state_mut().desk.session.selection.parts = [PartId::Node(a), PartId::Node(b)].into();
    harness.run_steps(3);
    pick(&mut harness, Role::DisclosureTriangle, "Arrange");
    let at = |harness: &Harness<'_, Bench>, id| profile(harness).node(id).unwrap().at;
    let before = (at(&harness, a), at(&harness, b));
    fill(&mut harness, "Move up", "2.5");
    assert!(at(&harness, a).distance(before.0 + Vec2::new(0.0, 2.5)) < 1e-9);
    assert!(at(&harness, b).distance(before.1 + Vec2::new(0.0, 2.5)) < 1e-9);
    fill(&mut harness, "Rotate selection by", "90");
    let arm = at(&harness, b) - at(&harness, a);
    let was = before.1 - before.0;
    assert!((arm - was.turn_90()).hypot() < 1e-9, "{arm:?} {was:?}");
    fill(&mut harness, "Scale selection to", "50 %");
    assert!(((at(&harness, b) - at(&harness, a)).hypot() - was.hypot() / 2.0).abs() < 1e-9);
    pick(&mut harness, Role::Button, "Align on y");
    assert!((at(&harness, a).y - at(&harness, b).y).abs() < 1e-12);
    fill(&mut harness, "Scale selection to", "huge");
    assert!(harness.query_by_label_contains("isn't a size").is_some());
}

#[test]
fn holes_are_copied_cut_pasted_and_duplicated_by_keys() {
    let mut harness = ready();
    run(&mut harness, Command::Station(Station::Holes));
    let count = |harness: &Harness<'_, Bench>| harness.state().desk.document.knife().holes.len();
    let first = harness.state().desk.document.knife().holes[0].clone();
    let all = count(&harness);
    let at = middle_of(&harness, &format!("Hole 1, {}", first.name.trim()));
    click_at(&mut harness, at);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::C);
    harness.run_steps(3);
    let to = screen(&harness, first.at + Vec2::new(5.5, 4.0));
    harness.hover_at(to);
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::V);
    harness.run_steps(4);
    assert_eq!(count(&harness), all + 1);
    let new = harness.state().desk.document.knife().holes[all].clone();
    assert!(new.at.distance(first.at + Vec2::new(5.5, 4.0)) < 0.2, "{new:?}");
    assert_eq!((new.diameter_mm, new.kind), (first.diameter_mm, first.kind));
    assert_eq!(harness.state().desk.session.selection.hole(), Some(new.id));
    run(&mut harness, Command::Duplicate);
    assert_eq!(count(&harness), all + 2);
    run(&mut harness, Command::Cut);
    assert_eq!(count(&harness), all + 1);
    run(&mut harness, Command::Paste);
    assert_eq!(count(&harness), all + 2);
    run(&mut harness, Command::Undo);
    run(&mut harness, Command::Undo);
    run(&mut harness, Command::Undo);
    run(&mut harness, Command::Undo);
    assert_eq!(count(&harness), all);
}

/// A desk with an empty bar that is drawn on.
fn drawing() -> Harness<'static, Bench> {
    let mut harness = bench();
    run(&mut harness, Command::DrawNew);
    pick(&mut harness, Role::Button, "Begin drawing");
    harness.run_steps(3);
    harness.state_mut().desk.settings.section = false;
    harness
}

fn click_freely(harness: &mut Harness<'_, Bench>, p: (f64, f64)) {
    let at = screen(harness, p.into());
    harness.event(egui::Event::ModifiersChanged(Modifiers::COMMAND));
    harness.run_steps(1);
    click_at(harness, at);
    harness.event(egui::Event::ModifiersChanged(Modifiers::NONE));
    harness.run_steps(1);
}

#[test]
fn an_arc_and_a_stroke_are_drawn_and_closed() {
    let mut harness = drawing();
    click_freely(&mut harness, (20.0, 0.0));
    click_freely(&mut harness, (120.0, 14.0));
    click_freely(&mut harness, (200.0, 12.0));
    harness.key_press(Key::A);
    harness.run_steps(2);
    assert_eq!(harness.state().desk.session.drawing.pen(), Pen::Arc);
    click_freely(&mut harness, (212.0, 0.0));
    assert_eq!(harness.state().desk.session.drawing.knots().len(), 3);
    click_freely(&mut harness, (200.0, -12.0));
    assert_eq!(harness.state().desk.session.drawing.knots().len(), 4);
    // By hand along the edge, back to the first point: that closes it.
    pick(&mut harness, Role::RadioButton, "By hand");
    let along = |i: i32| {
        let x = 200.0 - 4.5 * f64::from(i);
        let y = -12.0 - 3.0 * (f64::from(i) / 40.0 * std::f64::consts::PI).sin()
            + 12.0 * (f64::from(i) / 40.0).powi(6);
        Point::new(x, y)
    };
    let from = screen(&harness, along(0));
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    for i in 1..=40 {
        let at = screen(&harness, along(i));
        harness.hover_at(at);
        harness.run_steps(1);
    }
    let at = screen(&harness, along(40));
    harness.drop_at(at);
    harness.run_steps(5);
    let profile = profile(&harness);
    assert!(!profile.nodes.is_empty(), "it is closed");
    let outline = profile.outline().unwrap();
    assert!(profile.nodes.len() < 20, "few nodes: {}", profile.nodes.len());
    for i in 4..36 {
        let off = outline.nearest(along(i)).distance_mm;
        assert!(off < 1.5, "{i}: {off}");
    }
    for p in [(212.0, 0.0), (20.0, 0.0), (120.0, 14.0)] {
        assert!(outline.nearest(p.into()).distance_mm < 0.3, "{p:?}");
    }
}

#[test]
fn an_unfinished_drawing_survives_a_crash() {
    let mut harness = recovering("first-1", MemoryHost::with_data());
    run(&mut harness, Command::DrawNew);
    pick(&mut harness, Role::Button, "Begin drawing");
    harness.run_steps(3);
    for p in [(20.0, 0.0), (120.0, 14.0), (200.0, 3.0)] {
        harness.state_mut().host.now_ms += 5_000;
        click_freely(&mut harness, p);
    }
    harness.key_press(Key::L);
    harness.state_mut().host.now_ms += 5_000;
    harness.run_steps(4);
    let knots = harness.state().desk.session.drawing.knots().to_vec();
    assert_eq!(knots.len(), 3);
    let mut harness = recovering("second-2", killed(harness));
    assert_eq!(harness.state().desk.session.dialogs.found.len(), 1);
    pick(&mut harness, Role::Button, "Restore");
    harness.run_steps(4);
    assert_eq!(harness.state().desk.session.drawing.knots(), knots);
    assert!(harness.state().desk.session.drawing.active);
    // And it goes on from there.
    click_freely(&mut harness, (150.0, -14.0));
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    assert_eq!(profile(&harness).nodes.len(), 4);
}

#[test]
fn distances_are_measured_kept_for_the_plan_and_cleared() {
    let mut harness = ready();
    run(&mut harness, Command::Measure);
    let ids: Vec<NodeId> = profile(&harness).nodes.iter().map(|node| node.id).collect();
    let profile = profile(&harness);
    let (a, b) = (profile.nodes[0].clone(), profile.nodes[2].clone());
    for node in [&a, &b] {
        let at = middle_of(&harness, &format!("Node {}", node.id.0));
        click_at(&mut harness, at);
    }
    assert_eq!(ids[0], a.id);
    let results = harness.state().desk.session.tools.measuring.results.clone();
    assert_eq!(results.len(), 1);
    let text = units::show_in_both(a.at.distance(b.at), units::LengthUnit::Millimetre);
    let figure = text.split(' ').next().unwrap();
    assert!(harness.query_all_by_label_contains(figure).next().is_some(), "{text}");
    pick(&mut harness, Role::Button, "Put on plan");
    assert_eq!(harness.state().desk.document.knife().dimensions, results);
    // Kept in the file.
    let opened = file::open(&saved(&harness)).unwrap();
    assert!(opened.faults.is_empty() && opened.knife.dimensions == results);
    // A radius of the outline, and the angle at a node.
    pick(&mut harness, Role::RadioButton, "Radius");
    let i = longest_curve(&profile);
    let at = screen(&harness, profile.outline().unwrap().point_at(i, 0.5));
    click_at(&mut harness, at);
    pick(&mut harness, Role::RadioButton, "Angle");
    for node in [&profile.nodes[1], &a, &b] {
        let at = middle_of(&harness, &format!("Node {}", node.id.0));
        click_at(&mut harness, at);
    }
    let results = harness.state().desk.session.tools.measuring.results.clone();
    assert_eq!(results.len(), 3);
    assert!(matches!(results[1], Dimension::Radius(_)));
    assert!(matches!(results[2], Dimension::Angle { .. }));
    // Escape stops; what was found stays until it is cleared.
    harness.key_press(Key::Escape);
    harness.run_steps(3);
    assert!(!harness.state().desk.session.tools.measuring.active);
    assert_eq!(harness.state().desk.session.tools.measuring.results.len(), 3);
    pick(&mut harness, Role::Button, "Clear measurements");
    assert!(harness.state().desk.session.tools.measuring.results.is_empty());
    pick(&mut harness, Role::DisclosureTriangle, "Measured");
    pick(&mut harness, Role::Button, "Remove from plan");
    assert!(harness.state().desk.document.knife().dimensions.is_empty());
}

#[test]
fn the_comb_is_read_in_radii() {
    let mut harness = ready();
    run(&mut harness, Command::CombRadii);
    assert!(harness.state().desk.session.view.comb);
    let told = |harness: &Harness<'_, Bench>| {
        fn each(shape: &egui::Shape, found: &mut usize) {
            match shape {
                egui::Shape::Vec(shapes) => shapes.iter().for_each(|shape| each(shape, found)),
                egui::Shape::Text(text) if text.galley.text().starts_with("R ") => *found += 1,
                _ => {}
            }
        }
        let mut found = 0;
        harness.output().shapes.iter().for_each(|shape| each(&shape.shape, &mut found));
        found
    };
    assert!(told(&harness) >= 3, "{}", told(&harness));
    run(&mut harness, Command::CombRadii);
    assert_eq!(told(&harness), 0);
}
