//! The cross-section, and what is dragged on the knife seen on edge.

use super::*;
use egui::Pos2;
use marks::kurbo::Point;

fn at_station(station: Station) -> Harness<'static, Bench> {
    let mut harness = bench();
    run(&mut harness, Command::Station(station));
    harness
}

fn point_at(harness: &mut Harness<'_, Bench>, at: Pos2) {
    harness.hover_at(at);
    harness.run_steps(4);
}

/// Where the pointer is when it is over this x of the knife, in the middle of the canvas.
fn over(harness: &Harness<'_, Bench>, x_mm: f64) -> Pos2 {
    let desk = &harness.state().desk;
    let camera = desk.session.view.camera.unwrap_or_else(|| unreachable!("it was painted"));
    let seen = desk.derived.plane().plane_from_knife(desk.document.knife()) * Point::new(x_mm, 0.0);
    let canvas = harness.get_by_label("Canvas").rect();
    let off = (seen.x - camera.centre.x) * camera.points_per_mm;
    canvas.center() + vec2(off as f32, 30.0)
}

#[test]
fn it_follows_the_pointer_until_it_is_pinned() {
    let mut harness = at_station(Station::Bevels);
    let told = |harness: &Harness<'_, Bench>, words: &str| {
        harness.query_by_label_contains("Cross-section at").is_some_and(|node| {
            node.accesskit_node().label().is_some_and(|label| label.contains(words))
        })
    };
    // The starter: 3.175 mm stock, 0.5 mm edge, 20 mm grind height: atan(1.3375/20) = 3.83°.
    let at = over(&harness, 60.0);
    point_at(&mut harness, at);
    assert!((harness.state().desk.derived.section_mm().unwrap() - 60.0).abs() < 0.5);
    assert!(told(&harness, "angle per side 3.83°") && told(&harness, "edge 0.020 in"));
    let at = over(&harness, 150.0);
    point_at(&mut harness, at);
    assert!(
        told(&harness, "with scales 0.635 in"),
        "1/8 in between two of 1/4 in and 0.13 mm of glue"
    );
    assert!(told(&harness, "one scale 0.250 in"));
    let history = harness.state().desk.document.history().past().len();
    harness.key_press(Key::P);
    harness.run_steps(3);
    let at = over(&harness, 60.0);
    point_at(&mut harness, at);
    assert!(told(&harness, "with scales 0.635 in"), "pinned");
    // Its line is dragged along; a click on the strip and a typed place pin it elsewhere.
    let from = middle_of(&harness, "Section line");
    let to = over(&harness, 120.0);
    drag(&mut harness, from, vec2(to.x - from.x, 0.0));
    assert!((harness.state().desk.session.section.pinned_mm.unwrap() - 120.0).abs() < 0.5);
    let strip = harness.get_by_label("Knife on edge").rect();
    let click = Pos2::new(over(&harness, 40.0).x, strip.max.y - 12.0);
    point_at(&mut harness, click);
    harness.drag_at(click);
    harness.run_steps(1);
    harness.drop_at(click);
    harness.run_steps(4);
    assert!((harness.state().desk.session.section.pinned_mm.unwrap() - 40.0).abs() < 0.5);
    fill(&mut harness, "Section at", "80 mm");
    assert_eq!(harness.state().desk.session.section.pinned_mm, Some(80.0));
    harness.get_by_label("Pin the cross-section").click();
    harness.run_steps(3);
    assert_eq!(harness.state().desk.session.section.pinned_mm, None);
    assert_eq!(harness.state().desk.document.history().past().len(), history, "looking is no step");
    run(&mut harness, Command::Section);
    assert!(harness.query_by_label("Pin the cross-section").is_none());
}

/// Drags a grip, types its field, takes both back.
fn dragged_and_typed(
    station: Station,
    grip: &str,
    by: egui::Vec2,
    field: &str,
    value: impl Fn(&knife::Knife) -> f64,
) -> f64 {
    let mut harness = at_station(station);
    let first = saved(&harness);
    let now = |harness: &Harness<'_, Bench>| value(harness.state().desk.document.knife());
    let before = now(&harness);
    let from = harness.get_by_role_and_label(Role::Button, grip).rect().center();
    drag(&mut harness, from, by);
    let moved = now(&harness) - before;
    assert_eq!(
        harness.state().desk.document.history().past().len(),
        1,
        "{grip}: one drag, one step"
    );
    fill(&mut harness, field, "2.25 mm");
    assert_eq!(now(&harness), 2.25, "{field}");
    run(&mut harness, Command::Undo);
    run(&mut harness, Command::Undo);
    assert!(saved(&harness) == first, "{grip}");
    harness.get_by_role_and_label(Role::Button, grip).focus();
    harness.run_steps(2);
    harness.key_press(if by.y == 0.0 { Key::ArrowRight } else { Key::ArrowUp });
    harness.run_steps(3);
    assert!(now(&harness) != before, "{grip}: nudged");
    moved * f64::from(1.0_f32.copysign(if by.y == 0.0 { by.x } else { -by.y }))
}

#[test]
fn every_size_of_the_grind_and_the_scales_is_dragged_and_typed() {
    let bevel = |knife: &knife::Knife| knife.bevel.unwrap_or_else(|| unreachable!("it has bevels"));
    let scales =
        |knife: &knife::Knife| knife.scales.unwrap_or_else(|| unreachable!("it has scales"));
    let (along, up, down) = (vec2(20.0, 0.0), vec2(0.0, -12.0), vec2(0.0, 8.0));
    let plunge = dragged_and_typed(Station::Bevels, "Plunge line", along, "Plunge line", |k| {
        bevel(k).plunge_x_mm
    });
    let grind = dragged_and_typed(Station::Bevels, "Grind line", up, "Grind height", |k| {
        bevel(k).grind_height_mm
    });
    let edge = dragged_and_typed(Station::Bevels, "Edge line", up, "Edge thickness", |k| {
        bevel(k).edge_thickness_mm
    });
    let front =
        dragged_and_typed(Station::Handle, "Front of scales", along, "Front of scales", |k| {
            scales(k).front_x_mm
        });
    let face = dragged_and_typed(Station::Handle, "Scale face", down, "Scale thickness", |k| {
        scales(k).thickness_mm
    });
    assert!((plunge - front).abs() < 1e-6 && plunge > 3.0, "both by the same way");
    assert!(grind > 2.0 && face > 1.0);
    // Twelve points of 0.01 mm on each side.
    assert!((edge - 0.24).abs() < 0.02, "{edge}");
}

#[test]
fn escape_takes_a_thickness_and_a_field_back() {
    let mut harness = at_station(Station::Handle);
    let before = saved(&harness);
    let from = harness.get_by_label("Scale face").rect().center();
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    harness.hover_at(from - vec2(0.0, 14.0));
    harness.run_steps(3);
    assert!(saved(&harness) != before);
    harness.key_press(Key::Escape);
    harness.run_steps(3);
    assert!(saved(&harness) == before);
    harness.drop_at(from);
    harness.get_by_role_and_label(Role::TextInput, "Scale thickness").focus();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::TextInput, "Scale thickness").type_text("1/2");
    harness.run_steps(2);
    harness.key_press(Key::Escape);
    harness.run_steps(3);
    assert!(saved(&harness) == before, "what was typed is let go");
}

/// Over the handle it tells the scales as they are shaped there.
#[test]
fn it_shows_the_scales_as_they_are_shaped() {
    let mut harness = at_station(Station::Handle);
    let mut handle = harness.state().desk.document.knife().handle.clone();
    handle.liners = Some(knife::Liners { thickness_mm: 1.0, material: None });
    handle.glue_mm = Some(0.0);
    let corner = knife::Corner::Chamfer { width_mm: 2.54, angle_deg: 45.0 };
    handle.shaping.corner = Some(corner);
    let place = |x_mm, thickness_mm| knife::ThicknessAt { x_mm, thickness_mm };
    handle.shaping.thickness = vec![place(130.0, 8.0), place(150.0, 4.0)];
    harness.state_mut().desk.document.edit(&[Edit::SetHandle(handle)]).unwrap();
    harness.run_steps(4);
    assert!(harness.query_by_role_and_label(Role::Button, "Scale face").is_none(), "typed instead");
    fill(&mut harness, "Section at", "140 mm");
    let node = harness.get_by_label_contains("Cross-section at");
    let label = node.accesskit_node().label().unwrap();
    // By hand: 6 mm halfway from 8 to 4, 2.54 mm at 45°; 3.175 + 2 (1 + 6) = 17.175 mm.
    for words in [
        "one scale 0.236 in",
        "liner 0.039 in",
        "corner, face 0.100 in",
        "corner, side 0.100 in",
        "with scales 0.676 in",
    ] {
        assert!(label.contains(words), "{words}: {label}");
    }
}
