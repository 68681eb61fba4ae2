//! Tests of the scribing figures. Against GEOS: `crates/reckon/tests/scribe_reference.rs`.

use super::*;
use crate::sample::{drilled, reckoned};
use proptest::prelude::*;
use units::LengthUnit;

fn scribed(holes: &[(f64, f64)]) -> (Knife, Scribe) {
    let holes: Vec<(f64, f64, f64)> = holes.iter().map(|(x, y)| (*x, *y, 3.0)).collect();
    let knife = drilled(&holes);
    let scribe = reckoned(&knife).scribe;
    (knife, scribe)
}

#[test]
fn holes_at_one_height_are_one_line() {
    // The sample lies on its bar by (10, 19.05).
    let (knife, scribe) = scribed(&[(100.0, 0.0), (115.0, 3.0), (130.0, 0.0), (145.0, 0.008)]);
    let message: Vec<String> = scribe
        .lines
        .iter()
        .map(|line| describe_line(line, &knife.bar, LengthUnit::Millimetre))
        .collect();
    assert_eq!(
        message,
        [
            "one line at 19.05 mm from the lower edge, holes 1, 3 and 4 on it",
            "a line at 22.05 mm from the lower edge, hole 2 on it",
        ]
    );
    assert_eq!(
        describe_line(&scribe.lines[0], &knife.bar, LengthUnit::Inch),
        "one line at 0.750 in (3/4) from the lower edge, holes 1, 3 and 4 on it"
    );
    assert!((scribe.lines[0].off_mm - 0.004).abs() < 1e-9);
    assert_eq!(scribe.holes.iter().map(|h| h.line.as_str()).collect::<String>(), "ABAA");
    assert_eq!(scribe.holes[1].before, Some((1, (15.0_f64 * 15.0 + 9.0).sqrt())));
    assert_eq!(scribe.holes[0].before, None);
}

#[test]
fn a_row_askew_is_one_line_too() {
    let (knife, scribe) =
        scribed(&[(100.0, 0.0), (112.0, 0.6), (124.0, 1.2), (130.0, -4.0), (136.0, 1.8)]);
    assert_eq!(scribe.lines.len(), 2);
    assert_eq!(scribe.lines[1].holes, [1, 2, 3, 5]);
    assert_eq!(
        describe_line(&scribe.lines[1], &knife.bar, LengthUnit::Millimetre),
        "one line askew to the bar, 19.05 mm from the lower edge at 110.00 mm from the left end \
         and 20.85 mm at 146.00 mm, holes 1, 2, 3 and 5 on it"
    );
}

#[test]
fn holes_above_each_other_are_one_line_across() {
    let (knife, scribe) = scribed(&[(150.0, 4.0), (120.0, 0.0), (150.0, -4.0)]);
    assert_eq!(scribe.row, [2, 3, 1]);
    assert_eq!(scribe.cross_lines.len(), 2);
    assert_eq!(
        describe_cross_line(&scribe.cross_lines[1], &knife.bar, LengthUnit::Millimetre),
        "one line across at 160.00 mm from the left end, holes 3 and 1 on it"
    );
}

#[test]
fn the_other_edge_and_end_turn_the_order_round() {
    let mut knife = drilled(&[(100.0, 0.0, 3.0), (130.0, 5.0, 3.0)]);
    knife.bar.reference = Reference { edge: ReferenceEdge::Upper, end: ReferenceEnd::Right };
    let scribe = reckoned(&knife).scribe;
    assert_eq!(scribe.row, [2, 1]);
    assert_eq!(scribe.lines[0].holes, [2]);
    let words = describe_line(&scribe.lines[0], &knife.bar, LengthUnit::Millimetre);
    assert_eq!(words, "a line at 14.05 mm from the upper edge, hole 2 on it");
    let kinds: Vec<MarkKind> = scribe.marks.iter().map(|mark| mark.kind).collect();
    assert_eq!(kinds.first(), Some(&MarkKind::Near));
}

#[test]
fn spine_and_belly_change_sides_with_the_blank() {
    let mut knife = drilled(&[(150.0, 2.0, 3.0)]);
    let hole = reckoned(&knife).scribe.holes.remove(0);
    assert!((hole.spine_mm.unwrap() - 13.0).abs() < 1e-9);
    assert!((hole.belly_mm.unwrap() - 17.0).abs() < 1e-9);
    assert_eq!(
        describe_face_up(&knife, reckoned(&knife).profile.as_ref()),
        "tip to the left, edge down"
    );
    knife.bar.placement.turn_deg = 180.0;
    let hole = reckoned(&knife).scribe.holes.remove(0);
    assert!((hole.spine_mm.unwrap() - 13.0).abs() < 1e-9);
    assert_eq!(
        describe_face_up(&knife, reckoned(&knife).profile.as_ref()),
        "tip to the right, edge up"
    );
}

#[test]
fn tip_heel_plunge_and_scale_front_are_marks() {
    let mut knife = drilled(&[]);
    knife.scales = Some(knife::Scales { front_x_mm: 110.0, thickness_mm: 6.0 });
    let message = |knife: &Knife| -> Vec<(&'static str, f64)> {
        let marks = reckoned(knife).scribe.marks;
        marks.iter().map(|m| (m.kind.label(), (m.from.left_mm * 1e6).round() / 1e6)).collect()
    };
    assert_eq!(
        message(&knife),
        [("tip", 10.0), ("heel", 110.0), ("scale front", 120.0), ("blank ends", 210.0)]
    );
    // Askew to the bar, the scale front is two places.
    knife.bar.placement.turn_deg = 1.0;
    let words: Vec<&str> = message(&knife).iter().map(|mark| mark.0).collect();
    assert!(words.contains(&"scale front, spine") && words.contains(&"scale front, belly"));
}

#[test]
fn nothing_is_scribed_of_nothing() {
    let scribe = reckoned(&Knife::empty()).scribe;
    assert_eq!(scribe, Scribe::default());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever the holes: each lies on exactly one line and one cross line, no farther off it
    /// than the tolerance; opposite sides add up to the bar.
    #[test]
    fn every_hole_lies_on_its_line(
        holes in prop::collection::vec((20.0..180.0f64, -12.0..12.0f64), 0..20),
        snapped in any::<bool>(),
        turn in -20.0..20.0f64,
        upper in any::<bool>(),
    ) {
        let snap = |v: f64| if snapped { (v / 3.0).round() * 3.0 } else { v };
        let holes: Vec<_> = holes.iter().map(|(x, y)| (snap(*x), snap(*y), 2.0)).collect();
        let mut knife = drilled(&holes);
        knife.bar.placement.turn_deg = turn;
        if upper {
            knife.bar.reference =
                Reference { edge: ReferenceEdge::Upper, end: ReferenceEnd::Right };
        }
        let reckoning = reckoned(&knife);
        let scribe = &reckoning.scribe;
        let mut on_lines: Vec<usize> =
            scribe.lines.iter().flat_map(|line| line.holes.clone()).collect();
        on_lines.sort_unstable();
        prop_assert_eq!(on_lines, (1..=holes.len()).collect::<Vec<_>>());
        for line in &scribe.lines {
            for number in &line.holes {
                let at = reckoning.holes[number - 1].on_bar;
                let off = match line.direction {
                    LineDirection::Along { lower_mm } => (at.y - lower_mm).abs(),
                    LineDirection::Askew { from, to } => (to - from).normalize().cross(at - from).abs(),
                };
                prop_assert!(off <= SAME_LINE_MM + 1e-9 && off <= line.off_mm + 1e-9);
                prop_assert_eq!(&scribe.holes[number - 1].line, &line.name);
            }
        }
        let mut on_cross: Vec<usize> =
            scribe.cross_lines.iter().flat_map(|line| line.holes.clone()).collect();
        on_cross.sort_unstable();
        prop_assert_eq!(on_cross, (1..=holes.len()).collect::<Vec<_>>());
        for hole in &scribe.holes {
            prop_assert!((hole.from.lower_mm + hole.from.upper_mm - knife.bar.width_mm).abs() < 1e-9);
            prop_assert!((hole.from.left_mm + hole.from.right_mm - knife.bar.length_mm).abs() < 1e-9);
        }
        let end = knife.bar.reference.end;
        let row: Vec<f64> =
            scribe.row.iter().map(|n| scribe.holes[n - 1].from.end_mm(end)).collect();
        prop_assert!(row.is_sorted());
    }
}
