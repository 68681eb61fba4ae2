//! Offsets against exact distance, closed forms and reference values.

use std::f64::consts::PI;

use outline::Outline;
use outline::kurbo::{
    BezPath, Circle, ParamCurve, ParamCurveDeriv, ParamCurveNearest, PathSeg, Point, Shape, Vec2,
};
use proptest::prelude::*;

/// What is asked of an offset, in millimetres.
const ASKED_MM: f64 = 0.005;

fn polygon(corners: &[(f64, f64)]) -> Outline {
    Outline::polygon(&corners.iter().map(|c| Point::from(*c)).collect::<Vec<_>>()).unwrap()
}

fn svg(path: &str) -> Outline {
    Outline::from_path(&BezPath::from_svg(path).unwrap()).unwrap()
}

fn circle(radius: f64) -> Outline {
    Outline::from_path(&Circle::new((3.0, -2.0), radius).to_path(1e-9)).unwrap()
}

fn area(rings: &[Outline]) -> f64 {
    rings.iter().map(|r| r.to_path().area()).sum()
}

fn perimeter(rings: &[Outline]) -> f64 {
    rings.iter().map(|r| r.to_path().perimeter(1e-6)).sum()
}

/// Distance to the nearest point of any segment, by kurbo segment after segment.
fn distance(segs: &[PathSeg], p: Point) -> f64 {
    let mut best = f64::INFINITY;
    for seg in segs {
        // The box of the defining points is no nearer than what they define.
        let c = seg.to_cubic();
        let hull = outline::kurbo::Rect::from_points(c.p0, c.p3).union_pt(c.p1).union_pt(c.p2);
        let dx = (hull.x0 - p.x).max(p.x - hull.x1).max(0.0);
        let dy = (hull.y0 - p.y).max(p.y - hull.y1).max(0.0);
        if dx * dx + dy * dy < best {
            best = best.min(seg.nearest(p, 1e-7).distance_sq);
        }
    }
    best.sqrt()
}

/// The worst excess of `rings` over the true offset of a plain `source`, both ways.
fn worst(source: &Outline, rings: &[Outline], d: f64) -> Result<f64, String> {
    let path = source.to_path();
    let mut worst = 0.0_f64;
    for ring in rings {
        for seg in ring.segs() {
            for t in [0.0, 0.3, 0.5] {
                let p = seg.eval(t);
                let off = (distance(source.segs(), p) - d.abs()).abs();
                if off > ASKED_MM {
                    return Err(format!("{p:?} is {off} mm off the true offset by {d}"));
                }
                if (path.winding(p) != 0) != (d < 0.0) {
                    return Err(format!("{p:?} is on the wrong side"));
                }
                worst = worst.max(off);
            }
        }
    }
    let result: Vec<PathSeg> = rings.iter().flat_map(|r| r.segs().iter().copied()).collect();
    for q in true_points(source, d) {
        let off = distance(&result, q);
        if off > ASKED_MM {
            return Err(format!("{q:?} of the true offset by {d} is missed by {off} mm"));
        }
        worst = worst.max(off);
    }
    Ok(worst)
}

/// Points at exactly the distance `d` from the source, on its offset side.
fn true_points(source: &Outline, d: f64) -> Vec<Point> {
    let path = source.to_path();
    let mut candidates = Vec::new();
    for seg in source.segs() {
        let c = seg.to_cubic();
        for i in 0..=24 {
            let t = f64::from(i) / 24.0;
            let v = match seg {
                PathSeg::Line(l) => l.p1 - l.p0,
                _ => c.deriv().eval(t).to_vec2(),
            };
            if v.hypot() > 1e-9 {
                let n = Vec2::new(v.y, -v.x).normalize() * d;
                candidates.extend([seg.eval(t) + n, seg.eval(t) - n]);
            }
        }
        for i in 0..24 {
            candidates.push(c.p0 + Vec2::from_angle(f64::from(i) * PI / 12.0) * d);
        }
    }
    candidates.retain(|q| {
        (path.winding(*q) != 0) == (d < 0.0) && distance(source.segs(), *q) >= d.abs() - 1e-6
    });
    candidates
}

#[test]
fn a_circle_grows_and_shrinks_to_circles() {
    for radius in [0.8, 5.0, 40.0, 300.0] {
        for d in [-2.0, -0.3, 0.5, 3.5, 6.0] {
            let rings = circle(radius).offset(d);
            if radius + d <= 0.0 {
                assert!(rings.is_empty(), "{radius} {d}");
                continue;
            }
            assert_eq!(rings.len(), 1);
            let want = PI * (radius + d).powi(2);
            // A curve nowhere further than 0.0025 mm away bounds an area within that times 2πr.
            let slack = 0.0025 * 2.0 * PI * (radius + d);
            assert!((area(&rings) - want).abs() < slack, "{radius} {d}: {} {want}", area(&rings));
            worst(&circle(radius), &rings, d).unwrap();
        }
    }
}

#[test]
fn a_square_has_round_corners_outside_and_sharp_ones_inside() {
    let square = polygon(&[(0., 0.), (10., 0.), (10., 10.), (0., 10.)]);
    for d in [0.5_f64, 3.5, 6.0, 80.0] {
        let rings = square.offset(d);
        let want = 100.0 + 40.0 * d + PI * d * d;
        assert!((area(&rings) - want).abs() < 0.002 * 2.0 * PI * d, "{d}");
        assert!(area(&rings) < want);
        worst(&square, &rings, d).unwrap();
    }
    let inner = square.offset(-2.0);
    assert_eq!(inner.len(), 1);
    assert!((area(&inner) - 36.0).abs() < 1e-4);
    assert_eq!(inner[0].segs().len(), 4);
    assert_eq!(inner, square.reversed().offset(-2.0));
    assert!(square.offset(-5.0).is_empty());
    assert!(square.offset(-1e300).is_empty());
}

#[test]
fn a_stadium_is_the_offset_of_a_thinner_one() {
    let stadium = svg("M0 -1 L30 -1 C30.552 -1 31 -0.552 31 0 C31 0.552 30.552 1 30 1 \
                       L0 1 C-0.552 1 -1 0.552 -1 0 C-1 -0.552 -0.552 -1 0 -1 Z");
    for d in [-0.9_f64, -0.5, 2.0, 6.0] {
        let rings = stadium.offset(d);
        let r = 1.0 + d;
        let want = 60.0 * r + PI * r * r;
        // 0.0003 mm: how far the cubics' quarter circles are from round.
        assert!((area(&rings) - want).abs() < 0.0023 * (60.0 + 2.0 * PI * r), "{d}");
        worst(&stadium, &rings, d).unwrap();
    }
}

#[test]
fn a_closed_bay_leaves_a_clockwise_void() {
    // A C of 40 by 40, its mouth 2 wide, its bay 20 by 20.
    let c = polygon(&[
        (0., 0.),
        (40., 0.),
        (40., 19.),
        (30., 19.),
        (30., 10.),
        (10., 10.),
        (10., 30.),
        (30., 30.),
        (30., 21.),
        (40., 21.),
        (40., 40.),
        (0., 40.),
    ]);
    let rings = c.offset(3.0);
    assert_eq!(rings.len(), 2);
    assert!(rings[0].to_path().area() > 0.0 && rings[1].to_path().area() < 0.0);
    // The bay less a frame of 3; where the mouth was, the two jaws' discs bulge into the frame
    // between their middles: each covers what a straight wall at x = 30 would, but for the gap
    // of the mouth, where the wall is two arcs meeting at sqrt(9 - 1) from x = 30.
    let arc = |r: f64, h: f64| r * r * (h / r).asin() / 2.0 + h * (r * r - h * h).sqrt() / 2.0;
    let want = -(14.0 * 14.0 + 2.0 * (3.0 - arc(3.0, 1.0)));
    let got = rings[1].to_path().area();
    assert!((got - want).abs() < 0.01, "{got} {want}");
    worst(&c, &rings, 3.0).unwrap();
    // And inward it falls apart nowhere, then into nothing.
    assert_eq!(c.offset(-2.0).len(), 1);
    assert!(c.offset(-6.0).is_empty());
}

#[test]
fn inward_a_dumbbell_falls_apart() {
    let bell = polygon(&[
        (0., 0.),
        (20., 0.),
        (20., 9.),
        (40., 9.),
        (40., 2.),
        (56., 2.),
        (56., 18.),
        (40., 18.),
        (40., 11.),
        (20., 11.),
        (20., 20.),
        (0., 20.),
    ]);
    let rings = bell.offset(-1.5);
    assert_eq!(rings.len(), 2);
    assert!((rings[0].to_path().area() - 17.0 * 17.0).abs() < 0.01);
    assert!((rings[1].to_path().area() - 13.0 * 13.0).abs() < 0.01);
    worst(&bell, &rings, -1.5).unwrap();
}

#[test]
fn degenerate_outlines_are_taken_as_they_come() {
    let dot = polygon(&[(5., 5.)]);
    assert!(dot.offset(3.0).is_empty());
    assert!(polygon(&[(0., 0.), (10., 0.)]).offset(3.0).is_empty());
    let square = polygon(&[(0., 0.), (10., 0.), (10., 10.), (0., 10.)]);
    let doubled =
        svg("M0 0 L0 0 L10 0 L10 0 C10 0 10 10 10 10 L10 10 L0 10 C0 10 0 10 0 10 L0 0 L0 0 Z");
    assert_eq!(doubled.offset(2.5), square.offset(2.5));
    assert!(square.offset(f64::NAN).is_empty());
    assert_eq!(square.offset_with(1.0, f64::NAN), square.offset(1.0));
    let far = square.offset(f64::INFINITY);
    assert_eq!(far.len(), 1);
    let radius = (area(&far) / PI).sqrt();
    assert!((radius - outline::FURTHEST_OFFSET_MM - 20.0 / PI).abs() < 0.1, "{radius}");
    for size in [1e-9, 1e-3, 1e4, 1e12, 1e200] {
        let scaled = square.transformed(outline::kurbo::Affine::scale(size));
        let rings = scaled.offset_with(0.5 * size, 0.002 * size);
        let want = (100.0 + 20.0 + PI / 4.0) * size * size;
        if size == 1e200 {
            assert_eq!(rings.len(), 1);
        } else if size > 1e6 {
            // The distance is capped.
            assert!(area(&rings) >= 100.0 * size * size);
        } else {
            let off = (area(&rings) / want - 1.0).abs();
            assert!(off < 1e-3, "{size}: {off}");
        }
    }
}

#[test]
fn nothing_moves_at_distance_nought() {
    let drop = svg("M0 0 C10 -8 30 -8 40 0 L40 0 C30 9 10 9 0 0 Z");
    let rings = drop.reversed().offset(0.0);
    assert_eq!(rings.len(), 1);
    assert_eq!(rings[0].segs().len(), 2);
    assert!(rings[0].to_path().area() > 0.0);
    assert!((rings[0].to_path().area() - drop.to_path().area().abs()).abs() < 1e-9);
    // A figure of eight is two triangles.
    let eight = polygon(&[(0., 0.), (10., 10.), (10., 0.), (0., 10.)]);
    let rings = eight.offset(0.0);
    assert_eq!(rings.len(), 2);
    assert!((area(&rings) - 50.0).abs() < 1e-4);
}

#[test]
fn self_crossing_outlines_stand_for_all_they_wind_around() {
    // Two lobes of opposite turning sense: both grow.
    let eight = polygon(&[(0., 0.), (20., 20.), (20., 0.), (0., 20.)]);
    let rings = eight.offset(1.0);
    assert_eq!(rings.len(), 1);
    let lobes = [
        polygon(&[(0., 0.), (10., 10.), (0., 20.)]),
        polygon(&[(20., 0.), (20., 20.), (10., 10.)]),
    ];
    for seg in rings[0].segs() {
        let p = seg.start();
        let near = lobes.iter().map(|l| distance(l.segs(), p)).fold(f64::INFINITY, f64::min);
        assert!((near - 1.0).abs() < ASKED_MM, "{p:?} {near}");
    }
    // A pentagram winds twice around its heart; the heart is no void.
    let star: Vec<_> =
        (0..5).map(|i| Vec2::from_angle(f64::from(i) * 0.8 * PI).to_point()).collect();
    let star = Outline::polygon(&star).unwrap().transformed(outline::kurbo::Affine::scale(30.0));
    let rings = star.offset(2.0);
    assert_eq!(rings.len(), 1);
    assert!(rings[0].to_path().winding(Point::ORIGIN) != 0);
    // Curves that cross.
    let loops = svg("M0 0 C60 40 -20 40 40 0 L40 -10 L0 -10 Z");
    assert!(!loops.offset(1.5).is_empty());
    assert!(!loops.offset(-0.5).is_empty());
}

#[test]
fn far_from_the_origin_nothing_is_lost() {
    let drop = svg("M0 0 C10 -8 30 -8 40 0 C30 9 10 9 0 0 Z");
    let shift = Vec2::new(1e6 + 0.5, -1e6);
    let far = drop.transformed(outline::kurbo::Affine::translate(shift));
    for d in [-1.0, 3.5] {
        let here = drop.offset(d);
        let there = far.offset(d);
        assert!((area(&here) - area(&there)).abs() < 2e-3);
        let back: Vec<_> = there
            .iter()
            .map(|r| r.transformed(outline::kurbo::Affine::translate(-shift)))
            .collect();
        worst(&drop, &back, d).unwrap();
    }
}

#[test]
fn cusps_loops_and_idle_handles_keep_true_distance() {
    for path in [
        // A cusp inside a segment.
        "M0 0 C30 20 0 20 30 0 L30 -15 L0 -15 Z",
        // Handles of no length at one end, at both, and beyond the other end.
        "M0 0 C0 0 20 10 20 0 C20 0 20 -10 20 -10 C5 -10 0 -10 0 -10 Z",
        // A notch rounder than the larger offsets and a tight one.
        "M0 0 L60 0 L60 30 C50 30 45 30 45 22 C45 14 35 14 35 22 C35 30 30 30 20 30 \
         C19 30 19.5 24 19 24 C18.5 24 19 30 18 30 L0 30 Z",
    ] {
        let source = svg(path);
        for d in [-2.0, -1.0, -0.2, 0.7, 2.0, 3.5, 5.0, 6.0] {
            worst(&source, &source.offset(d), d).unwrap_or_else(|e| panic!("{path}: {e}"));
        }
    }
}

/// A smooth or cornered outline as a blank has: an upper and a lower side that never meet.
fn blank() -> impl Strategy<Value = Outline> {
    let side = || prop::collection::vec((0.0..1.0_f64, -1.0..1.0_f64, -1.0..1.0_f64), 2..9);
    (40.0..260.0_f64, 8.0..45.0_f64, side(), side(), any::<bool>()).prop_map(
        |(length, width, upper, lower, clockwise)| {
            let mut path = BezPath::new();
            let run = |path: &mut BezPath, nodes: &[(f64, f64, f64)], up: bool| {
                let n = nodes.len();
                let step = length / (n + 1) as f64;
                let place = |i: usize| {
                    // Both sides meet in the two end nodes.
                    if i == 0 || i == n + 1 {
                        return (Point::new(step * i as f64, 0.0), None);
                    }
                    let (depth, slope, kind) = nodes[i - 1];
                    let y = width * 0.5 * (0.12 + 0.88 * depth);
                    let y = if up { y } else { -y };
                    (Point::new(step * i as f64, y), (kind > -0.6).then_some(slope * y.abs()))
                };
                for k in 0..=n {
                    let (i, j) = if up { (n + 1 - k, n - k) } else { (k, k + 1) };
                    let ((a, from), (b, to)) = (place(i), place(j));
                    let dx = (b.x - a.x) / 3.0;
                    let lean = |s: Option<f64>| s.map_or(0.0, |s| s * 0.25);
                    if from.is_none() && to.is_none() {
                        path.line_to(b);
                    } else {
                        let sign = if up { -1.0 } else { 1.0 };
                        path.curve_to(
                            a + Vec2::new(dx, sign * lean(from)),
                            b - Vec2::new(dx, sign * lean(to)),
                            b,
                        );
                    }
                }
            };
            path.move_to((0.0, 0.0));
            run(&mut path, &lower, false);
            run(&mut path, &upper, true);
            path.close_path();
            let outline = Outline::from_path(&path).unwrap();
            if clockwise { outline.reversed() } else { outline }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn blanks_keep_true_distance(source in blank(), d in -2.0..6.0_f64) {
        prop_assume!(d.abs() > 0.01);
        let rings = source.offset(d);
        let result = worst(&source, &rings, d);
        prop_assert!(result.is_ok(), "{}: {}", source.to_path().to_svg(), result.unwrap_err());
    }

    #[test]
    fn scribbles_neither_panic_nor_hang(
        corners in prop::collection::vec((-50.0..50.0_f64, -50.0..50.0_f64), 1..40),
        d in -10.0..10.0_f64,
    ) {
        let scribble = polygon(&corners);
        for ring in scribble.offset(d) {
            for p in ring.nodes() {
                // No point of a grown scribble is nearer to it than asked; none of a shrunk
                // one is either.
                prop_assert!(distance(scribble.segs(), p) > d.abs() - ASKED_MM || d < 0.0);
            }
        }
    }
}

#[test]
fn reference_outlines_have_the_reference_offsets() {
    // Areas and lengths from Clipper2 and a raw offset curve; see the file's own head.
    let text = include_str!("../../../tests/reference/outlines.json");
    let file: serde_json::Value = serde_json::from_str(text).unwrap();
    let mut checked = 0;
    for entry in file["outlines"].as_array().unwrap() {
        if entry["valid"] != true {
            continue;
        }
        let number = |v: &serde_json::Value| v.as_f64().unwrap();
        let start = &entry["outline"]["start"];
        let mut path = BezPath::new();
        path.move_to((number(&start[0]), number(&start[1])));
        for seg in entry["outline"]["segments"].as_array().unwrap() {
            let v: Vec<f64> = seg.as_array().unwrap().iter().map(number).collect();
            match v[..] {
                [x, y] => path.line_to((x, y)),
                [a, b, c, d, x, y] => path.curve_to((a, b), (c, d), (x, y)),
                _ => panic!("a segment of {} numbers", v.len()),
            }
        }
        path.close_path();
        let outline = Outline::from_path(&path).unwrap();
        check_reference(entry, &outline, &mut checked);
    }
    assert!(checked >= 24, "only {checked} checked");
}

fn check_reference(entry: &serde_json::Value, outline: &Outline, checked: &mut usize) {
    let name = &entry["name"];
    for (d, want) in entry["truth"]["offset"].as_object().unwrap() {
        let distance_mm: f64 = d.parse().unwrap();
        let want_area = want["area_mm2"].as_f64().unwrap();
        let want_length = want["perimeter_mm"].as_f64().unwrap();
        let unsure = want["area_uncertainty"].as_f64().unwrap_or(0.0);
        for tolerance in [0.002, 2e-5] {
            let rings = outline.offset_with(distance_mm, tolerance);
            let (area, length) = (area(&rings), perimeter(&rings));
            assert!(
                (area - want_area).abs() < tolerance * want_length + 2.0 * unsure + 1e-3,
                "{name} by {d}: area {area} is not {want_area}"
            );
            assert!(
                (length - want_length).abs() < 10.0 * tolerance + 2e-3,
                "{name} by {d}: length {length} is not {want_length}"
            );
        }
        worst(outline, &outline.offset(distance_mm), distance_mm)
            .unwrap_or_else(|e| panic!("{name} by {d}: {e}"));
        *checked += 1;
    }
}
