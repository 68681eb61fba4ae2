//! Each edit does what it says, or refuses and leaves the knife as it was.

use super::*;
use crate::{History, Node, NodeKind, Severity};
use proptest::prelude::*;

/// A blank-like ring of curves and lines: tip, spine, butt, belly.
pub(super) fn knife() -> Knife {
    let node =
        |id, at: (f64, f64), handle_in: Option<(f64, f64)>, handle_out: Option<(f64, f64)>| Node {
            id: NodeId(id),
            at: at.into(),
            handle_in: handle_in.map(Point::from),
            handle_out: handle_out.map(Point::from),
            kind: NodeKind::Corner,
        };
    let mut knife = Knife::empty();
    knife.profile.nodes = vec![
        node(1, (0.0, 0.0), Some((10.0, 8.0)), Some((20.0, -12.0))),
        node(2, (90.0, -14.0), Some((60.0, -14.0)), None),
        node(3, (200.0, -12.0), None, None),
        node(4, (200.0, 12.0), None, Some((150.0, 12.0))),
        node(5, (90.0, 13.0), Some((120.0, 13.0)), Some((60.0, 13.0))),
    ];
    knife.profile.nodes[4].kind = NodeKind::Smooth;
    knife.profile.tip = Some(NodeId(1));
    knife.profile.heel = Some(NodeId(2));
    knife
}

pub(super) fn done(edit: Edit) -> Knife {
    edit.apply(&knife()).unwrap()
}

pub(super) fn refused(edit: Edit) -> String {
    edit.apply(&knife()).unwrap_err().to_string()
}

pub(super) fn node(knife: &Knife, id: u32) -> &Node {
    knife.profile.node(NodeId(id)).unwrap()
}

#[test]
fn a_moved_node_takes_its_handles_along() {
    let moved = done(Edit::PlaceNode { node: NodeId(5), to: (91.0, 15.0).into() });
    assert_eq!(node(&moved, 5).handle_out, Some((61.0, 15.0).into()));
    let both = Edit::MoveNodes { nodes: vec![NodeId(1), NodeId(3)], by: (1.0, 0.0).into() };
    assert_eq!(node(&done(both.clone()), 3).at, (201.0, -12.0).into());
    assert_eq!(both.label(), "Move 2 nodes");
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
fn chain_drilling_is_chosen_within_what_drills_do() {
    let chosen = ChainDrilling::default_for(LengthUnit::Millimetre);
    assert_eq!(knife().cutting(), ChainDrilling::default_for(knife().unit));
    assert_eq!(done(Edit::SetCutting(Some(chosen.clone()))).cutting(), chosen);
    let bad = ChainDrilling { leave_mm: -0.1, ..chosen };
    assert!(refused(Edit::SetCutting(Some(bad))).contains("a leave of -0.1"));
}

#[test]
fn straight_and_bent() {
    let straight = done(Edit::Straighten { stretch: NodeId(5) });
    assert_eq!(node(&straight, 5).handle_out, None);
    assert_eq!(node(&straight, 1).handle_in, None);
    let bent = done(Edit::Bend { stretch: NodeId(3) });
    assert_eq!(node(&bent, 3).handle_out, Some((200.0, -4.0).into()));
    let smooth = done(Edit::MakeSmooth(NodeId(3)));
    assert!(node(&smooth, 3).kind.is_smooth() && node(&smooth, 3).handle_in.is_some());
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

fn notch(stretch: u32, t: f64, diameter_mm: f64, lip_radius_mm: f64) -> Edit {
    let stretch = NodeId(stretch);
    Edit::InsertNotch { stretch, t, diameter_mm, depth_mm: diameter_mm / 2.0, lip_radius_mm }
}

#[test]
fn a_notch_takes_half_its_disc_and_no_mark() {
    let area = |k: &Knife| k.profile.outline().unwrap().area();
    // On the straight belly behind the heel; a sharpening notch loses half a disc, π r²/2.
    let cut = done(notch(2, 0.5, 6.0, 0.0));
    let lost = area(&knife()) - area(&cut);
    assert!((lost - 4.5 * std::f64::consts::PI).abs() < 1e-3, "{lost}");
    let (tip, heel) = (cut.profile.tip, cut.profile.heel);
    assert_eq!((tip, heel), (Some(NodeId(1)), Some(NodeId(2))));
    for id in 1..=5 {
        assert_eq!(node(&cut, id).at, node(&knife(), id).at, "the other nodes keep their names");
    }
    assert_eq!(node(&cut, 5), node(&knife(), 5));
    assert!(area(&done(notch(2, 0.5, 6.0, 1.0))) < area(&cut));
    assert_eq!(notch(2, 0.5, 6.0, 0.0).label(), "Cut groove or choil");

    // 2 mm behind the heel a circle of 6 mm takes it away: the edge ends 1 mm ahead of it, at the
    // notch's lip. So it does a little ahead of the heel; far ahead the heel stays. 3.1 mm behind
    // it the circle doesn't reach it.
    let heel_of = |k: &Knife| k.profile.node(k.profile.heel.unwrap()).unwrap().at;
    let heel = heel_of(&knife());
    let over = done(notch(2, 2.0 / 110.0, 6.0, 0.0));
    assert!((heel_of(&over).distance(heel) - 1.0).abs() < 0.05, "{:?}", heel_of(&over));
    assert!(heel_of(&over).x < heel.x);
    let ahead = done(notch(1, 0.95, 6.0, 0.0));
    let lip = heel_of(&ahead);
    assert!(lip.x < heel.x - 3.0 && lip.x > heel.x - 15.0, "{lip:?}");
    assert_eq!(heel_of(&done(notch(1, 0.4, 6.0, 0.0))), heel);
    assert!(done(notch(2, 3.1 / 110.0, 6.0, 0.0)).profile.index_of(NodeId(2)).is_some());
    assert!(refused(notch(2, 0.5, 60.0, 0.0)).contains("meets the outline again"));
    assert!(refused(notch(2, 0.5, 0.0, 0.0)).contains("must lie between"));
    assert!(refused(notch(2, 2.0, 6.0, 0.0)).contains("place on a segment"));
    // Over an unmarked corner: the corner goes.
    let corner = done(notch(3, 0.05, 6.0, 0.0));
    assert!(corner.profile.node(NodeId(3)).is_none());
}

#[test]
fn notches_anywhere_on_every_starter_are_sound_or_refused() {
    let (mut cut, mut not) = (0, 0);
    for starter in crate::STARTERS {
        let knife = starter.knife();
        let whole = knife.profile.outline().unwrap();
        for (i, start) in knife.profile.nodes.iter().enumerate() {
            let (diameter_mm, lip) = ([3.0, 8.0, 20.0][i % 3], [0.0, 1.0][i % 2]);
            for t in [0.0, 0.37, 0.8] {
                let edit = notch(start.id.0, t, diameter_mm, lip);
                let Ok(notched) = edit.apply(&knife) else {
                    not += 1;
                    continue;
                };
                cut += 1;
                let outline = notched.profile.outline().unwrap();
                let lost = whole.area() - outline.area();
                let disc = std::f64::consts::PI * diameter_mm * diameter_mm / 4.0;
                assert!(lost > 0.0 && lost < disc, "{} {edit:?} {lost}", starter.key);
                assert!(outline.contacts().is_empty(), "{} {edit:?}", starter.key);
                assert_eq!(notched.profile.tip, knife.profile.tip);
            }
        }
    }
    // One over the heel is cut: the heel then moves to its lip.
    assert!(cut > 200 && not > 10, "{cut} cut, {not} refused");
}

#[test]
fn rows_of_holes_are_even_and_centred_holes_stay() {
    let add = |x: f64, y: f64| Edit::AddHole {
        name: "pin".into(),
        kind: HoleKind::Pin,
        at: (x, y).into(),
        diameter_mm: 4.7625,
        drill: Some("3/16".into()),
        pin_mm: None,
    };
    let start = add(180.0, 5.0).apply(&done(add(120.0, -1.0))).unwrap();
    let row = |from, to, count| Edit::AddHoleRow {
        from: HoleId(from),
        to: HoleId(to),
        count,
        kind: HoleKind::Relief,
        diameter_mm: 6.35,
        drill: Some("1/4".into()),
        pin_mm: None,
    };
    let three = row(1, 2, 3).apply(&start).unwrap();
    let places: Vec<Point> = three.holes.iter().map(|hole| hole.at).collect();
    let expected = [(120., -1.), (180., 5.), (135., 0.5), (150., 2.), (165., 3.5)];
    assert_eq!(places, expected.map(Point::from));
    assert_eq!(row(1, 2, 3).label(), "Add 3 relief holes");
    assert!(row(1, 1, 3).apply(&start).is_err() && row(1, 9, 3).apply(&start).is_err());
    assert!(row(1, 2, 0).apply(&start).is_err() && row(1, 2, 101).apply(&start).is_err());

    // At x = 150 the belly's line from (90, −14) to (200, −12) lies at −14 + 2·60/110.
    let mut turned = three;
    let centred = Edit::CentreHole(HoleId(4)).apply(&turned).unwrap();
    let at = centred.hole(HoleId(4)).unwrap().at;
    let outline = centred.profile.outline().unwrap();
    let (lower, upper) = outline.chord(at, (0.0, 1.0).into()).unwrap();
    assert!((lower.y - (-14.0 + 120.0 / 110.0)).abs() < 1e-12 && (at.x - 150.0).abs() < 1e-12);
    assert!((upper.y - at.y - (at.y - lower.y)).abs() < 1e-12);
    assert_eq!(Edit::CentreHole(HoleId(4)).apply(&centred).unwrap(), centred);
    // Turned on the bar, square to the bar is no longer along y.
    turned.bar.placement.turn_deg = 10.0;
    let leaning = Edit::CentreHole(HoleId(4)).apply(&turned).unwrap();
    let by = leaning.hole(HoleId(4)).unwrap().at - Point::new(150.0, 2.0);
    assert!((by.y.atan2(by.x).rem_euclid(std::f64::consts::PI).to_degrees() - 80.0).abs() < 1e-6);
    let off = Edit::MoveHole { hole: HoleId(4), to: (150.0, 60.0).into() }.apply(&turned).unwrap();
    assert!(Edit::CentreHole(HoleId(4)).apply(&off).is_err());
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

fn part() -> impl Strategy<Value = PartId> {
    prop_oneof![
        (0u32..8).prop_map(|id| PartId::Node(NodeId(id))),
        (0u32..4).prop_map(|id| PartId::Hole(HoleId(id))),
        Just(PartId::Bar),
        Just(PartId::Profile),
        Just(PartId::Scales),
    ]
}

#[test]
fn a_finding_is_set_aside_for_a_reason_and_goes_with_its_part() {
    let add = |at: (f64, f64)| Edit::AddHole {
        name: String::new(),
        kind: HoleKind::Pin,
        at: at.into(),
        diameter_mm: 3.0,
        drill: None,
        pin_mm: None,
    };
    let two = add((180.0, 0.0)).apply(&done(add((150.0, 0.0)))).unwrap();
    let parts = vec![PartId::Hole(HoleId(2)), PartId::Hole(HoleId(1))];
    let aside = |reason: &str| SetAside {
        rule: "of-a-later-version".into(),
        parts: parts.clone(),
        severity: Some(Severity::Stop),
        measured_mm: Some(1.25),
        limit_mm: Some(3.0),
        reason: reason.into(),
    };
    assert!(Edit::SetAside(aside("  ")).apply(&two).unwrap_err().to_string().contains("reason"));
    let set = Edit::SetAside(aside(" soft tang ")).apply(&two).unwrap();
    let set = Edit::SetAside(aside("soft tang, drawn back")).apply(&set).unwrap();
    assert_eq!(set.set_aside.len(), 1, "a second reason takes the place of the first");
    assert_eq!(set.set_aside[0].reason, "soft tang, drawn back");
    assert!(set.set_aside[0].applies_to("of-a-later-version", &[parts[1], parts[0]]));
    let file = crate::file::save(&set);
    assert!(String::from_utf8_lossy(&file).contains(r#""parts": ["hole 1", "hole 2"]"#));
    let read = crate::file::open(&file).unwrap();
    assert!(read.faults.is_empty() && read.knife == set, "kept, though the rule isn't known");

    // A hole made later may get the old one's number; it doesn't come by its reason.
    let less = Edit::RemoveHole(HoleId(2)).apply(&set).unwrap();
    assert!(less.set_aside.is_empty());
    assert!(Edit::SetAside(aside("x")).apply(&less).is_err());
    let up = Edit::TakeUp { rule: "of-a-later-version".into(), parts }.apply(&set).unwrap();
    assert!(up.set_aside.is_empty());
}

pub(super) fn any_edit() -> impl Strategy<Value = Edit> {
    let id = || (0u32..8).prop_map(NodeId);
    let hole = || (0u32..4).prop_map(HoleId);
    let at = || (-50.0..250.0f64, -30.0..30.0f64).prop_map(Point::from);
    prop_oneof![
        (id(), at()).prop_map(|(node, to)| Edit::PlaceNode { node, to }),
        (any::<bool>(), 0.0..12.0f64, 0.0..3.0f64).prop_map(|(set, drill_mm, bridge_mm)| {
            let drill = set.then(|| "1/8".to_owned());
            let cutting = ChainDrilling { drill_mm, drill, bridge_mm, leave_mm: 0.5 };
            Edit::SetCutting((set || drill_mm > 6.0).then_some(cutting))
        }),
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
        (id(), -0.1..1.1f64, 0.5..30.0f64, 0.1..0.9f64, prop_oneof![Just(0.0), 0.1..3.0f64])
            .prop_map(|(stretch, t, diameter_mm, deep, lip_radius_mm)| Edit::InsertNotch {
                stretch,
                t,
                diameter_mm,
                depth_mm: deep * diameter_mm,
                lip_radius_mm
            }),
        (hole(), hole(), 0..5usize).prop_map(|(from, to, count)| Edit::AddHoleRow {
            from,
            to,
            count,
            kind: HoleKind::Relief,
            diameter_mm: 6.35,
            drill: None,
            pin_mm: None
        }),
        hole().prop_map(Edit::CentreHole),
        prop::collection::vec(at(), 0..4).prop_map(|at| {
            Edit::AddReliefRow(ReliefRow { at, diameter_mm: 6.35, drill: None })
        }),
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
        (part(), "[a-z ]{0,6}", prop::option::of(-1.0..9.0f64)).prop_map(
            |(part, reason, measured_mm)| Edit::SetAside(SetAside {
                rule: "web-to-edge".into(),
                parts: vec![part, PartId::Bar],
                severity: None,
                measured_mm,
                limit_mm: None,
                reason,
            })
        ),
        part().prop_map(|part| Edit::TakeUp {
            rule: "web-to-edge".into(),
            parts: vec![PartId::Bar, part],
        }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_edits_undone_give_the_first_knife_byte_for_byte(
        edits in prop::collection::vec((prop_oneof![any_edit(), strategies::rest()], 0..4u8), 1..30),
    ) {
        let first = crate::file::save(&knife());
        let mut history = History::new(knife());
        for (edit, direction) in &edits {
            // A few as drags, some of them cancelled; a refusal leaves no step.
            let steps = history.past().len();
            match direction {
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
        while history.undo_label().is_some() { history.undo(); undone += 1; }
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
    assert_eq!(history.undo_label(), Some("Move node"));
    assert_eq!(node(history.knife(), 1).at.x, 8.0);
    history.undo();
    assert_eq!(**history.knife(), knife());
    assert_eq!(history.redo_label(), Some("Move node"));
}

#[test]
fn a_profile_shorter_than_any_blank_is_refused_and_may_be_mended() {
    assert!(refused(Edit::ScaleToLength(4.0)).contains("between 5 and 3000"));
    let mut tiny = knife().profile;
    for node in &mut tiny.nodes {
        (node.at, node.handle_in, node.handle_out) =
            ((node.at.to_vec2() * 1e-5).to_point(), None, None);
    }
    let message = refused(Edit::TakeProfile(tiny.clone()));
    assert!(message.contains("0.002 mm long") && message.contains("at least 5 mm"), "{message}");
    // One that was opened so can be scaled to what was meant, and moved meanwhile.
    let opened = Knife { profile: tiny, ..knife() };
    assert!(Edit::ScaleToLength(200.0).apply(&opened).is_ok());
    assert!(Edit::Rename("A".into()).apply(&opened).is_ok());
    assert!(
        Edit::TakeProfile(Profile { nodes: vec![], tip: None, heel: None }).apply(&opened).is_err()
    );
    let one = Profile { nodes: vec![knife().profile.nodes[0].clone()], tip: None, heel: None };
    assert!(refused(Edit::TakeProfile(one)).contains("no outline"));
}

/// The knife is 200 mm long and some 27 mm wide.
#[test]
fn grind_line_and_swedge_go_no_higher_than_the_profile() {
    let bevel = |grind_height_mm| Bevel {
        plunge_x_mm: 90.0,
        grind_height_mm,
        edge_thickness_mm: 0.5,
        ..Bevel::default()
    };
    let swedge = |height_mm| Swedge { from_x_mm: 60.0, height_mm, thickness_mm: 1.0 };
    for height_mm in [30.0, 100.0, 500.0] {
        for edit in
            [Edit::SetBevel(Some(bevel(height_mm))), Edit::SetSwedge(Some(swedge(height_mm)))]
        {
            let message = refused(edit);
            assert!(message.contains("more than the whole profile, which is 2"), "{message}");
        }
    }
    let ground = Edit::SetBevel(Some(bevel(20.0))).apply(&knife()).unwrap();
    let ground = Edit::SetSwedge(Some(swedge(20.0))).apply(&ground).unwrap();
    let heights =
        |knife: &Knife| (knife.bevel.unwrap().grind_height_mm, knife.swedge.unwrap().height_mm);
    // Scaled they go along, up to what the width allows.
    let half = Edit::ScaleToLength(100.0).apply(&ground).unwrap();
    let (a, b) = heights(&half);
    assert!((a - 10.0).abs() < 1e-9 && (b - 10.0).abs() < 1e-9);
    // A profile that becomes lower takes them along, so that its file is sound.
    let low = Edit::TakeProfile(half.profile.clone()).apply(&ground).unwrap();
    let width = half.profile.size_mm().unwrap().min_side();
    assert!(heights(&low).0 <= width + 1e-5 && heights(&low).0 > width - 1e-5);
    // Nor do they become lower than may be, however small the blank.
    let flat = Edit::SetBevel(Some(bevel(0.1))).apply(&ground).unwrap();
    let flat = Edit::SetSwedge(Some(swedge(0.1))).apply(&flat).unwrap();
    let small = Edit::ScaleToLength(5.0).apply(&flat).unwrap();
    assert_eq!(heights(&small), (0.1, 0.1));
    for knife in [&ground, &half, &low, &small] {
        assert_sound(knife);
    }
}

/// What a knife's file holds is all of it, and sound.
fn assert_sound(knife: &Knife) {
    let opened = crate::file::open(&crate::file::save(knife)).unwrap();
    assert!(opened.faults.is_empty() && opened.knife == *knife, "{:?}", opened.faults);
}

/// A second rounding beside a first one takes the whole of that with it, and the heel there.
#[test]
fn a_rounding_that_swallows_a_mark_is_refused() {
    let edits = [
        Edit::MarkTip(NodeId(3)),
        Edit::RoundCorner { node: NodeId(2), radius_mm: 0.1 },
        Edit::Straighten { stretch: NodeId(1) },
    ];
    let beside = edits.iter().fold(knife(), |knife, edit| edit.apply(&knife).unwrap());
    assert_eq!(beside.profile.heel, Some(NodeId(7)));
    let rounded = Edit::RoundCorner { node: NodeId(6), radius_mm: 0.1 }.apply(&beside);
    let message = rounded.unwrap_err().to_string();
    assert!(message.contains("would take the heel away"), "{message}");
}

#[test]
fn nothing_is_carried_farther_than_a_file_may_say() {
    let far = 9.0e6;
    let bevel = Bevel { plunge_x_mm: far, grind_height_mm: 10.0, ..Bevel::default() };
    let knives = [
        Edit::SetBevel(Some(bevel)).apply(&knife()),
        Edit::SetTaper(Some(Taper { from_x_mm: far, tip_mm: 1.0 })).apply(&knife()),
        Edit::SetScales(Some(Scales { front_x_mm: far, thickness_mm: 6.0 })).apply(&knife()),
    ];
    for knife in knives.map(Result::unwrap) {
        assert_sound(&knife);
        let carried = Edit::Shift(Vec2::new(2.0e6, 0.0)).apply(&knife).unwrap_err().to_string();
        assert!(carried.contains("coordinate"), "{carried}");
        assert_sound(&Edit::Shift(Vec2::new(0.5e6, 0.0)).apply(&knife).unwrap());
    }
}

#[test]
fn no_edit_takes_a_text_that_the_file_refuses() {
    let drill = Some("x".repeat(201));
    let hole = |drill| Edit::AddHole {
        name: String::new(),
        kind: HoleKind::Pin,
        at: (150.0, 0.0).into(),
        diameter_mm: 3.0,
        drill,
        pin_mm: None,
    };
    let drilled = hole(None).apply(&knife()).unwrap();
    let id = drilled.holes[0].id;
    let size = Edit::SizeHole { hole: id, diameter_mm: 3.0, drill: drill.clone(), pin_mm: None };
    let row = ReliefRow { at: vec![(160.0, 0.0).into()], diameter_mm: 3.0, drill: drill.clone() };
    for edit in [hole(drill), size, Edit::AddReliefRow(row)] {
        let message = edit.apply(&drilled).unwrap_err().to_string();
        assert!(message.contains("drill's name may have at most 200"), "{message}");
    }
    let aside = |rule: &str| {
        Edit::SetAside(SetAside {
            rule: rule.into(),
            parts: vec![],
            severity: Some(Severity::Stop),
            measured_mm: None,
            limit_mm: None,
            reason: "meant so".into(),
        })
    };
    assert!(refused(aside("")).contains("rule"));
    assert!(refused(aside(" \t")).contains("rule"));
    assert!(aside("tip-thin").apply(&knife()).is_ok());
}

#[test]
fn limits_are_told_in_few_figures() {
    let message = refused(Edit::SetBar {
        grade: String::new(),
        width_mm: 1_016.000_000_000_000_1,
        thickness_mm: 3.0,
        length_mm: 300.0,
    });
    assert_eq!(message, "a bar width of 1016 is not possible; it must lie between 1 and 1000");
}

#[test]
fn another_outline_is_no_longer_the_traced_one() {
    let knife = crate::STARTERS[0].knife();
    let traced = Edit::SetTraced(Some(0.15)).apply(&knife).unwrap();
    assert_eq!(traced.traced_mm, Some(0.15));
    assert_eq!(Edit::SetTraced(None).apply(&traced).unwrap(), knife);
    let other = Edit::TakeProfile(crate::STARTERS[1].knife().profile).apply(&traced).unwrap();
    assert_eq!(other.traced_mm, None);
    for wrong in [0.0, -1.0, f64::NAN, 1e9] {
        assert!(Edit::SetTraced(Some(wrong)).apply(&knife).is_err());
    }
}

#[test]
fn the_picture_goes_with_the_whole_knife_and_stays_with_another_outline() {
    let knife = crate::STARTERS[0].knife();
    let placement = PicturePlacement::level(120.0);
    assert!(Edit::PlacePicture(placement).apply(&knife).is_err());
    let picture = Picture { path: "sketch.jpg".to_owned(), sum: 7, placement };
    let laid = Edit::SetPicture(Some(picture.clone())).apply(&knife).unwrap();
    assert_eq!(laid.picture.as_ref(), Some(&picture));
    let by = Vec2::new(12.0, -3.0);
    let moved = Edit::Shift(by).apply(&laid).unwrap();
    let at = moved.picture.unwrap().placement;
    assert_eq!(at, placement.transformed(kurbo::Affine::translate(by)));
    let drawn = Edit::DrawProfile(crate::STARTERS[1].knife().profile).apply(&laid).unwrap();
    assert_eq!(drawn.picture, laid.picture);
    assert_eq!(Edit::SetPicture(None).apply(&laid).unwrap(), knife);
    let nowhere = PicturePlacement { distortion: [f64::NAN, 0.0], ..placement };
    assert!(Edit::PlacePicture(nowhere).apply(&laid).is_err());
    let unnamed = Picture { path: String::new(), ..picture };
    assert!(Edit::SetPicture(Some(unnamed)).apply(&knife).is_err());
}
