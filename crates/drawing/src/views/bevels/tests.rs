//! Laws of the bevels sheet: nothing printed on anything else, gauges true, everything told.

use super::*;
use crate::views::overlaps::{find_overlaps, labels};
use knife::{Bevel, Edit, Filing, Grind, GrindLine, STARTERS, Swedge, Taper};
use kurbo::{ParamCurve, PathSeg, Point, Shape};
use marks::{Mark, Pen};
use reckon::{Shop, reckon, tables::Tables};

fn reckoned(knife: &Knife) -> Reckoning {
    reckon(knife, &Shop::default(), Tables::built_in())
}

fn changed(knife: &Knife, change: impl Fn(&mut Knife)) -> Knife {
    let mut knife = knife.clone();
    change(&mut knife);
    knife
}

/// The knife with every way of being ground, each once.
fn kinds(knife: &Knife) -> Vec<Knife> {
    let with = |change: &dyn Fn(&mut Bevel)| {
        changed(knife, |knife| {
            if let Some(bevel) = &mut knife.bevel {
                change(bevel);
            }
        })
    };
    let plunge = knife.bevel.unwrap().plunge_x_mm;
    let tip = knife.profile.tip.and_then(|id| knife.profile.node(id)).unwrap().at.x;
    vec![
        with(&|bevel| bevel.sides = GroundSides::Left),
        with(&|bevel| bevel.sides = GroundSides::Right),
        with(&|bevel| bevel.grind = Grind::Hollow(254.0)),
        with(&|bevel| bevel.grind = Grind::Convex(300.0)),
        with(&|bevel| bevel.plunge_lean_deg = 20.0),
        changed(knife, |knife| knife.grind_line = GrindLine::Spine),
        changed(knife, |knife| knife.filing = Some(Filing { facets: 12, timing: None })),
        changed(knife, |knife| knife.filing = Some(Filing { facets: 1, timing: None })),
        changed(knife, |knife| {
            knife.taper = Some(Taper { from_x_mm: plunge, tip_mm: 1.2 });
            knife.swedge = Some(Swedge {
                from_x_mm: tip + (plunge - tip) * 0.4,
                height_mm: 3.0,
                thickness_mm: 1.0,
            });
        }),
        changed(knife, |knife| knife.bevel = None),
        changed(knife, |knife| knife.scales = None),
        changed(knife, |knife| {
            knife.unit = match knife.unit {
                LengthUnit::Inch => LengthUnit::Millimetre,
                LengthUnit::Millimetre => LengthUnit::Inch,
            };
        }),
    ]
}

#[test]
fn nothing_lies_on_anything_else() {
    for (i, starter) in STARTERS.iter().enumerate() {
        let own = starter.knife();
        let mut all = vec![own.clone()];
        if i % 6 == 0 {
            all.extend(kinds(&own));
            all.extend([Edit::MirrorAlong, Edit::MirrorAcross].map(|e| e.apply(&own).unwrap()));
        }
        for knife in &all {
            let reckoning = reckoned(knife);
            let sheet = bevel_sheet(knife, &reckoning);
            let mut inserts = bevel_inserts(knife, &reckoning);
            inserts.extend(bevel_sections(knife, &reckoning));
            for drawing in inserts.iter().chain([&sheet]) {
                let found = find_overlaps(drawing);
                assert!(found.is_empty(), "{}: {found:?} {:?}", starter.key, knife.bevel);
                let large = labels(drawing).iter().all(|(label, _)| label.height_mm >= 2.5);
                assert!(large, "{}", starter.key);
            }
            assert!(!bevel_notes(knife, &reckoning).is_empty());
        }
    }
}

/// The angle between the two arms of every gauge that bear on the blade is the facet's.
#[test]
fn gauges_have_their_facets_angles() {
    for starter in STARTERS {
        let knife = starter.knife();
        let reckoning = reckoned(&knife);
        let facets = &reckoning.filing.as_ref().unwrap().facets;
        let view = BladeView::of(&knife, &reckoning).unwrap();
        let gauges = gauges::drawn(&view);
        assert_eq!(gauges.len(), facets.len());
        for (gauge, facet) in gauges.iter().zip(facets) {
            let item = gauge.items.iter().find(|item| item.pen == Pen::Cut).unwrap();
            let Mark::Path(path) = &item.mark else { panic!("no path") };
            let segs: Vec<PathSeg> = path.segments().collect();
            let direction = |seg: &PathSeg| seg.end() - seg.start();
            let (flat, leaning) = (direction(&segs[0]), direction(&segs[1]));
            let between = flat.cross(leaning).atan2(flat.dot(leaning)).to_degrees();
            assert!((between - facet.angle_deg).abs() < 1e-9, "{between}");
            // An arm at which a degree opens half a millimetre.
            assert!(leaning.hypot() * 1f64.to_radians().sin() > 0.5);
            let (message, _) = labels(gauge)[0];
            assert_eq!(message.text, units::show_angle(facet.angle_deg, 2));
            let card = path.bounding_box();
            assert!(labels(gauge).iter().all(|(_, own)| card.union(*own) == card));
        }
    }
}

/// At true size and enlarged as told: the stock's thickness is the section's height on paper.
#[test]
fn sections_are_as_large_as_told() {
    for starter in STARTERS {
        let knife = starter.knife();
        let reckoning = reckoned(&knife);
        let view = BladeView::of(&knife, &reckoning).unwrap();
        let stations = stations::all(&view);
        assert!((2..=4).contains(&stations.len()), "{}: {}", starter.key, stations.len());
        for (drawing, station) in sections::drawn(&view).iter().zip(&stations) {
            let boxes: Vec<kurbo::Rect> = (drawing.items.iter())
                .filter(|item| item.pen == Pen::Section)
                .map(|item| {
                    let Mark::Path(path) = &item.mark else { panic!("no path") };
                    path.bounding_box()
                })
                .collect();
            let message = &labels(drawing)[0].0.text;
            let scale: f64 = message.split(' ').find_map(|part| part.parse().ok()).unwrap();
            for (own, scale) in boxes.iter().zip([scale, 1.0]) {
                assert!((own.width() - scale * station.section.height_mm).abs() < 1e-6);
                assert!((own.height() - scale * station.section.thickness_mm).abs() < 1e-6);
            }
        }
    }
}

/// What is ground on one face only shows that face, whichever way the knife lies.
#[test]
fn the_ground_face_is_the_one_shown() {
    let own = STARTERS[0].knife();
    for knife in [&own, &Edit::MirrorAlong.apply(&own).unwrap()] {
        for sides in [GroundSides::Left, GroundSides::Right] {
            let knife = changed(knife, |knife| knife.bevel.as_mut().unwrap().sides = sides);
            let reckoning = reckoned(&knife);
            let view = BladeView::of(&knife, &reckoning).unwrap();
            assert_eq!(view.left_is_seen, sides == GroundSides::Left);
            let sheet = bevel_sheet(&knife, &reckoning);
            let bounds = sheet.bounds().unwrap();
            let plunge = knife.bevel.unwrap().plunge_x_mm;
            let x = (view.to_sheet * Point::new(plunge, 0.0)).x;
            assert!(bounds.x0 < x && x < bounds.x1);
            let said = bevel_notes(&knife, &reckoning).join(" ");
            assert!(said.contains(view.ground_face().unwrap()), "{said}");
        }
    }
}

#[test]
fn hollow_and_convex_tell_wheel_and_radius_and_have_no_gauges() {
    let knife = STARTERS[0].knife();
    for (grind, words) in [(Grind::Hollow(254.0), "wheel"), (Grind::Convex(300.0), "radius")] {
        let knife = changed(&knife, |knife| knife.bevel.as_mut().unwrap().grind = grind);
        let reckoning = reckoned(&knife);
        let view = BladeView::of(&knife, &reckoning).unwrap();
        assert!(gauges::drawn(&view).is_empty());
        assert!(!sections::drawn(&view).is_empty());
        assert!(bevel_notes(&knife, &reckoning).join(" ").contains(words));
    }
}

#[test]
fn nothing_is_drawn_of_nothing() {
    let knife = Knife::empty();
    let reckoning = reckoned(&knife);
    assert!(bevel_sheet(&knife, &reckoning).items.is_empty());
    assert!(bevel_inserts(&knife, &reckoning).is_empty());
    assert!(bevel_sections(&knife, &reckoning).is_empty());
    assert!(!bevel_notes(&knife, &reckoning).is_empty());
}
