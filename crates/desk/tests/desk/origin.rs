//! One origin: what a ruler shows at a place is what the field beside it says, whatever the
//! origin and however the blank lies on its bar.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use super::*;
use egui::{Pos2, Rect, Shape};
use knife::PartId;
use knife::{HoleId, Knife, NodeId, Origin, Placement};
use marks::kurbo::{self, Point};

/// How a knife lies: its turn on the bar, and whether it was turned over or end for end.
const LIES: [(f64, Option<Edit>); 5] = [
    (0.0, None),
    (12.0, None),
    (180.0, None),
    (0.0, Some(Edit::MirrorAcross)),
    (-7.5, Some(Edit::MirrorAlong)),
];

fn edit(harness: &mut Harness<'_, Bench>, edit: Edit) {
    harness.state_mut().desk.actions.edit(edit);
    harness.run_steps(4);
}

fn knife_of(harness: &Harness<'_, Bench>) -> Knife {
    harness.state().desk.document.knife().as_ref().clone()
}

/// The first starter, in millimetres, lying so.
fn lying(origin: Origin, (turn_deg, over): &(f64, Option<Edit>)) -> Harness<'static, Bench> {
    let mut harness = bench();
    edit(&mut harness, Edit::SetUnit(units::LengthUnit::Millimetre));
    if let Some(over) = over {
        edit(&mut harness, over.clone());
    }
    let at = Point::new(if *turn_deg == 180.0 { 280.0 } else { 12.5 }, 19.0);
    edit(&mut harness, Edit::Place(Placement { at, turn_deg: *turn_deg }));
    edit(&mut harness, Edit::SetOrigin(origin));
    harness
}

/// What a field holds, mm.
fn field(harness: &Harness<'_, Bench>, name: &str) -> f64 {
    let field = harness.get_by_role_and_label(Role::TextInput, name);
    let text = field.accesskit_node().value().unwrap_or_else(|| unreachable!("{name} is empty"));
    units::parse_length(&text, units::LengthUnit::Millimetre).unwrap().to_mm()
}

fn each_text(shape: &Shape, found: &mut impl FnMut(Pos2, &str)) {
    match shape {
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| each_text(shape, found)),
        Shape::Text(text) => found(text.pos, text.galley.text()),
        _ => {}
    }
}

/// Where the figures of a ruler stand on the screen, and what they say: of the one along the top,
/// or of the one on the left.
fn figures(harness: &Harness<'_, Bench>, along: bool) -> Vec<(f64, f64)> {
    let canvas = harness.get_by_label("Canvas").rect();
    let on_ruler = |clip: Rect| {
        if along {
            (clip.max.y - canvas.min.y).abs() < 0.1 && clip.height() < 30.0
        } else {
            (clip.max.x - canvas.min.x).abs() < 0.1 && clip.width() < 30.0
        }
    };
    let mut found = Vec::new();
    for shape in &harness.output().shapes {
        if on_ruler(shape.clip_rect) {
            each_text(&shape.shape, &mut |pos, text| {
                if let Ok(mm) = text.replace('−', "-").parse::<f64>() {
                    // Figures stand three points beside their marks.
                    let at = if along { pos.x - 3.0 } else { pos.y + 3.0 };
                    found.push((f64::from(at), mm));
                }
            });
        }
    }
    assert!(found.len() >= 2, "{found:?}");
    found
}

/// What the painted rulers show at a point of the screen, mm.
fn read_on_rulers(harness: &Harness<'_, Bench>, at: Pos2) -> Point {
    let read = |along: bool, at: f32| {
        let figures = figures(harness, along);
        let (first, last) = (figures[0], figures[figures.len() - 1]);
        first.1 + (f64::from(at) - first.0) * (last.1 - first.1) / (last.0 - first.0)
    };
    Point::new(read(true, at.x), read(false, at.y))
}

/// Within two dots of the screen: a ruler's marks stand on whole ones.
fn near(harness: &Harness<'_, Bench>, a: f64, b: f64) -> bool {
    let camera = harness.state().desk.session.view.camera;
    (a - b).abs() <= 2.0 / camera.map_or(1.0, |camera| camera.points_per_mm)
}

/// Where a place of the knife is on the screen.
fn on_screen(harness: &Harness<'_, Bench>, place: Point) -> Pos2 {
    let desk = &harness.state().desk;
    let (Some(rect), Some(camera)) = (desk.session.view.canvas, desk.session.view.camera) else {
        unreachable!("it was painted")
    };
    let place = desk.derived.plane().plane_from_knife(desk.document.knife()) * place;
    desk::View { rect, camera }.ui_from_mm(place)
}

/// The origin's own mark stands at nought.
fn marked_at_nought(harness: &Harness<'_, Bench>, origin: Origin, case: &str) {
    let name = format!("Origin: {}", origin.label());
    if let Some(mark) = harness.query_by_label(&name) {
        let read = read_on_rulers(harness, mark.rect().center());
        assert!(near(harness, read.x, 0.0) && near(harness, read.y, 0.0), "{case}: {read:?}");
    } else {
        // Only the bar's corner is ever so far from a knife that it isn't seen beside it.
        assert_eq!(origin, Origin::BarCorner, "{case}");
    }
}

fn a_node_is_typed(harness: &mut Harness<'_, Bench>, case: &str) {
    run(harness, Command::Station(Station::Profile));
    let name = plain_node(&knife_of(harness));
    let id = NodeId(name.trim_start_matches("Node ").parse().unwrap());
    harness.state_mut().desk.session.selection.choose(PartId::Node(id), false);
    harness.run_steps(4);
    let typed = [field(harness, "Node x").round() + 0.5, field(harness, "Node y").round() + 0.25];
    fill(harness, "Node x", &format!("{} mm", typed[0]));
    fill(harness, "Node y", &format!("{} mm", typed[1]));
    let said = [field(harness, "Node x"), field(harness, "Node y")];
    assert!((said[0] - typed[0]).abs() < 1e-3 && (said[1] - typed[1]).abs() < 1e-3, "{case}");
    let read = read_on_rulers(harness, middle_of(harness, &name));
    let agrees = near(harness, read.x, typed[0]) && near(harness, read.y, typed[1]);
    assert!(agrees, "{case}: {name} is typed at {typed:?}, the rulers show {read:?}");
    let reads = harness.state().desk.derived.reckoning.origin;
    let at = reads.to_local(knife_of(harness).profile.node(id).unwrap().at);
    assert!(at.distance(Point::new(typed[0], typed[1])) < 1e-6, "{case}: {at:?}");
}

fn the_rest_agrees(harness: &mut Harness<'_, Bench>, origin: Origin, case: &str) {
    run(harness, Command::Station(Station::Holes));
    harness.state_mut().desk.session.selection.choose(PartId::Hole(HoleId(1)), false);
    harness.run_steps(4);
    let hole = knife_of(harness).hole(HoleId(1)).unwrap().at;
    let read = read_on_rulers(harness, on_screen(harness, hole));
    let said = [field(harness, "Hole x"), field(harness, "Hole y")];
    assert!(near(harness, read.x, said[0]) && near(harness, read.y, said[1]), "{case}: {read:?}");
    marked_at_nought(harness, origin, case);

    run(harness, Command::Station(Station::Bevels));
    let read = read_on_rulers(harness, middle_of(harness, "Plunge line"));
    assert!(near(harness, read.x, field(harness, "Plunge line")), "{case}: plunge {read:?}");
    marked_at_nought(harness, origin, case);
    let middle = knife_of(harness).profile.outline().unwrap().bounds().center();
    let wanted = harness.state().desk.session.view.origin.to_local_x(middle.x).round();
    fill(harness, "Section at", &format!("{wanted} mm"));
    let read = read_on_rulers(harness, middle_of(harness, "Section line"));
    assert!(near(harness, read.x, wanted), "{case}: section {read:?}, not {wanted}");
    let told = format!(
        "at {} {}",
        units::show_length(wanted, units::LengthUnit::Millimetre),
        harness.state().desk.session.view.origin.from_phrase()
    );
    assert!(harness.query_by_label_contains(&told).is_some(), "{case}: {told}");
    run(harness, Command::PinSection);

    run(harness, Command::Station(Station::Handle));
    let read = read_on_rulers(harness, middle_of(harness, "Front of scales"));
    assert!(near(harness, read.x, field(harness, "Front of scales")), "{case}: front {read:?}");
    marked_at_nought(harness, origin, case);

    // At the Bar station rulers and fields tell where the origin lies on the bar.
    run(harness, Command::Station(Station::Bar));
    let knife = knife_of(harness);
    let origin = harness.state().desk.session.view.origin.on_blank(&knife);
    let read = read_on_rulers(harness, on_screen(harness, origin.at));
    let said = [field(harness, "From the left end"), field(harness, "From the lower edge")];
    assert!(near(harness, read.x, said[0]) && near(harness, read.y, said[1]), "{case}: {read:?}");
    fill(harness, "From the lower edge", &format!("{} mm", said[1] + 1.0));
    let moved = knife_of(harness).bar.placement.at - knife.bar.placement.at;
    assert!(moved.x.abs() < 1e-3 && (moved.y - 1.0).abs() < 1e-3, "{case}: {moved:?}");
}

#[test]
fn rulers_show_what_fields_say_from_every_origin_however_it_lies() {
    for origin in Origin::ALL {
        for lies in &LIES {
            let case = format!("{origin:?} {lies:?}");
            let mut harness = lying(origin, lies);
            assert_eq!(harness.state().desk.session.view.origin.origin, origin, "{case}");
            a_node_is_typed(&mut harness, &case);
            the_rest_agrees(&mut harness, origin, &case);
        }
    }
}

/// With the upper edge and the right end as reference, rulers and fields of the Bar station count
/// from there.
#[test]
fn the_bar_counts_from_the_corner_that_is_scribed_from() {
    let mut harness = lying(Origin::Heel, &LIES[1]);
    let reference =
        knife::Reference { edge: knife::ReferenceEdge::Upper, end: knife::ReferenceEnd::Right };
    edit(&mut harness, Edit::SetReference(reference));
    run(&mut harness, Command::Station(Station::Bar));
    let mark = harness.get_by_label("Origin: heel").rect().center();
    let read = read_on_rulers(&harness, mark);
    let said = [field(&harness, "From the right end"), field(&harness, "From the upper edge")];
    assert!(near(&harness, read.x, said[0]) && near(&harness, read.y, said[1]), "{read:?}");
    assert!(harness.query_by_label_contains("Ruler along, from the bar's right end").is_some());
    // Turned by a typed angle, the heel stays where it is.
    let before = on_screen(&harness, harness.state().desk.session.view.origin.at);
    fill(&mut harness, "Turn", "20");
    let after = on_screen(&harness, harness.state().desk.session.view.origin.at);
    assert!(before.distance(after) < 0.1);
}

#[test]
fn the_origin_is_chosen_named_taken_back_and_kept_in_the_file() {
    let mut harness = bench();
    let first = saved(&harness);
    assert!(harness.query_by_label("Origin: tip").is_some());
    assert!(harness.query_by_label_contains("Ruler up, from the tip").is_some());
    harness.get_by_role_and_label(Role::ComboBox, "Origin").click();
    harness.run_steps(4);
    harness.get_by_label("heel").click();
    harness.run_steps(4);
    assert_eq!(knife_of(&harness).origin, Origin::Heel);
    assert!(harness.query_by_label("Origin: heel").is_some());
    assert!(harness.query_by_label_contains("Ruler along, from the heel").is_some());
    assert_eq!(file::open(&saved(&harness)).unwrap().knife, knife_of(&harness));
    assert_eq!(harness.state().desk.document.history().past().len(), 1);
    run(&mut harness, Command::Undo);
    assert!(saved(&harness) == first && harness.query_by_label("Origin: tip").is_some());
}

#[test]
fn a_dragged_tip_is_told_from_where_it_was() {
    let mut harness = bench();
    let knife = knife_of(&harness);
    let tip = knife.profile.node(knife.profile.tip.unwrap()).unwrap().clone();
    let name = format!("Node {}, tip", tip.id.0);
    let from = middle_of(&harness, &name);
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    for by in [vec2(-20.0, 0.0), vec2(-40.0, 10.0)] {
        harness.hover_at(from + by);
        harness.run_steps(3);
    }
    assert_eq!(harness.state().desk.session.view.origin.at, tip.at, "it holds still");
    let dragged = knife_of(&harness).profile.node(tip.id).unwrap().at;
    assert!(dragged.x < tip.at.x - 1.0);
    harness.drop_at(from + vec2(-40.0, 10.0));
    harness.run_steps(4);
    let now = knife_of(&harness).profile.node(tip.id).unwrap().at;
    assert_eq!(harness.state().desk.session.view.origin.at, now, "and follows when it is let go");
}

/// A finding tells the place as the field beside it does.
#[test]
fn a_finding_and_the_field_name_one_place() {
    for origin in Origin::ALL {
        let mut harness = lying(origin, &LIES[1]);
        run(&mut harness, Command::Station(Station::Handle));
        let scales = knife_of(&harness).scales.unwrap();
        let off = knife::Scales { front_x_mm: 400.0, ..scales };
        edit(&mut harness, Edit::SetScales(Some(off)));
        let said = field(&harness, "Front of scales");
        let from = harness.state().desk.session.view.origin.from_phrase();
        let told = format!("front at x {} {from}", units::show_mm(said, 2));
        let findings = &harness.state().desk.derived.reckoning.findings;
        let said = findings.iter().any(|finding| finding.sentence.contains(&told));
        assert!(said, "{origin:?}: {told}");
    }
}

/// Snapping counts from the origin that is shown.
#[test]
fn the_grid_counts_from_the_chosen_origin() {
    let mut harness = bench();
    edit(&mut harness, Edit::SetOrigin(Origin::Heel));
    fill(&mut harness, "Grid pitch", "6 mm");
    let id = NodeId(16);
    let read = |harness: &Harness<'_, Bench>| {
        let at = knife_of(harness).profile.node(id).unwrap().at;
        harness.state().desk.session.view.origin.to_local(at)
    };
    let at = read(&harness);
    let crossing = Point::new((at.x / 6.0).round() * 6.0 + 12.0, (at.y / 6.0).round() * 6.0 + 12.0);
    let zoom = harness.state().desk.session.view.camera.unwrap().points_per_mm;
    let by = (crossing - at + kurbo::Vec2::new(0.4, -0.3)) * zoom;
    let from = middle_of(&harness, "Node 16");
    drag(&mut harness, from, vec2(by.x as f32, -by.y as f32));
    assert!(read(&harness).distance(crossing) < 1e-6, "{:?}", read(&harness));
}
