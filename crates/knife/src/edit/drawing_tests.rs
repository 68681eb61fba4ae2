//! The edits by which an outline is drawn, fairer, thinner and measured.

use super::tests::{done, knife, node, refused};
use super::*;
use crate::{Anchor, Boundary, NodeKind};
use kurbo::{ParamCurve, PathSeg};

fn shape(knife: &Knife) -> outline::Outline {
    knife.profile.outline().unwrap()
}

/// A node of the round back, between two curves.
fn with_back_node() -> Knife {
    Edit::AddNode { stretch: NodeId(5), t: 0.5 }.apply(&knife()).unwrap()
}

#[test]
fn a_pulled_curve_follows_and_a_straight_run_goes_with_its_ends() {
    let by = Vec2::new(1.0, -3.0);
    let place = |k: &Knife| shape(k).segs()[0].eval(0.4);
    let bent = done(Edit::PullStretch { stretch: NodeId(1), t: 0.4, by });
    assert!(place(&bent).distance(place(&knife()) + by) < 1e-9);
    assert_eq!(node(&bent, 1).at, node(&knife(), 1).at);
    let moved = done(Edit::PullStretch { stretch: NodeId(3), t: 0.4, by });
    for id in [3, 4] {
        assert_eq!(node(&moved, id).at, node(&knife(), id).at + by);
    }
    // A smooth node stays smooth: its other handle turns along.
    let smooth = done(Edit::PullStretch { stretch: NodeId(4), t: 0.5, by });
    let back = node(&smooth, 5);
    let (into, out) = (back.at - back.handle_in.unwrap(), back.handle_out.unwrap() - back.at);
    assert!(into.cross(out).abs() < 1e-9 * into.hypot() * out.hypot());
}

#[test]
fn symmetric_handles_stay_equally_long() {
    let even = done(Edit::MakeSymmetric(NodeId(5)));
    let to = Point::new(50.0, 20.0);
    let moved =
        Edit::MoveHandle { node: NodeId(5), side: HandleSide::Out, to }.apply(&even).unwrap();
    let back = node(&moved, 5);
    assert_eq!(back.kind, NodeKind::Symmetric);
    assert_eq!(back.handle_out, Some(to));
    let other = back.handle_in.unwrap();
    assert!(other.distance(back.at + (back.at - to)) < 1e-9);
    assert!(refused(Edit::MakeSymmetric(NodeId(2))).contains("straight"));
}

#[test]
fn the_curvature_stays_continuous_whatever_is_moved() {
    let jump = |k: &Knife, id: u32| {
        let outline = shape(k);
        let i = k.profile.index_of(NodeId(id)).unwrap();
        let n = k.profile.nodes.len();
        outline.curvature_at(i, 0.0) - outline.curvature_at((i + n - 1) % n, 1.0)
    };
    let added = with_back_node();
    let bent = Edit::PullStretch { stretch: NodeId(5), t: 0.5, by: Vec2::new(2.0, 4.0) };
    let bent = bent.apply(&added).unwrap();
    assert!(jump(&bent, 5).abs() > 1e-4);
    let even = Edit::MakeCurvatureContinuous(NodeId(5)).apply(&bent).unwrap();
    let even = Edit::MakeCurvatureContinuous(NodeId(6)).apply(&even).unwrap();
    for edit in [
        Edit::MoveNodes { nodes: vec![NodeId(4)], by: Vec2::new(-3.0, 2.0) },
        Edit::PullStretch { stretch: NodeId(6), t: 0.5, by: Vec2::new(0.0, 2.0) },
        Edit::MoveHandle { node: NodeId(5), side: HandleSide::In, to: Point::new(125.0, 14.0) },
        Edit::FairNodes { nodes: vec![], tolerance_mm: 0.2 },
        Edit::Turn(12.0),
    ] {
        let moved = edit.apply(&even).unwrap();
        for id in [5, 6] {
            assert!(jump(&moved, id).abs() < 1e-8, "{edit:?} at {id}: {}", jump(&moved, id));
        }
    }
    assert!(refused(Edit::MakeCurvatureContinuous(NodeId(2))).contains("straight"));
}

#[test]
fn fairing_moves_nothing_further_than_it_may_and_keeps_marks() {
    let dented = with_back_node();
    let dented = Edit::PlaceNode { node: NodeId(6), to: node(&dented, 6).at + Vec2::new(0.2, 0.3) };
    let dented = dented.apply(&with_back_node()).unwrap();
    let edit = Edit::FairNodes { nodes: vec![NodeId(5), NodeId(6)], tolerance_mm: 0.4 };
    let fair = edit.apply(&dented).unwrap();
    assert_eq!(edit.label(), "Fair");
    assert!(fair.profile != dented.profile);
    for id in 1..=4 {
        assert_eq!(node(&fair, id).at, node(&dented, id).at, "{id}");
    }
    for id in 5..=6 {
        assert!(node(&fair, id).at.distance(node(&dented, id).at) <= 0.4);
        assert_eq!(node(&fair, id).kind, NodeKind::Smooth);
    }
    let old = shape(&dented);
    for seg in shape(&fair).segs() {
        for i in 0..=30 {
            assert!(old.nearest(seg.eval(f64::from(i) / 30.0)).distance_mm <= 0.4);
        }
    }
    assert!(refused(Edit::FairNodes { nodes: vec![], tolerance_mm: 0.0 }).contains("a tolerance"));
}

#[test]
fn nodes_that_say_nothing_go_and_marks_stay() {
    let mut more = knife();
    for (stretch, t) in [(1, 0.4), (5, 0.6), (4, 0.3)] {
        more = Edit::AddNode { stretch: NodeId(stretch), t }.apply(&more).unwrap();
    }
    let thin = Edit::Simplify { nodes: vec![], tolerance_mm: 0.01 }.apply(&more).unwrap();
    let ids: Vec<u32> = thin.profile.nodes.iter().map(|n| n.id.0).collect();
    assert_eq!(ids, [1, 2, 3, 4, 5]);
    assert!((shape(&thin).area() - shape(&knife()).area()).abs() < 0.05);
    // Two side by side at once, nearer to what was than one after the other.
    let gone = Edit::RemoveNodes(vec![NodeId(7), NodeId(5)]);
    let thin = gone.apply(&more).unwrap();
    assert_eq!((thin.profile.nodes.len(), gone.label()), (6, "Remove 2 nodes".to_owned()));
    assert!(refused(Edit::RemoveNodes(vec![NodeId(3), NodeId(2)])).contains("heel"));
    assert!(refused(Edit::RemoveNodes(vec![NodeId(3), NodeId(4), NodeId(5)])).contains("three"));
}

#[test]
fn a_stretch_is_split_into_equal_lengths() {
    let split = done(Edit::SplitStretch { stretch: NodeId(1), parts: 4 });
    assert_eq!(split.profile.nodes.len(), 8);
    let outline = shape(&split);
    let each: Vec<f64> = (0..4).map(|i| outline.length_between((i, 0.0), (i, 1.0))).collect();
    assert!(each.iter().all(|mm| (mm - each[0]).abs() < 1e-6), "{each:?}");
    assert!((outline.area() - shape(&knife()).area()).abs() < 1e-9);
    let one = Edit::SplitStretch { stretch: NodeId(1), parts: 1 };
    assert!(refused(one).contains("between 2 and 100"));
}

#[test]
fn the_heel_can_be_rounded_and_the_edge_ends_where_the_arc_begins() {
    let rounded = done(Edit::RoundCorner { node: NodeId(2), radius_mm: 20.0 });
    let heel = rounded.profile.heel.and_then(|id| rounded.profile.node(id)).unwrap();
    assert!(heel.id.0 > 5 && heel.at.x < 90.0 && heel.at.x > 60.0, "{heel:?}");
    assert_eq!(rounded.profile.tip, Some(NodeId(1)));
    assert!(refused(Edit::RoundCorner { node: NodeId(1), radius_mm: 1.0 }).contains("tip"));
}

#[test]
fn parts_are_turned_mirrored_lined_up_and_spaced_out() {
    let hole = Edit::AddHole {
        name: String::new(),
        kind: HoleKind::Pin,
        at: (150.0, 0.0).into(),
        diameter_mm: 3.0,
        drill: None,
        pin_mm: None,
    };
    let whole = hole.apply(&knife()).unwrap();
    let (n5, h1) = (PartId::Node(NodeId(5)), PartId::Hole(HoleId(1)));
    let about = Point::new(100.0, 0.0);
    let turn = Edit::TurnParts { parts: vec![n5, h1], about, by_deg: 90.0 };
    let turned = turn.apply(&whole).unwrap();
    assert!(turned.holes[0].at.distance((100.0, 50.0).into()) < 1e-9);
    assert!(node(&turned, 5).at.distance((87.0, -10.0).into()) < 1e-9);
    assert!(node(&turned, 5).handle_out.unwrap().distance((87.0, -40.0).into()) < 1e-9);
    assert_eq!(turn.label(), "Rotate 2 parts");
    let mirror = Edit::ScaleParts { parts: vec![h1], about, x: -1.0, y: 1.0 };
    assert_eq!(mirror.apply(&whole).unwrap().holes[0].at, (50.0, 0.0).into());
    assert_eq!(mirror.label(), "Mirror hole");
    let flat = Edit::ScaleParts { parts: vec![h1], about, x: 0.0, y: 1.0 };
    assert!(flat.apply(&whole).is_err());
    let nodes = [3, 4, 5].map(|id| PartId::Node(NodeId(id))).to_vec();
    let lined = Edit::AlignParts { parts: nodes.clone(), to: Alignment::Bottom };
    let lined = lined.apply(&whole).unwrap();
    assert!([3, 4, 5].iter().all(|id| node(&lined, *id).at.y == -12.0));
    let spaced = Edit::DistributeParts { parts: nodes, up: true }.apply(&whole).unwrap();
    let heights: Vec<f64> = [3, 4, 5].map(|id| node(&spaced, id).at.y).to_vec();
    assert_eq!(heights, [-12.0, 0.5, 13.0]);
    assert!(
        refused(Edit::AlignParts { parts: vec![n5], to: Alignment::Left })
            .contains("select at least 2")
    );
    let moved = Edit::MoveParts { parts: vec![n5, h1], by: Vec2::new(2.0, 1.0) };
    assert_eq!(moved.apply(&whole).unwrap().holes[0].at, (152.0, 1.0).into());
}

#[test]
fn a_copied_run_is_laid_into_the_outline_elsewhere() {
    let notch = Edit::InsertNotch {
        stretch: NodeId(2),
        t: 0.3,
        diameter_mm: 12.0,
        depth_mm: 4.0,
        lip_radius_mm: 1.0,
    };
    let notched = notch.apply(&knife()).unwrap();
    // The notch and a little of the belly on both its sides.
    let at = notched.profile.index_of(NodeId(2)).unwrap();
    let end = notched.profile.index_of(NodeId(3)).unwrap();
    let run: Vec<Node> = notched.profile.nodes[at + 1..end].to_vec();
    let paste = Edit::PasteStretch { stretch: NodeId(2), t: 0.7, nodes: run.clone() };
    let twice = paste.apply(&knife()).unwrap();
    let lost = |k: &Knife| shape(&knife()).area() - shape(k).area();
    assert!((lost(&twice) - lost(&notched)).abs() < 1e-3, "{} {}", lost(&twice), lost(&notched));
    assert!(shape(&twice).contacts().is_empty());
    assert_eq!(twice.profile.tip, Some(NodeId(1)));
    let paste = Edit::PasteStretch { stretch: NodeId(2), t: 0.02, nodes: run[..1].to_vec() };
    assert!(paste.apply(&knife()).is_err());
}

#[test]
fn dimensions_go_along_with_what_they_are_taken_from() {
    let on = Anchor::Outline { stretch: NodeId(1), t: 0.5 };
    let place = shape(&knife()).segs()[0].eval(0.5);
    let kept = done(Edit::AddDimension(Dimension::Distance(on, Anchor::Node(NodeId(4)))));
    let kept = Edit::AddDimension(Dimension::ToEdge(
        Anchor::Place(Point::new(150.0, 0.0)),
        Boundary::Stretch(NodeId(4)),
    ))
    .apply(&kept)
    .unwrap();
    assert_eq!(kept.dimensions.len(), 2);
    // A new node divides the stretch: the place stays where it was.
    let added = Edit::AddNode { stretch: NodeId(1), t: 0.3 }.apply(&kept).unwrap();
    let [Anchor::Outline { stretch, t }, _] = added.dimensions[0].anchors()[..] else { panic!() };
    let i = added.profile.index_of(stretch).unwrap();
    assert!(shape(&added).point_at(i, t).distance(place) < 1e-6);
    // A node that goes takes its dimensions with it; the blank turned takes its places along.
    let gone = Edit::RemoveNode(NodeId(4)).apply(&kept).unwrap();
    assert!(gone.dimensions.is_empty());
    let turned = Edit::Shift(Vec2::new(5.0, 0.0)).apply(&kept).unwrap();
    assert_eq!(turned.dimensions[1].anchors(), [Anchor::Place(Point::new(155.0, 0.0))]);
    assert_eq!(Edit::ClearDimensions.apply(&kept).unwrap(), knife());
    assert!(Edit::RemoveDimension(7).apply(&kept).is_err());
    let bad = Dimension::Radius(Anchor::Hole(HoleId(9)));
    assert!(Edit::AddDimension(bad).apply(&kept).is_err());
    let PathSeg::Cubic(_) = shape(&kept).segs()[0] else { panic!() };
}
