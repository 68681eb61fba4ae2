//! The handle as it is decided: materials, front, what lies under the scales, pins, shape, hold.

use super::*;
use knife::{
    Corner, Fixing, FrontCurve, Groove, Handle, OutlineSide, Pitch, ScallopSpacing,
    USUAL_OVERHANG_MM,
};

fn handle() -> Harness<'static, Bench> {
    let mut harness = bench();
    run(&mut harness, Command::Station(Station::Handle));
    harness
}

fn knife_of(harness: &Harness<'_, Bench>) -> knife::Knife {
    harness.state().desk.document.knife().as_ref().clone()
}

fn handle_of(harness: &Harness<'_, Bench>) -> Handle {
    knife_of(harness).handle
}

fn steps(harness: &Harness<'_, Bench>) -> usize {
    harness.state().desk.document.history().past().len()
}

/// Opens a part of the card, works on it, and puts it away.
fn part(harness: &mut Harness<'_, Bench>, name: &str, work: impl FnOnce(&mut Harness<'_, Bench>)) {
    pick(harness, Role::DisclosureTriangle, name);
    work(harness);
    pick(harness, Role::DisclosureTriangle, name);
}

/// Chooses from a list by names.
fn from_list(harness: &mut Harness<'_, Bench>, list: &str, name: &str) {
    pick(harness, Role::ComboBox, list);
    pick(harness, Role::Button, name);
}

/// Types what can't be, and looks for the reason on the screen; nothing has changed.
fn refused(harness: &mut Harness<'_, Bench>, field: &str, text: &str, reason: &str) {
    let (before, done) = (saved(harness), steps(harness));
    fill(harness, field, text);
    assert!(harness.query_by_label_contains(reason).is_some(), "{field}: {reason}");
    assert!(saved(harness) == before && steps(harness) == done, "{field} {text}");
    harness.key_press(Key::Escape);
    harness.run_steps(3);
}

#[test]
fn every_part_is_put_away_until_it_is_asked_for() {
    let mut harness = handle();
    let parts = [
        ("Materials", "Glue line"),
        ("Shape of the front", "Front lean"),
        ("Liners", "Add liners"),
        ("Bolsters", "Add a rear bolster"),
        ("Pins", "Hole 1"),
        ("Corners and girth", "Girth that fits"),
        ("Handle thickness by position", "Add a place"),
        ("Scallops", "Cut scallops"),
        ("Jimping", "Cut jimping"),
        ("Trim allowance", "Overhang"),
    ];
    for (name, inside) in parts {
        let seen = |harness: &Harness<'_, Bench>| harness.query_all_by_label(inside).count() > 0;
        assert!(!seen(&harness), "{name}");
        part(&mut harness, name, |harness| assert!(seen(harness), "{name}"));
        assert!(!seen(&harness), "{name}");
    }
    assert_eq!(steps(&harness), 0, "to look is no step");
}

#[test]
fn materials_are_chosen_from_the_table_and_the_whole_is_weighed() {
    let mut harness = handle();
    let first = saved(&harness);
    part(&mut harness, "Materials", |harness| {
        from_list(harness, "Scales of", "black walnut");
        assert_eq!(handle_of(harness).scales.as_deref(), Some("black walnut"));
        assert!(harness.query_by_label_contains("material of the pins").is_some());
        from_list(harness, "Pins of", "brass C26000");
        from_list(harness, "Right scale of", "bone");
        let handle = handle_of(harness);
        assert_eq!(handle.pins.as_deref(), Some("brass C26000"));
        assert_eq!(handle.right_scale.as_deref(), Some("bone"));
        fill(harness, "Glue line", "0.1 mm");
        assert_eq!(handle_of(harness).glue_mm, Some(0.1));
        assert!(matches!(harness.state().desk.derived.reckoning.whole, Some(Ok(_))));
        assert!(harness.query_by_label("All of it").is_some(), "weighed on the card");
        refused(harness, "Glue line", "5 mm", "glue line of 5");
        refused(harness, "Glue line", "thin", "isn't a length");
        fill(harness, "Glue line", " ");
        assert_eq!(handle_of(harness).glue_mm, None, "emptied, it is the usual");
        from_list(harness, "Right scale of", "same as left");
        assert_eq!(handle_of(harness).right_scale, None);
        from_list(harness, "Pins of", "not chosen");
        from_list(harness, "Scales of", "not chosen");
    });
    assert_eq!(steps(&harness), 8);
    assert!(saved(&harness) == first);
}

#[test]
fn the_front_is_curved_leant_and_bevelled() {
    let mut harness = handle();
    part(&mut harness, "Shape of the front", |harness| {
        pick(harness, Role::RadioButton, "Round");
        fill(harness, "Front radius", "1 1/2 in");
        // 1 1/2 in is 38.1 mm exactly.
        let curve = handle_of(harness).front.curve;
        assert!(matches!(curve, FrontCurve::Round(mm) if (mm - 38.1).abs() < 1e-9), "{curve:?}");
        pick(harness, Role::RadioButton, "Hollow");
        assert!(
            matches!(handle_of(harness).front.curve, FrontCurve::Hollow(_)),
            "its radius stays"
        );
        fill(harness, "Front lean", "-12");
        fill(harness, "Front bevel", "30");
        let front = handle_of(harness).front;
        assert_eq!((front.lean_deg, front.bevel_deg), (-12.0, Some(30.0)));
        refused(harness, "Front lean", "75", "lean of the front of 75");
        fill(harness, "Front bevel", " ");
        assert_eq!(handle_of(harness).front.bevel_deg, None);
        pick(harness, Role::RadioButton, "Straight");
        assert_eq!(handle_of(harness).front.curve, FrontCurve::Straight);
    });
}

#[test]
fn liners_and_bolsters_come_and_go() {
    let mut harness = handle();
    let first = saved(&harness);
    part(&mut harness, "Liners", |harness| {
        pick(harness, Role::Button, "Add liners");
        fill(harness, "Liner thickness", "1/16");
        let liners = handle_of(harness).liners.unwrap();
        assert!((liners.thickness_mm - 1.5875).abs() < 1e-9, "1/16 in is 1.5875 mm");
        from_list(harness, "Liners of", "nickel silver C75200");
        let liners = handle_of(harness).liners.unwrap();
        assert_eq!(liners.material.as_deref(), Some("nickel silver C75200"));
        refused(harness, "Liner thickness", "0", "liner of 0");
        pick(harness, Role::Button, "Remove the liners");
    });
    assert!(saved(&harness) == first);
    part(&mut harness, "Bolsters", |harness| {
        pick(harness, Role::Button, "Add a front bolster");
        fill(harness, "Front bolster", "10 mm");
        from_list(harness, "Front bolster of", "brass C36000");
        pick(harness, Role::Button, "Add a rear bolster");
        let handle = handle_of(harness);
        let front = handle.front_bolster.unwrap();
        assert_eq!((front.length_mm, front.material.as_deref()), (10.0, Some("brass C36000")));
        assert!(handle.rear_bolster.is_some());
        refused(harness, "Rear bolster", "300 mm", "bolster's length of 300");
        pick(harness, Role::Button, "Remove the front bolster");
        pick(harness, Role::Button, "Remove the rear bolster");
    });
    assert!(saved(&harness) == first);
}

#[test]
fn what_goes_through_a_hole_is_chosen_hole_by_hole() {
    let mut harness = handle();
    let hole = knife_of(&harness).holes[0].clone();
    assert_eq!(hole.kind, HoleKind::Pin);
    let fixing = |harness: &Harness<'_, Bench>| handle_of(harness).fixing(hole.id);
    part(&mut harness, "Pins", |harness| {
        let tube = |harness: &mut Harness<'_, Bench>, word: &str| {
            let first = harness.get_all_by_role_and_label(Role::RadioButton, word).next();
            first.unwrap().click();
            harness.run_steps(4);
        };
        tube(harness, "Tube");
        assert!(matches!(fixing(harness), Some(Fixing::Tube { .. })));
        fill(harness, "Bore 1", "3 mm");
        assert_eq!(fixing(harness), Some(Fixing::Tube { bore_mm: 3.0 }));
        refused(harness, "Bore 1", "0", "tube's bore of 0");
        tube(harness, "Screw");
        fill(harness, "Head 1", "9 mm");
        fill(harness, "Head 1 deep", "4 mm");
        let screw = Fixing::Screw { head_mm: 9.0, head_deep_mm: 4.0 };
        assert_eq!(fixing(harness), Some(screw));
        tube(harness, "Solid");
        assert_eq!(fixing(harness), None);
    });
}

#[test]
fn corners_and_the_hand_are_decided() {
    let mut harness = handle();
    part(&mut harness, "Corners and girth", |harness| {
        pick(harness, Role::RadioButton, "Chamfer");
        fill(harness, "Chamfer width", "4 mm");
        fill(harness, "Chamfer angle", "30");
        let chamfer = Corner::Chamfer { width_mm: 4.0, angle_deg: 30.0 };
        assert_eq!(handle_of(harness).shaping.corner, Some(chamfer));
        refused(harness, "Chamfer angle", "90", "angle of the chamfer of 90");
        pick(harness, Role::RadioButton, "Round");
        fill(harness, "Roundover", "3/16 in");
        // 3/16 in is 4.7625 mm.
        let corner = handle_of(harness).shaping.corner;
        assert!(matches!(corner, Some(Corner::Round(mm)) if (mm - 4.7625).abs() < 1e-9));
        pick(harness, Role::RadioButton, "Square");
        fill(harness, "Girth that fits", "92 mm");
        let shaping = handle_of(harness).shaping;
        assert_eq!((shaping.corner, shaping.hand_mm), (None, Some(92.0)));
        assert!(harness.query_all_by_label_contains("than the hand likes").count() > 0);
        refused(harness, "Girth that fits", "5 mm", "hand's girth of 5");
        fill(harness, "Girth that fits", " ");
        assert_eq!(handle_of(harness).shaping.hand_mm, None);
    });
}

#[test]
fn thickness_goes_by_places_along_the_handle() {
    let mut harness = handle();
    part(&mut harness, "Handle thickness by position", |harness| {
        pick(harness, Role::Button, "Add a place");
        pick(harness, Role::Button, "Add a place");
        let places = handle_of(harness).shaping.thickness;
        assert!(places.len() == 2 && places[0].x_mm < places[1].x_mm, "{places:?}");
        let x_mm = places[0].x_mm + 1.0;
        fill(harness, "Place 1", &format!("{x_mm} mm"));
        fill(harness, "Thickness 1", "7.5 mm");
        let place = handle_of(harness).shaping.thickness[0];
        assert!((place.x_mm - x_mm).abs() < 1e-9 && place.thickness_mm == 7.5, "{place:?}");
        refused(harness, "Thickness 2", "0", "scale thickness of 0");
        pick(harness, Role::Button, "Remove place 2");
        assert_eq!(handle_of(harness).shaping.thickness, [place]);
    });
}

#[test]
fn scallops_are_stated_by_number_or_distance() {
    let mut harness = handle();
    let first = saved(&harness);
    part(&mut harness, "Scallops", |harness| {
        pick(harness, Role::Button, "Cut scallops");
        fill(harness, "Scallops above", "5");
        let of = |harness: &Harness<'_, Bench>| handle_of(harness).scallops.unwrap();
        assert_eq!(of(harness).spacing, ScallopSpacing::Count(5));
        pick(harness, Role::RadioButton, "Distance");
        fill(harness, "Scallop pitch", "18 mm");
        for (field, text) in [
            ("From the front", "14 mm"),
            ("From the butt", "12 mm"),
            ("Drum", "2 in"),
            ("Drum angle", "40"),
            ("Scallop depth", "2 mm"),
        ] {
            fill(harness, field, text);
        }
        let wanted = knife::Scallops {
            spacing: ScallopSpacing::Pitch(18.0),
            front_mm: 14.0,
            butt_mm: 12.0,
            drum_mm: 50.8,
            angle_deg: 40.0,
            depth_mm: 2.0,
        };
        assert_eq!(of(harness), wanted);
        assert!(harness.query_by_label("Upper edge").is_some(), "figures where it is decided");
        refused(harness, "Drum angle", "90", "drum's angle of 90");
        pick(harness, Role::RadioButton, "Number");
        refused(harness, "Scallops above", "0", "number of scallops of 0");
        refused(harness, "Scallops above", "a few", "isn't a number of scallops");
        pick(harness, Role::Button, "Remove the scallops");
    });
    assert!(saved(&harness) == first);
}

#[test]
fn jimping_is_spaced_as_files_are_sold_or_by_a_length() {
    let mut harness = handle();
    let first = saved(&harness);
    part(&mut harness, "Jimping", |harness| {
        pick(harness, Role::Button, "Cut jimping");
        let of = |harness: &Harness<'_, Bench>| handle_of(harness).jimping.unwrap();
        fill(harness, "Lines to the inch", "30");
        assert_eq!(of(harness).pitch, Pitch::PerInch(30.0));
        refused(harness, "Lines to the inch", "500", "to the inch of 500");
        refused(harness, "Lines to the inch", "fine", "isn't a number of lines");
        pick(harness, Role::RadioButton, "Pitch");
        fill(harness, "Jimping pitch", "1.25 mm");
        fill(harness, "Jimping from", "80 mm");
        fill(harness, "Jimping to", "100 mm");
        fill(harness, "Jimping depth", "0.6 mm");
        pick(harness, Role::RadioButton, "Underside");
        pick(harness, Role::RadioButton, "Rounded");
        fill(harness, "Groove file", "2 mm");
        let wanted = knife::Jimping {
            side: OutlineSide::Edge,
            from_x_mm: 80.0,
            to_x_mm: 100.0,
            pitch: Pitch::Mm(1.25),
            depth_mm: 0.6,
            groove: Groove::Round(2.0),
        };
        assert_eq!(of(harness), wanted);
        // 20 mm of curve at least, at 1.25 mm: figures stand where it is decided.
        assert!(harness.query_by_label("Notches").is_some());
        assert!(harness.state().desk.derived.reckoning.jimping.is_some());
        pick(harness, Role::RadioButton, "V");
        fill(harness, "Groove angle", "90");
        assert_eq!(of(harness).groove, Groove::Vee(90.0));
        pick(harness, Role::Button, "Remove the jimping");
    });
    assert!(saved(&harness) == first);
}

#[test]
fn jimping_needs_no_scales() {
    let mut harness = handle();
    pick(&mut harness, Role::Button, "Remove the scales");
    part(&mut harness, "Jimping", |harness| pick(harness, Role::Button, "Cut jimping"));
    assert!(handle_of(&harness).jimping.is_some());
}

#[test]
fn what_is_left_to_trim_goes_back_to_the_usual_when_emptied() {
    let mut harness = handle();
    part(&mut harness, "Trim allowance", |harness| {
        for (field, text) in [
            ("Overhang", "2 mm"),
            ("Block allowance", "4 mm"),
            ("Pin overhang", "1 mm"),
            ("Grain", "-15"),
        ] {
            fill(harness, field, text);
        }
        let handle = handle_of(harness);
        assert_eq!((handle.overhang_mm, handle.allowance_mm), (Some(2.0), Some(4.0)));
        assert_eq!((handle.proud_mm, handle.grain_deg), (Some(1.0), Some(-15.0)));
        refused(harness, "Overhang", "60 mm", "overhang of 60");
        refused(harness, "Grain", "120", "grain direction of 120");
        for field in ["Overhang", "Grain"] {
            fill(harness, field, " ");
        }
        let handle = handle_of(harness);
        assert_eq!((handle.overhang_mm, handle.grain_deg), (None, None));
        assert_eq!(handle.overhang_mm(), USUAL_OVERHANG_MM);
    });
}
