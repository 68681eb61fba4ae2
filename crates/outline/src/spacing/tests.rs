//! Evenly spaced places keep their promises on known and on random curves.

use super::*;
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

const SPACING: SpacingOptions =
    SpacingOptions { pitch_mm: 4.0, min_pitch_mm: 3.5, min_separation_mm: 3.9, corner_rad: 0.44 };

fn circle(radius_mm: f64) -> Outline {
    let at =
        |k: u32| Point::ORIGIN + radius_mm * kurbo::Vec2::from_angle(TAU * f64::from(k) / 720.0);
    Outline::polygon(&(0..720).map(at).collect::<Vec<_>>()).unwrap()
}

fn steps_mm(spaced: &SpacedPoints) -> Vec<f64> {
    let length = |(a, b): (usize, usize)| spaced.points[a].distance(spaced.points[b]);
    spaced.rows.iter().flat_map(|row| row.steps().map(length).collect::<Vec<_>>()).collect()
}

#[test]
fn a_circle_is_divided_into_a_regular_polygon() {
    let spaced = space_evenly(&[circle(20.0)], &|_| 1.0, &SPACING);
    // Sides of a regular n-gon in a circle: 2 r sin(π/n); n = 31 is nearest to 4 mm.
    assert_eq!(spaced.points.len(), 31);
    for step in steps_mm(&spaced) {
        assert!((step - 40.0 * (PI / 31.0).sin()).abs() < 1e-3, "{step}");
    }
    assert!(spaced.rows[0].closed && spaced.left_out_mm == 0.0);
}

#[test]
fn a_square_has_a_place_at_each_corner() {
    let square = [(0., 0.), (21., 0.), (21., 21.), (0., 21.)].map(Point::from);
    let spaced = space_evenly(&[Outline::polygon(&square).unwrap()], &|_| 1.0, &SPACING);
    // 21 mm in 5 steps of 4.2 mm a side.
    assert_eq!(spaced.points.len(), 20);
    assert!(square.iter().all(|corner| spaced.points.contains(corner)));
    assert!(steps_mm(&spaced).iter().all(|step| (step - 4.2).abs() < 1e-9));
}

#[test]
fn cut_stretches_have_exactly_the_pitch_shared_out_from_the_middle() {
    let room = |p: Point| 10.0 - p.y;
    let spaced = space_evenly(&[circle(20.0)], &room, &SPACING);
    assert_eq!(spaced.rows.len(), 1);
    assert!(!spaced.rows[0].closed);
    assert!(steps_mm(&spaced).iter().all(|step| (step - 4.0).abs() < 1e-9));
    let rows = &spaced.rows[0].indices;
    let (first, last) = (spaced.points[rows[0]], spaced.points[rows[rows.len() - 1]]);
    assert!((first.y - last.y).abs() < 1e-3, "{first:?} {last:?}");
    // 10 mm above the centre of a circle of 20 mm: a sixth part each side is left out.
    assert!((spaced.left_out_mm - 20.0 * TAU / 3.0).abs() < 0.05, "{}", spaced.left_out_mm);
}

#[test]
fn what_is_shorter_than_a_pitch_gets_one_place() {
    let room = |p: Point| 1.0 - p.distance(Point::new(20.0, 0.0));
    let spaced = space_evenly(&[circle(20.0)], &room, &SPACING);
    assert_eq!(spaced.points.len(), 1);
    assert!(spaced.points[0].distance(Point::new(20.0, 0.0)) < 0.01);
    assert_eq!(space_evenly(&[circle(0.5)], &|_| 1.0, &SPACING).points.len(), 1);
    assert!(space_evenly(&[circle(20.0)], &|_| -1.0, &SPACING).points.is_empty());
    let bad = SpacingOptions { pitch_mm: f64::NAN, ..SPACING };
    assert!(space_evenly(&[circle(20.0)], &|_| 1.0, &bad).points.is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_two_places_are_too_near_and_steps_are_even(
        radii in prop::collection::vec(3.0..30.0f64, 3..9),
        pitch_mm in 1.5..8.0f64,
        roof in -10.0..40.0f64,
    ) {
        let spacing = SpacingOptions {
            pitch_mm,
            min_pitch_mm: 0.9 * pitch_mm,
            min_separation_mm: 0.9 * pitch_mm,
            corner_rad: 0.44,
        };
        let n = radii.len();
        let at = |(k, r): (usize, &f64)| {
            Point::ORIGIN + *r * kurbo::Vec2::from_angle(TAU * k as f64 / n as f64)
        };
        let star = Outline::polygon(&radii.iter().enumerate().map(at).collect::<Vec<_>>()).unwrap();
        let room = |p: Point| roof - p.y;
        let spaced = space_evenly(std::slice::from_ref(&star), &room, &spacing);
        for (i, a) in spaced.points.iter().enumerate() {
            prop_assert!(room(*a) >= -1e-9 && star.nearest(*a).distance_mm < 1e-6);
            for b in &spaced.points[i + 1..] {
                prop_assert!(a.distance(*b) > 0.9 * pitch_mm - 1e-6, "{a:?} {b:?}");
            }
        }
        for row in &spaced.rows {
            let steps: Vec<f64> =
                row.steps().map(|(a, b)| spaced.points[a].distance(spaced.points[b])).collect();
            for step in &steps {
                prop_assert!((step - steps[0]).abs() < 1e-6, "{steps:?}");
            }
        }
        prop_assert!((spaced.length_mm + spaced.left_out_mm - star.perimeter()).abs() < 1e-6);
    }

    /// How much room there is only saves looking: as much as tells whether there is any gives the
    /// same places.
    #[test]
    fn places_follow_from_whether_there_is_room(
        others in prop::collection::vec((-30.0..30.0f64, -30.0..30.0f64, 0.5..12.0f64), 1..5),
    ) {
        let room = |p: Point| {
            let gaps = others.iter().map(|(x, y, radius)| p.distance((*x, *y).into()) - radius);
            gaps.fold(f64::INFINITY, f64::min)
        };
        let hardly = |p: Point| if room(p) >= 0.0 { 1e-6 } else { -1e-6 };
        let rings = [circle(20.0)];
        let spaced = space_evenly(&rings, &room, &SPACING);
        prop_assert_eq!(spaced, space_evenly(&rings, &hardly, &SPACING));
    }
}
