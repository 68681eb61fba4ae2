//! The drawn grind line against the solid's own, on blades whose plunge leans.

#![expect(clippy::unwrap_used, reason = "a blade that can't be made must stop the test")]

use knife::{Bevel, Edit, Knife, Profile, starter};
use kurbo::{BezPath, ParamCurve, ParamCurveNearest, PathSeg, Point};
use outline::Outline;
use proptest::prelude::*;
use reckon::tables::Tables;
use reckon::{Reckoning, Shop, reckon};

fn reckoned(knife: &Knife) -> Reckoning {
    reckon(knife, &Shop::default(), Tables::built_in())
}

/// A blade of 200 mm: tip at the origin, heel at (100, −15), its edge coming to the heel with
/// a slope, the belly behind it straight.
fn blade(belly_mm: f64, slope: f64, spine_mm: f64) -> Knife {
    let (from, to) = (-15.0 - slope * 40.0, -15.0 + slope * 100.0);
    let path = format!(
        "M0,0 C15,{} 60,{from} 100,-15 L200,{} L200,{spine_mm} L100,{spine_mm} C60,{spine_mm} \
         20,10 0,0 Z",
        -belly_mm,
        to.clamp(-19.0, -8.0),
    );
    let outline = Outline::from_path(&BezPath::from_svg(&path).unwrap()).unwrap();
    let mut knife = starter("drop-point").unwrap().knife();
    knife.profile = Profile::from_outline(&outline);
    (knife.swedge, knife.taper) = (None, None);
    knife.holes.clear();
    let id = |at: Point| {
        knife.profile.nodes.iter().find(|node| node.at.distance(at) < 1e-9).map(|node| node.id)
    };
    let (tip, heel) = (id(Point::ORIGIN), id(Point::new(100.0, -15.0)));
    (knife.profile.tip, knife.profile.heel) = (tip, heel);
    knife
}

fn distance(segs: &[PathSeg], p: Point) -> f64 {
    let square = segs.iter().map(|seg| seg.nearest(p, 1e-9).distance_sq);
    square.fold(f64::INFINITY, f64::min).sqrt()
}

/// The farthest that a place at which the solid reaches its stock lies from the drawn line, and
/// that the solid's border lies from a place of the drawn line; and how many were looked at.
fn apart(reckoning: &Reckoning) -> (f64, f64, usize) {
    let (bevel, field) = (reckoning.bevel.as_ref().unwrap(), reckoning.field.as_ref().unwrap());
    let outline = reckoning.outline.as_ref().unwrap();
    let bounds = outline.bounds();
    let drawn: Vec<PathSeg> = bevel.grind.iter().flat_map(BezPath::segments).collect();
    let half_mm = field.stock_mm / 2.0;
    let is_ground = |p: Point| field.half_thickness(p).left_mm < half_mm;
    let clear = |p: Point| bevel.plunge_frame.ahead_of(p) > 0.05 && outline.contains(p);
    let (mut solid_off, mut drawn_off, mut seen) = (0.0_f64, 0.0_f64, 0);
    let mut x = bounds.x0 + 6.0;
    while x < bounds.x1 {
        let ys: Vec<f64> =
            (0..=160).map(|i| bounds.y0 + bounds.height() * f64::from(i) / 160.0).collect();
        for pair in ys.windows(2) {
            let (mut a, mut b) = (Point::new(x, pair[0]), Point::new(x, pair[1]));
            if !clear(a) || !clear(b) || is_ground(a) == is_ground(b) {
                continue;
            }
            for _ in 0..50 {
                let middle = a.midpoint(b);
                if is_ground(middle) == is_ground(a) { a = middle } else { b = middle }
            }
            solid_off = solid_off.max(distance(&drawn, a));
            seen += 1;
        }
        x += 0.5;
    }
    // A stub shorter than the drawn line's own tolerance has no direction of its own.
    for seg in drawn.iter().filter(|seg| seg.start().distance(seg.end()) > 0.002) {
        let normal = (seg.end() - seg.start()).normalize().turn_90();
        let steps = (seg.start().distance(seg.end()) / 0.5).ceil();
        for i in 0..steps as u32 {
            let p = seg.eval((f64::from(i) + 0.5) / steps);
            let ends = [p + normal * 0.5, p - normal * 0.5];
            if !ends.iter().all(|end| clear(*end)) {
                continue;
            }
            if is_ground(ends[0]) == is_ground(ends[1]) {
                drawn_off = drawn_off.max(0.5);
                continue;
            }
            let (mut a, mut b) = (ends[0], ends[1]);
            for _ in 0..50 {
                let middle = a.midpoint(b);
                if is_ground(middle) == is_ground(a) { a = middle } else { b = middle }
            }
            drawn_off = drawn_off.max(a.distance(p));
            seen += 1;
        }
    }
    (solid_off, drawn_off, seen)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// However the plunge leans, ahead of it and behind the heel: what is drawn is what is ground.
    #[test]
    fn the_drawn_grind_line_is_where_the_solid_reaches_its_stock(
        belly in 8.0..16.0f64,
        slope in -0.03..0.06f64,
        spine in 10.0..16.0f64,
        plunge_x_mm in 92.0..112.0f64,
        plunge_lean_deg in -50.0..50.0f64,
        grind_height_mm in 6.0..19.0f64,
        turned in any::<bool>(),
    ) {
        let mut knife = blade(belly, slope, spine);
        knife.bevel = Some(Bevel {
            plunge_x_mm,
            plunge_lean_deg,
            grind_height_mm,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        });
        let knife = if turned { Edit::MirrorAlong.apply(&knife).unwrap() } else { knife };
        let (solid_off, drawn_off, seen) = apart(&reckoned(&knife));
        prop_assert!(seen > 50, "{seen}");
        prop_assert!(solid_off < 0.01, "the solid's lies {solid_off} mm off");
        prop_assert!(drawn_off < 0.01, "the drawn one lies {drawn_off} mm off");
    }
}

/// A plunge that leans back behind the heel, where two edges used to be taken: 1.1 mm apart.
#[test]
fn a_plunge_that_leans_back_keeps_to_one_edge() {
    let mut knife = blade(12.0, 0.05, 14.0);
    knife.bevel = Some(Bevel {
        plunge_x_mm: 104.0,
        plunge_lean_deg: 35.0,
        grind_height_mm: 18.0,
        edge_thickness_mm: 0.5,
        ..Bevel::default()
    });
    let (solid_off, drawn_off, seen) = apart(&reckoned(&knife));
    assert!(seen > 50 && solid_off < 0.01 && drawn_off < 0.01, "{solid_off} {drawn_off}");
}

/// A sharpening notch cut into the edge ahead of the ricasso ends the edge at its lip and
/// leaves the grind line where it was.
#[test]
fn a_choil_moves_the_heel_and_leaves_the_grind_line_alone() {
    let knife = starter("drop-point").unwrap().knife();
    let heel = |knife: &Knife| knife.profile.node(knife.profile.heel.unwrap()).unwrap().at;
    let plain = reckoned(&knife);
    let lines = |reckoning: &Reckoning| -> Vec<PathSeg> {
        reckoning.bevel.as_ref().unwrap().grind.iter().flat_map(BezPath::segments).collect()
    };
    let expected = lines(&plain);
    let stretch = knife.profile.nodes[1].id;
    for (t, lip_radius_mm) in [(0.9, 0.0), (0.85, 0.5), (0.97, 0.0)] {
        let edit = Edit::InsertNotch { stretch, t, diameter_mm: 5.0, depth_mm: 2.5, lip_radius_mm };
        let cut = edit.apply(&knife).unwrap();
        assert!(heel(&cut).x < heel(&knife).x, "the heel is the notch's lip");
        let reckoning = reckoned(&cut);
        // The edge's own slight curve goes on straight from the lip: some hundredths over 12 mm.
        let found = lines(&reckoning);
        for seg in &found {
            for t in [0.0, 0.5, 1.0] {
                let off = distance(&expected, seg.eval(t));
                assert!(off < 0.1, "{off} mm at {:?}", seg.eval(t));
            }
        }
        let length =
            |segs: &[PathSeg]| segs.iter().map(|s| s.start().distance(s.end())).sum::<f64>();
        assert!((length(&found) - length(&expected)).abs() < 0.1);
        let choil_x = heel(&cut).x..heel(&cut).x + 6.0;
        let grooves = &reckoning.finger_notches;
        assert!(grooves.iter().all(|groove| !choil_x.contains(&groove.deepest.x)), "{grooves:?}");
        let message = reckoning.findings.iter().filter(|f| f.rule == "notch-out-of-order");
        assert_eq!(message.map(|f| &f.sentence).collect::<Vec<_>>(), Vec::<&String>::new());
    }
}

/// The shipped drop point's own sharpening notch, right behind the heel, is no finger groove.
#[test]
fn a_choil_behind_the_heel_is_no_finger_groove() {
    let knife = starter("drop-point").unwrap().knife();
    let heel = knife.profile.node(knife.profile.heel.unwrap()).unwrap().at;
    for groove in reckoned(&knife).finger_notches {
        assert!((groove.deepest.x - heel.x).abs() > 6.0, "{groove:?}");
    }
}
