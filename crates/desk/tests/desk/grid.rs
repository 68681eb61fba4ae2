//! The grid: typed, kept, and stuck to.

use super::*;
use egui::Pos2;
use marks::kurbo::Point;

fn of_screen(at: Pos2) -> Point {
    Point::new(at.x.into(), at.y.into())
}

#[test]
fn the_pitch_is_typed_kept_and_stuck_to() {
    let mut harness = bench();
    fill(&mut harness, "Grid pitch", "6 mm");
    let settings = &harness.state().desk.settings;
    assert_eq!((settings.grid, settings.grid_mm), (true, Some(6.0)), "typing a pitch shows it");
    assert_eq!(&Settings::read(&harness.state().host).0, settings, "kept between runs");

    // A node of the first starter's spine that stands well apart from every other.
    let id = knife::NodeId(16);
    let place = |harness: &Harness<'_, Bench>| {
        let knife = harness.state().desk.document.knife().clone();
        harness.state().desk.session.view.origin.to_local(knife.profile.node(id).unwrap().at)
    };
    // Dropped a little beside a crossing: 6 mm by 6 mm from the origin.
    let at = place(&harness);
    let crossing = egui::pos2(((at.x / 6.0).round() * 6.0 + 12.0) as f32, 6.0);
    let zoom = harness.state().desk.session.view.camera.unwrap().points_per_mm as f32;
    let by = (crossing - egui::pos2(at.x as f32, at.y as f32) + vec2(0.4, -0.3)) * zoom;
    let from = middle_of(&harness, "Node 16");
    drag(&mut harness, from, vec2(by.x, -by.y));
    let found = place(&harness);
    let off = (found - of_screen(crossing)).hypot();
    assert!(off < 1e-6, "{found:?} is not at {crossing:?}");

    // A refusal is said, and changes nothing.
    fill(&mut harness, "Grid pitch", "9 m");
    fill(&mut harness, "Grid pitch", "0.01 mm");
    assert!(harness.query_by_label_contains("grid can't have a pitch of").is_some());
    assert_eq!(harness.state().desk.settings.grid_mm, Some(6.0));
    run(&mut harness, Command::Grid);
    assert!(!harness.state().desk.settings.grid);
    pick(&mut harness, Role::CheckBox, "Snap to the grid");
    assert!(harness.state().desk.settings.grid);
}

#[test]
fn the_blank_and_its_lines_stick_to_the_grid_too() {
    let mut harness = bench();
    fill(&mut harness, "Grid pitch", "5 mm");
    let off = |mm: f64| (mm / 5.0 - (mm / 5.0).round()).abs() * 5.0;
    let knife = |harness: &Harness<'_, Bench>| harness.state().desk.document.knife().clone();
    let zoom = |harness: &Harness<'_, Bench>| harness.state().desk.session.view.camera.unwrap();

    run(&mut harness, Command::Station(Station::Bar));
    let at = knife(&harness).bar.placement.at;
    // To half a millimetre beside a crossing: from the tip, where no other handle lies.
    let to = ((at.x / 5.0).round() * 5.0 + 15.5, (at.y / 5.0).round() * 5.0 + 0.5);
    let points = zoom(&harness).points_per_mm;
    let by = vec2(((to.0 - at.x) * points) as f32, (-(to.1 - at.y) * points) as f32);
    let blank = harness.get_by_role_and_label(Role::Button, "Blank").rect();
    drag(&mut harness, blank.left_center() + vec2(30.0, 0.0), by);
    let laid = knife(&harness).bar.placement.at;
    assert!(
        off(laid.x) < 1e-9 && off(laid.y) < 1e-9 && (laid.x - to.0 + 0.5).abs() < 1e-9,
        "{laid:?}"
    );

    // The tip of the first starter lies at its drawing's zero.
    let plunge = |knife: &knife::Knife| knife.bevel.unwrap().plunge_x_mm;
    let front = |knife: &knife::Knife| knife.scales.unwrap().front_x_mm;
    type Place<'a> = &'a dyn Fn(&knife::Knife) -> f64;
    let lines: [(Station, &str, Place<'_>); 2] =
        [(Station::Bevels, "Plunge line", &plunge), (Station::Handle, "Front of scales", &front)];
    for (station, grip, place) in lines {
        run(&mut harness, Command::Station(station));
        let now = place(&knife(&harness));
        let to = (now / 5.0).round() * 5.0 + 5.5;
        let by = vec2(((to - now) * zoom(&harness).points_per_mm) as f32, 0.0);
        let from = middle_of(&harness, grip);
        drag(&mut harness, from, by);
        let found = place(&knife(&harness));
        assert!((found - to + 0.5).abs() < 1e-6, "{grip} at {found}, not {}", to - 0.5);
        // Without the grid it goes where it is dragged.
        run(&mut harness, Command::Grid);
        let from = middle_of(&harness, grip);
        drag(&mut harness, from, vec2(7.0, 0.0));
        let way = place(&knife(&harness)) - found;
        assert!((way - 7.0 / zoom(&harness).points_per_mm).abs() < 0.01, "{grip}: {way}");
        run(&mut harness, Command::Grid);
    }
}
