//! The grid: typed, kept, and stuck to.

use super::*;
use drawing::kurbo::Point;
use egui::Pos2;

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
        let knife = harness.state().desk.open.knife().clone();
        knife.bar.placement.bar_from_knife() * knife.profile.node(id).unwrap().at
    };
    // Dropped a little beside a crossing: 6 mm by 6 mm from the corner that is scribed from.
    let at = place(&harness);
    let crossing = egui::pos2(((at.x / 6.0).round() * 6.0 + 12.0) as f32, 30.0);
    let zoom = harness.state().desk.session.camera.unwrap().points_per_mm as f32;
    let by = (crossing - egui::pos2(at.x as f32, at.y as f32) + vec2(0.4, -0.3)) * zoom;
    let from = middle_of(&harness, "Node 16");
    drag(&mut harness, from, vec2(by.x, -by.y));
    let found = place(&harness);
    let off = (found - of_screen(crossing)).hypot();
    assert!(off < 1e-6, "{found:?} is not at {crossing:?}");

    // A refusal is said, and changes nothing.
    fill(&mut harness, "Grid pitch", "9 m");
    fill(&mut harness, "Grid pitch", "0.01 mm");
    assert!(harness.query_by_label_contains("is no grid").is_some());
    assert_eq!(harness.state().desk.settings.grid_mm, Some(6.0));
    run(&mut harness, Command::Grid);
    assert!(!harness.state().desk.settings.grid);
    harness.get_by_label("Snap to the grid").click();
    harness.run_steps(3);
    assert!(harness.state().desk.settings.grid);
}
