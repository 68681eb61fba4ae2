//! Laws that every outline's measures obey, on random smooth outlines.

#![expect(clippy::unwrap_used, reason = "a law that can't be tried has failed")]

mod support;

use outline::kurbo::{
    Affine, Circle, CubicBez, Line, ParamCurve, PathSeg, Point, Rect, Shape, Vec2,
};
use outline::{ContactKind, Outline};
use proptest::prelude::*;
use std::f64::consts::{FRAC_PI_2, PI, TAU};
use support::wavy;

fn blank() -> impl Strategy<Value = Outline> {
    let wave = |count: std::ops::Range<u32>, height: f64| {
        (count, 0.0..height, 0.0..TAU).prop_map(|(n, h, p)| (f64::from(n), h, p))
    };
    (12_usize..40, wave(2..4, 0.2), wave(3..6, 0.1), wave(5..9, 0.03))
        .prop_map(|(nodes, a, b, c)| wavy(nodes, &[a, b, c]))
}

/// Split at `cuts` places, some of them next to nodes.
fn cut_up(o: &Outline, cuts: &[(f64, f64)]) -> Outline {
    cuts.iter().fold(o.clone(), |o, (segment, t)| {
        o.split_at((segment * o.segs().len() as f64) as usize, *t)
    })
}

fn cuts() -> impl Strategy<Value = Vec<(f64, f64)>> {
    let t = prop_oneof![3 => 0.0..1.0, 1 => Just(1e-8), 1 => Just(1.0 - 1e-8), 1 => Just(0.5)];
    prop::collection::vec((0.0..1.0, t), 1..30)
}

fn motion() -> impl Strategy<Value = Affine> {
    (-PI..PI, -500.0..500.0, -500.0..500.0, any::<bool>()).prop_map(|(turn, x, y, mirror)| {
        let flip = if mirror { Affine::FLIP_X } else { Affine::IDENTITY };
        Affine::translate((x, y)) * Affine::rotate(turn) * flip
    })
}

/// Every measure that neither turning nor moving nor mirroring may change, with the share by
/// which it may still differ.
fn measures(o: &Outline) -> Vec<(&'static str, f64, f64)> {
    let m = o.second_moments();
    let radius = o.tightest_inside().map_or(0.0, |t| t.radius_mm.min(1e4));
    vec![
        ("area", o.area(), 1e-11),
        ("perimeter", o.perimeter(), 1e-8),
        ("polar moment", m.ixx_mm4 + m.iyy_mm4, 1e-10),
        ("principal moments", (m.ixx_mm4 - m.iyy_mm4).hypot(2.0 * m.ixy_mm4), 1e-10),
        ("least width", o.min_width().width_mm, 1e-8),
        ("inside radius", radius, 1e-4),
        ("largest circle", o.largest_circle().radius, 1e-4),
        ("corners", o.corners().len() as f64, 0.0),
    ]
}

fn same_measures(a: &Outline, b: &Outline) -> Result<(), TestCaseError> {
    for ((what, one, share), (_, two, _)) in measures(a).into_iter().zip(measures(b)) {
        prop_assert!((one - two).abs() <= share * one.abs(), "{what}: {one} and {two}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..Default::default() })]

    #[test]
    fn moving_turning_and_mirroring_change_no_measure(o in blank(), by in motion()) {
        let moved = o.transformed(by);
        same_measures(&o, &moved)?;
        prop_assert!((by * o.centroid()).distance(moved.centroid()) < 1e-9);
        prop_assert_eq!(moved.contacts().len(), 0);
        let hole = Circle::new((-20.0, 0.5), 2.5);
        let carried = Circle::new(by * hole.center, hole.radius);
        prop_assert!((o.web(hole) - moved.web(carried)).abs() < 1e-9);
    }

    #[test]
    fn the_turn_lays_the_least_width_along_y(o in blank(), by in motion()) {
        let o = o.transformed(by);
        let min = o.min_width();
        prop_assert!(min.turn_rad > -FRAC_PI_2 && min.turn_rad <= FRAC_PI_2);
        let laid = o.transformed(Affine::rotate(min.turn_rad)).bounds();
        prop_assert!((laid.height() - min.width_mm).abs() < 1e-8);
        for k in 0..90 {
            let (low, high) = o.extent(PI * f64::from(k) / 90.0);
            prop_assert!(high - low >= min.width_mm - 1e-9);
        }
    }

    #[test]
    fn reversing_changes_no_measure(o in blank()) {
        let back = o.reversed();
        same_measures(&o, &back)?;
        prop_assert_eq!(back.signed_area() < 0.0, o.signed_area() > 0.0);
        let last = o.segs().len() - 1;
        prop_assert!((o.curvature_at(2, 0.3) - back.curvature_at(last - 2, 0.7)).abs() < 1e-9);
    }

    #[test]
    fn splitting_changes_no_measure_and_makes_no_contact(o in blank(), cuts in cuts()) {
        let cut = cut_up(&o, &cuts);
        same_measures(&o, &cut)?;
        prop_assert_eq!(cut.contacts(), vec![]);
        let far = cut.transformed(Affine::translate((1e6, -1e6)));
        prop_assert_eq!(far.contacts(), vec![]);
        prop_assert!((far.area() / o.area() - 1.0).abs() < 1e-9);
        prop_assert!(cut.bounds().union(o.bounds()).area() - o.bounds().area() < 1e-9);
        let p = Point::new(13.0, 2.0);
        prop_assert!((o.nearest(p).distance_mm - cut.nearest(p).distance_mm).abs() < 1e-9);
    }

    #[test]
    fn a_node_dragged_across_makes_contact(o in blank(), which in 0.0..1.0, cuts in cuts()) {
        let node = (which * o.segs().len() as f64) as usize;
        let mut segs = o.segs().to_vec();
        let before = (node + segs.len() - 1) % segs.len();
        let by = -4.0 * segs[node].start().to_vec2();
        for i in [before, node] {
            if let PathSeg::Cubic(c) = &mut segs[i] {
                let (near, end) = if i == node { (&mut c.p1, &mut c.p0) } else { (&mut c.p2, &mut c.p3) };
                *near += by;
                *end += by;
            }
        }
        let crossed = Outline::new(segs).unwrap();
        let found = crossed.contacts();
        prop_assert!(found.iter().any(|c| c.kind == ContactKind::Crosses), "{:?}", found);
        for c in &found {
            let (a, b) = (crossed.point_at(c.a.0, c.a.1), crossed.point_at(c.b.0, c.b.1));
            prop_assert!(a.distance(b) < 1e-6 && a.distance(c.at) < 1e-6, "{:?}", c);
        }
        prop_assert_eq!(cut_up(&crossed, &cuts).contacts().len(), found.len());
    }

    #[test]
    fn areas_add_up(o in blank(), x in -60.0..60.0) {
        // Cut in two along an upright line and the areas, moments and centroids add up.
        let all = o.crossings_with(Line::new((x, 0.0), (x, 1.0)));
        prop_assume!(all.len() == 2);
        let (a, b) = (all[0], all[1]);
        let one = between(&o, (a.segment, a.t), (b.segment, b.t));
        let two = between(&o, (b.segment, b.t), (a.segment, a.t));
        prop_assert!((one.area() + two.area() - o.area()).abs() < 1e-8 * o.area());
        let moment = one.area() * one.centroid().to_vec2() + two.area() * two.centroid().to_vec2();
        prop_assert!((moment / o.area() - o.centroid().to_vec2()).hypot() < 1e-7);
        let shared = 2.0 * a.at.distance(b.at);
        prop_assert!((one.perimeter() + two.perimeter() - o.perimeter() - shared).abs() < 1e-6);
    }

    #[test]
    fn inside_agrees_with_a_fine_polygon(o in blank(), x in -140.0..140.0, y in -25.0..25.0) {
        let p = Point::new(x, y);
        prop_assume!(o.nearest(p).distance_mm > 0.01);
        prop_assert_eq!(o.contains(p), wound(&fine(&o), p));
        // Straight above and below every node too, where a careless count goes wrong.
        for node in o.nodes() {
            let q = Point::new(node.x - 0.5, node.y);
            if o.nearest(q).distance_mm > 0.01 {
                prop_assert_eq!(o.contains(q), wound(&fine(&o), q), "{:?}", q);
            }
        }
    }

    #[test]
    fn nearest_is_nearest(o in blank(), x in -140.0..140.0, y in -25.0..25.0) {
        let p = Point::new(x, y);
        let near = o.nearest(p);
        prop_assert!(o.point_at(near.segment, near.t).distance(near.at) < 1e-9);
        for q in fine(&o) {
            prop_assert!(q.distance(p) >= near.distance_mm - 1e-9);
        }
    }

    #[test]
    fn the_largest_circle_is_inside_and_largest(o in blank()) {
        let c = o.largest_circle();
        prop_assert!(o.web(c).abs() < 1e-9);
        let area: Rect = o.bounds();
        for k in 0..400 {
            let (i, j) = (f64::from(k % 40) + 0.5, f64::from(k / 40) + 0.5);
            let at = area.origin() + Vec2::new(area.width() * i / 40.0, area.height() * j / 10.0);
            prop_assert!(o.web(Circle::new(at, 0.0)) <= c.radius + 1e-3);
        }
    }

    #[test]
    fn walking_and_measuring_agree(o in blank(), from in 0.0..1.0, by in -900.0..900.0) {
        let start = ((from * o.segs().len() as f64) as usize, 0.3);
        let there = o.at_length(start, by);
        let gone = o.length_between(start, (there.segment, there.t));
        let off = (gone - by).rem_euclid(o.perimeter());
        prop_assert!(off.min(o.perimeter() - off) < 1e-6, "{} {}", gone, by);
    }

    #[test]
    fn joining_undoes_splitting(o in blank(), which in 0.0..1.0, t in 0.05..0.95) {
        let segment = (which * o.segs().len() as f64) as usize;
        let back = o.split_at(segment, t).without_node(segment + 1);
        prop_assert_eq!(back.segs().len(), o.segs().len());
        for k in 0..=10 {
            let q = back.point_at(segment, f64::from(k) / 10.0);
            prop_assert!(o.nearest(q).distance_mm < 1e-6);
        }
    }
}

/// The part of an outline from one place forward to another, closed by a straight line.
fn between(o: &Outline, from: (usize, f64), to: (usize, f64)) -> Outline {
    let count = o.segs().len();
    let mut segs = vec![];
    if from.0 == to.0 && from.1 < to.1 {
        segs.push(o.segs()[from.0].subsegment(from.1..to.1));
    } else {
        segs.push(o.segs()[from.0].subsegment(from.1..1.0));
        let mut on = (from.0 + 1) % count;
        while on != to.0 {
            segs.push(o.segs()[on]);
            on = (on + 1) % count;
        }
        segs.push(o.segs()[to.0].subsegment(0.0..to.1));
    }
    segs.push(PathSeg::Line(Line::new(segs[segs.len() - 1].end(), segs[0].start())));
    Outline::new(segs).unwrap()
}

/// Sixty-four points on each segment.
fn fine(o: &Outline) -> Vec<Point> {
    o.segs().iter().flat_map(|s| (0..64).map(|k| s.eval(f64::from(k) / 64.0))).collect()
}

/// Winding of a polygon round a point by summing the angles: another way than the crate's.
fn wound(ring: &[Point], p: Point) -> bool {
    let turn = |k: usize| {
        let (a, b) = (ring[k] - p, ring[(k + 1) % ring.len()] - p);
        a.cross(b).atan2(a.dot(b))
    };
    (0..ring.len()).map(turn).sum::<f64>().abs() > PI
}

fn ring(corners: &[(f64, f64)]) -> Outline {
    Outline::polygon(&corners.iter().map(|c| Point::from(*c)).collect::<Vec<_>>()).unwrap()
}

#[test]
fn polygons_that_touch_themselves_are_told() {
    use ContactKind::{Crosses, Touches};
    type Case = (&'static str, &'static [(f64, f64)], &'static [ContactKind]);
    // A spike meets itself at its root too, where the outline goes on.
    let cases: &[Case] = &[
        ("square", &[(0., 0.), (10., 0.), (10., 10.), (0., 10.)], &[]),
        ("doubled nodes", &[(0., 0.), (0., 0.), (9., 0.), (9., 0.), (9., 0.), (0., 9.)], &[]),
        ("collinear nodes", &[(0., 0.), (3., 0.), (6., 0.), (9., 0.), (0., 9.)], &[]),
        ("needle", &[(0., 0.), (1000., 0.001), (0., 0.002)], &[]),
        ("bow tie", &[(0., 0.), (10., 10.), (10., 0.), (0., 10.)], &[Crosses]),
        ("node on a side", &[(0., 0.), (10., 0.), (10., 10.), (5., 0.), (0., 10.)], &[Touches]),
        (
            "node on a node",
            &[(0., 0.), (5., 5.), (10., 0.), (10., 10.), (5., 5.), (0., 10.)],
            &[Touches],
        ),
        (
            "node through a side",
            &[(0., 0.), (10., 0.), (10., 10.), (5., -1.), (0., 10.)],
            &[Crosses, Crosses],
        ),
        (
            "spike outward",
            &[(0., 0.), (10., 0.), (15., 0.), (10., 0.), (10., 9.)],
            &[Touches, Touches],
        ),
        (
            "spike on a side",
            &[(0., 0.), (10., 0.), (4., 0.), (10., 9.), (0., 9.)],
            &[Touches, Touches],
        ),
        (
            "slit of no width",
            &[(0., 0.), (9., 0.), (9., 5.), (4., 5.), (9., 5.), (9., 9.), (0., 9.)],
            &[Touches, Touches],
        ),
    ];
    for (name, corners, want) in cases {
        for turn in [0.0, 0.3, 2.0] {
            let o = ring(corners).transformed(Affine::rotate(turn));
            for o in [o.clone(), o.reversed()] {
                let kinds: Vec<_> = o.contacts().iter().map(|c| c.kind).collect();
                assert_eq!(&kinds, want, "{name} turned by {turn}: {:?}", o.contacts());
            }
        }
    }
}

#[test]
fn stretches_that_lie_on_each_other_are_told() {
    // A slot closed up: both of its long sides lie on the line y = 5.
    let keyhole = ring(&[
        (0., 0.),
        (20., 0.),
        (20., 5.),
        (9., 5.),
        (9., 3.),
        (3., 3.),
        (3., 7.),
        (9., 7.),
        (9., 5.),
        (20., 5.),
        (20., 10.),
        (0., 10.),
    ]);
    assert!(!keyhole.contacts().is_empty());
    // A curve out and the same curve back.
    let out = CubicBez::new((0., 0.), (10., 15.), (30., -15.), (40., 0.));
    let back = CubicBez::new(out.p3, out.p2, out.p1, out.p0);
    let doubled = Outline::new(vec![PathSeg::Cubic(out), PathSeg::Cubic(back)]).unwrap();
    assert!(!doubled.contacts().is_empty());
    // A straight cubic that overshoots its end and comes back.
    let over = Outline::new(vec![
        PathSeg::Cubic(CubicBez::new((0., 0.), (8., 4.), (32., 16.), (10., 5.))),
        PathSeg::Line(Line::new((10., 5.), (10., 20.))),
        PathSeg::Line(Line::new((10., 20.), (0., 0.))),
    ])
    .unwrap();
    assert_eq!(over.contacts().len(), 2, "turn and end: {:?}", over.contacts());
    // A straight cubic that doesn't.
    let plain = Outline::new(vec![
        PathSeg::Cubic(CubicBez::new((0., 0.), (0., 0.), (9., 4.5), (10., 5.))),
        PathSeg::Line(Line::new((10., 5.), (10., 20.))),
        PathSeg::Line(Line::new((10., 20.), (0., 0.))),
    ])
    .unwrap();
    assert_eq!(plain.contacts(), vec![]);
}

#[test]
fn a_cusp_whose_sides_part_is_no_contact() {
    // A thorn: both sides leave its tip in the same direction but bend apart.
    for handle in [0.5, 5.0, 30.0] {
        let thorn = Outline::new(vec![
            PathSeg::Cubic(CubicBez::new((0., 0.), (handle, 0.), (40., -4.), (60., -20.))),
            PathSeg::Line(Line::new((60., -20.), (60., 20.))),
            PathSeg::Cubic(CubicBez::new((60., 20.), (40., 4.), (handle, 0.), (0., 0.))),
        ])
        .unwrap();
        for turn in [0.0, 0.3, 2.0] {
            let o = thorn.transformed(Affine::rotate(turn));
            assert_eq!(o.contacts(), vec![], "{handle} {turn}");
        }
    }
}

#[test]
fn closed_form_circle_is_as_wide_everywhere() {
    for radius in [1.0, 20.0, 500.0] {
        let path = Circle::new((3., 4.), radius).to_path(1e-12);
        let o = Outline::from_path(&path).unwrap();
        assert!((o.min_width().width_mm - 2.0 * radius).abs() < 1e-6 * radius);
        assert!((o.largest_circle().radius - radius).abs() < 1e-3);
        assert_eq!(o.contacts(), vec![]);
        let began = std::time::Instant::now();
        o.min_width();
        assert!(began.elapsed().as_millis() < 500, "{:?}", began.elapsed());
    }
}

#[test]
fn closed_form_loop_in_one_cubic() {
    let loop_in_one = Outline::new(vec![
        PathSeg::Cubic(CubicBez::new((0., 0.), (60., 40.), (-40., 40.), (20., 0.))),
        PathSeg::Line(Line::new((20., 0.), (10., -9.))),
        PathSeg::Line(Line::new((10., -9.), (0., 0.))),
    ])
    .unwrap();
    let found = loop_in_one.contacts();
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!((found[0].a.0, found[0].b.0), (0, 0));
    assert_eq!(found[0].kind, ContactKind::Crosses);
    assert!((found[0].at.x - 10.0).abs() < 1e-6);
}
