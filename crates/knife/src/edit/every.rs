//! Every edit there is has its turn in the law of undo.

use super::tests::any_edit;
use super::*;
use crate::{HoleKind, ReferenceEdge, ReferenceEnd, STARTERS};
use proptest::prelude::*;
use proptest::strategy::ValueTree as _;
use proptest::test_runner::TestRunner;
use std::collections::BTreeSet;

/// The edits that [`any_edit`] leaves out.
pub(super) fn rest() -> impl Strategy<Value = Edit> {
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
        Just(Edit::MirrorAlong),
        at().prop_map(|by| Edit::Shift(by.to_vec2())),
        (hole(), 0.5..20.0f64, prop::option::of(1.0..20.0f64)).prop_map(
            |(hole, diameter_mm, pin_mm)| Edit::SizeHole { hole, diameter_mm, drill: None, pin_mm }
        ),
        (hole(), kinds).prop_map(|(hole, kind)| Edit::SetHoleKind { hole, kind }),
        (hole(), words()).prop_map(|(hole, name)| Edit::RenameHole { hole, name }),
        prop::option::of((0.0..200.0f64, 0.5..40.0f64, 0.1..2.0f64)).prop_map(|bevel| {
            Edit::SetBevel(bevel.map(|(plunge_x_mm, grind_height_mm, edge_thickness_mm)| Bevel {
                plunge_x_mm,
                grind_height_mm,
                edge_thickness_mm,
            }))
        }),
        prop::option::of((0.5..12.0f64, 0.1..5.0f64, 0.1..5.0f64)).prop_map(|cutting| {
            Edit::SetCutting(cutting.map(|(drill_mm, bridge_mm, leave_mm)| Cutting {
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
            let told = format!("{edit:?}");
            told.split(|sign: char| !sign.is_alphanumeric()).next().unwrap().to_owned()
        })
        .collect();
    let listed = listed();
    assert!(listed.len() > 30, "{listed:?}");
    let missing: Vec<_> = listed.iter().filter(|name| !tried.contains(**name)).collect();
    assert!(missing.is_empty(), "add to any_edit or rest: {missing:?}");
}
