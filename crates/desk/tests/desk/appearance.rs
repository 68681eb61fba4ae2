//! What is shown is shown whole: the bar, figures, names and pages.

use super::*;
use egui::Rect;
use knife::HoleId;

/// Where the bar lies on the screen.
fn bar_on_screen(harness: &Harness<'_, Bench>) -> Rect {
    let desk = &harness.state().desk;
    let (Some(rect), Some(camera)) = (desk.session.view.canvas, desk.session.view.camera) else {
        unreachable!("it was painted")
    };
    let view = desk::View { rect, camera };
    let (knife, plane) = (desk.document.knife(), desk.derived.plane());
    let bar = kurbo::Rect::new(0.0, 0.0, knife.bar.length_mm, knife.bar.width_mm);
    view.ui_rect(plane.plane_from_bar(knife).transform_rect_bbox(bar))
}

#[test]
fn the_bar_station_sees_the_whole_bar_and_the_others_keep_their_view() {
    let mut harness = bench();
    let canvas = harness.state().desk.session.view.canvas.unwrap();
    assert!(!canvas.contains_rect(bar_on_screen(&harness)), "the blank fills the view");
    run(&mut harness, Command::ZoomIn);
    let near = harness.state().desk.session.view.camera;
    run(&mut harness, Command::Station(Station::Bar));
    assert!(canvas.contains_rect(bar_on_screen(&harness)));
    run(&mut harness, Command::ZoomOut);
    let far = harness.state().desk.session.view.camera;
    run(&mut harness, Command::Station(Station::Holes));
    assert_eq!(harness.state().desk.session.view.camera, near);
    harness.state_mut().desk.session.selection.choose(knife::PartId::Hole(HoleId(1)), false);
    run(&mut harness, Command::Chain);
    let session = &harness.state().desk.session;
    assert_eq!(session.view.camera, far, "by whichever way it is gone to");
    assert!(session.selection.parts.is_empty(), "a choice ends with its station");
}

#[test]
fn a_figure_without_room_goes_below_its_name_and_a_place_has_both_sides() {
    let mut harness = bench();
    harness.set_size(vec2(1280.0, 1400.0));
    harness.run_steps(4);
    let shown = |words: &str| harness.query_by_label(words).is_some();
    let profile = harness.state().desk.derived.reckoning.profile.clone().unwrap();
    let at = harness.state().desk.derived.reckoning.origin.to_local(profile.centroid);
    let (x, y) = (at.x, at.y);
    let place = format!("x {}, y {}", units::show_inch(x, 3), units::show_inch(y, 3));
    assert!(shown(&place), "{place}");
    let whole = units::show_length(profile.perimeter_mm, units::LengthUnit::Inch);
    let (exact, fraction) = whole.split_once(" (").unwrap();
    assert!(shown(exact) && shown(fraction.trim_end_matches(')')), "{whole}");
}

#[test]
fn a_name_has_room_at_twice_its_size() {
    let desk = Desk::new(Settings { scale: 2.0, ..Settings::default() });
    let harness = with(Bench { desk, host: MemoryHost::with_data() });
    let name = harness.get_by_role_and_label(Role::TextInput, "Name").rect();
    // The starter's name is at most 105 points wide at 15.5 points, and the field has a margin.
    assert!(name.width() > 125.0, "{name:?}");
}

#[test]
fn a_length_of_many_figures_has_room_at_any_size() {
    for scale in [1.0, 2.0] {
        let mut desk = Desk::new(Settings { scale, ..Settings::default() });
        let bar = desk.document.knife().bar.clone();
        let thin = Edit::SetBar {
            grade: bar.grade,
            width_mm: bar.width_mm,
            thickness_mm: 2.3813,
            length_mm: 1234.5678,
        };
        desk.document.edit(&[Edit::SetUnit(units::LengthUnit::Millimetre), thin]).unwrap();
        let mut harness = with(Bench { desk, host: MemoryHost::with_data() });
        run(&mut harness, Command::Station(Station::Bar));
        for (field, text) in [("Stock thickness", "2.3813 mm"), ("Bar length", "1234.5678 mm")] {
            let font = egui::FontId::monospace(15.5);
            let white = egui::Color32::WHITE;
            let text = harness
                .ctx
                .fonts_mut(|fonts| fonts.layout_no_wrap(text.to_owned(), font, white).size().x);
            let shown = harness.get_by_role_and_label(Role::TextInput, field).rect();
            assert!(shown.width() > text + 16.0, "{field} at {scale}: {shown:?} for {text}");
        }
    }
}

#[test]
fn a_chosen_hole_tells_first_what_the_drill_press_needs() {
    let mut harness = bench();
    harness.set_size(vec2(1280.0, 880.0));
    run(&mut harness, Command::Station(Station::Holes));
    harness.state_mut().desk.session.selection.choose(knife::PartId::Hole(HoleId(1)), false);
    harness.run_steps(4);
    let top = |harness: &Harness<'_, Bench>, words: &str| {
        harness.query_by_label(words).map(|node| node.rect().min.y)
    };
    let first = top(&harness, "From the reference edge").unwrap();
    assert!(first > top(&harness, "Hole y").unwrap());
    assert!(first < top(&harness, "Relief holes").unwrap());
    assert!(first < 600.0, "seen without scrolling");
    assert!(top(&harness, "To the spine").is_none());
    harness.get_by_label("More of this hole").click();
    harness.run_steps(4);
    assert!(top(&harness, "To the spine").is_some());
    harness.get_by_label("More of this hole").click();
    harness.run_steps(4);
    assert!(top(&harness, "To the spine").is_none());
}

#[test]
fn many_pages_lie_in_rows() {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Paper));
    harness.state_mut().desk.session.print.left_out.clear();
    harness.run_steps(4);
    let pages: Vec<Rect> = harness.query_all_by_role(Role::Image).map(|page| page.rect()).collect();
    assert!(pages.len() > 3, "{pages:?}");
    let room = harness.get_by_role_and_label(Role::Canvas, "Pages").rect();
    assert!(pages.iter().all(|page| room.contains_rect(*page)));
    let first = pages[0];
    assert!(pages.iter().any(|page| page.min.y >= first.max.y), "a second row");
    assert!(pages.iter().map(|page| page.width()).sum::<f32>() > room.width());
}

#[test]
fn escape_puts_a_menu_away() {
    let mut harness = bench();
    harness.get_by_label("View").click();
    harness.run_steps(4);
    assert!(harness.query_by_label_contains("Curvature comb").is_some());
    harness.key_press(Key::Escape);
    harness.run_steps(4);
    assert!(harness.query_by_label_contains("Curvature comb").is_none());
}

#[test]
fn the_longest_menu_stays_in_the_window_at_twice_its_size() {
    let desk = Desk::new(Settings { scale: 2.0, ..Settings::default() });
    let mut harness = with(Bench { desk, host: MemoryHost::with_data() });
    harness.get_by_label("View").click();
    harness.run_steps(6);
    let first = harness.get_by_label_contains("Match the screen").rect();
    let menus = harness.get_by_label("View").rect();
    assert!(first.min.y > menus.max.y, "below the row of menus: {first:?} {menus:?}");
}

#[test]
fn a_card_that_was_scrolled_shows_what_is_chosen_next() {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Holes));
    let card = harness.get_by_role_and_label(Role::TextInput, "Relief drill").rect().center();
    harness.hover_at(card);
    harness.run_steps(1);
    let wheel = egui::Event::MouseWheel {
        unit: egui::MouseWheelUnit::Point,
        delta: vec2(0.0, -400.0),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Unknown,
        modifiers: Modifiers::NONE,
    };
    harness.event(wheel);
    harness.run_steps(8);
    let drill = harness.query_by_role_and_label(Role::TextInput, "Relief drill");
    assert!(drill.is_none_or(|field| field.rect().center().y < card.y - 20.0), "it was scrolled");
    click_at_hole(&mut harness, "Hole 1, front pin");
    let name = harness.get_by_role_and_label(Role::TextInput, "Hole name").rect();
    assert!(name.min.y > 150.0, "{name:?}");
}

#[test]
fn every_figure_has_its_card() {
    let mut harness = bench();
    harness.set_size(vec2(1280.0, 1600.0));
    for (station, figures) in [
        (Station::Holes, ["Least width at a hole", "Share of stiffness"]),
        (Station::Bevels, ["As cut", "Taken off by grinding"]),
        (Station::Handle, ["Ground", "Behind the scale front"]),
    ] {
        run(&mut harness, Command::Station(station));
        for figure in figures {
            assert!(harness.query_by_label(figure).is_some(), "{figure}");
        }
    }
}

/// A click on a hole on the canvas.
fn click_at_hole(harness: &mut Harness<'_, Bench>, name: &str) {
    let canvas = harness.get_by_role_and_label(Role::Canvas, "Canvas").rect();
    let all = harness.query_all_by_role_and_label(Role::Button, name);
    let at: Vec<_> =
        all.map(|hole| hole.rect().center()).filter(|at| canvas.contains(*at)).collect();
    click_at(harness, at[0]);
}
