//! The chain on blanks of known shape, and its promises on every starter with any drill.

use super::*;
use crate::sample::{blank, reckoned};
use proptest::prelude::*;

fn chained(knife: &Knife) -> ChainFigures {
    reckoned(knife).chain.unwrap()
}

/// Every promise of a chain, by exact distance.
fn holds(chain: &ChainFigures, placed: &Outline, bar: &knife::Bar) -> Result<(), String> {
    let cutting = &chain.drilling;
    let radius = cutting.drill_mm / 2.0;
    for (i, at) in chain.holes.iter().enumerate() {
        let gap = placed.nearest(*at).distance_mm - radius;
        if placed.contains(*at) || gap < cutting.leave_mm || gap > cutting.leave_mm + 0.01 {
            return Err(format!("hole {i} at {at:?} lies {gap} from the blank"));
        }
        let sides = [at.x, at.y, bar.length_mm - at.x, bar.width_mm - at.y];
        if sides.iter().any(|side| *side < radius - 1e-6) {
            return Err(format!("hole {i} at {at:?} lies off the bar"));
        }
        for (j, other) in chain.holes.iter().enumerate().skip(i + 1) {
            if at.distance(*other) < cutting.drill_mm + 0.5 * cutting.bridge_mm - 1e-6 {
                return Err(format!("holes {i} and {j} lie too near"));
            }
        }
    }
    Ok(())
}

#[test]
fn a_rectangle_has_the_count_that_its_rounded_line_gives() {
    let mut knife = blank();
    knife.bar.width_mm = 60.0;
    knife.bar.placement.at.y = 30.0;
    knife.cutting =
        Some(ChainDrilling { drill_mm: 4.0, drill: None, bridge_mm: 1.0, leave_mm: 0.5 });
    let chain = chained(&knife);
    // Around 200 × 30 mm at 2.5 mm: two long and two short sides and a full turn of 2.5 mm.
    let line = 460.0 + std::f64::consts::TAU * 2.502;
    assert!((chain.line_mm - line).abs() < 0.02, "{} {line}", chain.line_mm);
    // In steps of 5 mm, a little fewer round the corners where the chord is the shorter way.
    assert!((94..=95).contains(&chain.holes.len()), "{}", chain.holes.len());
    let (thin, thick) = chain.bridges_mm().unwrap();
    assert!((thick - thin).abs() < 1e-6 && (thin - 1.0).abs() < 0.05, "{thin} {thick}");
    assert!((chain.depth_mm - 3.175 * chain.holes.len() as f64).abs() < 1e-9);
    assert_eq!(chain.left_out_mm, 0.0);
}

#[test]
fn a_stretch_at_the_bars_edge_is_left_out() {
    let mut knife = blank();
    knife.bar.placement.at.y = 15.5;
    let chain = chained(&knife);
    let placed = reckoned(&knife).outline.unwrap();
    let placed = placed.transformed(knife.bar.placement.bar_from_knife());
    holds(&chain, &placed, &knife.bar).unwrap();
    // Half a millimetre below it there is no room for a hole.
    assert!(chain.left_out_mm > 195.0 && chain.holes.iter().all(|p| p.y > 1.0));
    let (thin, thick) = chain.bridges_mm().unwrap();
    assert!((thin - 0.8).abs() < 1e-6 && (thick - 0.8).abs() < 1e-6);
}

#[test]
fn a_hollow_gets_one_saw_cut_that_keeps_the_leave() {
    let mut found = 0;
    for starter in knife::STARTERS {
        let knife = starter.knife();
        let reckoning = reckoned(&knife);
        let placed = reckoning.outline.unwrap().transformed(knife.bar.placement.bar_from_knife());
        let chain = reckoning.chain.unwrap();
        for cut in &chain.cuts {
            found += 1;
            for k in 0..=200 {
                let p = cut.from.lerp(cut.to, f64::from(k) / 200.0);
                let gap = placed.nearest(p).distance_mm - cut.kerf_mm / 2.0;
                assert!(!placed.contains(p) && gap >= chain.drilling.leave_mm - 1e-3, "{gap}");
            }
            let on_edge = [
                cut.from.x,
                cut.from.y,
                knife.bar.length_mm - cut.from.x,
                knife.bar.width_mm - cut.from.y,
            ];
            assert!(on_edge.iter().any(|side| side.abs() < 1e-9), "{cut:?}");
        }
    }
    assert!(found >= 8, "{found} cuts");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn every_starter_is_drilled_out_soundly_with_any_drill(
        which in 0..knife::STARTERS.len(),
        drill_mm in 1.5..8.0f64,
        bridge_mm in 0.3..2.5f64,
        leave_mm in 0.0..2.0f64,
        room_mm in 0.0..30.0f64,
        turn_deg in -3.0..3.0f64,
    ) {
        let mut knife = knife::STARTERS[which].knife();
        knife.bar.width_mm += 2.0 * room_mm;
        knife.bar.placement.at.y += room_mm;
        knife.bar.placement.turn_deg = turn_deg;
        knife.cutting = Some(ChainDrilling { drill_mm, drill: None, bridge_mm, leave_mm });
        let reckoning = reckoned(&knife);
        let placed =
            reckoning.outline.unwrap().transformed(knife.bar.placement.bar_from_knife());
        let chain = reckoning.chain.unwrap();
        prop_assert!(holds(&chain, &placed, &knife.bar).is_ok(), "{:?}", holds(&chain, &placed, &knife.bar));
        // A row is off only where no whole number of steps does better: it has both ends fixed.
        let pitch = drill_mm + bridge_mm;
        for row in chain.uneven_rows() {
            let steps = (row.holes.len() - usize::from(!row.closed)) as f64;
            // Where a curve turns back sharply the best number may not lead to the end, and the
            // next one is taken.
            let worst = pitch / steps;
            let off = (row.bridge_mm.unwrap_or(0.0) - bridge_mm).abs();
            prop_assert!(off <= worst * 1.2 + 0.05 * bridge_mm || steps < 3.0, "{row:?} {off} {worst}");
        }
    }
}
