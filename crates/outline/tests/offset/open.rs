//! Parallels of open runs against exact distance.

use super::flat::is_flat;
use super::{ASKED_MM, blank, cases, distance};
use outline::kurbo::{
    BezPath, Line, ParamCurve, ParamCurveDeriv, ParamCurveNearest, PathSeg, Point, Shape, Vec2,
};
use outline::open_offset;
use proptest::prelude::*;
use std::f64::consts::PI;

#[test]
fn the_parallel_of_an_open_run_lies_on_its_own_side() {
    let corner = [
        PathSeg::Line(Line::new((0., 0.), (10., 0.))),
        PathSeg::Line(Line::new((10., 0.), (10., 10.))),
    ];
    // Left of the way is inside the turn: the two parallels are cut where they meet.
    let inside = open_offset(&corner, 2.0, 0.002);
    assert_eq!(inside.len(), 1);
    let points: Vec<Point> = inside[0]
        .segments()
        .map(|s| s.start())
        .chain([inside[0].segments().last().unwrap().end()])
        .collect();
    let want = [(0., 2.), (8., 2.), (8., 10.)].map(Point::from);
    assert_eq!(points.len(), 3, "{points:?}");
    assert!(points.iter().zip(want).all(|(p, w)| p.distance(w) < 1e-6), "{points:?}");
    // Right of the way is outside: a quarter circle joins them.
    let outside = open_offset(&corner, -2.0, 0.002);
    assert_eq!(outside.len(), 1);
    let length = outside[0].perimeter(1e-6);
    assert!((length - 20.0 - PI).abs() < 2e-3, "{length}");
    assert!(outside[0].segments().next().unwrap().start().distance(Point::new(0., -2.)) < 1e-6);
    // At no distance it is the run, and there is none at no distance that can be told.
    assert_eq!(open_offset(&corner, 0.0, 0.002)[0].segments().count(), 2);
    assert!(open_offset(&corner, f64::NAN, 0.002).is_empty());
    assert!(open_offset(&[], 1.0, 0.002).is_empty());
    assert!(open_offset(&corner[..0], 0.0, 0.002).is_empty());
}

#[test]
fn a_narrow_bay_is_closed_for_its_parallel() {
    // A V-shaped dip 4 wide and 10 deep in a line of 40: from above, 5 away, nothing sees its bottom.
    let run: Vec<PathSeg> =
        BezPath::from_svg("M0 0 L18 0 L20 -10 L22 0 L40 0").unwrap().segments().collect();
    let above = open_offset(&run, 5.0, 0.002);
    assert_eq!(above.len(), 1);
    check_open(&run, &above, 5.0).unwrap();
    let below = open_offset(&run, -5.0, 0.002);
    assert_eq!(below.len(), 1);
    check_open(&run, &below, -5.0).unwrap();
    // A hairpin has no parallel between its arms further in than half their distance.
    let pin: Vec<PathSeg> =
        BezPath::from_svg("M0 0 L30 0 C36 0 36 6 30 6 L0 6").unwrap().segments().collect();
    assert!(open_offset(&pin, 3.5, 0.002).is_empty());
    check_open(&pin, &open_offset(&pin, 1.5, 0.002), 1.5).unwrap();
    check_open(&pin, &open_offset(&pin, -6.0, 0.002), -6.0).unwrap();
}

/// Both ways: what is there is at the distance and on its side; what is at the distance and
/// square to the run on that side is there.
fn check_open(run: &[PathSeg], pieces: &[BezPath], d: f64) -> Result<(), String> {
    let result: Vec<PathSeg> = pieces.iter().flat_map(BezPath::segments).collect();
    for seg in &result {
        for t in [0.0, 0.5, 1.0] {
            let p = seg.eval(t);
            let off = (distance(run, p) - d.abs()).abs();
            if off > ASKED_MM {
                return Err(format!("{p:?} is {off} mm off"));
            }
        }
        // It runs the same way as the source beside it, which lies on the other side. Where two
        // parts of the source are as near, as at the tips of islands, one of them has to.
        let p = seg.eval(0.5);
        let delta = seg.end() - seg.start();
        let near: Vec<_> = run.iter().map(|s| (s.nearest(p, 1e-9), s)).collect();
        let min = near.iter().map(|(on, _)| on.distance_sq).fold(f64::INFINITY, f64::min).sqrt();
        let mut beside = near.iter().filter(|(on, _)| on.distance_sq.sqrt() <= min + ASKED_MM);
        let agrees = beside.any(|(on, s)| delta.cross(s.eval(on.t) - p) * d <= 0.0);
        // Where parts of the curve meet, sides shorter than the tolerance may lie any way.
        if delta.hypot() > 0.003 && !agrees {
            return Err(format!("{p:?} runs the wrong way or is on the wrong side"));
        }
    }
    for seg in run {
        // Not at the nodes: at one that the run turns about, the square belongs to neither side.
        for i in 0..32 {
            let t = (f64::from(i) + 0.5) / 32.0;
            let v = match seg {
                PathSeg::Line(l) => l.p1 - l.p0,
                _ => seg.to_cubic().deriv().eval(t).to_vec2(),
            };
            if v.hypot() < 1e-9 {
                continue;
            }
            let q = seg.eval(t) + Vec2::new(-v.y, v.x).normalize() * d;
            if distance(run, q) >= d.abs() - 1e-5
                && distance(&result, q) > ASKED_MM
                && !is_flat(run, &result, q, d)
            {
                return Err(format!("{q:?} is missed"));
            }
        }
    }
    Ok(())
}

/// Found by the property below: under a hump the parallel has an island 0.02 mm thin, at whose
/// tip the nearest part of the run is the one across.
#[test]
fn a_thin_island_is_a_parallel() {
    let hump = BezPath::from_svg(
        "M0,0 \
         C13.790463818344719,0 27.580927636689438,-1.1301384622385158 41.37139145503416,-1.1301384622385158 \
         C55.161855273378876,-1.1301384622385158 68.9523190917236,-1.1301384622385158 82.74278291006831,-1.1301384622385158 \
         C96.53324672841303,-1.1301384622385158 110.32371054675775,-1.3408954818379832 124.11417436510247,-1.6907802829539869 \
         C137.9046381834472,-2.0406650840699907 151.6951020017919,-3.6303108117992835 165.48556582013663,-3.838565810583548 \
         C179.27602963848133,-4.046820809367812 193.06649345682607,0 206.85695727517077,0 \
         C199.19558848720152,0 191.5342196992322,1.1301384622385158 183.87285091126293,1.1301384622385158 \
         C176.21148212329365,1.1301384622385158 168.55011333532434,1.1301384622385158 160.88874454735506,1.1301384622385158 \
         C153.22737575938578,1.1301384622385158 145.56600697141647,8.438740970237536 137.9046381834472,8.758079216592375 \
         C130.2432693954779,9.077417462947214 122.58190060750862,1.1301384622385158 114.92053181953933,1.1301384622385158 \
         C107.25916303157004,1.1301384622385158 99.59779424360076,1.1301384622385158 91.93642545563146,1.1301384622385158 \
         C84.27505666766217,1.1301384622385158 76.61368787969289,1.1301384622385158 68.9523190917236,1.1301384622385158 \
         C61.29095030375431,1.1301384622385158 53.62958151578502,1.1301384622385158 45.96821272781573,1.1301384622385158 \
         C38.306843939846445,1.1301384622385158 30.645475151877154,1.1301384622385158 22.984106363907866,1.1301384622385158 \
         C15.322737575938579,1.1301384622385158 7.661368787969288,0 0,0 Z",
    );
    let run: Vec<PathSeg> = hump.unwrap().segments().take(10).collect();
    let d = 5.533_960_405_717_687;
    let pieces = open_offset(&run, d, 0.002);
    assert_eq!(pieces.len(), 2);
    check_open(&run, &pieces, d).unwrap();
}

/// Found by the property below: rounding to the grid left islands of no breadth beside the run.
#[test]
fn a_sliver_is_no_parallel() {
    let hump = BezPath::from_svg(
        "M0,0 \
         C10.232209255014522,0 20.46441851002904,15.31725469861375 30.696627765043566,18.794671442886703 \
         C40.92883702005809,22.272088187159653 51.16104627507261,2.4854777832509987 61.39325553008713,2.4854777832509987 \
         C71.62546478510166,2.4854777832509987 81.85767404011618,13.664450298815417 92.0898832951307,16.224362993909114 \
         C102.32209255014523,18.78427568900281 112.55430180515974,16.806786526557758 122.78651106017426,20.614650099376718",
    );
    let run: Vec<PathSeg> = hump.unwrap().segments().collect();
    let d = 4.481_597_586_868_746;
    let pieces = open_offset(&run, d, 0.002);
    assert_eq!(pieces.len(), 1);
    check_open(&run, &pieces, d).unwrap();
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(24), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn edges_have_parallels(source in blank(), share in 0.2..0.9_f64, d in -8.0..20.0_f64) {
        prop_assume!(d.abs() > 0.01);
        let segs = source.segs();
        let run = &segs[..((segs.len() as f64 * share) as usize).max(1)];
        let pieces = open_offset(run, d, 0.002);
        let result = check_open(run, &pieces, d);
        prop_assert!(result.is_ok(), "{} {}", source.to_path().to_svg(), result.unwrap_err());
    }
}
