//! Every edit there is has its turn in the law of undo.

use super::tests::any_edit;
use super::*;
use crate::{
    Anchor, BeltLoop, Boundary, Corner, FiledAmount, Filing, FilingTrial, FormedSheath, FrontCurve,
    Grind, GrindLine, Groove, GroundSides, Hand, Handle, HoleKind, LeatherSheath, NodeKind,
    OutlineSide, Pitch, ReferenceEdge, ReferenceEnd, STARTERS, ScallopSpacing, Sharpening, Sheath,
    SheathBody, Swedge, Taper, ThicknessAt, ThumbRamp,
};
use proptest::prelude::*;
use proptest::strategy::ValueTree as _;
use proptest::test_runner::TestRunner;
use std::collections::BTreeSet;

fn picture() -> impl Strategy<Value = Picture> {
    let tilt = || -0.3..0.3f64;
    ("[a-z]{1,6}\\.jpg", any::<u64>(), 20.0..300.0f64, tilt(), tilt(), -0.1..0.1f64).prop_map(
        |(path, sum, mm, along, up, k1)| {
            let mut placement = PicturePlacement::level(mm);
            placement.mm_from_view[2] = [along, up, 1.0];
            placement.distortion = [k1, 0.0];
            Picture { path, sum, placement }
        },
    )
}

/// The edits that [`any_edit`] leaves out.
pub(super) fn rest() -> impl Strategy<Value = Edit> {
    prop_oneof![6 => others(), 4 => drawing()]
}

/// Edits by which an outline is drawn and measured.
fn drawing() -> impl Strategy<Value = Edit> {
    let id = || (0u32..8).prop_map(NodeId);
    let hole = || (0u32..4).prop_map(HoleId);
    let at = || (-50.0..250.0f64, -30.0..30.0f64).prop_map(Point::from);
    let ids = || prop::collection::vec(id(), 0..4);
    let part = || prop_oneof![id().prop_map(PartId::Node), hole().prop_map(PartId::Hole)];
    let parts = || prop::collection::vec(part(), 0..4);
    let run = prop::collection::vec((at(), prop::option::of(at())), 0..4).prop_map(|nodes| {
        let node = |(i, (at, handle_out))| Node {
            id: NodeId(i),
            at,
            handle_in: None,
            handle_out,
            kind: NodeKind::Corner,
        };
        (0..).zip(nodes).map(node).collect::<Vec<_>>()
    });
    prop_oneof![
        id().prop_map(Edit::MakeSymmetric),
        id().prop_map(Edit::MakeCurvatureContinuous),
        (id(), 0.0..1.0f64, at()).prop_map(|(stretch, t, by)| Edit::PullStretch {
            stretch,
            t,
            by: by.to_vec2() / 20.0
        }),
        (id(), 1..6usize).prop_map(|(stretch, parts)| Edit::SplitStretch { stretch, parts }),
        ids().prop_map(Edit::RemoveNodes),
        (ids(), 0.01..2.0f64)
            .prop_map(|(nodes, tolerance_mm)| Edit::Simplify { nodes, tolerance_mm }),
        (ids(), 0.01..1.0f64)
            .prop_map(|(nodes, tolerance_mm)| Edit::FairNodes { nodes, tolerance_mm }),
        (id(), 0.0..1.0f64, run).prop_map(|(stretch, t, nodes)| Edit::PasteStretch {
            stretch,
            t,
            nodes
        }),
        (parts(), at()).prop_map(|(parts, by)| Edit::MoveParts { parts, by: by.to_vec2() }),
        (parts(), at(), -90.0..90.0f64).prop_map(|(parts, about, by_deg)| Edit::TurnParts {
            parts,
            about,
            by_deg
        }),
        (parts(), at(), 0.5..2.0f64, -2.0..2.0f64)
            .prop_map(|(parts, about, x, y)| Edit::ScaleParts { parts, about, x, y }),
        (parts(), prop::sample::select(Alignment::ALL.to_vec()))
            .prop_map(|(parts, to)| Edit::AlignParts { parts, to }),
        (parts(), any::<bool>()).prop_map(|(parts, up)| Edit::DistributeParts { parts, up }),
        prop::collection::vec((at(), 0.5..9.0f64), 0..3).prop_map(|holes| {
            let hole = |(at, diameter_mm)| Hole {
                id: HoleId(0),
                name: String::new(),
                kind: HoleKind::Relief,
                at,
                diameter_mm,
                drill: None,
                pin_mm: None,
            };
            Edit::AddHoles(holes.into_iter().map(hole).collect())
        }),
        dimension().prop_map(Edit::AddDimension),
        (0..3usize).prop_map(Edit::RemoveDimension),
        Just(Edit::ClearDimensions),
    ]
}

/// A dimension of any kind.
pub(crate) fn dimension() -> impl Strategy<Value = Dimension> {
    let id = || (0u32..8).prop_map(NodeId);
    let hole = || (0u32..4).prop_map(HoleId);
    let anchor = || {
        prop_oneof![
            (-50.0..250.0f64, -30.0..30.0f64).prop_map(|at| Anchor::Place(at.into())),
            id().prop_map(Anchor::Node),
            hole().prop_map(Anchor::Hole),
            (id(), 0.0..1.0f64).prop_map(|(stretch, t)| Anchor::Outline { stretch, t }),
        ]
    };
    let edge = || prop_oneof![id().prop_map(Boundary::Stretch), hole().prop_map(Boundary::Hole)];
    prop_oneof![
        (anchor(), anchor()).prop_map(|(a, b)| Dimension::Distance(a, b)),
        (anchor(), edge()).prop_map(|(a, b)| Dimension::ToEdge(a, b)),
        (edge(), edge()).prop_map(|(a, b)| Dimension::Gap(a, b)),
        (anchor(), anchor(), anchor()).prop_map(|(at, from, to)| Dimension::Angle { at, from, to }),
        anchor().prop_map(Dimension::Radius),
        (anchor(), anchor()).prop_map(|(a, b)| Dimension::Along(a, b)),
    ]
}

fn others() -> impl Strategy<Value = Edit> {
    let id = || (0u32..8).prop_map(NodeId);
    let hole = || (0u32..4).prop_map(HoleId);
    let at = || (-50.0..250.0f64, -30.0..30.0f64).prop_map(Point::from);
    let kinds = prop::sample::select(HoleKind::ALL.to_vec());
    let edges = prop::sample::select(vec![ReferenceEdge::Lower, ReferenceEdge::Upper]);
    let ends = prop::sample::select(vec![ReferenceEnd::Left, ReferenceEnd::Right]);
    let units = prop::sample::select(vec![LengthUnit::Inch, LengthUnit::Millimetre]);
    let words = || "[a-z]{0,6}";
    prop_oneof![
        words().prop_map(Edit::SetNotes),
        units.prop_map(Edit::SetUnit),
        prop::sample::select(Origin::ALL.to_vec()).prop_map(Edit::SetOrigin),
        prop::option::of(0.01..2.0f64).prop_map(Edit::SetTraced),
        prop::option::of(picture()).prop_map(Edit::SetPicture),
        picture().prop_map(|picture| Edit::PlacePicture(picture.placement)),
        (words(), 5.0..90.0f64, 1.0..9.0f64, 50.0..900.0f64).prop_map(
            |(grade, width_mm, thickness_mm, length_mm)| Edit::SetBar {
                grade,
                width_mm,
                thickness_mm,
                length_mm
            }
        ),
        (at(), -90.0..90.0f64).prop_map(|(at, turn_deg)| Edit::Place(Placement { at, turn_deg })),
        (edges, ends).prop_map(|(edge, end)| Edit::SetReference(Reference { edge, end })),
        (prop::collection::vec(id(), 0..3), at())
            .prop_map(|(nodes, by)| Edit::MoveNodes { nodes, by: by.to_vec2() }),
        id().prop_map(Edit::MarkHeel),
        (0..STARTERS.len()).prop_map(|which| Edit::TakeProfile(STARTERS[which].knife().profile)),
        (0..STARTERS.len()).prop_map(|which| Edit::DrawProfile(STARTERS[which].knife().profile)),
        prop::option::of(prop_oneof![
            (20.0..70.0f64).prop_map(Temper::Hardness),
            (100.0..700.0f64).prop_map(Temper::Heat),
        ])
        .prop_map(Edit::ChooseTemper),
        prop::option::of(prop::sample::select(Finish::ALL.to_vec())).prop_map(Edit::ChooseFinish),
        prop::option::of(prop::sample::select(Heating::ALL.to_vec())).prop_map(Edit::ChooseHeating),
        Just(Edit::MirrorAlong),
        at().prop_map(|by| Edit::Shift(by.to_vec2())),
        (hole(), 0.5..20.0f64, prop::option::of(1.0..20.0f64)).prop_map(
            |(hole, diameter_mm, pin_mm)| Edit::SizeHole { hole, diameter_mm, drill: None, pin_mm }
        ),
        (hole(), kinds).prop_map(|(hole, kind)| Edit::SetHoleKind { hole, kind }),
        (hole(), words()).prop_map(|(hole, name)| Edit::RenameHole { hole, name }),
        prop::option::of(bevel()).prop_map(Edit::SetBevel),
        grind_line().prop_map(Edit::SetGrindLine),
        prop::option::of((0.0..200.0f64, 0.0..5.0f64)).prop_map(|taper| Edit::SetTaper(
            taper.map(|(from_x_mm, tip_mm)| Taper { from_x_mm, tip_mm })
        )),
        prop::option::of((0.0..200.0f64, 0.5..20.0f64, 0.0..3.0f64)).prop_map(|swedge| {
            Edit::SetSwedge(swedge.map(|(from_x_mm, height_mm, thickness_mm)| Swedge {
                from_x_mm,
                height_mm,
                thickness_mm,
            }))
        }),
        prop::option::of(filing()).prop_map(Edit::SetFiling),
        handle().prop_map(Edit::SetHandle),
        handle().prop_map(|handle| Edit::SetFront(handle.front)),
        handle().prop_map(|handle| Edit::SetLiners(handle.liners)),
        handle().prop_map(|handle| Edit::SetBolsters {
            front: handle.front_bolster,
            rear: handle.rear_bolster,
        }),
        (hole(), prop::option::of(fixing()))
            .prop_map(|(hole, fixing)| Edit::SetFixing { hole, fixing }),
        handle().prop_map(|handle| Edit::SetJimping(handle.jimping)),
        handle().prop_map(|handle| Edit::SetShaping(handle.shaping)),
        handle().prop_map(|handle| Edit::SetScallops(handle.scallops)),
        prop::option::of(sheath()).prop_map(Edit::SetSheath),
        prop::option::of((4.0..46.0f64, prop::option::of(0.0..1.0f64))).prop_map(|sharpening| {
            Edit::SetSharpening(
                sharpening.map(|(angle_deg, edge_mm)| Sharpening { angle_deg, edge_mm }),
            )
        }),
        prop::option::of((0.5..12.0f64, 0.1..5.0f64, 0.1..5.0f64)).prop_map(|cutting| {
            Edit::SetCutting(cutting.map(|(drill_mm, bridge_mm, leave_mm)| ChainDrilling {
                drill_mm,
                drill: None,
                bridge_mm,
                leave_mm,
            }))
        }),
        prop::option::of((0.0..200.0f64, 1.0..12.0f64)).prop_map(|scales| {
            Edit::SetScales(
                scales.map(|(front_x_mm, thickness_mm)| Scales { front_x_mm, thickness_mm }),
            )
        }),
    ]
}

/// A bevel of any shape.
pub(crate) fn bevel() -> impl Strategy<Value = Bevel> {
    let grinds = prop_oneof![
        Just(Grind::Flat),
        (20.0..900.0f64).prop_map(Grind::Hollow),
        (20.0..900.0f64).prop_map(Grind::Convex),
    ];
    let sides =
        prop::sample::select(vec![GroundSides::Both, GroundSides::Left, GroundSides::Right]);
    let lengths = (0.0..200.0f64, 0.5..40.0f64, 0.1..2.0f64);
    (lengths, grinds, sides, -30.0..30.0f64, 0.0..12.0f64).prop_map(
        |((plunge, height, edge), grind, sides, plunge_lean_deg, plunge_file_mm)| Bevel {
            plunge_x_mm: plunge,
            grind_height_mm: height,
            edge_thickness_mm: edge,
            grind,
            sides,
            plunge_lean_deg,
            plunge_file_mm,
        },
    )
}

/// A grind line of any kind.
pub(crate) fn grind_line() -> impl Strategy<Value = GrindLine> {
    let at = (0.0..100.0f64, 0.0..30.0f64).prop_map(Point::from);
    prop_oneof![
        Just(GrindLine::Height),
        Just(GrindLine::Spine),
        prop::collection::vec(at, 1..6).prop_map(GrindLine::Through),
    ]
}

/// Filing, timed or not.
pub(crate) fn filing() -> impl Strategy<Value = Filing> {
    let done = prop_oneof![
        (0.5..30.0f64).prop_map(FiledAmount::Height),
        (0.1..30.0f64).prop_map(FiledAmount::Grams),
    ];
    let timing = prop::option::of((1.0..60.0f64, done));
    (1..12u32, timing).prop_map(|(facets, timing)| Filing {
        facets,
        timing: timing.map(|(minutes, done)| FilingTrial { minutes, done }),
    })
}

fn fixing() -> impl Strategy<Value = Fixing> {
    prop_oneof![
        (1.0..9.0f64).prop_map(|bore_mm| Fixing::Tube { bore_mm }),
        (1.0..12.0f64, 1.0..5.0f64)
            .prop_map(|(head_mm, head_deep_mm)| Fixing::Screw { head_mm, head_deep_mm }),
    ]
}

/// A handle with any of its parts.
pub(crate) fn handle() -> impl Strategy<Value = Handle> {
    let name = || prop::option::of("[a-z]{1,6}");
    let mm = || prop::option::of(0.0..3.0f64);
    let made = (name(), name(), name(), mm(), mm(), mm(), mm()).prop_map(
        |(scales, right_scale, pins, glue, overhang_mm, allowance_mm, proud_mm)| Handle {
            scales,
            right_scale,
            pins,
            glue_mm: glue.map(|mm| mm / 2.0),
            overhang_mm,
            allowance_mm,
            proud_mm,
            ..Handle::default()
        },
    );
    let curve = prop_oneof![
        Just(FrontCurve::Straight),
        (1.0..90.0f64).prop_map(FrontCurve::Round),
        (1.0..90.0f64).prop_map(FrontCurve::Hollow),
    ];
    let front = (curve, -60.0..60.0f64, prop::option::of(0.0..80.0f64))
        .prop_map(|(curve, lean_deg, bevel_deg)| ScaleFront { curve, lean_deg, bevel_deg });
    let liners = prop::option::of((0.1..3.0f64, name())).prop_map(|liners| {
        liners.map(|(thickness_mm, material)| Liners { thickness_mm, material })
    });
    let bolster = || {
        prop::option::of((1.0..30.0f64, name())).prop_map(|bolster| {
            bolster.map(|(length_mm, material)| Bolster { length_mm, material })
        })
    };
    let fixings = prop::collection::btree_map((0u32..4).prop_map(HoleId), fixing(), 0..3);
    let more = (front, liners, bolster(), bolster(), fixings, prop::option::of(-90.0..90.0f64));
    let shaped = (prop::option::of(jimping()), shaping(), prop::option::of(scallops()));
    (made, more, shaped).prop_map(
        |(made, (front, liners, front_bolster, rear_bolster, fixings, grain_deg), shaped)| {
            let (jimping, shaping, scallops) = shaped;
            let fixings = fixings.into_iter().collect();
            Handle {
                front,
                liners,
                front_bolster,
                rear_bolster,
                fixings,
                grain_deg,
                jimping,
                shaping,
                scallops,
                ..made
            }
        },
    )
}

fn jimping() -> impl Strategy<Value = Jimping> {
    let sides = prop::sample::select(vec![OutlineSide::Spine, OutlineSide::Edge]);
    let pitch =
        prop_oneof![(0.2..9.0f64).prop_map(Pitch::Mm), (10.0..60.0f64).prop_map(Pitch::PerInch)];
    let groove =
        prop_oneof![(30.0..120.0f64).prop_map(Groove::Vee), (1.0..6.0f64).prop_map(Groove::Round)];
    (sides, 0.0..200.0f64, 0.0..200.0f64, pitch, 0.1..3.0f64, groove).prop_map(
        |(side, from_x_mm, to_x_mm, pitch, depth_mm, groove)| Jimping {
            side,
            from_x_mm,
            to_x_mm,
            pitch,
            depth_mm,
            groove,
        },
    )
}

fn shaping() -> impl Strategy<Value = Shaping> {
    let corner = prop_oneof![
        (0.1..5.0f64, 10.0..80.0f64)
            .prop_map(|(width_mm, angle_deg)| Corner::Chamfer { width_mm, angle_deg }),
        (0.1..5.0f64).prop_map(Corner::Round),
    ];
    let places = prop::collection::vec((0.0..200.0f64, 1.0..12.0f64), 0..4);
    (prop::option::of(corner), places, prop::option::of(60.0..120.0f64)).prop_map(
        |(corner, mut places, hand_mm)| {
            places.sort_by(|a, b| a.0.total_cmp(&b.0));
            let place = |(x_mm, thickness_mm)| ThicknessAt { x_mm, thickness_mm };
            Shaping { corner, thickness: places.into_iter().map(place).collect(), hand_mm }
        },
    )
}

fn scallops() -> impl Strategy<Value = Scallops> {
    let steps = prop_oneof![
        (1u32..12).prop_map(ScallopSpacing::Count),
        (2.0..30.0f64).prop_map(ScallopSpacing::Pitch)
    ];
    (steps, 0.0..20.0f64, 0.0..20.0f64, 5.0..60.0f64, 10.0..80.0f64, 0.1..6.0f64).prop_map(
        |(steps, front_mm, butt_mm, drum_mm, angle_deg, depth_mm)| Scallops {
            spacing: steps,
            front_mm,
            butt_mm,
            drum_mm,
            angle_deg,
            depth_mm,
        },
    )
}

/// A sheath of any kind.
pub(crate) fn sheath() -> impl Strategy<Value = Sheath> {
    let mm = |range: std::ops::Range<f64>| prop::option::of(range);
    let belt = prop::option::of((20.0..60.0f64, 15.0..60.0f64));
    let leather = (3.0..20.0f64, mm(1.0..9.0), 2.0..8.0f64, 0.1..1.0f64, belt).prop_map(
        |(welt_width_mm, welt_thickness_mm, stitch_pitch_mm, share, belt)| {
            SheathBody::Leather(LeatherSheath {
                welt_width_mm,
                welt_thickness_mm,
                stitch_pitch_mm,
                stitch_margin_mm: (share * welt_width_mm).max(0.5),
                loop_for: belt.map(|(belt_mm, width_mm)| BeltLoop { belt_mm, width_mm }),
            })
        },
    );
    let ramp = prop::option::of((5.0..30.0f64, 2.0..20.0f64));
    let formed = (2.0..9.0f64, 10.0..60.0f64, 4.0..20.0f64, 4.0..20.0f64, mm(10.0..80.0), ramp);
    let formed = (formed, 0.0..30.0f64).prop_map(
        |((eyelet_mm, eyelet_pitch_mm, offset, margin, clip_mm, ramp), allowance_mm)| {
            SheathBody::Formed(FormedSheath {
                eyelet_mm,
                eyelet_pitch_mm,
                eyelet_offset_mm: offset,
                eyelet_margin_mm: margin,
                clip_mm,
                ramp: ramp.map(|(width_mm, rise_mm)| ThumbRamp { width_mm, rise_mm }),
                allowance_mm,
            })
        },
    );
    let lengths = (0.0..80.0f64, 0.0..3.0f64, 0.0..2.0f64, 1.0..5.0f64);
    let more = (mm(2.0..6.0), mm(0.2..0.8), prop::option::of("[a-z]{1,6}"));
    let hands = prop::sample::select(Hand::ALL.to_vec());
    let flags = (any::<bool>(), any::<bool>(), hands);
    (prop_oneof![leather, formed], lengths, more, flags).prop_map(
        |(body, lengths, (drain_mm, neutral, material), (folded, close_fit, hand))| {
            let (cover_mm, clearance_mm, relief_mm, thickness_mm) = lengths;
            Sheath {
                folded,
                body,
                hand,
                cover_mm,
                clearance_mm,
                relief_mm,
                close_fit,
                drain_mm,
                thickness_mm,
                neutral,
                material,
            }
        },
    )
}

/// The edits there are, read from where they are listed.
fn listed() -> BTreeSet<&'static str> {
    let source = include_str!("mod.rs");
    let list = source.split("pub enum Edit {").nth(1).and_then(|rest| rest.split("\n}").next());
    let name = |line: &'static str| {
        let line = line.strip_prefix("    ")?;
        let name = line.split(|sign: char| !sign.is_alphanumeric()).next()?;
        name.starts_with(char::is_uppercase).then_some(name)
    };
    list.unwrap().lines().filter_map(name).collect()
}

#[test]
fn every_edit_is_tried() {
    let mut runner = TestRunner::deterministic();
    let strategy = prop_oneof![any_edit(), rest()];
    let tried: BTreeSet<String> = (0..2_000)
        .map(|_| {
            let edit = strategy.new_tree(&mut runner).unwrap().current();
            let message = format!("{edit:?}");
            message.split(|sign: char| !sign.is_alphanumeric()).next().unwrap().to_owned()
        })
        .collect();
    let listed = listed();
    assert!(listed.len() > 30, "{listed:?}");
    let missing: Vec<_> = listed.iter().filter(|name| !tried.contains(**name)).collect();
    assert!(missing.is_empty(), "add to any_edit or rest: {missing:?}");
}
