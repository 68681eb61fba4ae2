//! Laws of the smooth curve, its published example, and an independent reference.

use super::*;
use kurbo::{Affine, ParamCurve, ParamCurveDeriv};
use proptest::prelude::*;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

fn smooth(points: &[(f64, f64)]) -> Vec<Knot> {
    points.iter().map(|p| Knot::smooth((*p).into())).collect()
}

fn controls(segs: &[PathSeg]) -> Vec<[Point; 4]> {
    let of = |seg: &PathSeg| {
        let c = seg.to_cubic();
        [c.p0, c.p1, c.p2, c.p3]
    };
    segs.iter().map(of).collect()
}

/// The farthest that any control point of one is from that of the other.
fn apart(a: &[PathSeg], b: &[PathSeg]) -> f64 {
    assert_eq!(a.len(), b.len());
    let pairs = controls(a).into_iter().flatten().zip(controls(b).into_iter().flatten());
    pairs.map(|(p, q)| p.distance(q)).fold(0.0, f64::max)
}

/// J. D. Hobby, "A User's Manual for MetaPost", the section on curves: the controls of
/// `z0..z1..z2..z3..z4` to the tenth that is printed there.
#[test]
fn the_example_of_the_manual() {
    let points = [(0.0, 0.0), (60.0, 40.0), (40.0, 90.0), (10.0, 70.0), (30.0, 50.0)];
    let segs = curve_through(&smooth(&points));
    let printed = [
        [(26.8, -1.8), (51.4, 14.6)],
        [(67.1, 61.0), (59.8, 84.6)],
        [(25.4, 94.0), (10.5, 84.5)],
        [(9.6, 58.8), (18.8, 49.6)],
    ];
    for (of, printed) in controls(&segs).iter().zip(printed) {
        for (p, q) in [(of[1], printed[0]), (of[2], printed[1])] {
            assert!((p.x - q.0).abs() < 0.051 && (p.y - q.1).abs() < 0.051, "{p:?} {q:?}");
        }
    }
}

/// `tests/reference/spline.json`: controls by a dense solution in numpy with two unknowns a run
/// (made by `spline_reference.py`), and for the same cases by MetaPost itself.
#[test]
fn the_references() {
    let text = include_str!("../../../../tests/reference/spline.json");
    let cases: serde_json::Value = serde_json::from_str(text).unwrap();
    let cases = cases.as_array().unwrap();
    assert!(cases.len() >= 40);
    let point = |v: &serde_json::Value| Point::new(v[0].as_f64().unwrap(), v[1].as_f64().unwrap());
    for case in cases {
        let knots: Vec<Knot> = (case["knots"].as_array().unwrap().iter())
            .map(|k| Knot {
                at: point(&k["at"]),
                corner: k["corner"].as_bool().unwrap(),
                run: run(k["straight"].as_bool().unwrap()),
            })
            .collect();
        let closed = case["closed"].as_bool().unwrap();
        let segs = if closed { closed_curve_through(&knots) } else { curve_through(&knots) };
        for (by, tolerance) in [("numpy", 1e-8), ("metapost", 1e-8)] {
            let expected = case[by].as_array().unwrap();
            assert_eq!(expected.len(), segs.len());
            for (i, (seg, expected)) in segs.iter().zip(expected).enumerate() {
                // A line has no handles; the reference puts them at the thirds.
                let c = segment::cubic(seg);
                let far =
                    c.p1.distance(point(&expected[0])).max(c.p2.distance(point(&expected[1])));
                assert!(far < tolerance, "{}, segment {i}, {by}: {far}", case["name"]);
            }
        }
    }
}

/// Even points on a circle get handles of 4/3 · tan(a/4), which is the usual cubic for an arc of
/// a. Its square of the radius is off by 4/27 · sin⁶(a/4) / cos²(a/4) at most (T. Dokken and
/// others, "Good approximation of circles by curvature-continuous Bézier curves", CAGD 7, 1990;
/// the formula from memory).
#[test]
fn points_on_a_circle_give_nearly_a_circle() {
    for n in [3_u32, 4, 5, 6, 8, 12, 24] {
        let angle = TAU / f64::from(n);
        let points: Vec<(f64, f64)> = (0..n)
            .map(|k| (angle * f64::from(k) + 0.3).sin_cos())
            .map(|(sin, cos)| (cos, sin))
            .collect();
        let segs = closed_curve_through(&smooth(&points));
        let mut max = 0.0_f64;
        for c in controls(&segs) {
            let handle = c[0].distance(c[1]);
            assert!((handle - 4.0 / 3.0 * (angle / 4.0).tan()).abs() < 1e-12, "{n}");
        }
        for seg in &segs {
            for i in 0..=2000 {
                let p = seg.eval(f64::from(i) / 2000.0);
                max = max.max((p.to_vec2().hypot2() - 1.0).abs());
            }
        }
        let (sin, cos) = (angle / 4.0).sin_cos();
        let known = 4.0 / 27.0 * sin.powi(6) / cos.powi(2);
        assert!((max - known).abs() < 1e-3 * known, "{n}: {max} {known}");
    }
}

fn run(straight: bool) -> Run {
    if straight { Run::Straight } else { Run::Curve }
}

#[test]
fn an_arc_through_three_places_is_one_and_leads_the_curve_beside_it() {
    // Elementary: three places of a circle of radius 25 about (10, 5).
    let centre = Point::new(10.0, 5.0);
    let on = |deg: f64| centre + 25.0 * Vec2::from_angle(deg.to_radians());
    for (from, through, to) in [(200.0, 260.0, 330.0), (80.0, 30.0, -60.0), (0.0, 100.0, 290.0)] {
        let turned = arc_turn(on(from), on(through), on(to)).unwrap();
        let wanted: f64 = to - from;
        assert!((turned - wanted.to_radians()).abs() < 1e-9, "{turned}");
        let knots = [
            Knot { run: Run::Arc(turned), ..Knot::smooth(on(from)) },
            Knot::smooth(on(to)),
            Knot::smooth(Point::new(120.0, 40.0)),
        ];
        let split = arcs_split(&knots, false);
        let segs = curve_through(&split);
        assert_eq!(segs.len(), split.len() - 1);
        for seg in &segs[..segs.len() - 1] {
            for i in 0..=10 {
                let off = seg.eval(f64::from(i) / 10.0).distance(centre) - 25.0;
                assert!(off.abs() < 25.0 * 3e-5, "{off}");
            }
        }
        let arrive = segs[segs.len() - 2].to_cubic().deriv().eval(1.0).to_vec2();
        let leave = segs[segs.len() - 1].to_cubic().deriv().eval(0.0).to_vec2();
        assert!(turn(arrive, leave).abs() < 1e-9);
    }
    assert_eq!(arc_turn(on(0.0), on(0.0), on(9.0)), None);
    assert_eq!(arc_turn((0., 0.).into(), (5., 0.).into(), (9., 0.).into()), Some(0.0));
}

#[test]
fn given_handles_are_taken_as_they_are() {
    let (leave, arrive) = (Vec2::new(10.0, 8.0), Vec2::new(-12.0, 3.0));
    let knots = [
        Knot { run: Run::Handles(leave, arrive), ..Knot::smooth(Point::ORIGIN) },
        Knot::smooth(Point::new(50.0, 0.0)),
        Knot::smooth(Point::new(90.0, 10.0)),
    ];
    let segs = curve_through(&knots);
    let c = segs[0].to_cubic();
    assert_eq!((c.p1, c.p2), (leave.to_point(), Point::new(38.0, 3.0)));
    let next = segs[1].to_cubic();
    assert!(turn(-arrive, next.p1 - next.p0).abs() < 1e-9);
}

#[test]
fn a_line_and_a_corner_are_kept() {
    let mut knots = smooth(&[(0.0, 0.0), (50.0, 8.0), (100.0, 0.0), (100.0, -20.0), (40.0, -22.0)]);
    knots[2].run = Run::Straight;
    knots[3].corner = true;
    let segs = closed_curve_through(&knots);
    assert!(matches!(segs[2], PathSeg::Line(_)));
    // Smooth into the line, free at the corner after it.
    let arrive = segs[1].to_cubic().deriv().eval(1.0).to_vec2();
    assert!(arrive.normalize().cross(Vec2::new(0.0, -1.0)).abs() < 1e-12, "{arrive:?}");
    let leave = segs[3].to_cubic().deriv().eval(0.0).to_vec2();
    assert!(turn(Vec2::new(0.0, -1.0), leave).abs() > 0.3, "{leave:?}");
    // Between two corners without a point between, a line.
    knots[4].corner = true;
    assert!(matches!(closed_curve_through(&knots)[3], PathSeg::Line(_)));
}

#[test]
fn few_points_and_points_on_one_another_do_no_harm() {
    assert!(
        curve_through(&[]).is_empty() && closed_curve_through(&smooth(&[(1.0, 1.0)])).is_empty()
    );
    let line = curve_through(&smooth(&[(0.0, 0.0), (3.0, 4.0)]));
    assert!(matches!(line[..], [PathSeg::Line(_)]));
    let pair = closed_curve_through(&smooth(&[(-1.0, 0.0), (1.0, 0.0)]));
    assert_eq!(pair.len(), 2);
    // Two half circles, as near as one cubic comes to one.
    assert!((pair[0].eval(0.5).to_vec2().hypot() - 1.0).abs() < 0.05, "{pair:?}");
    let same = smooth(&[(0.0, 0.0), (5.0, 5.0), (5.0, 5.0), (9.0, 1.0), (9.0, 1.0)]);
    for segs in [curve_through(&same), closed_curve_through(&same)] {
        assert!(controls(&segs).iter().flatten().all(|p| p.is_finite()));
    }
}

fn knots() -> impl Strategy<Value = Vec<Knot>> {
    let knot = ((-9..9_i32), (-9..9_i32), prop::bool::weighted(0.2), prop::bool::weighted(0.15));
    prop::collection::vec(knot, 2..14).prop_map(|all| {
        let mut seen = std::collections::BTreeSet::new();
        let mut knots: Vec<Knot> = Vec::new();
        for (i, (x, y, corner, straight)) in (0_u32..).zip(all) {
            // No two on one another, and no exact turn back: its sense is nobody's.
            if seen.insert((x, y)) {
                let (sin, cos) = (2.4 * f64::from(i)).sin_cos();
                let at = Point::new(10.0 * f64::from(x) + sin, 10.0 * f64::from(y) + cos);
                knots.push(Knot { at, corner, run: run(straight) });
            }
        }
        if knots.len() < 3 {
            knots = smooth(&[(0.0, 0.0), (30.0, 11.0), (22.0, 40.0)]);
        }
        knots
    })
}

proptest! {
    #[test]
    fn it_passes_through_its_points_and_is_smooth_there(knots in knots()) {
        let n = knots.len();
        for (segs, closed) in [(curve_through(&knots), false), (closed_curve_through(&knots), true)] {
            prop_assert_eq!(segs.len(), if closed { n } else { n - 1 });
            for (i, seg) in segs.iter().enumerate() {
                prop_assert!(seg.start().distance(knots[i].at) < 1e-9);
                prop_assert!(seg.end().distance(knots[(i + 1) % n].at) < 1e-9);
                prop_assert!(knots[i].run == Run::Curve || matches!(seg, PathSeg::Line(_)));
            }
            for i in if closed { 0..n } else { 1..n - 1 } {
                let (before, after) = (&segs[(i + n - 1) % n], &segs[i]);
                let lines = [before, after].iter().all(|s| matches!(s, PathSeg::Line(_)));
                if knots[i].corner || lines {
                    continue;
                }
                let (a, b) = (segment::cubic(before), segment::cubic(after));
                let arrive = a.deriv().eval(1.0).to_vec2();
                let leave = b.deriv().eval(0.0).to_vec2();
                prop_assert!(turn(arrive, leave).abs() < 1e-6, "at {i}: {arrive:?} {leave:?}");
            }
        }
    }

    #[test]
    fn a_similar_figure_has_a_similar_curve(
        knots in knots(), angle in -PI..PI, scale in 0.01..50.0_f64, mirrored in any::<bool>(),
    ) {
        let flip = if mirrored { Affine::FLIP_Y } else { Affine::IDENTITY };
        let by = Affine::translate((31.0, -7.0)) * Affine::rotate(angle) * Affine::scale(scale) * flip;
        let moved: Vec<Knot> = knots.iter().map(|k| Knot { at: by * k.at, ..*k }).collect();
        for through in [curve_through, closed_curve_through] {
            let expected: Vec<PathSeg> = through(&knots).into_iter().map(|s| by * s).collect();
            let far = apart(&through(&moved), &expected);
            prop_assert!(far < 1e-7 * (1.0 + 100.0 * scale), "{far}");
        }
    }

    #[test]
    fn run_the_other_way_it_is_the_same_curve(knots in knots()) {
        let n = knots.len();
        // What leaves a point straight arrives there straight when it is run the other way.
        let back: Vec<Knot> = (0..n).rev()
            .map(|i| Knot { run: knots[(i + n - 1) % n].run, ..knots[i] })
            .collect();
        let reversed = |segs: Vec<PathSeg>| -> Vec<PathSeg> {
            segs.iter().rev().map(PathSeg::reverse).collect()
        };
        prop_assert!(apart(&curve_through(&back), &reversed(curve_through(&knots))) < 1e-6);
        // The ring begins with the last point, so it begins one segment later.
        let mut ring = reversed(closed_curve_through(&knots));
        ring.rotate_left(1);
        prop_assert!(apart(&closed_curve_through(&back), &ring) < 1e-6);
    }

    #[test]
    fn a_mirrored_figure_mirrors_its_own_half(
        half in prop::collection::vec((1.0..90.0_f64, -40.0..40.0_f64), 3..6),
    ) {
        // Right half upwards, then its mirror image downwards.
        let mut right = half;
        right.sort_by(|a, b| a.1.total_cmp(&b.1));
        right.dedup_by(|a, b| (a.1 - b.1).abs() < 0.5);
        let left = right.iter().rev().map(|(x, y)| (-x, *y));
        let all: Vec<(f64, f64)> = right.iter().copied().chain(left).collect();
        let segs = closed_curve_through(&smooth(&all));
        let n = all.len();
        let mirrored: Vec<PathSeg> = (0..n)
            .map(|i| (Affine::FLIP_X * segs[(2 * n - 2 - i) % n]).reverse())
            .collect();
        prop_assert!(apart(&segs, &mirrored) < 1e-6);
    }

    /// Uneven points on a circle are no circle's cubics, but near.
    #[test]
    fn uneven_points_on_a_circle_stay_near_it(gaps in prop::collection::vec(0.6..1.4_f64, 8..20)) {
        let whole: f64 = gaps.iter().sum();
        let mut angle = FRAC_PI_2;
        let points: Vec<(f64, f64)> = gaps.iter().map(|gap| {
            angle += gap / whole * TAU;
            (10.0 * angle.cos(), 10.0 * angle.sin())
        }).collect();
        for seg in closed_curve_through(&smooth(&points)) {
            for i in 0..=50 {
                let off = seg.eval(f64::from(i) / 50.0).to_vec2().hypot() - 10.0;
                // The worst of random figures worked out in Python lay 0.057 off.
                prop_assert!(off.abs() < 0.08, "{off}");
            }
        }
    }
}
