//! What is made fair is fairer, and nothing moves further than it may.

use super::*;
use kurbo::{Circle, ParamCurveArclen, Shape, Vec2};
use proptest::prelude::*;

/// A ring of radius 40 of so many nodes, each moved by a little.
fn dented(count: usize, by: &[(f64, f64)]) -> Outline {
    let on = |i: usize| {
        let angle = std::f64::consts::TAU * i as f64 / count as f64;
        Point::ORIGIN + 40.0 * Vec2::from_angle(angle) + Vec2::from(by[i % by.len()])
    };
    let knots: Vec<crate::Knot> = (0..count).map(|i| crate::Knot::smooth(on(i))).collect();
    Outline::new(crate::closed_curve_through(&knots)).unwrap()
}

fn options(nodes: &[usize], tolerance_mm: f64) -> FairOptions<'_> {
    FairOptions { nodes, pinned: &[], symmetric: &[], tolerance_mm }
}

#[test]
fn a_dented_ring_comes_back_to_a_circle() {
    let by =
        [(0.2, -0.1), (-0.3, 0.1), (0.1, 0.3), (0.0, -0.3), (0.25, 0.2), (-0.1, 0.0), (0.3, 0.3)];
    let ring = dented(16, &by);
    let all: Vec<usize> = (0..16).collect();
    let fair = ring.faired(&options(&all, 0.5));
    assert!(fair.after < fair.before / 100.0, "{} {}", fair.before, fair.after);
    assert!(fair.moved_mm <= 0.5, "{}", fair.moved_mm);
    let radii = |o: &Outline| {
        let center = o.centroid();
        let r: Vec<f64> = o.nodes().map(|p| p.distance(center)).collect();
        let (low, high) = r.iter().fold((f64::MAX, 0.0_f64), |(a, b), r| (a.min(*r), b.max(*r)));
        high - low
    };
    assert!(radii(&fair.outline) < radii(&ring) / 2.0);
}

#[test]
fn corners_and_what_was_not_chosen_stay() {
    let path = kurbo::BezPath::from_svg(
        "M0 0 C20 -14 50 -16 80 -15 C110 -14 130 -12 160 -12 L160 12 C130 14 100 11 80 13 C50 16 20 9 0 0 Z",
    )
    .unwrap();
    let outline = Outline::from_path(&path).unwrap();
    let fair = outline.faired(&options(&[0, 1, 2, 3], 0.3));
    let (old, new): (Vec<Point>, Vec<Point>) =
        (outline.nodes().collect(), fair.outline.nodes().collect());
    for corner in [0, 2, 3, 4] {
        assert_eq!(old[corner], new[corner], "{corner}");
    }
    assert_eq!(fair.outline.segs()[2], outline.segs()[2]);
    assert!(fair.after < fair.before);
    let pinned = FairOptions { pinned: &[1], ..options(&[1], 0.3) };
    let fair = outline.faired(&pinned);
    assert_eq!(fair.outline.nodes().nth(1), outline.nodes().nth(1));
    assert!(fair.after < fair.before);
    assert_eq!(outline.faired(&options(&[1], 0.0)).outline, outline);
    assert_eq!(outline.faired(&options(&[], 1.0)).outline, outline);
}

#[test]
fn a_circle_is_fair_already() {
    let disc = Outline::from_path(&Circle::new((0., 0.), 30.).to_path(1e-9)).unwrap();
    let all: Vec<usize> = (0..disc.segs().len()).collect();
    let fair = disc.faired(&options(&all, 0.2));
    assert!(fair.after <= fair.before && fair.moved_mm < 0.2);
    assert!((fair.outline.area() - disc.area()).abs() < 0.2 * 190.0);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    #[test]
    fn nothing_moves_further_than_it_may(
        by in prop::collection::vec((-0.5..0.5f64, -0.5..0.5f64), 5..12),
        count in 6..20usize, tolerance in 0.05..1.0f64, from in 0..5usize,
    ) {
        let ring = dented(count, &by);
        let some: Vec<usize> = (from..count).collect();
        let fair = ring.faired(&options(&some, tolerance));
        prop_assert!(fair.after <= fair.before);
        for (a, b) in ring.nodes().zip(fair.outline.nodes()) {
            prop_assert!(a.distance(b) <= tolerance);
        }
        for node in 0..from {
            prop_assert_eq!(ring.nodes().nth(node), fair.outline.nodes().nth(node));
        }
        for seg in fair.outline.segs() {
            prop_assert!(seg.arclen(1e-3).is_finite());
            for i in 0..=40 {
                let p = seg.eval(f64::from(i) / 40.0);
                prop_assert!(ring.nearest(p).distance_mm <= tolerance);
            }
        }
    }
}
