//! Outlines that nobody would draw: nothing may panic, hang or give what is not a number.

#![expect(clippy::unwrap_used, reason = "an outline that can't be made has failed")]

use outline::kurbo::{Circle, CubicBez, Line, PathSeg, Point, Vec2};
use outline::{ContactKind, Outline};
use proptest::prelude::*;
use std::f64::consts::TAU;
use std::time::{Duration, Instant};

/// Points that often coincide or line up.
fn point() -> impl Strategy<Value = Point> {
    let grid = (0_i32..4, 0_i32..4).prop_map(|(x, y)| Point::new(f64::from(x), f64::from(y)));
    let tiny = (-4_i32..4).prop_map(|k| Point::new(1.0, f64::from(k) * 1e-10));
    let free = (-50.0..50.0, -50.0..50.0).prop_map(Point::from);
    prop_oneof![4 => grid, 1 => tiny, 2 => free]
}

fn outline() -> impl Strategy<Value = Outline> {
    prop::collection::vec((point(), point(), point(), any::<bool>()), 1..9).prop_map(|nodes| {
        let count = nodes.len();
        let seg = |i: usize| {
            let (p, a, b, straight) = nodes[i];
            let q = nodes[(i + 1) % count].0;
            if straight {
                PathSeg::Line(Line::new(p, q))
            } else {
                PathSeg::Cubic(CubicBez::new(p, a, b, q))
            }
        };
        Outline::new((0..count).map(seg).collect()).unwrap()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, failure_persistence: None, ..Default::default() })]

    #[test]
    fn every_measure_of_any_outline_is_a_number(o in outline(), p in point()) {
        let began = Instant::now();
        let m = o.second_moments();
        let min = o.min_width();
        let circle = o.largest_circle();
        let near = o.nearest(p);
        let numbers = [
            o.area(), o.perimeter(), o.centroid().x, o.centroid().y, m.ixx_mm4, m.iyy_mm4,
            m.ixy_mm4, min.width_mm, min.turn_rad, circle.radius, near.distance_mm,
            o.web(Circle::new(p, 1.0)), o.bounds().area(),
            o.length_between((0, 0.3), (o.segs().len() - 1, 0.2)),
        ];
        prop_assert!(numbers.iter().all(|v| v.is_finite()), "{:?}", numbers);
        if let Some(tight) = o.tightest_inside() {
            prop_assert!(tight.radius_mm >= 0.0 && tight.at.is_finite());
        }
        for node in 0..o.segs().len() {
            let rounded = o.round_corner(node, 0.2);
            prop_assert!(rounded.is_err() || rounded.unwrap().area().is_finite());
            let joined = o.without_node(node);
            prop_assert!(joined.area().is_finite());
            prop_assert!(o.tangent_at(node, 0.0).is_finite());
            prop_assert!(!o.curvature_at(node, 1.0).is_nan());
            prop_assert!(o.split_at(node, 0.3).perimeter() <= o.perimeter() + 1e-6);
        }
        for c in o.contacts() {
            let (a, b) = (o.point_at(c.a.0, c.a.1), o.point_at(c.b.0, c.b.1));
            prop_assert!(a.distance(b) < 1e-5, "{:?}", c);
        }
        o.chord(p, Vec2::new(0.0, 1.0));
        o.at_length((0, 0.5), -1234.5);
        prop_assert!(began.elapsed() < Duration::from_secs(5));
    }
}

#[test]
fn ten_thousand_nodes_crossing_everywhere_end_in_time() {
    // A star whose every side crosses thousands of others.
    let count = 10_001;
    let corner = |k: usize| {
        let phi = TAU * (k * 5_000 % count) as f64 / count as f64;
        Point::new(100.0 * phi.cos(), 100.0 * phi.sin())
    };
    let star = Outline::polygon(&(0..count).map(corner).collect::<Vec<_>>()).unwrap();
    let began = Instant::now();
    let found = star.contacts();
    assert!(found.len() >= 100 && found.iter().any(|c| c.kind == ContactKind::Crosses));
    star.largest_circle();
    star.min_width();
    assert!(began.elapsed() < Duration::from_secs(20), "{:?}", began.elapsed());
}

#[test]
fn a_comb_of_ten_thousand_nodes_is_quick() {
    // Slanting teeth: every box overlaps many others, and nothing touches.
    let mut corners = vec![Point::new(0., -5.), Point::new(-5., -5.)];
    for k in 0..2_500 {
        let x = 0.4 * f64::from(k);
        corners.extend([(x, 0.), (x + 40., 30.), (x + 40.2, 30.), (x + 0.2, 0.)].map(Point::from));
    }
    corners.push(Point::new(1_010., -5.));
    corners.remove(1);
    let comb = Outline::polygon(&corners).unwrap();
    let began = Instant::now();
    assert_eq!(comb.contacts(), vec![]);
    assert!(began.elapsed() < Duration::from_secs(5), "{:?}", began.elapsed());
}
