//! Room for the work: findings that lead to a cure, the status line, tools, menus, and that nothing
//! lies over anything else in any window.

use super::*;
use egui::{Event, PointerButton, Pos2, Rect};
use knife::{HoleId, NodeId};

/// A desk in a window of this size, its text so many times as large.
fn sized(size: egui::Vec2, scale: f32) -> Harness<'static, Bench> {
    let desk = Desk::new(Settings { scale, ..Settings::default() });
    let state = Bench { desk, host: MemoryHost::with_data() };
    let mut harness = Harness::builder().with_size(size).build_ui_state(frame, state);
    harness.run_steps(5);
    harness.state_mut().desk.session.dialogs.welcomed = true;
    harness.run_steps(3);
    harness
}

fn press(harness: &mut Harness<'_, Bench>, button: PointerButton, at: Pos2) {
    let event =
        |pressed| Event::PointerButton { pos: at, button, pressed, modifiers: Modifiers::NONE };
    harness.hover_at(at);
    harness.run_steps(2);
    harness.event(event(true));
    harness.run_steps(1);
    harness.event(event(false));
    harness.run_steps(4);
}

/// Two pin holes with next to nothing between them.
fn crowded() -> Harness<'static, Bench> {
    let mut harness = sized(vec2(1280.0, 800.0), 1.0);
    let holes = &harness.state().desk.document.knife().holes;
    let (first, second) = (holes[0].clone(), holes[1].clone());
    let near =
        first.at + kurbo::Vec2::new((first.diameter_mm + second.diameter_mm) / 2.0 + 0.2, 0.0);
    let desk = &mut harness.state_mut().desk;
    desk.document
        .edit(&[Edit::MoveHole { hole: second.id, to: near }])
        .expect("a place on the tang");
    harness.run_steps(4);
    harness
}

#[test]
fn a_finding_is_short_tells_more_when_asked_and_is_cured_by_its_button() {
    let mut harness = crowded();
    let finding = |harness: &Harness<'_, Bench>| {
        let findings = &harness.state().desk.derived.reckoning.findings;
        findings.iter().find(|finding| finding.rule == "web-between-holes").cloned()
    };
    let found = finding(&harness).unwrap();
    assert_eq!(found.severity, knife::Severity::Stop, "0.2 mm is no web");
    assert!(harness.query_by_label(&found.short).is_some(), "{}", found.short);
    assert!(harness.query_by_label(&found.sentence).is_none());
    harness.get_all_by_label("More").next().unwrap().click();
    harness.run_steps(4);
    assert!(harness.query_by_label_contains(&found.sentence).is_some());
    harness.get_by_label("Less").click();
    harness.run_steps(4);
    assert!(harness.query_by_label_contains(&found.sentence).is_none());

    let steps = harness.state().desk.document.history().past().len();
    let label = found.remedy.unwrap().label;
    harness.get_by_label(&label).click();
    harness.run_steps(4);
    assert!(finding(&harness).is_none(), "cured");
    assert_eq!(harness.state().desk.document.history().past().len(), steps + 1);
    run(&mut harness, Command::Undo);
    assert!(finding(&harness).is_some());
}

#[test]
fn only_the_parts_concerned_light_up() {
    let mut harness = crowded();
    let findings = harness.state().desk.derived.reckoning.findings.clone();
    let found = findings.iter().find(|finding| finding.rule == "web-between-holes").unwrap();
    harness.get_by_label(&found.short).click();
    harness.run_steps(4);
    let session = &harness.state().desk.session;
    assert_eq!(session.station, Station::Holes);
    let lit: Vec<_> = session.selection.parts.iter().copied().collect();
    let mut parts = found.parts.clone();
    parts.sort_unstable();
    assert_eq!(lit, parts);
}

#[test]
fn the_list_of_problems_keeps_its_height_while_a_node_is_dragged() {
    let mut harness = sized(vec2(1280.0, 800.0), 1.0);
    let canvas = |harness: &Harness<'_, Bench>| harness.state().desk.session.view.canvas.unwrap();
    let before = canvas(&harness);
    let name = plain_node(harness.state().desk.document.knife());
    let from = middle_of(&harness, &name);
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    let mut counts = std::collections::BTreeSet::new();
    for part in [20.0_f32, 60.0, 120.0, 200.0] {
        harness.hover_at(from + vec2(-part, part * 0.7));
        harness.run_steps(2);
        counts.insert(harness.state().desk.derived.reckoning.findings.len());
        assert_eq!(canvas(&harness), before);
    }
    assert!(counts.len() > 1, "findings came or went: {counts:?}");
    harness.key_press(Key::Escape);
    harness.run_steps(2);
}

#[test]
fn figures_of_what_is_hovered_stand_in_the_status_line() {
    let mut harness = sized(vec2(1280.0, 800.0), 1.0);
    let node = plain_node(harness.state().desk.document.knife());
    let at = middle_of(&harness, &node);
    assert!(harness.query_by_label_contains("overall").is_none());
    harness.hover_at(at);
    harness.run_steps(4);
    let line = harness.get_by_label_contains("  ·  overall").rect();
    let canvas = harness.state().desk.session.view.canvas.unwrap();
    assert!(line.min.y >= canvas.max.y, "below the canvas: {line:?} {canvas:?}");
    // Over the bare bench it tells the place; with nothing under it, what is selected.
    harness.hover_at(canvas.min + vec2(30.0, 40.0));
    harness.run_steps(4);
    let status_text = |harness: &Harness<'_, Bench>| {
        harness.get_by_role(Role::Status).accesskit_node().label().unwrap_or_default()
    };
    let place = status_text(&harness);
    assert!(place.starts_with("x ") && place.contains(", y "), "{place}");
    let number = node.trim_start_matches("Node ").parse().unwrap();
    let part = knife::PartId::Node(NodeId(number));
    harness.state_mut().desk.session.selection.choose(part, false);
    harness.hover_at(pos(4.0, 4.0));
    harness.run_steps(4);
    assert_eq!(status_text(&harness), "1 node selected");
}

fn pos(x: f32, y: f32) -> Pos2 {
    Pos2::new(x, y)
}

#[test]
fn the_zoom_is_shown_and_typed_in_per_cent_of_true_size() {
    let mut harness = sized(vec2(1280.0, 800.0), 1.0);
    harness.state_mut().desk.settings.pixels_per_mm = Some(5.0);
    let zoom = |harness: &Harness<'_, Bench>| {
        harness.state().desk.session.view.camera.unwrap().points_per_mm
    };
    harness.run_steps(2);
    run(&mut harness, Command::TrueSize);
    assert!((zoom(&harness) - 5.0).abs() < 1e-9);
    let field = harness.get_by_role_and_label(Role::SpinButton, "Zoom");
    assert_eq!(field.value().as_deref(), Some("100 %"));
    field.click();
    harness.run_steps(3);
    // What stands there is selected, so that typing replaces it.
    harness.event(Event::Text("250".to_owned()));
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    assert!((zoom(&harness) - 12.5).abs() < 1e-6, "{}", zoom(&harness));
    harness.get_by_label("100 %").click();
    harness.run_steps(4);
    assert!((zoom(&harness) - 5.0).abs() < 1e-9);
}

#[test]
fn what_is_selected_is_fitted() {
    let mut harness = sized(vec2(1280.0, 800.0), 1.0);
    run(&mut harness, Command::Station(Station::Holes));
    let camera = harness.state().desk.session.view.camera.unwrap();
    let hole = harness.state().desk.document.knife().holes[0].clone();
    harness.state_mut().desk.session.selection.choose(knife::PartId::Hole(hole.id), false);
    harness.run_steps(2);
    run(&mut harness, Command::FitSelection);
    let nearer = harness.state().desk.session.view.camera.unwrap();
    assert!(nearer.points_per_mm > 2.0 * camera.points_per_mm);
    assert!(nearer.centre.distance(hole.at) < 1.0, "{nearer:?}");
    // The knife on edge is seen whole all the same.
    let bounds = harness.state().desk.derived.reckoning.outline.as_ref().unwrap().bounds();
    let strip = harness.get_by_role_and_label(Role::Canvas, "Knife on edge").rect();
    let edge = harness.state().desk.session.view.edge_view(strip);
    assert!(edge.x0 <= bounds.x0 && bounds.x1 <= edge.x1, "{edge:?} {bounds:?}");
}

/// What takes a part of the window for itself.
fn parts(harness: &Harness<'_, Bench>) -> Vec<(String, Rect)> {
    let mut parts = Vec::new();
    let mut add = |name: &str, rect: Rect| parts.push((name.to_owned(), rect));
    for menu in ["File", "Edit", "Work", "View", "Help"] {
        add(menu, harness.get_by_role_and_label(Role::Button, menu).rect());
    }
    for station in Station::ALL {
        add(station.name(), harness.get_by_role_and_label(Role::Tab, station.name()).rect());
    }
    for canvas in ["Canvas", "Pages", "Knife on edge"] {
        if let Some(node) = harness.query_by_role_and_label(Role::Canvas, canvas) {
            add(canvas, node.rect());
        }
    }
    for tool in [
        "Select",
        "Pen",
        "Hole",
        "Measure",
        "Undo",
        "Redo",
        "Zoom in",
        "Zoom out",
        "Fit",
        "Fit selection",
        "True size",
        "Card",
        "Problems",
    ] {
        let name = format!("{tool} tool");
        add(&name, harness.get_by_role_and_label(Role::Button, &name).rect());
    }
    add("Zoom", harness.get_by_role_and_label(Role::SpinButton, "Zoom").rect());
    add("100 %", harness.get_by_role_and_label(Role::Button, "100 %").rect());
    parts
}

/// From 800 × 600 to 2560 × 1440, and at 200 %, at every station.
#[test]
fn nothing_lies_over_anything_else_in_any_window() {
    for (width, height, scale) in [
        (800.0, 600.0, 1.0),
        (1280.0, 800.0, 1.0),
        (2560.0, 1440.0, 1.0),
        (1280.0, 800.0, 2.0),
        (1920.0, 1080.0, 2.0),
        (2560.0, 1440.0, 2.0),
    ] {
        let mut harness = sized(vec2(width, height), scale);
        for station in Station::ALL {
            run(&mut harness, Command::Station(station));
            let window = harness.ctx.content_rect();
            let parts = parts(&harness);
            for (i, (name, rect)) in parts.iter().enumerate() {
                let inside = window.expand(0.5).contains_rect(*rect);
                assert!(inside, "{name} {rect:?} of {window:?}, {station:?}");
                for (other, there) in &parts[i + 1..] {
                    let over = rect.shrink(0.5).intersects(there.shrink(0.5));
                    assert!(
                        !over,
                        "{name} {rect:?} over {other} {there:?}, {width} × {height} at {scale}"
                    );
                }
            }
        }
    }
}

#[test]
fn the_card_is_widened_and_hidden() {
    let mut harness = sized(vec2(1280.0, 800.0), 1.0);
    let canvas = |harness: &Harness<'_, Bench>| harness.state().desk.session.view.canvas.unwrap();
    let before = canvas(&harness);
    // Its left edge is taken hold of and pulled to the left.
    let edge = pos(before.max.x + 2.0, 300.0);
    drag(&mut harness, edge, vec2(-100.0, 0.0));
    let wider = canvas(&harness);
    assert!((before.max.x - wider.max.x - 100.0).abs() < 8.0, "{before:?} {wider:?}");
    harness.key_press(Key::F9);
    harness.run_steps(4);
    assert!(!harness.state().desk.settings.card);
    assert!(canvas(&harness).max.x > 1270.0);
    assert!(harness.query_by_role_and_label(Role::TextInput, "Name").is_none());
    harness.get_by_label("Card tool").click();
    harness.run_steps(4);
    assert!(harness.query_by_role_and_label(Role::TextInput, "Name").is_some());
    let high = canvas(&harness).height();
    harness.key_press(Key::F8);
    harness.run_steps(4);
    assert!(canvas(&harness).height() > high + 30.0);
}

#[test]
fn a_right_click_offers_what_can_be_done_there() {
    let mut harness = sized(vec2(1280.0, 800.0), 1.0);
    let name = plain_node(harness.state().desk.document.knife());
    let number = name.trim_start_matches("Node ").parse().unwrap();
    let at = middle_of(&harness, &name);
    press(&mut harness, PointerButton::Secondary, at);
    let chosen = knife::PartId::Node(NodeId(number));
    assert!(harness.state().desk.session.selection.contains(chosen), "it is selected first");
    let smooth = |harness: &Harness<'_, Bench>| {
        harness.state().desk.document.knife().profile.node(NodeId(number)).unwrap().kind.is_smooth()
    };
    let was = smooth(&harness);
    let label = if was { "Make corner" } else { "Make smooth" };
    let entries: Vec<_> = harness.get_all_by_label_contains(label).collect();
    let lowest =
        entries.iter().map(|entry| entry.rect()).find(|rect| rect.distance_to_pos(at) < 260.0);
    let lowest = lowest.expect("an entry by the pointer").center();
    drop(entries);
    click_at(&mut harness, lowest);
    assert_ne!(smooth(&harness), was);
    // A node is added where the menu was asked for, though the pointer has gone on.
    let count = harness.state().desk.document.knife().profile.nodes.len();
    let reckoning = &harness.state().desk.derived.reckoning;
    let seg = reckoning.outline.as_ref().unwrap().segs()[0];
    let on_line = kurbo::ParamCurve::eval(&seg, 0.37);
    let view = desk::View {
        rect: harness.state().desk.session.view.canvas.unwrap(),
        camera: harness.state().desk.session.view.camera.unwrap(),
    };
    let at = view.ui_from_mm(on_line);
    press(&mut harness, PointerButton::Secondary, at);
    let entries: Vec<Rect> =
        harness.get_all_by_label_contains("Add node").map(|entry| entry.rect()).collect();
    let entry =
        entries.into_iter().min_by(|a, b| a.distance_to_pos(at).total_cmp(&b.distance_to_pos(at)));
    click_at(&mut harness, entry.unwrap().center());
    let nodes = &harness.state().desk.document.knife().profile.nodes;
    assert_eq!(nodes.len(), count + 1);
    let nearest = nodes.iter().map(|node| node.at.distance(on_line)).fold(f64::INFINITY, f64::min);
    assert!(nearest < 1.5, "{nearest}");
}

#[test]
fn menus_open_by_alt_and_their_letter_and_are_gone_through_by_keys() {
    let mut harness = sized(vec2(1280.0, 800.0), 1.0);
    for (key, entry) in [
        (Key::F, "Save as…"),
        (Key::E, "Preferences…"),
        (Key::W, "Rotate to fit"),
        (Key::V, "Curvature comb"),
        (Key::H, "About Blankwright"),
    ] {
        harness.key_press_modifiers(Modifiers::ALT, key);
        harness.run_steps(4);
        assert!(harness.query_by_label_contains(entry).is_some(), "{entry}");
        harness.key_press(Key::Escape);
        harness.run_steps(4);
        assert!(harness.query_by_label_contains(entry).is_none(), "{entry}");
    }
    harness.key_press_modifiers(Modifiers::ALT, Key::H);
    harness.run_steps(4);
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    let open = &harness.state().desk.session.dialogs.open;
    assert!(matches!(open, Some(desk::Dialog::Shortcuts)), "the first entry was run");
}

#[test]
fn tools_run_their_commands() {
    let mut harness = sized(vec2(1280.0, 800.0), 1.0);
    harness.get_by_label("Hole tool").click();
    harness.run_steps(4);
    assert!(harness.state().desk.session.holes.active);
    harness.get_by_label("Select tool").click();
    harness.run_steps(4);
    assert!(!harness.state().desk.session.holes.active);
    let hole = HoleId(1);
    let desk = &mut harness.state_mut().desk;
    desk.document.edit(&[Edit::RemoveHole(hole)]).unwrap();
    harness.run_steps(4);
    harness.get_by_label("Undo tool").click();
    harness.run_steps(4);
    assert!(harness.state().desk.document.knife().hole(hole).is_some());
    harness.get_by_label("Redo tool").click();
    harness.run_steps(4);
    assert!(harness.state().desk.document.knife().hole(hole).is_none());
}

#[test]
fn preferences_apply_at_once_and_are_kept() {
    let mut harness = sized(vec2(1280.0, 800.0), 1.0);
    run(&mut harness, Command::Preferences);
    pick(&mut harness, Role::RadioButton, "Light theme");
    pick(&mut harness, Role::RadioButton, "Millimetres");
    pick(&mut harness, Role::CheckBox, "Open the last file at startup");
    let settings = harness.state().desk.settings.clone();
    assert_eq!(settings.color_theme, desk::ColorTheme::Light);
    assert_eq!(settings.unit, units::LengthUnit::Millimetre);
    assert!(settings.reopen);
    assert_eq!(Settings::read(&harness.state().host).0, settings);
    harness.get_by_label("Close").click();
    harness.run_steps(4);
    run(&mut harness, Command::About);
    assert!(harness.query_by_label_contains(env!("CARGO_PKG_VERSION")).is_some());
}

/// A name in a script that the sheets have no lettering for is told in its field while it is
/// typed, before anything is saved; the name is kept as it was typed.
#[test]
fn a_name_that_cannot_be_printed_is_told_in_its_field() {
    let state = Bench { desk: Desk::new(Settings::default()), host: MemoryHost::with_data() };
    let builder = Harness::builder().with_size(vec2(1280.0, 800.0)).allow_missing_glyphs();
    let mut harness = builder.build_ui_state(frame, state);
    harness.run_steps(4);
    harness.state_mut().desk.session.dialogs.welcomed = true;
    run(&mut harness, Command::Station(Station::Profile));
    let is_warned = |harness: &Harness<'_, Bench>| {
        harness.query_by_label_contains("no lettering for some of these").is_some()
    };
    for name in ["刀鍛冶", "سكين", "Größe 7"] {
        harness.get_by_role_and_label(Role::TextInput, "Name").focus();
        harness.run_steps(2);
        harness.get_by_role_and_label(Role::TextInput, "Name").type_text(name);
        harness.run_steps(2);
        assert_eq!(is_warned(&harness), name != "Größe 7", "{name} while it is typed");
        harness.key_press(Key::Enter);
        harness.run_steps(3);
        assert_eq!(harness.state().desk.document.knife().name, name);
        assert_eq!(is_warned(&harness), name != "Größe 7", "{name} once it is typed");
    }
    run(&mut harness, Command::Station(Station::Holes));
    assert!(!is_warned(&harness));
}
