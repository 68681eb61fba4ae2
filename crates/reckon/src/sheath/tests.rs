//! The sheath by hand: bend, take-up, rows, layers, what can't be laid.

use super::*;
use crate::sample::blank;
use crate::{Reckoning, Shop, reckon, tables::Tables};
use knife::{FormedSheath, Knife, LeatherSheath, STARTERS, Scales, ThumbRamp};
use std::f64::consts::PI;
use units::LengthUnit;

fn worked(knife: &Knife) -> Reckoning {
    reckon(knife, &Shop::default(), Tables::built_in())
}

fn sheathed(knife: &Knife, sheath: Sheath) -> SheathFigures {
    let knife = Knife { sheath: Some(sheath), ..knife.clone() };
    worked(&knife).sheath.unwrap().unwrap()
}

fn usual(kind: SheathKind) -> Sheath {
    Sheath::usual(kind, LengthUnit::Millimetre)
}

/// A bar of steel 200 × 30 × 4 with the handle from x = 120.
fn bar() -> Knife {
    let mut knife = blank();
    knife.bar.thickness_mm = 4.0;
    knife.bevel = None;
    knife.scales = None;
    knife.sharpening = None;
    knife.profile.heel =
        knife.profile.nodes.iter().find(|node| node.at.x < 150.0 && node.at.y < 0.0).map(|n| n.id);
    knife
}

fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} for {expected}");
}

/// Aviation Maintenance Technician Handbook, Airframe (FAA-H-8083-31), chapter 4, its worked
/// example of the bend allowance: a right angle about 1/4 in, sheet of 0.051 in, neutral line in
/// the middle: 2π (R + T/2) / 4 = 0.433 in (from memory). Half a turn takes twice that.
#[test]
fn the_bend_is_the_handbooks() {
    let mut knife = bar();
    knife.bar.thickness_mm = 2.0 * 0.25 * 25.4;
    knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 0.1 });
    let mut sheath = usual(SheathKind::FoldedLeather);
    sheath.thickness_mm = 0.051 * 25.4;
    let found = sheathed(&knife, sheath);
    near(found.development.bend.allowance_mm / 2.0 / 25.4, 0.433, 0.0005);
}

// By hand: a plain bar 4 mm thick in leather of 3 mm, welt of 4 mm: at every depth the piece is
// longer by the quarter turn, π/2 (2 + 1.5), so that its width is twice depth and room, and the
// bend: 2 (30 + 1 + 12) + π (2 + 1.5).
#[test]
fn a_plain_bar_takes_the_bend_and_twice_its_depth() {
    let mut knife = bar();
    knife.scales = None;
    let mut sheath = usual(SheathKind::FoldedLeather);
    sheath.thickness_mm = 3.0;
    if let SheathBody::Leather(leather) = &mut sheath.body {
        leather.welt_thickness_mm = Some(4.0);
    }
    knife.bevel = None;
    let found = sheathed(&knife, sheath);
    for station in found.development.stations.iter().filter(|s| s.x_mm > found.tip_mm + 1.0) {
        near(station.take_up_mm, PI / 2.0 * 3.5, 0.003);
        near(station.thickness_mm, 4.0, 1e-9);
    }
    let wide = found.body.outline.bounds().height();
    near(wide, 2.0 * (30.0 + 1.0 + 12.0) + PI * 3.5, 0.02);
    near(found.body.outline.bounds().x1, found.mouth_mm, 1e-6);
    near(
        found.thread_mm.unwrap(),
        {
            let (steps, holes) = (found.row.steps as f64, found.row.holes.len() as f64);
            2.0 * steps * found.row.pitch_mm + 2.0 * holes * 10.0 + 300.0
        },
        1e-9,
    );
    // The row's line by hand: along the edge, round two corners of 9 mm, up to a margin below
    // the fold and to a margin before the mouth.
    near(found.row.line[0].y, -4.0, 1e-3);
    near(found.row.line.last().unwrap().x, found.mouth_mm - 4.0, 1e-3);
    near(found.row.line.last().unwrap().y, -39.0, 0.01);
    near(found.row.length_mm, 26.0 + PI / 2.0 * 9.0 + (found.mouth_mm - 4.0), 0.15);
}

// By hand: of two sides, the steel as thick as the welt: nothing is taken up. Thicker by 2 mm on
// either side, the leather leans up over the room at both ends.
#[test]
fn two_sides_lie_flat_where_the_welt_is_as_thick_as_the_steel() {
    let mut sheath = usual(SheathKind::TwoSidedLeather);
    if let SheathBody::Leather(leather) = &mut sheath.body {
        leather.welt_thickness_mm = Some(4.0);
    }
    let found = sheathed(&bar(), sheath);
    assert!(found.development.stations.iter().all(|s| s.take_up_mm.abs() < 1e-9));
    assert_eq!((found.pieces, found.fold_mm), (2, None));
    near(found.body.outline.bounds().height(), 30.0 + 2.0 * 13.0, 0.01);
}

/// Every starter with every kind of sheath is laid, its holes as far from the knife as is stated,
/// the piece symmetric about its fold.
#[test]
fn every_starter_takes_every_sheath() {
    for starter in STARTERS {
        for kind in SheathKind::ALL {
            let knife = starter.knife();
            let found = sheathed(&knife, usual(kind));
            let outline = knife.profile.outline().unwrap().transformed(found.lay);
            let row_mm = found.stated.row_mm();
            for hole in &found.row.holes {
                let gap = outline.nearest(*hole).distance_mm;
                assert!(gap >= row_mm - 0.01, "{} {kind:?}: {gap} at {hole}", starter.key);
                assert!(!outline.contains(*hole));
            }
            assert!(found.row.steps >= 3, "{}", starter.key);
            let bounds = found.body.outline.bounds();
            if found.stated.folded {
                near(bounds.y0, -bounds.y1, 1e-6);
            }
            assert!(found.catch_mm >= 0.0 && found.mouth_mm > found.tip_mm);
            // What is drawn straight passes the mouth.
            if !found.stated.close_fit {
                assert!(found.mouth_depth_mm.0 >= found.mouth_depth_mm.1 - 1e-9);
            }
        }
    }
}

/// The pattern laid back round the knife: from the fold along the taut section by its own length;
/// both rims come out at the place of the closed sheath, one on each side of the welt.
#[test]
fn the_pattern_folded_back_meets_at_its_rims() {
    for starter in STARTERS {
        let found = sheathed(&starter.knife(), usual(SheathKind::FoldedLeather));
        let welt_mm = found.welt.as_ref().unwrap().thickness_mm;
        for station in &found.development.stations[1..] {
            let x = station.x_mm;
            let crossing = |run: &[Point]| {
                let sides = run.windows(2).filter(|pair| (pair[0].x - x) * (pair[1].x - x) <= 0.0);
                let at = |pair: &[Point]| {
                    let share = (x - pair[0].x) / (pair[1].x - pair[0].x);
                    pair[0].lerp(pair[1], share.clamp(0.0, 1.0)).y
                };
                sides.map(at).reduce(f64::min)
            };
            for run in [&found.rim, &found.row.line] {
                let Some(y) = crossing(run) else { continue };
                let flat = found.on_front(Point::new(x, y));
                assert_eq!(found.on_back(Point::new(x, y)), Point::new(flat.x, -flat.y));
                let mut left = -flat.y - found.development.bend.neutral_mm * PI / 2.0;
                left -= station.taut.windows(2).map(|pair| pair[0].distance(pair[1])).sum::<f64>();
                let end = station.taut.last().unwrap();
                near(end.y, welt_mm / 2.0, 1e-9);
                // The rest lies along the welt.
                near(end.x + left, -y, 1e-6);
                assert!(left > 0.0, "{}: the row lies in the welt at {x}", starter.key);
            }
        }
    }
}

#[test]
fn eyelets_hold_a_clip_and_a_ramp_stands_out() {
    let mut sheath = usual(SheathKind::FoldedThermoplastic);
    if let SheathBody::Formed(formed) = &mut sheath.body {
        *formed = FormedSheath {
            clip_mm: Some(40.0),
            ramp: Some(ThumbRamp { width_mm: 12.0, rise_mm: 5.0 }),
            ..*formed
        };
    }
    let found = sheathed(&STARTERS[0].knife(), sheath);
    let [a, b] = found.row.clip.unwrap();
    near(found.row.holes[a].distance(found.row.holes[b]), 40.0, 1e-6);
    assert_eq!((a + 1, b), (b, found.row.holes.len() - 1));
    let bounds = found.body.outline.bounds();
    near(bounds.x1, found.mouth_mm + 5.0, 1e-6);
    near(found.blank_mm.0, bounds.width() + 30.0, 1e-9);
    assert!(found.welt.is_none() && found.thread_mm.is_none());
}

#[test]
fn a_finger_groove_catches_in_a_close_sheath_only() {
    // A bar with a step: the blade deeper than what follows it.
    let mut knife = STARTERS.iter().find(|s| s.key == "chefs-8in").unwrap().knife();
    let mut sheath = usual(SheathKind::TwoSidedLeather);
    sheath.close_fit = true;
    sheath.cover_mm = 25.0;
    let close = sheathed(&knife, sheath.clone());
    assert!(close.catch_mm > 5.0, "{}", close.catch_mm);
    sheath.close_fit = false;
    assert_eq!(sheathed(&knife, sheath).catch_mm, 0.0);
    knife.sheath = None;
    assert!(worked(&knife).sheath.is_none());
}

#[test]
fn what_cannot_be_laid_is_told() {
    let with = |change: &dyn Fn(&mut Sheath)| {
        let mut sheath = usual(SheathKind::FoldedLeather);
        change(&mut sheath);
        let knife = Knife { sheath: Some(sheath), ..STARTERS[0].knife() };
        worked(&knife).sheath.unwrap().err()
    };
    assert_eq!(with(&|_| ()), None);
    assert_eq!(with(&|sheath| sheath.cover_mm = 300.0), Some(SheathError::PastButt));
    let mut knife = bar();
    (knife.profile.heel, knife.profile.tip) = (None, None);
    knife.sheath = Some(usual(SheathKind::FoldedLeather));
    assert_eq!(worked(&knife).sheath.unwrap().err(), Some(SheathError::NoHandle));
}

/// A knife that lies the other way round has the same sheath.
#[test]
fn a_turned_knife_has_the_same_sheath() {
    let knife = Knife { sheath: Some(usual(SheathKind::FoldedLeather)), ..STARTERS[1].knife() };
    let there = worked(&knife).sheath.unwrap().unwrap();
    for edit in [knife::Edit::MirrorAlong, knife::Edit::MirrorAcross, knife::Edit::Turn(180.0)] {
        let found = worked(&edit.apply(&knife).unwrap()).sheath.unwrap().unwrap();
        near(found.row.length_mm, there.row.length_mm, 1e-3);
        near(found.body.outline.area(), there.body.outline.area(), 0.5);
        near(found.held_mm.0, there.held_mm.0, 1e-3);
    }
}

#[test]
fn welts_are_made_up_of_layers() {
    let sheath = Sheath { thickness_mm: 2.0, ..usual(SheathKind::FoldedLeather) };
    assert_eq!(welt_thickness(&sheath, 5.1), Some((6.0, Some(3))));
    assert_eq!(welt_thickness(&sheath, 0.5), Some((2.0, Some(1))));
    let leather = LeatherSheath {
        welt_thickness_mm: Some(3.5),
        ..LeatherSheath::usual(LengthUnit::Millimetre)
    };
    let stated = Sheath { body: SheathBody::Leather(leather), ..sheath };
    assert_eq!(welt_thickness(&stated, 5.0), Some((3.5, None)));
}
