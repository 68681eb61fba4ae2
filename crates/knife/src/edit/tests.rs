//! Each edit does what it says, or refuses and leaves the knife as it was.

use super::*;
use crate::{History, Node};
use proptest::prelude::*;

/// A blank-like ring of curves and lines: tip, spine, butt, belly.
fn knife() -> Knife {
    let node =
        |id, at: (f64, f64), handle_in: Option<(f64, f64)>, handle_out: Option<(f64, f64)>| Node {
            id: NodeId(id),
            at: at.into(),
            handle_in: handle_in.map(Point::from),
            handle_out: handle_out.map(Point::from),
            smooth: false,
        };
    let mut knife = Knife::empty();
    knife.profile.nodes = vec![
        node(1, (0.0, 0.0), Some((10.0, 8.0)), Some((20.0, -12.0))),
        node(2, (90.0, -14.0), Some((60.0, -14.0)), None),
        node(3, (200.0, -12.0), None, None),
        node(4, (200.0, 12.0), None, Some((150.0, 12.0))),
        node(5, (90.0, 13.0), Some((120.0, 13.0)), Some((60.0, 13.0))),
    ];
    knife.profile.nodes[4].smooth = true;
    knife.profile.tip = Some(NodeId(1));
    knife.profile.heel = Some(NodeId(2));
    knife
}

fn done(edit: Edit) -> Knife {
    edit.apply(&knife()).unwrap()
}

fn refused(edit: Edit) -> String {
    edit.apply(&knife()).unwrap_err().to_string()
}

fn node(knife: &Knife, id: u32) -> &Node {
    knife.profile.node(NodeId(id)).unwrap()
}

#[test]
fn a_moved_node_takes_its_handles_along() {
    let moved = done(Edit::PlaceNode { node: NodeId(5), to: (91.0, 15.0).into() });
    assert_eq!(node(&moved, 5).handle_out, Some((61.0, 15.0).into()));
    let both = Edit::MoveNodes { nodes: vec![NodeId(1), NodeId(3)], by: (1.0, 0.0).into() };
    assert_eq!(node(&done(both.clone()), 3).at, (201.0, -12.0).into());
    assert_eq!(both.words(), "Move 2 nodes");
    assert!(
        refused(Edit::PlaceNode { node: NodeId(5), to: (f64::NAN, 0.0).into() })
            .contains("must lie between")
    );
    assert!(refused(Edit::RemoveNode(NodeId(77))).contains("no longer there"));
}

#[test]
fn the_other_handle_of_a_smooth_node_stays_in_line() {
    let to = Point::new(60.0, 20.0);
    let turned = done(Edit::MoveHandle { node: NodeId(5), side: HandleSide::Out, to });
    let node = node(&turned, 5);
    let (into, out) = (node.at - node.handle_in.unwrap(), to - node.at);
    assert!(into.cross(out).abs() < 1e-9 && into.dot(out) > 0.0);
    assert!((into.hypot() - 30.0).abs() < 1e-9, "its length is kept");
    assert!(
        refused(Edit::MoveHandle { node: NodeId(3), side: HandleSide::In, to })
            .contains("straight")
    );
}

#[test]
fn an_added_node_changes_no_shape_and_can_be_removed_again() {
    let area = |k: &Knife| k.profile.outline().unwrap().area();
    for stretch in 1..=5 {
        let added = done(Edit::AddNode { stretch: NodeId(stretch), t: 0.3 });
        assert_eq!(added.profile.nodes.len(), 6);
        assert!((area(&added) - area(&knife())).abs() < 1e-9);
        let removed = Edit::RemoveNode(NodeId(6)).apply(&added).unwrap();
        assert_eq!(removed.profile.nodes.len(), 5);
        assert!((area(&removed) - area(&knife())).abs() < 0.5, "stretch {stretch}");
        assert_eq!(removed.profile.tip, Some(NodeId(1)));
    }
    assert!(refused(Edit::AddNode { stretch: NodeId(1), t: 1.0 }).contains("between"));
    assert!(refused(Edit::RemoveNode(NodeId(1))).contains("marked as the tip"));
}

#[test]
fn straight_and_bent() {
    let straight = done(Edit::Straighten { stretch: NodeId(5) });
    assert_eq!(node(&straight, 5).handle_out, None);
    assert_eq!(node(&straight, 1).handle_in, None);
    let bent = done(Edit::Bend { stretch: NodeId(3) });
    assert_eq!(node(&bent, 3).handle_out, Some((200.0, -4.0).into()));
    let smooth = done(Edit::MakeSmooth(NodeId(3)));
    assert!(node(&smooth, 3).smooth && node(&smooth, 3).handle_in.is_some());
}

#[test]
fn a_rounded_corner_keeps_the_other_nodes_names() {
    let rounded = done(Edit::RoundCorner { node: NodeId(3), radius_mm: 5.0 });
    let names: Vec<u32> = rounded.profile.nodes.iter().map(|n| n.id.0).collect();
    assert!([1, 2, 4, 5].iter().all(|id| names.contains(id)) && !names.contains(&3), "{names:?}");
    let (whole, cut) = (knife(), rounded);
    let lost = whole.profile.outline().unwrap().area() - cut.profile.outline().unwrap().area();
    // What a round tool leaves in a square corner, r²(1 − π/4), here for a corner of
    // 91.04°; a closed form within the corner's small lean.
    let square = 25.0 * (1.0 - std::f64::consts::FRAC_PI_4);
    assert!((lost - square).abs() < 0.05 * square, "{lost} {square}");
    assert!(Edit::RoundCorner { node: NodeId(3), radius_mm: 500.0 }.apply(&whole).is_err());
}

#[test]
fn the_whole_knife_turns_with_all_that_is_on_it() {
    let mut start = knife();
    start.scales = Some(Scales { front_x_mm: 110.0, thickness_mm: 6.35 });
    start = Edit::AddHole {
        name: String::new(),
        kind: HoleKind::Pin,
        at: (150.0, 0.0).into(),
        diameter_mm: 3.2639,
        drill: Some("#30".into()),
        pin_mm: None,
    }
    .apply(&start)
    .unwrap();
    let mirrored = Edit::MirrorAlong.apply(&start).unwrap();
    assert_eq!(mirrored.holes[0].at.x, 50.0);
    assert_eq!(mirrored.scales.unwrap().front_x_mm, 90.0);
    assert_eq!(Edit::MirrorAlong.apply(&mirrored).unwrap(), start);
    let half = Edit::ScaleToLength(100.0).apply(&start).unwrap();
    assert!((half.profile.outline().unwrap().bounds().width() - 100.0).abs() < 1e-9);
    assert_eq!(half.holes[0].diameter_mm, 3.2639, "a drill is a drill");
    assert!(Edit::ScaleToLength(0.0).apply(&start).is_err());
    assert!(Edit::Turn(10.0).apply(&Knife::empty()).is_err());
}

fn any_edit() -> impl Strategy<Value = Edit> {
    let id = || (0u32..8).prop_map(NodeId);
    let hole = || (0u32..4).prop_map(HoleId);
    let at = || (-50.0..250.0f64, -30.0..30.0f64).prop_map(Point::from);
    prop_oneof![
        (id(), at()).prop_map(|(node, to)| Edit::PlaceNode { node, to }),
        (id(), at(), any::<bool>()).prop_map(|(node, to, into)| Edit::MoveHandle {
            node,
            side: if into { HandleSide::In } else { HandleSide::Out },
            to
        }),
        (id(), -0.1..1.1f64).prop_map(|(stretch, t)| Edit::AddNode { stretch, t }),
        id().prop_map(Edit::RemoveNode),
        id().prop_map(Edit::MakeSmooth),
        id().prop_map(Edit::MakeCorner),
        id().prop_map(|stretch| Edit::Straighten { stretch }),
        id().prop_map(|stretch| Edit::Bend { stretch }),
        (id(), 0.1..30.0f64).prop_map(|(node, radius_mm)| Edit::RoundCorner { node, radius_mm }),
        id().prop_map(Edit::MarkTip),
        Just(Edit::MirrorAcross),
        (-90.0..90.0f64).prop_map(Edit::Turn),
        (1.0..400.0f64).prop_map(Edit::ScaleToLength),
        at().prop_map(|at| Edit::AddHole {
            name: String::new(),
            kind: HoleKind::Relief,
            at,
            diameter_mm: 6.35,
            drill: None,
            pin_mm: None
        }),
        (hole(), at()).prop_map(|(hole, to)| Edit::MoveHole { hole, to }),
        hole().prop_map(Edit::RemoveHole),
        "[a-z]{0,6}".prop_map(Edit::Rename),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_edits_undone_give_the_first_knife_byte_for_byte(
        edits in prop::collection::vec((any_edit(), 0..4u8), 1..30),
    ) {
        let first = crate::file::save(&knife());
        let mut history = History::new(knife());
        for (edit, way) in &edits {
            // A few as drags, some of them cancelled; a refusal leaves no step.
            let steps = history.past().len();
            match way {
                0 => {
                    history.begin();
                    let _ = history.preview(std::slice::from_ref(edit));
                    let _ = history.preview(std::slice::from_ref(edit));
                    history.commit();
                }
                1 => {
                    let before = history.knife().clone();
                    history.begin();
                    let _ = history.preview(std::slice::from_ref(edit));
                    history.cancel();
                    prop_assert!(*before == **history.knife());
                }
                _ => { let _ = history.edit(edit); }
            }
            prop_assert!(history.past().len() <= steps + 1);
            let knife = history.knife();
            prop_assert!(knife.profile.outline().is_ok(), "the outline stays closed");
            let read = crate::file::open(&crate::file::save(knife)).unwrap();
            prop_assert!(read.faults.is_empty() && read.knife == **knife);
        }
        let last = crate::file::save(history.knife());
        let mut undone = 0;
        while history.done_label().is_some() { history.undo(); undone += 1; }
        prop_assert_eq!(crate::file::save(history.knife()), first);
        for _ in 0..undone { history.redo(); }
        prop_assert_eq!(crate::file::save(history.knife()), last);
    }
}

#[test]
fn a_drag_is_one_step_and_moves_by_its_total() {
    let mut history = History::new(knife());
    history.begin();
    for i in 1..=8 {
        let by = (f64::from(i), 0.0).into();
        history.preview(&[Edit::MoveNodes { nodes: vec![NodeId(1)], by }]).unwrap();
    }
    history.commit();
    assert_eq!(history.past().len(), 1);
    assert_eq!(history.done_label(), Some("Move node"));
    assert_eq!(node(history.knife(), 1).at.x, 8.0);
    history.undo();
    assert_eq!(**history.knife(), knife());
    assert_eq!(history.undone_label(), Some("Move node"));
}
