//! Fronts by hand, the flush outline against the blank's own, pieces, pairs and bevels.

use crate::context::{FigureContext, Inputs, Solid};
use crate::sample::{blank, reckoned};
use knife::{Bolster, Corner, Edit, FrontCurve, HoleKind, Knife, ScaleFront, Scales};
use kurbo::{ParamCurve, PathSeg, Point, Shape};
use outline::Outline;
use proptest::prelude::*;
use std::f64::consts::PI;

fn with(curve: FrontCurve, lean_deg: f64) -> Knife {
    let mut knife = blank();
    knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.35 });
    knife.handle.front = ScaleFront { curve, lean_deg, bevel_deg: None };
    knife
}

fn area(knife: &Knife) -> f64 {
    reckoned(knife).scales.unwrap().area_mm2
}

#[test]
fn the_scales_are_what_lies_behind_the_front_line() {
    let mut knife = with(FrontCurve::Straight, 0.0);
    let scales = reckoned(&knife).scales.unwrap();
    assert!((scales.area_mm2 - 80.0 * 30.0).abs() < 1e-9);
    assert!((scales.length_mm - 80.0).abs() < 1e-9);
    let mirrored = Edit::MirrorAlong.apply(&knife).unwrap();
    assert!((area(&mirrored) - 2400.0).abs() < 1e-9);
    knife.scales = Some(Scales { front_x_mm: 220.0, thickness_mm: 6.35 });
    assert!(reckoned(&knife).scales.is_none());
}

/// By hand: a leaning line through the middle leaves the same area of a bar 30 mm wide; its
/// ends lie 15 tan 20° apart from square, the upper one (the spine's) nearer to the butt.
#[test]
fn a_lean_turns_the_line_about_the_middle_of_the_tang() {
    let knife = with(FrontCurve::Straight, 20.0);
    let by = 15.0 * 20.0_f64.to_radians().tan();
    for (knife, front, sense) in [
        (knife.clone(), Point::new(120.0, 15.0), 1.0),
        (Edit::MirrorAlong.apply(&knife).unwrap(), Point::new(80.0, 15.0), -1.0),
    ] {
        let scales = reckoned(&knife).scales.unwrap();
        assert!((scales.area_mm2 - 2400.0).abs() < 1e-9);
        let (first, last) = (scales.front[0].start(), scales.front.last().unwrap().end());
        assert!(first.distance(front + kurbo::Vec2::new(sense * by, 0.0)) < 1e-9, "{first:?}");
        assert!((last.x - (front.x - sense * by)).abs() < 1e-9);
        assert!((scales.length_mm - (80.0 + by)).abs() < 1e-9);
    }
    // On its spine the knife has the spine's end below.
    let over = reckoned(&Edit::MirrorAcross.apply(&knife).unwrap()).scales.unwrap();
    let first = over.front[0].start();
    assert!(first.distance(Point::new(120.0 + by, -15.0)) < 1e-9, "{first:?}");
}

/// By hand: the arc's ends lie R − √(R² − 15²) behind (round) or ahead of (hollow) its
/// middle; between them and the arc lies a circular segment R² (θ − sin θ cos θ) with
/// sin θ = 15/R.
#[test]
fn arcs_take_and_leave_their_circular_segment() {
    for radius in [15.5, 20.0, 60.0, 5000.0_f64] {
        let sagitta = radius - (radius * radius - 225.0).sqrt();
        let theta = (15.0 / radius).asin();
        let segment = radius * radius * (theta - theta.sin() * theta.cos());
        for (curve, sign) in [(FrontCurve::Round(radius), 1.0), (FrontCurve::Hollow(radius), -1.0)]
        {
            let scales = reckoned(&with(curve, 0.0)).scales.unwrap();
            let expected = 2400.0 - sign * (30.0 * sagitta - segment);
            assert!((scales.area_mm2 - expected).abs() < 1e-6, "{radius} {}", scales.area_mm2);
            let centre = Point::new(120.0 + sign * radius, 0.0);
            for seg in &scales.front {
                for t in [0.0, 0.31, 0.5, 1.0] {
                    let off = seg.eval(t).distance(centre) - radius;
                    assert!(off.abs() < 1e-7, "{radius} {off}");
                }
            }
            let ends = [scales.front[0].start(), scales.front.last().unwrap().end()];
            for (end, y) in ends.iter().zip([15.0, -15.0]) {
                let expected = Point::new(120.0 + sign * sagitta, y);
                assert!(end.distance(expected) < 1e-9, "{radius} {end:?}");
            }
        }
    }
    // Half a disc in front, as near as it gets: π/2 · 15².
    let half = area(&with(FrontCurve::Round(15.0 + 1e-9), 0.0));
    assert!((half - (65.0 * 30.0 + PI * 112.5)).abs() < 1e-2, "{half}");
    // An arc of a huge radius is the straight line.
    let flat = area(&with(FrontCurve::Round(10_000.0), 10.0));
    assert!((flat - area(&with(FrontCurve::Straight, 10.0))).abs() < 0.5);
}

#[test]
fn an_arc_smaller_than_half_the_tang_finds_no_room() {
    for curve in [FrontCurve::Round(14.9), FrontCurve::Hollow(14.9)] {
        assert!(reckoned(&with(curve, 0.0)).scales.is_none());
    }
}

/// Behind the front every curve of the scales is one of the blank's, to the last bit.
#[test]
fn the_flush_outline_is_the_tang_itself() {
    for starter in knife::STARTERS {
        let mut knife = starter.knife();
        knife.handle.front.curve = FrontCurve::Round(40.0);
        knife.handle.front.lean_deg = 8.0;
        let found = reckoned(&knife);
        let (blank, scales) = (found.outline.unwrap(), found.scales.unwrap());
        let whole = |seg: &&PathSeg| blank.segs().contains(seg);
        let same = scales.outline.segs().iter().filter(whole).count();
        let others = scales.outline.segs().len() - scales.front.len() - same;
        assert!(same > 2 && others <= 2, "{}: {same} {others}", knife.name);
        let off = scales.outline.segs().iter().filter(|seg| !scales.front.contains(seg));
        for seg in off.filter(|seg| !scales.front.contains(&seg.reverse())) {
            for t in [0.25, 0.75] {
                assert!(blank.nearest(seg.eval(t)).distance_mm < 1e-9);
            }
        }
        let front = kurbo::BezPath::from_path_segments(scales.front.iter().copied());
        assert!(front.bounding_box().width() > 0.0);
    }
}

/// Fronts of every shape, with bolsters or none: the knife, told for messages.
fn every_way() -> impl Iterator<Item = (String, Knife)> {
    let fronts = [
        (FrontCurve::Straight, 0.0),
        (FrontCurve::Straight, 12.0),
        (FrontCurve::Round(40.0), 8.0),
        (FrontCurve::Hollow(30.0), -6.0),
    ];
    knife::STARTERS.iter().flat_map(move |starter| {
        fronts.into_iter().flat_map(move |(curve, lean_deg)| {
            [false, true].map(|bolsters| {
                let mut knife = starter.knife();
                knife.handle.front = ScaleFront { curve, lean_deg, bevel_deg: None };
                if bolsters {
                    let bolster = |length_mm| Some(Bolster { length_mm, material: None });
                    knife.handle.front_bolster = bolster(12.0);
                    knife.handle.rear_bolster = bolster(15.0);
                }
                (format!("{} {curve:?} {lean_deg} {bolsters}", knife.name), knife)
            })
        })
    })
}

fn samples(outline: &Outline) -> Vec<Point> {
    outline.segs().iter().flat_map(|seg| [0.0, 0.23, 0.5, 0.81].map(|t| seg.eval(t))).collect()
}

/// The definition itself: what is sawn lies the overhang off the flush outline, but for the front,
/// where it lies on the front line or straight on from its ends.
#[test]
fn what_is_sawn_lies_the_overhang_off_but_for_the_front() {
    for (words, mut knife) in every_way() {
        knife.handle.overhang_mm = Some(2.0);
        let scales = reckoned(&knife).scales.unwrap();
        for piece in &scales.pieces {
            let mut off = 0;
            for p in samples(&piece.waste) {
                // On a joint, inside the whole.
                if scales.outline.contains(p) {
                    continue;
                }
                let gap = scales.outline.nearest(p).distance_mm;
                assert!(gap < 2.002, "{words} {:?} {p:?} {gap}", piece.part);
                off += usize::from((gap - 2.0).abs() < 2.5e-3);
            }
            assert!(off > 8, "{words} {:?}: {off}", piece.part);
            // All of the flush piece is in it, and nothing of the front's far side.
            for p in samples(&piece.outline) {
                let inside = piece.waste.contains(p) || piece.waste.nearest(p).distance_mm < 1e-6;
                assert!(inside, "{words} {p:?}");
            }
        }
        let first = &scales.pieces[0].waste;
        for seg in &scales.front {
            for t in [0.1, 0.5, 0.9] {
                assert!(first.nearest(seg.eval(t)).distance_mm < 1e-9, "{words}");
            }
        }
    }
}

/// The pieces together are the whole, each flush with the tang within 1e-4 mm.
#[test]
fn pieces_make_up_the_whole() {
    for (words, knife) in every_way() {
        let found = reckoned(&knife);
        let (blank, scales) = (found.outline.unwrap(), found.scales.unwrap());
        assert!(scales.no_room.is_empty(), "{words}: {:?}", scales.no_room);
        let expected = if knife.handle.front_bolster.is_some() { 3 } else { 1 };
        assert_eq!(scales.pieces.len(), expected, "{words}");
        let sum: f64 = scales.pieces.iter().map(|piece| piece.area_mm2).sum();
        assert!((sum - scales.area_mm2).abs() < 1e-6, "{words} {sum}");
        let holes: usize = scales.pieces.iter().map(|piece| piece.holes.len()).sum();
        let through = knife.holes.iter().filter(|hole| hole.kind != HoleKind::Relief).count();
        assert_eq!(holes, through, "{words}");
        for piece in &scales.pieces {
            let flush = samples(&piece.outline).into_iter();
            let flush = flush.filter(|p| blank.nearest(*p).distance_mm < 1e-4).count();
            assert!(flush > 4, "{words}");
            for (mm, flush, waste) in [
                (
                    piece.block.length_mm,
                    piece.outline.bounds().width(),
                    piece.waste.bounds().width(),
                ),
                (
                    piece.block.width_mm,
                    piece.outline.bounds().height(),
                    piece.waste.bounds().height(),
                ),
            ] {
                assert!(mm >= flush + 6.0 - 1e-9 && mm >= waste, "{words}");
            }
        }
    }
}

/// By hand: 120 to 200 with bolsters of 10 and 15 leaves a scale of 55 × 30; its block is 6 mm
/// larger each way, and 2 (6.35 + 0.5) + 1.0 thick for a book-matched pair sawn by a hacksaw.
#[test]
fn pieces_and_blocks_by_hand() {
    let mut knife = with(FrontCurve::Straight, 0.0);
    let bolster = |length_mm| Some(Bolster { length_mm, material: None });
    (knife.handle.front_bolster, knife.handle.rear_bolster) = (bolster(10.0), bolster(15.0));
    for knife in [knife.clone(), Edit::MirrorAlong.apply(&knife).unwrap()] {
        let scales = reckoned(&knife).scales.unwrap();
        let areas: Vec<f64> = scales.pieces.iter().map(|piece| piece.area_mm2).collect();
        for (area, expected) in areas.iter().zip([300.0, 1650.0, 450.0]) {
            assert!((area - expected).abs() < 1e-9, "{areas:?}");
        }
        let block = scales.scale().unwrap().block;
        assert!((block.length_mm - 61.0).abs() < 1e-9 && (block.width_mm - 36.0).abs() < 1e-9);
        assert!((block.thickness_mm - 6.35).abs() < 1e-9);
        let book = scales.book.as_ref().unwrap();
        assert!((book.block.thickness_mm - 14.7).abs() < 1e-9, "{book:?}");
        // Sawn: 1.5 mm over on both long sides, exact at both joints.
        let sawn = scales.scale().unwrap().waste.bounds();
        assert!((sawn.width() - 55.0).abs() < 1e-9 && (sawn.height() - 33.0).abs() < 4e-3);
        let butt = scales.pieces[2].waste.bounds();
        assert!((butt.width() - 16.5).abs() < 4e-3);
    }
    let mut two = knife;
    two.handle.scales = Some("oak".to_owned());
    two.handle.right_scale = Some("ash".to_owned());
    assert!(reckoned(&two).scales.unwrap().book.is_none());
}

/// By hand: a front face that leans back by β rises t over t tan β. With a thickness that grows by
/// 1 mm in 10 along the handle (two places: a smooth curve that is straight nowhere but in the
/// middle), it meets the face where s = t(s) tan β.
#[test]
fn the_bevel_sets_its_line_back_by_thickness_and_tangent() {
    for (curve, lean_deg) in [
        (FrontCurve::Straight, 0.0),
        (FrontCurve::Straight, 20.0),
        (FrontCurve::Round(40.0), 0.0),
        (FrontCurve::Hollow(40.0), 0.0),
    ] {
        for (bevel_deg, expected) in
            [(None, 6.35), (Some(30.0), 6.35 / 3.0_f64.sqrt()), (Some(60.0), 6.35 * 3.0_f64.sqrt())]
        {
            let mut knife = with(curve, lean_deg);
            knife.handle.front.bevel_deg = bevel_deg;
            let scales = reckoned(&knife).scales.unwrap();
            assert!((scales.setback_mm - expected).abs() < 1e-12);
            let line = kurbo::BezPath::from_path_segments(scales.front.iter().copied());
            let line = outline::Polyline::from_path(&line, 1e-7).unwrap();
            // Square to the front line; past its ends there is none to measure from.
            let outer = scales.outer_front.unwrap();
            let near = |p: &Point| (p.y).abs() < 9.0;
            let points = outer.iter().flat_map(|seg| [0.1, 0.5, 0.9].map(|t| seg.eval(t)));
            let points: Vec<Point> = points.filter(near).collect();
            assert!(!points.is_empty());
            for p in points {
                assert!((line.distance(p) - expected).abs() < 1e-5, "{curve:?} {p:?}");
                assert!(p.x > 120.0 - 5.0);
            }
        }
    }
    let mut knife = with(FrontCurve::Straight, 0.0);
    knife.handle.front.bevel_deg = Some(0.0);
    let scales = reckoned(&knife).scales.unwrap();
    assert!(scales.outer_front.is_none() && scales.no_room.is_empty());
    knife.handle.front.bevel_deg = Some(45.0);
    let at = |x_mm, thickness_mm| knife::ThicknessAt { x_mm, thickness_mm };
    knife.handle.shaping.thickness = vec![at(120.0, 5.0), at(130.0, 8.0)];
    let scales = reckoned(&knife).scales.unwrap();
    let there = crate::scale_thickness_mm(&knife, 120.0 + scales.setback_mm).unwrap();
    assert!((there - scales.setback_mm).abs() < 1e-9 && there > 5.5 && there < 8.0);
}

/// By hand: a chamfer 2 mm wide on a tang 30 mm wide from x 126.35 (45° of 6.35 mm) to 200: two
/// lines of 198 − 126.35 and one of 26 round the butt.
#[test]
fn the_chamfers_line_runs_round_the_butt_from_the_bevels_line() {
    let mut knife = with(FrontCurve::Straight, 0.0);
    knife.handle.shaping.corner = Some(Corner::Chamfer { width_mm: 2.0, angle_deg: 45.0 });
    let line = reckoned(&knife).scales.unwrap().corner;
    let length: f64 = line.iter().map(|seg| seg.start().distance(seg.end())).sum();
    assert!((length - (2.0 * (198.0 - 126.35) + 26.0)).abs() < 1e-2, "{length}");
    let mut ends = [line[0].start().y, line.last().unwrap().end().y];
    ends.sort_by(f64::total_cmp);
    assert!((ends[0] + 13.0).abs() < 1e-6 && (ends[1] - 13.0).abs() < 1e-6);
}

/// Tip to the left and edge down on the left, its image in a mirror on the right, however the
/// knife lies in its plane.
#[test]
fn the_right_scale_is_the_left_ones_mirror_image() {
    for (words, knife) in every_way() {
        let along = Edit::MirrorAlong.apply(&knife).unwrap();
        let both = Edit::MirrorAcross.apply(&along).unwrap();
        let mut first: Option<Vec<Point>> = None;
        for knife in [knife, along, both] {
            let found = reckoned(&knife);
            let scales = found.scales.unwrap();
            let tip = knife.profile.node(knife.profile.tip.unwrap()).unwrap();
            let tip: Point = scales.left * tip.at;
            let middle: Point = scales.left * scales.middle;
            assert!(tip.x < middle.x, "{words}");
            let mut left = samples(&scales.outline.transformed(scales.left));
            let right = samples(&scales.outline.transformed(scales.right));
            for (l, r) in left.iter().zip(&right) {
                assert!(Point::new(-l.x, l.y).distance(*r) < 1e-9, "{words}");
            }
            // The same scale, whichever way the knife was drawn.
            left.iter_mut().for_each(|p| *p -= middle.to_vec2());
            if let Some(first) = &first {
                for p in &left {
                    let near = first.iter().map(|q| q.distance(*p)).fold(f64::MAX, f64::min);
                    assert!(near < 1e-6, "{words} {p:?} {near}");
                }
            }
            first.get_or_insert(left);
        }
    }
}

/// A hollow front that leans far meets the underside nearly along it: taken on over the overhang
/// it would run back into the tang.
#[test]
fn a_front_that_runs_back_into_the_tang_is_sawn_flush_and_told() {
    let mut knife = knife::STARTERS[6].knife();
    let bounds = knife.profile.outline().unwrap().bounds();
    let front_x_mm = bounds.x0 + 28.01755998506712 / 210.0 * bounds.width();
    knife.scales = Some(Scales { front_x_mm, thickness_mm: 0.5 });
    knife.handle.front = ScaleFront {
        curve: FrontCurve::Hollow(31.994217232503157),
        lean_deg: 56.88368500696491,
        bevel_deg: Some(0.0),
    };
    let length_mm = 95.54654060587924;
    knife.handle.front_bolster = Some(Bolster { length_mm, material: None });
    knife.handle.overhang_mm = Some(0.894469301726075);
    let found = reckoned(&knife);
    let scales = found.scales.unwrap();
    for piece in &scales.pieces {
        assert!(piece.waste.area() >= piece.area_mm2, "{:?}", piece.part);
    }
    assert!(found.findings.iter().any(|f| f.rule == "handle-out-of-room" && f.case == "overhang"));
}

proptest! {
    /// Whatever is stated: no panic, no figure that is no number, and the pair a mirrored one.
    #[test]
    fn no_handle_panics(
        front_x_mm in -50.0..260.0f64,
        thickness_mm in 0.5..30.0f64,
        radius_mm in 1.0..200.0f64,
        kind in 0..3,
        lean_deg in -60.0..60.0f64,
        bevel_deg in 0.0..80.0f64,
        bolsters in (0.5..200.0f64, 0.5..200.0f64, any::<(bool, bool)>()),
        overhang_mm in 0.0..50.0f64,
        starter in 0..knife::STARTERS.len(),
    ) {
        let mut knife = knife::STARTERS[starter].knife();
        let bounds = knife.profile.outline().unwrap().bounds();
        let front_x_mm = bounds.x0 + front_x_mm / 210.0 * bounds.width();
        knife.scales = Some(Scales { front_x_mm, thickness_mm });
        let curve = match kind {
            0 => FrontCurve::Straight,
            1 => FrontCurve::Round(radius_mm),
            _ => FrontCurve::Hollow(radius_mm),
        };
        knife.handle.front = ScaleFront { curve, lean_deg, bevel_deg: Some(bevel_deg) };
        let (front, rear, (has_front, has_rear)) = bolsters;
        let bolster = |length_mm, has: bool| has.then_some(Bolster { length_mm, material: None });
        knife.handle.front_bolster = bolster(front, has_front);
        knife.handle.rear_bolster = bolster(rear, has_rear);
        knife.handle.overhang_mm = Some(overhang_mm);
        let profile = crate::profile::figures(&knife, &knife.profile.outline().unwrap());
        let outline = knife.profile.outline().unwrap();
        let solid = Solid::of(&knife, &outline, &profile);
        let (shop, tables) = (&crate::Shop::default(), crate::tables::Tables::built_in());
        let inputs = Inputs { knife: &knife, shop, tables };
        let ctx = FigureContext::new(inputs, (&outline, &profile), &solid);
        let laid = super::figures(&ctx, knife.scales.unwrap());
        if let Ok(scales) = laid {
            prop_assert!(!scales.pieces.is_empty());
            let sum: f64 = scales.pieces.iter().map(|piece| piece.area_mm2).sum();
            prop_assert!((sum - scales.area_mm2).abs() < 1e-6);
            for piece in &scales.pieces {
                prop_assert!(piece.waste.area() >= piece.area_mm2 - 1e-6, "{:?}", piece.part);
                prop_assert!(piece.block.length_mm.is_finite());
                let left = piece.waste.transformed(scales.left);
                let right = piece.waste.transformed(scales.right);
                for (l, r) in left.nodes().zip(right.nodes()) {
                    prop_assert!(Point::new(-l.x, l.y).distance(r) < 1e-9);
                }
            }
        }
    }
}
