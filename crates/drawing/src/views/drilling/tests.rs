//! Laws of the drilling sheet: nothing printed on anything else, whatever the holes.

use super::*;
use crate::views::overlaps::{find_overlaps, labels};
use knife::{Hole, HoleId, HoleKind, Reference, ReferenceEdge, STARTERS};
use kurbo::{ParamCurveNearest, Point};
use proptest::prelude::*;
use reckon::{Shop, reckon, tables::Tables};
use units::LengthUnit;

fn reckoned(knife: &Knife) -> Reckoning {
    reckon(knife, &Shop::default(), Tables::built_in())
}

/// A starter with these holes: x and y as parts of its handle, diameter.
fn with_holes(starter: usize, holes: &[(f64, f64, f64)], snap: Option<f64>) -> Knife {
    let mut knife = STARTERS[starter % STARTERS.len()].knife();
    let outline = knife.profile.outline().unwrap();
    let bounds = outline.bounds();
    let snapped = |v: f64| snap.map_or(v, |step| (v / step).round() * step);
    knife.holes.clear();
    for (x, y, diameter_mm) in holes {
        let at = Point::new(
            snapped(bounds.x0 + bounds.width() * (0.55 + 0.4 * x)),
            snapped(bounds.y0 + bounds.height() * y),
        );
        if outline.contains(at) {
            let id = HoleId(u32::try_from(knife.holes.len() + 1).unwrap());
            knife.holes.push(Hole {
                id,
                name: String::new(),
                kind: HoleKind::Relief,
                at,
                diameter_mm: *diameter_mm,
                drill: None,
                pin_mm: None,
            });
        }
    }
    knife
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    #[test]
    fn no_figure_lies_on_another_or_on_any_line(
        starter in 0..20usize,
        holes in prop::collection::vec((0.0..1.0f64, 0.0..1.0f64, 1.0..7.0f64), 0..21),
        snap in prop::option::of(prop::sample::select(vec![0.5, 2.0, 6.35])),
        (upper, right, inch) in any::<(bool, bool, bool)>(),
        turn in prop::sample::select(vec![0.0, 0.0, 0.7, -2.0]),
        shift in prop::sample::select(vec![0.0, 25.0, 60.0]),
    ) {
        let mut knife = with_holes(starter, &holes, snap);
        knife.unit = if inch { LengthUnit::Inch } else { LengthUnit::Millimetre };
        knife.bar.reference = Reference {
            edge: if upper { ReferenceEdge::Upper } else { ReferenceEdge::Lower },
            end: if right { ReferenceEnd::Right } else { ReferenceEnd::Left },
        };
        knife.bar.placement.turn_deg += turn;
        knife.bar.placement.at.x += shift;
        let reckoning = reckoned(&knife);
        let found = find_overlaps(&drilling_sheet(&knife, &reckoning));
        prop_assert!(found.is_empty(), "{:?}", found);
        for table in drilling_tables(&knife, &reckoning) {
            let found = find_overlaps(&table);
            prop_assert!(found.is_empty(), "{:?}", found);
        }
    }

    /// Every figure of the running dimensions is the geometry to its rounding: the figure at
    /// the end of a leader against where that leader starts.
    #[test]
    fn figures_are_the_geometry(
        starter in 0..20usize,
        holes in prop::collection::vec((0.0..1.0f64, 0.0..1.0f64, 1.0..7.0f64), 1..15),
        inch in any::<bool>(),
    ) {
        let mut knife = with_holes(starter, &holes, None);
        knife.unit = if inch { LengthUnit::Inch } else { LengthUnit::Millimetre };
        let reckoning = reckoned(&knife);
        let sheet = drilling_sheet(&knife, &reckoning);
        let words: Vec<&str> = labels(&sheet).iter().map(|(l, _)| l.text.as_str()).collect();
        let (decimals, scale) = if inch { (3, 25.4) } else { (2, 1.0) };
        for hole in &reckoning.holes {
            // Alone at its station the hole's own x stands there.
            let line = reckoning.scribe.cross_lines.iter().find(|l| l.holes == [hole.number]);
            if line.is_some() {
                let wanted = units::show_number(hole.on_bar.x / scale, decimals);
                let is = words.iter().any(|w| w.split("  ").any(|part| part == wanted));
                prop_assert!(is, "{} in {:?}", wanted, words);
            }
        }
    }
}

#[test]
fn every_starter_is_drawn_clear() {
    for starter in STARTERS {
        let knife = starter.knife();
        let reckoning = reckoned(&knife);
        assert_eq!(find_overlaps(&drilling_sheet(&knife, &reckoning)), Vec::<String>::new());
        let visible = visible(&knife, &reckoning).unwrap();
        assert_eq!(stations::all_told(&knife, &reckoning, visible), (true, true));
        let sheet = drilling_sheet(&knife, &reckoning);
        assert!(labels(&sheet).iter().all(|(label, _)| label.height_mm >= 2.5));
    }
}

#[test]
fn very_many_holes_leave_the_drawing_legible() {
    let holes: Vec<(f64, f64, f64)> = (0..300)
        .map(|i| {
            (f64::from(i % 60) / 60.0, 0.3 + 0.1 * f64::from(i / 60), 1.0 + f64::from(i) / 300.0)
        })
        .collect();
    let knife = with_holes(0, &holes, None);
    assert!(knife.holes.len() > 150);
    let reckoning = reckoned(&knife);
    let sheet = drilling_sheet(&knife, &reckoning);
    assert_eq!(find_overlaps(&sheet), Vec::<String>::new());
    assert!(sheet.bounds().unwrap().width() < 400.0);
    let notes = drilling_notes(&knife, &reckoning).join(" ");
    assert!(notes.contains("too many holes"), "{notes}");
    // The profile sheet keeps to the blank's own length too.
    let profile = crate::views::profile_sheet(&knife, &reckoning);
    assert!(profile.bounds().unwrap().width() < 400.0);
    let notes = crate::views::profile_notes(&knife, &reckoning).join(" ");
    assert!(notes.contains("too many holes"), "{notes}");
}

#[test]
fn nothing_is_drawn_of_nothing() {
    let knife = Knife::empty();
    let reckoning = reckoned(&knife);
    assert!(drilling_sheet(&knife, &reckoning).items.is_empty());
    assert!(drilling_tables(&knife, &reckoning).is_empty());
    assert!(!drilling_notes(&knife, &reckoning).is_empty());
}

/// A line's leader starts at its hole: the stub rule keeps extension lines off other holes.
#[test]
fn extension_lines_keep_off_other_holes() {
    for starter in STARTERS {
        let knife = starter.knife();
        let reckoning = reckoned(&knife);
        let sheet = drilling_sheet(&knife, &reckoning);
        for item in sheet.items.iter().filter(|item| item.pen == Pen::Dimension) {
            let (Mark::Path(path), Some(PartId::Hole(own))) = (&item.mark, crate::part_of(item))
            else {
                continue;
            };
            for hole in reckoning.holes.iter().filter(|hole| hole.id != own) {
                for seg in path.segments() {
                    let near = seg.nearest(hole.on_bar, 1e-6).distance_sq.sqrt();
                    assert!(near > hole.diameter_mm / 2.0, "{}: {near}", starter.key);
                }
            }
        }
    }
}
