//! The walk of a newcomer: an empty bar, an outline of nine inches by twelve points, clicked or
//! typed, made fair, drilled, ground and printed; everything by its name.

#![expect(clippy::unwrap_used, reason = "what a walk looks for and doesn't find is a failure")]

use super::*;
use knife::{NodeId, NodeKind};
use marks::kurbo::{ParamCurve as _, Point};

/// Twelve places in inches from the drawing's zero, along the spine and back along the edge: nine
/// inches from tip to butt. The second figure says whether it is a corner.
const POINTS: [((f64, f64), bool); 12] = [
    ((0.25, -0.05), true),
    ((1.6, 0.36), false),
    ((3.1, 0.50), false),
    ((4.6, 0.42), false),
    ((6.3, 0.52), false),
    ((8.5, 0.44), false),
    ((9.25, -0.1), false),
    ((7.6, -0.42), false),
    ((5.9, -0.30), false),
    ((4.6, -0.62), true),
    ((2.9, -0.66), false),
    ((1.2, -0.44), false),
];
const INCH_MM: f64 = 25.4;

fn type_point(harness: &mut Harness<'_, Bench>, (x, y): (f64, f64), corner: bool) {
    if corner {
        pick(harness, Role::CheckBox, "Typed point is a corner");
    }
    harness.get_by_role_and_label(Role::TextInput, "Point x").focus();
    harness.run_steps(2);
    for text in [x, y] {
        harness.event(egui::Event::Text(text.to_string()));
        harness.run_steps(1);
        harness.key_press(Key::Enter);
        harness.run_steps(3);
    }
}

/// Σ (Δκ)² over places a millimetre apart on the way from one node to another, corners left out.
fn variation(outline: &outline::Outline, from: usize, to: usize) -> f64 {
    let whole = outline.length_between((from, 0.0), (to, 0.0));
    let mut all = Vec::new();
    let mut run = 2.0;
    while run < whole - 2.0 {
        let place = outline.at_length((from, 0.0), run);
        all.push(outline.curvature_at(place.segment, place.t));
        run += 1.0;
    }
    all.windows(2).map(|pair| (pair[1] - pair[0]).powi(2)).sum()
}

/// An empty bar to draw on, where x and y count from the drawing's zero.
fn empty_bar() -> Harness<'static, Bench> {
    let mut harness = bench();
    run(&mut harness, Command::DrawNew);
    pick(&mut harness, Role::Button, "Begin drawing");
    harness.run_steps(3);
    harness.state_mut().desk.actions.edit(Edit::SetOrigin(knife::Origin::Drawing));
    harness.run_steps(3);
    harness
}

#[test]
fn nine_inches_by_twelve_typed_points_fair_drilled_ground_and_printed() {
    let mut harness = empty_bar();
    for (p, corner) in POINTS {
        type_point(&mut harness, p, corner);
    }
    pick(&mut harness, Role::Button, "Close the outline");
    goes_on("typed", harness);
}

#[test]
fn nine_inches_by_twelve_clicks_fair_drilled_ground_and_printed() {
    let mut harness = empty_bar();
    for ((x, y), corner) in POINTS {
        // Ctrl: snapping to nothing. Shift: a corner.
        let shift = if corner { Modifiers::SHIFT } else { Modifiers::NONE };
        let at = (x * INCH_MM, y * INCH_MM);
        draw_outline::click_with(&mut harness, at, Modifiers::COMMAND.plus(shift));
    }
    let first = middle_of(&harness, "Point 1, corner");
    click_at(&mut harness, first);
    goes_on("clicked", harness);
}

/// The walk from the closed outline on.
fn goes_on(name: &str, mut harness: Harness<'_, Bench>) {
    let drawn = harness.state().desk.document.knife().profile.clone();
    let outline = drawn.outline().unwrap();
    // What was typed, to a hundredth of a millimetre; nine inches long.
    for ((x, y), corner) in POINTS {
        let p = Point::new(x * INCH_MM, y * INCH_MM);
        let node = drawn.nodes.iter().find(|node| node.at.distance(p) < 0.01).unwrap();
        assert_eq!(node.kind.is_smooth(), !corner, "{p:?}");
    }
    let length = outline.bounds().width();
    assert!((length - 9.0 * INCH_MM).abs() < 4.0, "{length}");
    // The heel by one click on its corner, where it was guessed otherwise.
    let heel = drawn.nodes.iter().find(|n| (n.at.x - 4.6 * INCH_MM).abs() < 0.1 && n.at.y < 0.0);
    let heel = heel.unwrap().id;
    if drawn.heel != Some(heel) {
        pick(&mut harness, Role::Button, &format!("Node {} is the heel", heel.0));
    }
    pick(&mut harness, Role::Button, "Keep tip and heel");
    assert_eq!(harness.state().desk.document.knife().profile.heel, Some(heel));

    // Curvature continuous all along the back, then fair; shown before it is done.
    let back: Vec<NodeId> =
        drawn.nodes.iter().filter(|n| n.at.y > 8.0 && n.kind.is_smooth()).map(|n| n.id).collect();
    assert_eq!(back.len(), 5);
    for (i, id) in back.iter().enumerate() {
        let at = middle_of(&harness, &format!("Node {}", id.0));
        let shift = if i > 0 { Modifiers::SHIFT } else { Modifiers::NONE };
        harness.event(egui::Event::ModifiersChanged(shift));
        harness.run_steps(1);
        click_at(&mut harness, at);
    }
    harness.event(egui::Event::ModifiersChanged(Modifiers::NONE));
    harness.run_steps(2);
    assert_eq!(harness.state().desk.session.selection.nodes().len(), 5);
    pick(&mut harness, Role::Button, "Keep curvature continuous");
    let kinds = |harness: &Harness<'_, Bench>| -> Vec<NodeKind> {
        let knife = harness.state().desk.document.knife();
        back.iter().map(|id| knife.profile.node(*id).unwrap().kind).collect()
    };
    assert_eq!(kinds(&harness), [NodeKind::CurvatureContinuous; 5]);
    let before = harness.state().desk.document.knife().profile.clone();
    pick(&mut harness, Role::DisclosureTriangle, "Fair curves");
    fill(&mut harness, "Tolerance", "0.5 mm");
    pick(&mut harness, Role::Button, "Fair");
    assert_eq!(harness.state().desk.document.knife().profile, before, "only shown");
    assert!(harness.query_by_label_contains("times fairer").is_some());
    let steps = harness.state().desk.document.history().past().len();
    pick(&mut harness, Role::Button, "Accept fairing");
    assert_eq!(harness.state().desk.document.history().past().len(), steps + 1);
    assert_eq!(harness.state().desk.document.history().undo_label(), Some("Fair"));

    let fair = harness.state().desk.document.knife().profile.clone();
    let (old, new) = (before.outline().unwrap(), fair.outline().unwrap());
    for seg in new.segs() {
        for i in 0..=40 {
            let off = old.nearest(seg.eval(f64::from(i) / 40.0)).distance_mm;
            assert!(off <= 0.5, "{off}");
        }
    }
    let tip = fair.index_of(fair.tip.unwrap()).unwrap();
    let first = back.iter().map(|id| fair.index_of(*id).unwrap());
    let (first, last) = (first.clone().min().unwrap(), first.max().unwrap());
    // From the node before them to the node behind.
    let (from, to) = (first - 1, (last + 1) % fair.nodes.len());
    assert!(variation(&new, from, to) < variation(&old, from, to));
    for id in &back {
        let i = fair.index_of(*id).unwrap();
        let n = fair.nodes.len();
        let jump = new.curvature_at(i, 0.0) - new.curvature_at((i + n - 1) % n, 1.0);
        assert!(jump.abs() < 1e-7, "node {}: {jump}", id.0);
    }
    assert_eq!(fair.nodes[tip].at, before.nodes[tip].at);
    // For the outside check of continuity (tests/outside/curvature.py).
    if let Some(folder) = std::env::var_os("BLANKWRIGHT_WALKS") {
        let path = Path::new(&folder).join(format!("{name}.blank.json"));
        std::fs::write(path, saved(&harness)).unwrap();
    }

    // Holes, bevels, scales, paper.
    run(&mut harness, Command::AddHole);
    let session = &harness.state().desk.session;
    let view =
        desk::View { rect: session.view.canvas.unwrap(), camera: session.view.camera.unwrap() };
    click_at(&mut harness, view.ui_from_mm(Point::new(180.0, 1.0)));
    assert_eq!(harness.state().desk.document.knife().holes.len(), 1);
    run(&mut harness, Command::Station(Station::Bevels));
    pick(&mut harness, Role::Button, "Begin the bevels");
    run(&mut harness, Command::Station(Station::Handle));
    pick(&mut harness, Role::Button, "Begin the scales");
    run(&mut harness, Command::Print);
    harness.key_press(Key::Enter);
    harness.run_steps(4);
    let printed = harness.state().desk.session.print.printed.clone().unwrap();
    assert!(harness.state().host.files[&printed].starts_with(b"%PDF"));
}
