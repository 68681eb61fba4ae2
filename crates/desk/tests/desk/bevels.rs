//! The blade as it is ground, filed and sharpened: typed and chosen on the card, dragged and
//! nudged on the canvas.

use super::*;
use knife::{FiledAmount, Grind, GrindLine, GroundSides};
use marks::kurbo::Point;

fn bevels() -> Harness<'static, Bench> {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Bevels));
    harness
}

fn knife_of(harness: &Harness<'_, Bench>) -> knife::Knife {
    harness.state().desk.document.knife().as_ref().clone()
}

fn bevel_of(harness: &Harness<'_, Bench>) -> knife::Bevel {
    knife_of(harness).bevel.unwrap_or_else(|| unreachable!("it has bevels"))
}

fn steps(harness: &Harness<'_, Bench>) -> usize {
    harness.state().desk.document.history().past().len()
}

fn unfold(harness: &mut Harness<'_, Bench>, name: &str) {
    pick(harness, Role::DisclosureTriangle, name);
}

fn press(harness: &mut Harness<'_, Bench>, name: &str) {
    pick(harness, Role::Button, name);
}

/// Machinery's Handbook, solution of right triangles: t 1/8 in, e 0.020 in, 3° a side give a
/// height of 1.0017597 in.
#[test]
fn angle_and_height_follow_each_other() {
    let mut harness = bevels();
    fill(&mut harness, "Edge thickness", "0.020 in");
    fill(&mut harness, "Angle per side", "3");
    assert!((bevel_of(&harness).grind_height_mm - 25.4 * 1.001_759_7).abs() < 1e-5);
    fill(&mut harness, "Grind height", "25.4 mm");
    let angle_deg = harness.state().desk.derived.reckoning.bevel.as_ref().unwrap().angle_deg;
    assert!((angle_deg - 3.005_269_4).abs() < 1e-7);
    assert!(harness.query_by_label_contains("Usual for a field knife").is_some());
    let before = saved(&harness);
    fill(&mut harness, "Angle per side", "0");
    assert!(harness.query_by_label_contains("isn't an angle to grind").is_some());
    assert!(saved(&harness) == before, "refused");
}

#[test]
fn shape_and_faces_are_chosen() {
    let mut harness = bevels();
    pick(&mut harness, Role::RadioButton, "Hollow");
    fill(&mut harness, "Wheel", "12 in");
    assert!(matches!(bevel_of(&harness).grind, Grind::Hollow(mm) if (mm - 304.8).abs() < 1e-9));
    pick(&mut harness, Role::RadioButton, "Convex");
    let bulging =
        matches!(bevel_of(&harness).grind, Grind::Convex(mm) if (mm - 152.4).abs() < 1e-9);
    assert!(bulging, "the same curve the other way");
    fill(&mut harness, "Radius", "200 mm");
    assert_eq!(bevel_of(&harness).grind, Grind::Convex(200.0));
    pick(&mut harness, Role::RadioButton, "Flat");
    pick(&mut harness, Role::RadioButton, "Left");
    assert_eq!(
        (bevel_of(&harness).grind, bevel_of(&harness).sides),
        (Grind::Flat, GroundSides::Left)
    );
    assert!(harness.query_by_label_contains("ground on one side").is_some());
    let history = steps(&harness);
    for _ in 0..history {
        run(&mut harness, Command::Undo);
    }
    assert!(saved(&harness) == saved(&bevels()), "each choice is one step");
}

#[test]
fn the_plunge_leans_by_its_upper_end_and_by_its_field() {
    let mut harness = bevels();
    let from = middle_of(&harness, "Plunge lean");
    drag(&mut harness, from, vec2(24.0, 0.0));
    let lean = bevel_of(&harness).plunge_lean_deg;
    assert!(lean > 5.0 && (lean * 2.0).fract() == 0.0, "{lean}");
    assert_eq!(steps(&harness), 1);
    unfold(&mut harness, "Plunge");
    fill(&mut harness, "Plunge lean", "-10");
    fill(&mut harness, "Plunge file", "8 mm");
    let bevel = bevel_of(&harness);
    assert_eq!((bevel.plunge_lean_deg, bevel.plunge_file_mm), (-10.0, 8.0));
    harness.get_by_role_and_label(Role::Button, "Plunge lean").focus();
    harness.run_steps(2);
    harness.key_press(Key::ArrowRight);
    harness.run_steps(3);
    assert_eq!(bevel_of(&harness).plunge_lean_deg, -9.0, "an arrow leans it by a degree");
}

#[test]
fn a_taper_is_begun_dragged_typed_and_removed() {
    let mut harness = bevels();
    let first = saved(&harness);
    unfold(&mut harness, "Distal taper");
    press(&mut harness, "Taper the blade");
    let taper = knife_of(&harness).taper.unwrap();
    assert_eq!(taper.from_x_mm, bevel_of(&harness).plunge_x_mm);
    let from = middle_of(&harness, "Taper start");
    drag(&mut harness, from, vec2(-40.0, 0.0));
    assert!(knife_of(&harness).taper.unwrap().from_x_mm < taper.from_x_mm - 5.0);
    let from = middle_of(&harness, "Tip thickness");
    drag(&mut harness, from, vec2(0.0, 10.0));
    let thin = knife_of(&harness).taper.unwrap().tip_mm;
    assert!((thin - taper.tip_mm + 0.2).abs() < 0.03, "ten points of 0.01 mm a side: {thin}");
    assert_eq!(steps(&harness), 3);
    fill(&mut harness, "Thickness at the tip", "1.5 mm");
    fill(&mut harness, "Taper from", "60 mm");
    assert_eq!(knife_of(&harness).taper, Some(knife::Taper { from_x_mm: 60.0, tip_mm: 1.5 }));
    press(&mut harness, "Remove the taper");
    assert!(saved(&harness) == first);
}

#[test]
fn a_swedge_is_begun_dragged_typed_and_removed() {
    let mut harness = bevels();
    let first = saved(&harness);
    unfold(&mut harness, "Swedge");
    press(&mut harness, "Grind a swedge");
    let swedge = knife_of(&harness).swedge.unwrap();
    let from = middle_of(&harness, "Swedge end");
    drag(&mut harness, from, vec2(30.0, 0.0));
    let longer = knife_of(&harness).swedge.unwrap();
    assert!(longer.from_x_mm > swedge.from_x_mm + 5.0 && longer.height_mm == swedge.height_mm);
    let from = middle_of(&harness, "Swedge height");
    drag(&mut harness, from, vec2(0.0, 10.0));
    let higher = knife_of(&harness).swedge.unwrap();
    assert!(higher.height_mm > longer.height_mm + 1.0);
    assert_eq!(steps(&harness), 3);
    fill(&mut harness, "Left on the spine", "1 mm");
    assert_eq!(knife_of(&harness).swedge.unwrap().thickness_mm, 1.0);
    press(&mut harness, "Remove the swedge");
    assert!(saved(&harness) == first);
}

#[test]
fn a_grind_line_of_its_own_has_points_that_come_and_go() {
    // Frames as near as on a screen, for a double click.
    let state = Bench { desk: Desk::new(Settings::default()), host: MemoryHost::with_data() };
    let builder = Harness::builder().with_size(vec2(1280.0, 800.0)).with_step_dt(1.0 / 60.0);
    let mut harness = builder.build_ui_state(frame, state);
    harness.run_steps(4);
    run(&mut harness, Command::Station(Station::Bevels));
    let first = saved(&harness);
    pick(&mut harness, Role::RadioButton, "Own line");
    let points = |harness: &Harness<'_, Bench>| match knife_of(harness).grind_line {
        GrindLine::Through(points) => points,
        _ => Vec::new(),
    };
    let begun = points(&harness);
    assert!(begun.len() >= 3);
    let from = middle_of(&harness, "Grind line point 2");
    drag(&mut harness, from, vec2(0.0, 12.0));
    let moved = points(&harness)[1] - begun[1];
    assert!(moved.x.abs() < 1e-6 && moved.y < -1.0, "{moved:?}");
    assert_eq!(steps(&harness), 2, "chosen, then dragged");

    // The dragged one is the chosen one: its place can be typed.
    let before = points(&harness)[1];
    fill(&mut harness, "Point y", "0.75in");
    assert!(points(&harness)[1].distance(Point::new(before.x, 19.05)) < 1e-9);
    assert_eq!(points(&harness)[2], begun[2], "only the chosen one");

    // A point more where the pointer is: by its command, and by a double click.
    let (a, b) =
        (middle_of(&harness, "Grind line point 2"), middle_of(&harness, "Grind line point 3"));
    let between = a + (b - a) * 0.35 + vec2(0.0, 14.0);
    harness.hover_at(between);
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::SHIFT, Key::A);
    harness.run_steps(3);
    assert_eq!(points(&harness).len(), begun.len() + 1);
    let at = a + (b - a) * 0.7 + vec2(0.0, 18.0);
    harness.hover_at(at);
    harness.run_steps(1);
    for _ in 0..2 {
        harness.drag_at(at);
        harness.drop_at(at);
    }
    harness.run_steps(3);
    assert_eq!(points(&harness).len(), begun.len() + 2);

    // The one that has the keyboard is nudged and removed.
    harness.get_by_role_and_label(Role::Button, "Grind line point 3").focus();
    harness.run_steps(2);
    let before = points(&harness)[2];
    harness.key_press(Key::ArrowUp);
    harness.run_steps(3);
    // One 64th of an inch is 0.396875 mm.
    assert!((points(&harness)[2].y - before.y - 0.396_875).abs() < 1e-9);
    harness.key_press(Key::Delete);
    harness.run_steps(3);
    assert_eq!(points(&harness).len(), begun.len() + 1);
    assert!(harness.query_by_role_and_label(Role::Button, "Grind line").is_none());
    press(&mut harness, "Add grind line point");
    assert_eq!(points(&harness).len(), begun.len() + 2, "in the widest gap");

    pick(&mut harness, Role::RadioButton, "Spine");
    assert_eq!(knife_of(&harness).grind_line, GrindLine::Spine);
    pick(&mut harness, Role::RadioButton, "Height");
    assert!(saved(&harness) == first);
}

#[test]
fn facets_are_told_and_timed_by_the_makers_own_hand() {
    let mut harness = bevels();
    unfold(&mut harness, "Filing by hand");
    assert!(harness.query_by_label_contains("No rate of filing is published").is_some());
    fill(&mut harness, "Facets after the first", "6");
    assert_eq!(knife_of(&harness).filing.unwrap().facets, 6);
    assert_eq!(harness.state().desk.derived.reckoning.filing.as_ref().unwrap().facets.len(), 7);
    assert!(harness.query_by_label("45.00°").is_some());
    assert!(harness.query_by_label("Filing left").is_none(), "no time without a timed piece");
    fill(&mut harness, "Filed for", "12 min");
    fill(&mut harness, "Height reached", "4 mm");
    let timing = knife_of(&harness).filing.unwrap().timing.unwrap();
    assert_eq!((timing.minutes, timing.done), (12.0, FiledAmount::Height(4.0)));
    assert!(harness.query_by_label("Filing left").is_some());
    fill(&mut harness, "Steel filed off", "0.1 oz");
    let FiledAmount::Grams(g) = knife_of(&harness).filing.unwrap().timing.unwrap().done else {
        panic!("by the balance now")
    };
    // NIST Handbook 44, appendix C: 1 avoirdupois ounce = 28.349 523 125 g exactly.
    assert!((g - 2.834_952_312_5).abs() < 1e-9);
    press(&mut harness, "Discard the time");
    assert_eq!(knife_of(&harness).filing.unwrap().timing, None);
}

#[test]
fn the_final_edge_is_decided_and_left_open() {
    let mut harness = bevels();
    let first = saved(&harness);
    unfold(&mut harness, "Sharpening");
    press(&mut harness, "Set sharpening angle");
    fill(&mut harness, "Sharpening angle", "15");
    fill(&mut harness, "Edge before sharpening", "0.25 mm");
    let stated = knife_of(&harness).sharpening.unwrap();
    assert_eq!((stated.angle_deg, stated.edge_mm), (15.0, Some(0.25)));
    assert!(harness.query_by_label_contains("Usual for a slicer: 12°").is_some());
    press(&mut harness, "Leave it open");
    assert!(saved(&harness) == first);
}

#[test]
fn the_section_tells_how_thick_it_is_behind_the_edge() {
    let mut harness = bevels();
    run(&mut harness, Command::Unit);
    fill(&mut harness, "Section at", "60 mm");
    // The starter is 0.5 mm at the edge and 3.175 mm at 20 mm: half of both at 10 mm.
    for words in ["10 mm behind 1.84 mm", "20 mm behind 3.1", "face 20."] {
        let told = harness.query_by_label_contains("Cross-section at").unwrap();
        let label = told.accesskit_node().label().unwrap();
        assert!(label.contains(words), "{words}: {label}");
    }
}

#[test]
fn the_balance_is_marked_with_its_distances() {
    let mut harness = bevels();
    let told = |harness: &Harness<'_, Bench>| {
        let mark = harness.get_by_label_contains("Balance point:");
        mark.accesskit_node().label().unwrap_or_default()
    };
    let words = told(&harness);
    assert!(
        words.contains("the front of the scales") && words.contains("the front pin"),
        "{words}"
    );
    let mass = harness.state().desk.derived.reckoning.mass.unwrap();
    let mm = mass.behind_scale_front_mm.unwrap().abs();
    assert!(words.contains(&units::show_inch(mm, 3)) && words.contains("steel alone"), "{words}");
    // With materials chosen it is the whole knife that balances there.
    let handle = knife::Handle {
        scales: Some("East Indian rosewood".into()),
        pins: Some("brass C26000".into()),
        ..knife_of(&harness).handle
    };
    harness.state_mut().desk.document.edit(&[Edit::SetHandle(handle)]).unwrap();
    harness.run_steps(3);
    let whole = harness.state().desk.derived.reckoning.whole.clone().unwrap().unwrap();
    let (other, words) = (whole.behind_scale_front_mm.abs(), told(&harness));
    assert!((other - mm).abs() > 1.0, "scales behind the steel's balance move it: {other} {mm}");
    assert!(
        words.contains(&units::show_inch(other, 3)) && words.contains("whole knife"),
        "{words}"
    );
    let heading = harness.query_all_by_label("Whole knife").count();
    assert!(heading > 0, "told on the card too");
    harness.state_mut().desk.document.edit(&[Edit::SetScales(None)]).unwrap();
    harness.run_steps(3);
    assert!(!told(&harness).contains("front of the scales"));
}

#[test]
fn stiffness_is_plotted_when_it_is_asked_for() {
    let mut harness = bevels();
    let plot = |harness: &Harness<'_, Bench>| {
        let found = harness.query_by_label_contains("Stiffness along the knife:");
        found.map(|node| (node.rect(), node.accesskit_node().label().unwrap_or_default()))
    };
    assert_eq!(plot(&harness), None);
    harness.key_press(Key::I);
    harness.run_steps(4);
    let (rect, words) = plot(&harness).unwrap();
    let canvas = harness.get_by_label("Canvas").rect();
    assert!((rect.min.x - canvas.min.x).abs() < 1.0 && (rect.max.x - canvas.max.x).abs() < 1.0);
    assert!(words.contains("half way") && words.contains("1/8 in thick 68 mm⁴"), "{words}");
    assert!(
        harness.state().desk.settings.stiffness
            && Settings::read(&harness.state().host).0.stiffness
    );
    run(&mut harness, Command::Stiffness);
    assert_eq!(plot(&harness), None);
}
