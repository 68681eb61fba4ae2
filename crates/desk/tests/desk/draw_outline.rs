//! Drawing a knife of one's own on an empty bar: by clicks, by the keyboard, and what follows.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use super::*;
use desk::View;
use egui::Pos2;
use knife::{NodeId, Origin, Profile};
use marks::kurbo::Point;

/// A blade of twelve points in the knife's plane, drawn from the tip along the spine and back along
/// the edge, clear of everything that clicks stick to.
const BLADE: [(f64, f64); 12] = [
    (11.2, -2.1),
    (36.4, 7.3),
    (74.7, 12.1),
    (116.3, 11.2),
    (163.9, 13.3),
    (214.6, 8.7),
    (221.3, -4.4),
    (183.1, -9.6),
    (139.8, -8.2),
    (107.3, -13.9),
    (66.2, -14.6),
    (31.5, -11.4),
];

/// Corners among them: the tip and the heel.
const CORNERS: [usize; 2] = [0, 9];

/// A desk at which an empty bar was begun through the menus' command and its card.
fn drawing() -> Harness<'static, Bench> {
    let mut harness = bench();
    run(&mut harness, Command::DrawNew);
    pick(&mut harness, Role::Button, "Begin drawing");
    harness.run_steps(3);
    assert!(profile(&harness).nodes.is_empty());
    harness
}

fn profile(harness: &Harness<'_, Bench>) -> Profile {
    harness.state().desk.document.knife().profile.clone()
}

fn screen(harness: &Harness<'_, Bench>, p: (f64, f64)) -> Pos2 {
    let session = &harness.state().desk.session;
    let view = View { rect: session.view.canvas.unwrap(), camera: session.view.camera.unwrap() };
    let desk = &harness.state().desk;
    let seen = desk.derived.plane().plane_from_knife(desk.document.knife());
    view.ui_from_mm(seen * Point::from(p))
}

/// A click with keys held.
pub(super) fn click_with(harness: &mut Harness<'_, Bench>, p: (f64, f64), modifiers: Modifiers) {
    let at = screen(harness, p);
    harness.event(egui::Event::ModifiersChanged(modifiers));
    harness.run_steps(1);
    click_at(harness, at);
    harness.event(egui::Event::ModifiersChanged(Modifiers::NONE));
    harness.run_steps(1);
}

fn click_blade(harness: &mut Harness<'_, Bench>) {
    for (i, p) in BLADE.into_iter().enumerate() {
        // Ctrl: sticking to nothing. Shift: a corner.
        let shift = if CORNERS.contains(&i) { Modifiers::SHIFT } else { Modifiers::NONE };
        click_with(harness, p, Modifiers::COMMAND.plus(shift));
    }
}

fn drawn(harness: &Harness<'_, Bench>) -> usize {
    harness.state().desk.session.drawing.knots().len()
}

#[test]
fn a_knife_of_ones_own_from_an_empty_bar_to_print() {
    let mut harness = drawing();
    let empty = saved(&harness);
    click_blade(&mut harness);
    assert_eq!(drawn(&harness), 12);
    assert_eq!(saved(&harness), empty, "the points are no part of the knife yet");
    // A click on the first point closes it.
    let first = middle_of(&harness, "Point 1, corner");
    click_at(&mut harness, first);
    let profile = profile(&harness);
    let outline = profile.outline().unwrap();
    assert_eq!((drawn(&harness), profile.nodes.len()), (0, 12));
    assert!(outline.signed_area() > 0.0 && outline.contacts().is_empty());
    for (i, p) in BLADE.into_iter().enumerate() {
        let p = Point::from(p);
        assert!(outline.nearest(p).distance_mm < 0.01, "{p:?}");
        let node = profile.nodes.iter().find(|node| node.at.distance(p) < 0.01).unwrap();
        assert_eq!(node.kind.is_smooth(), !CORNERS.contains(&i), "{p:?}");
    }
    // Drawn clockwise, so it was turned about: the heel is the fourth node.
    assert_eq!((profile.tip, profile.heel), (Some(NodeId(1)), Some(NodeId(4))));
    harness.get_by_label("Node 1, tip");
    harness.get_by_label("Node 4, heel");
    assert_eq!(harness.state().desk.session.station, Station::Profile);

    // All of it is in view.
    let seen = harness.state().desk.session.view.canvas.unwrap();
    for p in BLADE {
        assert!(seen.contains(screen(&harness, p)));
    }

    // One step, taken back with its points, and done again.
    let last = saved(&harness);
    assert_eq!(harness.state().desk.document.history().past().len(), 1);
    run(&mut harness, Command::Undo);
    assert_eq!((saved(&harness), drawn(&harness)), (empty, 12));
    run(&mut harness, Command::Redo);
    assert_eq!((saved(&harness), drawn(&harness)), (last, 0));

    // Holes, bevels, scales.
    run(&mut harness, Command::AddHole);
    let at = screen(&harness, (180.0, 1.0));
    click_at(&mut harness, at);
    assert_eq!(harness.state().desk.document.knife().holes.len(), 1);
    run(&mut harness, Command::Station(Station::Bevels));
    pick(&mut harness, Role::Button, "Begin the bevels");
    run(&mut harness, Command::Station(Station::Handle));
    pick(&mut harness, Role::Button, "Begin the scales");
    let knife = harness.state().desk.document.knife().clone();
    assert!(knife.bevel.is_some() && knife.scales.is_some());

    // The PDF is what the crates below write of it.
    run(&mut harness, Command::Print);
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    let printed = harness.state().desk.session.print.printed.clone().unwrap();
    let pdf = harness.state().host.files.get(&printed).unwrap().clone();
    let tables = reckon::tables::Tables::built_in();
    let reckoning = reckon::reckon(&knife, &reckon::Shop::default(), tables);
    let sheets = sheets::printing::default_sheets(&knife, &reckoning);
    let pages = sheets::printing::pages(&knife, &sheets, "letter", None).unwrap();
    assert_eq!(pdf, sheets::printing::pdf(&knife, &pages, None).unwrap());
    // And the file holds it.
    assert_eq!(file::open(&saved(&harness)).unwrap().knife, *knife);
}

#[test]
fn tip_and_heel_are_offered_once_it_is_closed() {
    let mut harness = drawing();
    click_blade(&mut harness);
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    harness.get_by_role_and_label(Role::ComboBox, "Heel").click();
    harness.run_steps(3);
    harness.get_by_role_and_label(Role::Button, "Node 3: smooth").click();
    harness.run_steps(3);
    assert_eq!(profile(&harness).heel, Some(NodeId(3)));
    pick(&mut harness, Role::Button, "Keep tip and heel");
    assert!(harness.query_by_role_and_label(Role::ComboBox, "Heel").is_none());
    // A node that was clicked is marked by one button.
    harness.get_by_label("Node 5").click();
    harness.run_steps(3);
    pick(&mut harness, Role::Button, "Set as heel");
    assert_eq!(profile(&harness).heel, Some(NodeId(5)));
}

#[test]
fn points_are_taken_back_made_corners_and_dragged() {
    let mut harness = drawing();
    let empty = saved(&harness);
    for p in &BLADE[..4] {
        click_with(&mut harness, *p, Modifiers::COMMAND);
    }
    harness.key_press(Key::Backspace);
    harness.run_steps(2);
    assert_eq!(drawn(&harness), 3);
    run(&mut harness, Command::Undo);
    assert_eq!(drawn(&harness), 2);
    run(&mut harness, Command::Redo);
    assert_eq!(drawn(&harness), 3);
    // Too few to close.
    harness.key_press(Key::Backspace);
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
    assert_eq!((drawn(&harness), saved(&harness)), (2, empty.clone()));
    assert!(harness.query_by_label_contains("at least three points").is_some());

    // By its key, by Shift + click on it, and smooth again.
    harness.key_press(Key::C);
    harness.run_steps(2);
    harness.get_by_label("Point 2, corner");
    harness.key_press(Key::S);
    harness.run_steps(2);
    harness.get_by_label("Point 2");
    click_with(&mut harness, BLADE[1], Modifiers::SHIFT);
    harness.get_by_label("Point 2, corner");
    // The next run is straight.
    harness.key_press(Key::L);
    harness.run_steps(2);
    click_with(&mut harness, BLADE[4], Modifiers::COMMAND);
    assert_eq!(harness.state().desk.session.drawing.knots()[1].run, outline::Run::Straight);

    // A drag moves a point; Escape takes only that back.
    let before = harness.state().desk.session.drawing.knots()[0].at;
    let from = middle_of(&harness, "Point 1");
    drag(&mut harness, from, vec2(23.0, 17.0));
    let moved = harness.state().desk.session.drawing.knots()[0].at;
    let zoom = harness.state().desk.session.view.camera.unwrap().points_per_mm;
    assert!(((moved - before).hypot() * zoom - 23.0_f64.hypot(17.0)).abs() < 9.0, "{moved:?}");
    let from = middle_of(&harness, "Point 1");
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    harness.hover_at(from + vec2(30.0, 30.0));
    harness.run_steps(2);
    assert_ne!(harness.state().desk.session.drawing.knots()[0].at, moved);
    harness.key_press(Key::Escape);
    harness.run_steps(2);
    assert_eq!(harness.state().desk.session.drawing.knots()[0].at, moved);
    harness.drop_at(from + vec2(30.0, 30.0));
    harness.run_steps(2);
    assert_eq!(drawn(&harness), 3);

    // Escape leaves nothing behind.
    harness.key_press(Key::Escape);
    harness.run_steps(3);
    assert_eq!((drawn(&harness), saved(&harness)), (0, empty));
    assert!(harness.state().desk.document.history().past().is_empty());
    assert!(!harness.state().desk.title().starts_with('•'));
    // And O begins again.
    harness.key_press(Key::O);
    harness.run_steps(3);
    click_with(&mut harness, BLADE[0], Modifiers::COMMAND);
    assert_eq!(drawn(&harness), 1);
}

fn type_point(harness: &mut Harness<'_, Bench>, x: &str, y: &str) {
    for text in [x, y] {
        let focused = harness.ctx.text_edit_focused();
        assert!(focused, "the fields take turns");
        harness.event(egui::Event::Text(text.to_owned()));
        harness.run_steps(1);
        harness.key_press(Key::Enter);
        harness.run_steps(3);
    }
}

#[test]
fn an_outline_is_drawn_by_the_keyboard_alone() {
    let mut harness = bench();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::D);
    harness.run_steps(3);
    // By Tab to the button that begins it.
    harness.get_by_role_and_label(Role::Button, "Begin drawing").focus();
    harness.run_steps(1);
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    harness.get_by_role_and_label(Role::TextInput, "Point x").focus();
    harness.run_steps(2);
    for (x, y) in [("1/2", "0"), ("4 1/4", "12 mm"), ("8", "0.3"), ("200 mm", "-0.25")] {
        type_point(&mut harness, x, y);
    }
    assert_eq!(drawn(&harness), 4);
    type_point(&mut harness, "3", "low");
    assert_eq!(drawn(&harness), 4);
    assert!(harness.query_by_role_and_label(Role::TextInput, "Point y").is_some());
    // What was refused stays to be mended.
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.event(egui::Event::Text("-0.4".to_owned()));
    harness.run_steps(1);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
    assert_eq!(drawn(&harness), 5);
    // Escape in a field leaves the field and not the drawing.
    harness.key_press(Key::Escape);
    harness.run_steps(3);
    assert_eq!(drawn(&harness), 5);
    // Enter in two empty fields closes it.
    harness.get_by_role_and_label(Role::TextInput, "Point x").focus();
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    let nodes = profile(&harness).nodes;
    assert_eq!(nodes.len(), 5);
    // 4 1/4 in is 107.95 mm.
    let typed = [(12.7, 0.0), (107.95, 12.0), (203.2, 7.62), (200.0, -6.35), (76.2, -10.16)];
    for p in typed.map(Point::from) {
        assert!(nodes.iter().any(|node| node.at.distance(p) < 1e-9), "{p:?} {nodes:?}");
    }
}

/// The figures at the pointer, without the hints along the foot.
fn told_at_pointer(harness: &Harness<'_, Bench>) -> String {
    fn each(shape: &egui::Shape, found: &mut Option<String>) {
        match shape {
            egui::Shape::Vec(shapes) => shapes.iter().for_each(|shape| each(shape, found)),
            egui::Shape::Text(text) if text.galley.text().starts_with("x ") => {
                *found = Some(text.galley.text().to_owned());
            }
            _ => {}
        }
    }
    let mut found = None;
    harness.output().shapes.iter().for_each(|shape| each(&shape.shape, &mut found));
    found.unwrap()
}

#[test]
fn what_is_drawn_counts_from_the_origin_as_the_rulers_do() {
    let mut harness = drawing();
    harness.state_mut().desk.actions.edit(Edit::SetUnit(units::LengthUnit::Millimetre));
    harness.run_steps(3);
    // On a new bar the drawing's zero is halfway up its left end.
    let half_mm = harness.state().desk.document.knife().bar.width_mm / 2.0;
    for (origin, up_mm) in [(Origin::BarCorner, half_mm), (Origin::Drawing, 0.0)] {
        harness.state_mut().desk.actions.edit(Edit::SetOrigin(origin));
        harness.run_steps(3);
        let before = drawn(&harness);
        harness.get_by_role_and_label(Role::TextInput, "Point x").focus();
        harness.run_steps(2);
        type_point(&mut harness, "40", "11");
        let knots = harness.state().desk.session.drawing.knots().to_vec();
        assert_eq!(knots.len(), before + 1);
        let at = knots[before].at;
        assert!(at.distance(Point::new(40.0, 11.0 - up_mm)) < 1e-9, "{origin:?}: {at:?}");
        // Held by Ctrl, so that it sticks to nothing.
        harness.event(egui::Event::ModifiersChanged(Modifiers::COMMAND));
        let pointer = screen(&harness, (90.0, 3.0));
        harness.hover_at(pointer);
        harness.run_steps(3);
        let told = told_at_pointer(&harness);
        let figures = told.split(|c: char| !c.is_ascii_digit() && c != '.');
        let figures: Vec<f64> = figures.filter_map(|word| word.parse().ok()).collect();
        assert!((figures[0] - 90.0).abs() < 0.3, "{origin:?}: {told}");
        assert!((figures[1] - 3.0 - up_mm).abs() < 0.3, "{origin:?}: {told}");
        harness.event(egui::Event::ModifiersChanged(Modifiers::NONE));
        harness.run_steps(1);
    }
}

#[test]
fn no_alarm_is_raised_and_nothing_covers_the_bar_while_it_is_drawn() {
    let mut harness = drawing();
    assert!(harness.query_by_label("Not closed yet.").is_some());
    assert!(harness.query_by_label("Stop").is_none());
    assert!(harness.query_by_label("No steel here.").is_none());
    click_blade(&mut harness);
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    assert!(harness.query_by_label("Not closed yet.").is_none());
    assert!(harness.query_by_label("Section").is_some());
}

#[test]
fn a_long_menu_uses_the_height_of_the_window() {
    let mut harness = bench();
    harness.get_by_label("Work").click();
    harness.run_steps(6);
    let foot = harness.get_by_label_contains("Shop…").rect().max.y;
    let seen = harness.get_by_label_contains("Draw the outline").rect().min.y;
    assert!(foot - seen > 400.0 && foot < harness.ctx.content_rect().max.y, "{seen}, {foot}");
}

#[test]
fn an_outline_that_crosses_itself_is_told_and_kept() {
    let mut harness = drawing();
    for p in [(20.0, 9.0), (150.0, -9.0), (151.0, 10.0), (21.0, -8.0), (80.0, 12.0)] {
        click_with(&mut harness, p, Modifiers::COMMAND.plus(Modifiers::SHIFT));
    }
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    assert_eq!(profile(&harness).nodes.len(), 5);
    assert!(harness.query_by_label_contains("crosses itself: drag the nodes apart").is_some());
}

#[test]
fn clicks_stick_to_the_bar_and_to_other_points() {
    let mut harness = drawing();
    // A millimetre off the centre line, which is at 0.
    let zoom = harness.state().desk.session.view.camera.unwrap().points_per_mm;
    let near = 4.0 / zoom;
    click_with(&mut harness, (30.0, near), Modifiers::NONE);
    click_with(&mut harness, (30.0 + near, 8.3), Modifiers::NONE);
    let knots = harness.state().desk.session.drawing.knots().to_vec();
    assert!(knots[0].at.y.abs() < 1e-9, "{knots:?}");
    assert!((knots[1].at.x - knots[0].at.x).abs() < 1e-9, "{knots:?}");
}

#[test]
fn the_size_is_typed_or_taken_from_the_shop() {
    let mut harness = bench();
    let bar = reckon::shop::BarOnHand {
        grade: "SAE 5160".to_owned(),
        width_mm: 50.0,
        thickness_mm: 5.0,
        length_mm: 400.0,
        count: 2,
        price_per_m: None,
    };
    let shop = reckon::Shop { bars: vec![bar], ..reckon::Shop::default() };
    harness.state_mut().desk.actions.push(desk::Action::SetShop(Box::new(shop)));
    harness.run_steps(2);
    run(&mut harness, Command::DrawNew);
    harness.get_by_label_contains("SAE 5160, ").click();
    harness.run_steps(3);
    fill(&mut harness, "Length", "15");
    fill(&mut harness, "Width", "0");
    assert!(harness.query_by_label_contains("is not possible; type a length").is_some());
    pick(&mut harness, Role::Button, "Begin drawing");
    let bar = harness.state().desk.document.knife().bar.clone();
    assert_eq!((bar.grade.as_str(), bar.width_mm, bar.thickness_mm), ("SAE 5160", 50.0, 5.0));
    assert!((bar.length_mm - 381.0).abs() < 1e-9);
    assert_eq!(bar.placement.at, Point::new(0.0, 25.0));
}

#[test]
fn an_empty_bar_is_sensible_everywhere_and_isnt_lost() {
    let mut harness = drawing();
    for station in Station::ALL {
        run(&mut harness, Command::Station(station));
        let says = harness.query_by_label_contains("Draw the outline first").is_some();
        let works = matches!(station, Station::Bar | Station::Profile);
        assert_eq!(says, !works, "{station:?}");
    }
    for row in COMMANDS.iter().filter(|row| row.menu != desk::Menu::File) {
        run(&mut harness, row.command);
        harness.key_press(Key::Escape);
        harness.run_steps(2);
    }
    // Saving is refused with a sentence, and asks for no path.
    run(&mut harness, Command::Save);
    assert!(harness.query_by_label_contains("no outline to save yet").is_some());
    assert!(harness.state().desk.session.dialogs.prompt.is_none());

    // Points are kept from being lost by leaving or by another blank.
    let mut harness = drawing();
    click_with(&mut harness, BLADE[0], Modifiers::COMMAND);
    assert!(!harness.state_mut().desk.may_close());
    harness.run_steps(2);
    harness.get_by_label("Cancel").click();
    harness.run_steps(3);
    assert_eq!(drawn(&harness), 1);
    // They wait while another station is looked at.
    run(&mut harness, Command::Station(Station::Bar));
    run(&mut harness, Command::Station(Station::Profile));
    assert_eq!(drawn(&harness), 1);
}

#[test]
fn a_drawing_that_was_closed_is_offered_again_after_a_kill() {
    let mut harness = recovering("first", MemoryHost::with_data());
    run(&mut harness, Command::DrawNew);
    pick(&mut harness, Role::Button, "Begin drawing");
    click_blade(&mut harness);
    harness.state_mut().host.now_ms += 5_000;
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    let work = saved(&harness);
    let mut harness = recovering("second", killed(harness));
    harness.get_by_label("Restore").click();
    harness.run_steps(4);
    assert_eq!(saved(&harness), work);
}

/// A kill in the middle of a drawing: its points are offered, with their corners and runs, and the
/// drawing goes on.
#[test]
fn an_unfinished_drawing_is_offered_again_after_a_kill() {
    let mut harness = recovering("first", MemoryHost::with_data());
    run(&mut harness, Command::DrawNew);
    pick(&mut harness, Role::Button, "Begin drawing");
    click_with(&mut harness, BLADE[0], Modifiers::COMMAND.plus(Modifiers::SHIFT));
    click_with(&mut harness, BLADE[1], Modifiers::COMMAND);
    harness.key_press(Key::L);
    harness.run_steps(2);
    click_with(&mut harness, BLADE[2], Modifiers::COMMAND);
    harness.state_mut().host.now_ms += 5_000;
    harness.run_steps(2);
    let knots = harness.state().desk.session.drawing.knots().to_vec();
    assert_eq!(knots.len(), 3);
    let mut harness = recovering("second", killed(harness));
    harness.get_by_label_contains("3 points");
    harness.get_by_label("Restore").click();
    harness.run_steps(4);
    assert_eq!(harness.state().desk.session.drawing.knots(), knots);
    click_with(&mut harness, BLADE[3], Modifiers::COMMAND);
    assert_eq!(drawn(&harness), 4);
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    assert_eq!(profile(&harness).nodes.len(), 4);
}

#[test]
fn enter_begins_on_the_bar_that_is_offered() {
    let mut harness = bench();
    run(&mut harness, Command::DrawNew);
    harness.run_steps(3);
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    assert!(harness.state().desk.session.dialogs.open.is_none());
    assert!(profile(&harness).nodes.is_empty());
}

#[test]
fn the_greeting_offers_it_beside_the_others() {
    for (words, is) in [
        ("Draw my own", (true, false, false)),
        ("Start from a knife", (false, true, false)),
        ("Import outline…", (false, false, true)),
    ] {
        let mut harness = bench();
        harness.get_by_role_and_label(Role::Button, words).click();
        harness.run_steps(4);
        let dialogs = &harness.state().desk.session.dialogs;
        let new_bar = matches!(dialogs.open, Some(desk::Dialog::NewBar(_)));
        let starters = matches!(dialogs.open, Some(desk::Dialog::Starters));
        assert_eq!((new_bar, starters, dialogs.prompt.is_some()), is);
    }
}
