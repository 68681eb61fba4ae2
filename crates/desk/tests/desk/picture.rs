//! The picture under the blank: laid, kept beside the file, missed, changed, replaced, moved, and
//! drawn over.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use super::*;
use crate::drops::{drop, put, settle};
use desk::{PictureState, Purpose, View};
use egui::Pos2;
use marks::kurbo::{Ellipse, Point, Rect, Shape as _, Vec2};
use marks::{Drawing, Mark, Pen};

/// A dark ellipse of 60 × 30 mm in the middle of a scan of 80 × 60 mm.
fn scan(dpi: f64) -> Vec<u8> {
    let mut drawing = Drawing::new();
    let shape = Ellipse::new((40.0, 30.0), (30.0, 15.0), 0.0);
    drawing.add(Pen::Register, Mark::Fill(shape.to_path(1e-4)));
    paper::png(&drawing, Rect::new(0.0, 0.0, 80.0, 60.0), dpi).unwrap()
}

fn picture(harness: &Harness<'_, Bench>) -> Option<knife::Picture> {
    harness.state().desk.document.knife().picture.clone()
}

fn state<'a>(harness: &'a Harness<'_, Bench>) -> &'a PictureState {
    &harness.state().desk.session.picture
}

/// Lets the thread that reads come to its end.
fn read(harness: &mut Harness<'_, Bench>) {
    for _ in 0..600 {
        harness.run_steps(2);
        if !state(harness).is_reading() {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("still reading");
}

/// A desk on whose blank the scan was laid.
fn laid(mut harness: Harness<'static, Bench>) -> Harness<'static, Bench> {
    put(&mut harness, "/bench/scan.png", scan(300.0));
    drop(&mut harness, &["/bench/scan.png"]);
    settle(&mut harness);
    harness.get_by_label("Lay the picture under the blank").click();
    harness.run_steps(4);
    read(&mut harness);
    harness.run_steps(4);
    harness
}

fn save(harness: &mut Harness<'_, Bench>, path: &str) {
    let action = desk::Action::PathChosen(Purpose::Save, path.into());
    harness.state_mut().desk.actions.push(action);
    harness.run_steps(4);
}

fn open(harness: &mut Harness<'_, Bench>, path: &str) {
    let Bench { desk, host } = harness.state_mut();
    desk.open_path(Path::new(path), host);
    harness.run_steps(2);
    read(harness);
    harness.run_steps(4);
}

fn latest(harness: &Harness<'_, Bench>) -> String {
    harness.state().desk.session.toasts.latest().unwrap_or_default().to_owned()
}

#[test]
fn a_picture_is_laid_as_one_step_and_told_from_the_files_folder() {
    let mut harness = bench();
    let before = saved(&harness);
    harness = laid(harness);
    let own = picture(&harness).unwrap();
    assert_eq!(own.path, "/bench/scan.png");
    let outline = harness.state().desk.document.knife().profile.outline().unwrap();
    // Its shape lies in the middle of the blank, at true size.
    let middle = own.placement.place(Point::ORIGIN);
    assert!(middle.distance(outline.bounds().center()) < 0.05, "{middle}");
    let half_diagonal = own.placement.mm_from_view[0][0];
    assert!((half_diagonal - 50.0).abs() < 0.05, "{half_diagonal}");
    assert!(harness.query_by_label("scan.png").is_some());
    save(&mut harness, "/bench/blades/heron.blank.json");
    let written = harness.state().host.files[Path::new("/bench/blades/heron.blank.json")].clone();
    let told = String::from_utf8(written.clone()).unwrap();
    assert!(told.contains("\"../scan.png\"") && !told.contains("/bench"), "{told}");
    assert!(!harness.state().desk.document.is_dirty());
    open(&mut harness, "/bench/blades/heron.blank.json");
    assert_eq!(picture(&harness), Some(own.clone()));
    assert_eq!(state(&harness).problem(), None);
    // Saved again it is the same file, byte for byte.
    save(&mut harness, "/bench/blades/heron.blank.json");
    assert_eq!(harness.state().host.files[Path::new("/bench/blades/heron.blank.json")], written);
    let mut harness = laid(bench());
    run(&mut harness, Command::Undo);
    assert_eq!(saved(&harness), before);
    run(&mut harness, Command::Redo);
    read(&mut harness);
    assert_eq!(picture(&harness), Some(own));
}

#[test]
fn a_missing_or_changed_picture_is_told_and_nothing_is_lost() {
    let mut harness = laid(bench());
    save(&mut harness, "/bench/heron.blank.json");
    let own = picture(&harness);
    let scanned = harness.state_mut().host.files.remove(Path::new("/bench/scan.png")).unwrap();
    open(&mut harness, "/bench/heron.blank.json");
    let told = latest(&harness);
    assert_eq!(
        told,
        "The picture under the blank isn't shown: /bench/scan.png is not there; check the name \
         and the folder."
    );
    assert_eq!(picture(&harness), own, "its place is kept");
    assert!(!harness.state().desk.document.is_dirty());
    // Back in its place, it is read again.
    put(&mut harness, "/bench/scan.png", scanned);
    pick(&mut harness, Role::Button, "Look again");
    read(&mut harness);
    harness.run_steps(4);
    assert_eq!(state(&harness).problem(), None);
    // Another picture of that name is shown, and told.
    put(&mut harness, "/bench/scan.png", scan(200.0));
    open(&mut harness, "/bench/heron.blank.json");
    assert!(
        latest(&harness).contains("has changed since it was laid there"),
        "{}",
        latest(&harness)
    );
    assert_eq!(picture(&harness), own);
    pick(&mut harness, Role::Button, "Use it as it is");
    read(&mut harness);
    let now = picture(&harness).unwrap();
    assert!(now.sum != own.as_ref().unwrap().sum && now.placement == own.unwrap().placement);
    assert_eq!(state(&harness).problem(), None);
    // What is no picture at all.
    put(&mut harness, "/bench/scan.png", *b"notes");
    open(&mut harness, "/bench/heron.blank.json");
    assert!(latest(&harness).contains("it is not a PNG"), "{}", latest(&harness));
}

#[test]
fn another_picture_takes_the_same_place() {
    let mut harness = laid(bench());
    let own = picture(&harness).unwrap();
    put(&mut harness, "/bench/sharper.png", scan(400.0));
    let swap = |path: &str| desk::Action::PathChosen(Purpose::SwapPicture, path.into());
    harness.state_mut().desk.actions.push(swap("/bench/sharper.png"));
    harness.run_steps(4);
    read(&mut harness);
    let now = picture(&harness).unwrap();
    assert_eq!((now.path.as_str(), now.placement), ("/bench/sharper.png", own.placement));
    put(&mut harness, "/bench/text.png", *b"notes");
    harness.state_mut().desk.actions.push(swap("/bench/text.png"));
    harness.run_steps(4);
    assert!(latest(&harness).starts_with("/bench/text.png can't be used: it is not a PNG"));
    assert_eq!(picture(&harness), Some(now));
    run(&mut harness, Command::Undo);
    read(&mut harness);
    assert_eq!(picture(&harness), Some(own));
}

#[test]
fn it_is_hidden_locked_moved_turned_and_removed() {
    let mut harness = laid(bench());
    let own = picture(&harness).unwrap();
    assert!(state(&harness).visible && state(&harness).locked);
    assert!(harness.query_by_label("Move picture").is_none());
    run(&mut harness, Command::Picture);
    assert!(!state(&harness).visible);
    pick(&mut harness, Role::CheckBox, "Show");
    pick(&mut harness, Role::CheckBox, "Lock");
    assert!(state(&harness).visible && !state(&harness).locked);
    let zoom = harness.state().desk.session.view.camera.unwrap().points_per_mm;
    let from = middle_of(&harness, "Move picture");
    drag(&mut harness, from, vec2(30.0, 20.0));
    let now = picture(&harness).unwrap();
    let way = now.placement.place(Point::ORIGIN) - own.placement.place(Point::ORIGIN);
    assert!((way.x - 30.0 / zoom).abs() < 6.0 / zoom, "{way:?}");
    assert!((way.y + 20.0 / zoom).abs() < 6.0 / zoom, "{way:?}");
    fill(&mut harness, "Rotate picture by", "90");
    let turned = picture(&harness).unwrap().placement;
    let (middle, right) = (turned.place(Point::ORIGIN), turned.place(Point::new(0.4, 0.0)));
    assert!((right - middle).x.abs() < 1e-9 && (right - middle).y > 19.0);
    let from = middle_of(&harness, "Turn picture");
    drag(&mut harness, from, vec2(25.0, 0.0));
    let placement = picture(&harness).unwrap().placement;
    let way = placement.place(Point::new(0.4, 0.0)) - placement.place(Point::ORIGIN);
    assert!((way.hypot() - (right - middle).hypot()).abs() < 1e-6, "only turned");
    assert!(way.x > 1.0 && placement.place(Point::ORIGIN).distance(middle) < 1e-9);
    pick(&mut harness, Role::Button, "Remove picture");
    assert_eq!(picture(&harness), None);
    run(&mut harness, Command::Picture);
    for _ in 0..4 {
        run(&mut harness, Command::Undo);
    }
    read(&mut harness);
    assert_eq!(picture(&harness), Some(own));
}

fn screen(harness: &Harness<'_, Bench>, p: Point) -> Pos2 {
    let desk = &harness.state().desk;
    let (session, knife) = (&desk.session, desk.document.knife());
    let view = View { rect: session.view.canvas.unwrap(), camera: session.view.camera.unwrap() };
    view.ui_from_mm(desk.derived.plane().plane_from_knife(knife) * p)
}

#[test]
fn points_drawn_over_it_snap_to_its_edges() {
    let mut harness = bench();
    run(&mut harness, Command::DrawNew);
    pick(&mut harness, Role::Button, "Begin drawing");
    let mut harness = laid(harness);
    let middle = picture(&harness).unwrap().placement.place(Point::ORIGIN);
    let canvas = harness.state().desk.session.view.canvas.unwrap();
    for corner in [(-40.0, -30.0), (40.0, 30.0)] {
        let at = screen(&harness, middle + Vec2::from(corner));
        assert!(canvas.contains(at), "all of the picture is seen");
    }
    let place = |degrees: f64, out: f64| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        middle + Vec2::new(30.0 * cos, 15.0 * sin) * out
    };
    for (degrees, out) in [(20.0, 1.015), (110.0, 0.975), (200.0, 1.01), (290.0, 1.03)] {
        let at = screen(&harness, place(degrees, out));
        click_at(&mut harness, at);
    }
    let knots = harness.state().desk.session.drawing.knots().to_vec();
    assert_eq!(knots.len(), 4);
    let off = |p: Point| {
        let steps = (0..3600).map(|i| place(f64::from(i) / 10.0, 1.0).distance(p));
        steps.fold(f64::MAX, f64::min)
    };
    for knot in &knots {
        assert!(off(knot.at) < 0.08, "{} off the edge", off(knot.at));
    }
    // Not while it is switched off.
    pick(&mut harness, Role::CheckBox, "Snap to its edges");
    let at = screen(&harness, place(320.0, 1.03));
    click_at(&mut harness, at);
    let last = harness.state().desk.session.drawing.knots()[4].at;
    assert!(off(last) > 0.2, "{} off the edge", off(last));
}

#[test]
fn two_points_and_their_distance_square_it_up() {
    let mut harness = bench();
    put(&mut harness, "/bench/scan.png", scan(300.0));
    drop(&mut harness, &["/bench/scan.png"]);
    settle(&mut harness);
    harness.get_by_label("two points").click();
    harness.run_steps(4);
    assert!(harness.query_by_label_contains("Drag the two points").is_some());
    assert!(harness.query_by_label("Second point").is_some());
    // They stand at a fifth of the width from either side: 48 mm apart.
    fill(&mut harness, "Distance between them", "48 mm");
    settle(&mut harness);
    assert!(harness.query_by_label_contains("Scaled by two points").is_some());
    // The arrow keys move one by a tenth of a pixel, and everything follows.
    harness.get_by_label("Second point").focus();
    harness.run_steps(2);
    harness.key_press(Key::ArrowRight);
    harness.run_steps(2);
    settle(&mut harness);
    harness.get_by_label("Use this outline").click();
    harness.run_steps(6);
    let knife = harness.state().desk.document.knife().clone();
    let size = knife.profile.size_mm().unwrap();
    assert!((size.width - 60.0).abs() < 0.25 && (size.height - 30.0).abs() < 0.2, "{size:?}");
    assert!(knife.picture.is_some() && knife.traced_mm.is_some());
    // The mark on the sheet is cleared once it has been measured.
    pick(&mut harness, Role::Button, "Clear traced mark");
    assert_eq!(harness.state().desk.document.knife().traced_mm, None);
}

#[test]
fn the_dialog_begins_again_where_it_was_left() {
    let mut harness = laid(bench());
    pick(&mut harness, Role::Button, "Square up or trace…");
    settle(&mut harness);
    harness.get_by_label("two points").click();
    harness.run_steps(2);
    fill(&mut harness, "Distance between them", "96 mm");
    settle(&mut harness);
    harness.get_by_label("Lay the picture under the blank").click();
    harness.run_steps(4);
    read(&mut harness);
    let twice = picture(&harness).unwrap().placement.mm_from_view[0][0];
    assert!((twice - 100.0).abs() < 0.1, "{twice}");
    pick(&mut harness, Role::Button, "Square up or trace…");
    harness.run_steps(2);
    assert!(harness.query_by_label("Second point").is_some(), "two points are still chosen");
    harness.get_by_label("Cancel").click();
    harness.run_steps(2);
}

#[test]
fn the_tracing_mat_is_printed_from_the_desk() {
    let mut harness = bench();
    run(&mut harness, Command::Mat);
    assert!(harness.query_by_label("Print the tracing mat").is_some());
    let action = desk::Action::PathChosen(Purpose::Mat, "/bench/mat".into());
    harness.state_mut().desk.actions.push(action);
    harness.run_steps(4);
    let bytes = &harness.state().host.files[Path::new("/bench/mat.pdf")];
    assert!(bytes.starts_with(b"%PDF"));
    assert!(latest(&harness).starts_with("Wrote the tracing mat to /bench/mat.pdf"));
}
