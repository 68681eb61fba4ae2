//! Pins and glue against handles worked out by hand: the bar of 200 × 30 × 3.175 mm with scales
//! behind x = 120, so that one side is 80 × 30 mm.

use super::*;
use crate::sample::{drilled, reckoned};
use knife::{Edit, Fixing, HoleId, HoleKind, Knife, Liners, Scales, Taper, ThicknessAt};
use kurbo::Point;
use outline::Outline;
use std::f64::consts::PI;

fn handled(holes: &[(f64, f64, f64)]) -> Knife {
    let mut knife = drilled(holes);
    knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
    knife.handle.glue_mm = Some(0.1);
    knife
}

fn fit(knife: &Knife) -> FitFigures {
    reckoned(knife).fit.unwrap()
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found} {expected}");
}

// By hand: 3.175 + 2 × (6 + 0.1), and 1.5 mm proud on both sides.
#[test]
fn a_pin_goes_through_all_that_lies_there_and_stands_proud() {
    let mut knife = handled(&[(150.0, 0.0, 6.35), (180.0, 0.0, 3.2)]);
    knife.holes[1].pin_mm = Some(3.175);
    let found = fit(&knife);
    near(found.pins[0].flush_mm, 15.375);
    near(found.pins[0].length_mm, 18.375);
    assert_eq!((found.pins[0].diameter_mm, found.pins[1].diameter_mm), (6.35, 3.175));
    assert_eq!((found.pins[1].hole_mm, found.pins[1].scale_hole_mm()), (3.2, 3.2));
    // A liner of 1 mm on both sides has a second joint: 2 × (1 + 0.1) more.
    knife.handle.liners = Some(Liners { thickness_mm: 1.0, material: None });
    knife.handle.proud_mm = Some(0.0);
    near(fit(&knife).pins[0].length_mm, 15.375 + 2.2);
    // Tapered evenly from 3.175 mm at the butt (x = 200) to 1.175 at the tip: 2.675 at x = 150.
    knife.taper = Some(Taper { from_x_mm: 200.0, tip_mm: 1.175 });
    near(fit(&knife).pins[0].length_mm, 15.375 + 2.2 - 0.5);
    let mirrored = Edit::MirrorAlong.apply(&knife).unwrap();
    near(fit(&mirrored).pins[0].length_mm, 15.375 + 2.2 - 0.5);
}

// By hand: three pins of 1/8 in and one of 1/4 in, each 18.375 mm long.
#[test]
fn rod_is_summed_by_kind_and_diameter() {
    let mut knife = handled(&[
        (135.0, 0.0, 3.175),
        (150.0, 0.0, 6.35),
        (165.0, 0.0, 3.175),
        (180.0, 0.0, 3.175),
        (190.0, 9.0, 2.0),
        (60.0, 0.0, 3.175),
    ]);
    knife.holes[4].kind = HoleKind::Relief;
    let rods = fit(&knife).rods;
    assert_eq!(rods.len(), 2, "{rods:?}");
    assert_eq!((rods[0].count, rods[1].count), (3, 1));
    near(rods[0].total_mm, 55.125);
    near(rods[1].longest_mm, 18.375);
    // The same hole as a tube is another stock.
    knife.handle.fixings = vec![(HoleId(2), Fixing::Tube { bore_mm: 4.0 })];
    let rods = fit(&knife).rods;
    assert_eq!(rods[1].kind, PinKind::Tube { bore_mm: 4.0 });
}

// By hand: heads of 8 mm, 3 deep: 15.375 − 6 = 9.375 between the shoulders.
#[test]
fn a_screw_has_two_diameters_and_a_tube_its_bore() {
    let mut knife = handled(&[(150.0, 0.0, 4.0), (185.0, 0.0, 6.5)]);
    knife.holes[1].kind = HoleKind::Thong;
    knife.holes[1].pin_mm = Some(6.35);
    assert_eq!(fit(&knife).pins.len(), 1, "an open thong hole takes nothing");
    let screw = Fixing::Screw { head_mm: 8.0, head_deep_mm: 3.0 };
    knife.handle.fixings = vec![(HoleId(1), screw), (HoleId(2), Fixing::Tube { bore_mm: 5.0 })];
    let pins = fit(&knife).pins;
    near(pins[0].between_heads_mm().unwrap(), 9.375);
    assert_eq!((pins[0].hole_mm, pins[0].scale_hole_mm(), pins[0].recess_mm()), (4.0, 8.0, 3.0));
    near(pins[0].flush_mm3(), PI * (4.0 * 9.375 + 16.0 * 6.0));
    assert_eq!(pins[0].bores_mm(), [(4.0, 3.0), (8.0, 3.0)]);
    near(pins[0].gap_mm3(), 0.0);
    assert!(pins[1].is_thong && pins[1].between_heads_mm().is_none());
    near(pins[1].flush_mm3(), PI / 4.0 * (6.35 * 6.35 - 25.0) * 15.375);
    near(pins[1].gap_mm3(), PI / 4.0 * (6.5 * 6.5 - 6.35 * 6.35) * 15.375);
}

/// Two scales of 115 × 25 mm: a line of 0.005 in takes 0.73 ml, of 0.2 mm 1.15 ml (worked by hand
/// from the data sheets' lines); one litre covers 10 m² at 0.1 mm.
#[test]
fn glue_is_area_times_its_line() {
    let joint = |line_mm: f64| {
        let corners = [(0.0, 12.5), (0.0, -12.5), (100.0, -12.5), (200.0, -12.5), (200.0, 12.5)];
        let mut knife = crate::sample::blank();
        let outline = Outline::polygon(&corners.map(Point::from)).unwrap();
        knife.profile = knife::Profile::from_outline(&outline);
        knife.profile.tip = Some(knife.profile.nodes[1].id);
        knife.profile.heel = Some(knife.profile.nodes[2].id);
        knife.scales = Some(Scales { front_x_mm: 85.0, thickness_mm: 6.0 });
        knife.handle.glue_mm = Some(line_mm);
        fit(&knife).glue
    };
    assert!((joint(0.127).joint_ml - 0.73).abs() < 0.005);
    assert!((joint(0.2).joint_ml - 1.15).abs() < 0.005);
    near(joint(0.1).joint_ml / joint(0.1).area_mm2, 1000.0 / 1e7);
    // Common practice, no source: three times as much is mixed.
    near(joint(0.2).mixed_ml, 3.0 * 1.15);
    near(joint(0.2).mixed_g.unwrap(), 3.0 * 1.15 * 1.15);
}

// By hand: one side 2400 mm² less a pin hole and a relief hole; the relief hole is filled through
// 3.175 mm of steel and both joints on the tang. With liners the second joint has no relief hole.
#[test]
fn relief_holes_are_filled_and_count_only_in_the_tang() {
    let mut knife = handled(&[(150.0, 0.0, 6.0), (170.0, 0.0, 8.0)]);
    knife.holes[1].kind = HoleKind::Relief;
    knife.holes[0].pin_mm = Some(5.9);
    let glue = fit(&knife).glue;
    let (pin, relief) = (PI * 9.0, PI * 16.0);
    near(glue.side_mm2, 2400.0 - pin - relief);
    near(glue.joint_ml, 0.2 * (2400.0 - pin - relief) / 1000.0);
    near(glue.relief_ml, relief * (3.175 + 0.2) / 1000.0);
    near(glue.gap_ml, PI / 4.0 * (36.0 - 5.9 * 5.9) * 15.375 / 1000.0);
    near(glue.mixed_ml, 3.0 * glue.joint_ml + glue.relief_ml + glue.gap_ml);
    knife.handle.liners = Some(Liners { thickness_mm: 1.0, material: None });
    let lined = fit(&knife).glue;
    assert_eq!(lined.joints, 2);
    near(lined.area_mm2, 2.0 * (2400.0 - pin - relief) + 2.0 * (2400.0 - pin));
}

// By hand: from 8 to 4 mm with level ends over 100 mm the thickness is 8 − 4 (3 t² − 2 t³), 6 on
// the average, and its middle lies where ∫ t (8 − 12 t² + 8 t³) dt = 4 − 3 + 1.6 = 2.6 leaves it,
// at 2.6 / 6 of the length; beyond both it is even.
#[test]
fn a_thickness_that_changes_is_summed_exactly() {
    let mut knife = handled(&[]);
    knife.scales = Some(Scales { front_x_mm: 80.0, thickness_mm: 1.0 });
    let thick = |x_mm, thickness_mm| ThicknessAt { x_mm, thickness_mm };
    knife.handle.shaping.thickness = vec![thick(90.0, 8.0), thick(190.0, 4.0)];
    let scales = reckoned(&knife).scales.unwrap();
    let body = prism(&knife, &scales.outline);
    near(body.mm3, 30.0 * (80.0 + 600.0 + 40.0));
    let x = 30.0 * (80.0 * 85.0 + 600.0 * (90.0 + 100.0 * 2.6 / 6.0) + 40.0 * 195.0);
    assert!((body.moment.x - x).abs() < 1e-6, "{} {x}", body.moment.x);
    assert!(body.moment.y.abs() < 1e-6);
    // Even thickness, stated at two places, over outlines of curves: area times thickness.
    for starter in knife::STARTERS {
        let mut knife = starter.knife();
        let Some(scales) = reckoned(&knife).scales else { continue };
        let middle = scales.outline.bounds().center().x;
        knife.handle.shaping.thickness =
            [-200.0, -3.0, 0.0, 10.0].map(|by| thick(middle + by, 5.0)).to_vec();
        let body = prism(&knife, &scales.outline);
        let expected = scales.area_mm2 * 5.0;
        assert!((body.mm3 / expected - 1.0).abs() < 1e-9, "{}", knife.name);
        let middle = body.moment / body.mm3 - scales.outline.centroid().to_vec2();
        assert!(middle.hypot() < 1e-6, "{} {middle:?}", knife.name);
    }
}
