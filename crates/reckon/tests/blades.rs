//! Ground knives against dense numeric integration in another language.
//!
//! `tests/reference/blades.json` and its script: volume, centre of mass and sections of ten
//! knives, hollow, convex, one-sided, tapered, with leaning plunge, swedge and grind lines of
//! their own, by shapely and scipy.

#![expect(clippy::unwrap_used, reason = "a missing reference value must stop the test")]

use knife::{Edit, Knife, file, starter};
use proptest::prelude::*;
use reckon::tables::Tables;
use reckon::{Reckoning, Shop, reckon, section_at};
use serde_json::Value;

fn blades() -> Vec<Value> {
    let path = format!("{}/../../tests/reference/blades.json", env!("CARGO_MANIFEST_DIR"));
    let value: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    value["blades"].as_array().unwrap().clone()
}

/// The starter with what the reference changes in its file.
fn knife(message: &Value) -> Knife {
    let plain = starter(message["starter"].as_str().unwrap()).unwrap().knife();
    let mut value: Value = serde_json::from_slice(&file::save(&plain)).unwrap();
    for (key, part) in message["blade"].as_object().unwrap() {
        value[key] = part.clone();
    }
    let opened = file::open(value.to_string().as_bytes()).unwrap();
    assert_eq!(opened.faults, []);
    opened.knife
}

fn reckoned(knife: &Knife) -> Reckoning {
    reckon(knife, &Shop::default(), Tables::built_in())
}

fn number(v: &Value) -> f64 {
    v.as_f64().unwrap()
}

#[test]
fn volume_and_centre_are_those_of_dense_integration() {
    let blades = blades();
    assert!(blades.len() >= 8);
    for message in &blades {
        let mass = reckoned(&knife(message)).mass.unwrap();
        let want = number(&message["volume_mm3"]);
        let name = format!("{} {}", message["starter"], message["blade"]);
        let off = mass.ground_mm3 / want - 1.0;
        let (x, y) = (number(&message["centre_mm"][0]), number(&message["centre_mm"][1]));
        let away = (mass.centre.x - x).hypot(mass.centre.y - y);
        assert!(off.abs() < 1e-4, "{name}: {} {want}", mass.ground_mm3);
        assert!(away < 0.01, "{name}: {:?} {x} {y}", mass.centre);
    }
}

#[test]
fn sections_are_those_of_shapely() {
    for message in &blades() {
        let knife = knife(message);
        let reckoning = reckoned(&knife);
        for cut in message["sections"].as_array().unwrap() {
            let section = section_at(&knife, &reckoning, number(&cut["x_mm"])).unwrap();
            let spans = cut["spans_mm"].as_array().unwrap();
            assert_eq!(section.steel.len(), spans.len());
            for (stretch, span) in section.steel.iter().zip(spans) {
                let (low, high) = stretch.span();
                assert!((low - number(&span[0])).abs() < 1e-3);
                assert!((high - number(&span[1])).abs() < 1e-3);
            }
            for place in cut["places"].as_array().unwrap() {
                let found = section.at(number(&place[0])).unwrap();
                for (mm, want) in
                    [(found.left_mm, number(&place[1])), (found.right_mm, number(&place[2]))]
                {
                    assert!((mm - want).abs() < 2e-3, "{message:.200} {place}: {mm}");
                }
            }
        }
    }
}

/// What may not change when the knife is turned over or end for end.
fn figures(knife: &Knife) -> Vec<f64> {
    let reckoning = reckoned(knife);
    let (mass, bevel) = (reckoning.mass.unwrap(), reckoning.bevel.unwrap());
    let filing = reckoning.filing.map_or_else(Vec::new, |filing| {
        filing.facets.iter().map(|facet| facet.volume_mm3 / 1000.0).collect()
    });
    let mut all = vec![
        mass.ground_mm3 / 1000.0,
        mass.flat_mm3 / 1000.0,
        mass.behind_scale_front_mm.unwrap(),
        bevel.angle_deg,
        bevel.height_mm,
    ];
    all.extend(filing);
    all
}

#[test]
fn turning_and_mirroring_change_no_figure() {
    for message in &blades() {
        let plain = knife(message);
        let along = Edit::MirrorAlong.apply(&plain).unwrap();
        let across = Edit::MirrorAcross.apply(&plain).unwrap();
        let both = Edit::MirrorAcross.apply(&along).unwrap();
        let moved = Edit::Shift((7.25, -31.5).into()).apply(&plain).unwrap();
        let expected = figures(&plain);
        for changed in [along, across, both, moved] {
            let found = figures(&changed);
            assert_eq!(found.len(), expected.len());
            for (a, b) in found.iter().zip(&expected) {
                assert!((a - b).abs() < 2e-3, "{message:.120}: {found:?} {expected:?}");
            }
        }
    }
}

#[test]
fn what_the_facets_take_off_adds_up_to_the_bevel() {
    for message in &blades() {
        let knife = knife(message);
        let flat = knife.bevel.unwrap().grind == knife::Grind::Flat;
        let reckoning = reckoned(&knife);
        let facets = reckoning.filing.unwrap().facets;
        assert_eq!(facets.is_empty(), !flat);
        if !flat || knife.swedge.is_some() || knife.taper.is_some() {
            continue;
        }
        let filed: f64 = facets.iter().map(|facet| facet.volume_mm3).sum();
        let ground = reckoning.slices.unwrap().removed_mm3;
        assert!((filed / ground - 1.0).abs() < 2e-3, "{message:.120}: {filed} {ground}");
        assert!(facets.iter().all(|facet| facet.volume_mm3 > 0.0));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn mass_falls_when_a_bevel_grows_and_a_symmetric_blade_balances_on_its_axis(
        height in 4.0..16.0f64, more in 0.5..6.0f64, edge in 0.2..1.0f64, hollow in any::<bool>(),
    ) {
        let mut knife = starter("drop-point").unwrap().knife();
        let mut bevel = knife.bevel.unwrap();
        bevel.edge_thickness_mm = edge;
        if hollow {
            bevel.grind = knife::Grind::Hollow(1500.0);
        }
        let mut volume = |height_mm: f64| {
            bevel.grind_height_mm = height_mm;
            knife.bevel = Some(bevel);
            reckoned(&knife).mass.unwrap().ground_mm3
        };
        let (low, high) = (volume(height), volume(height + more));
        prop_assert!(high < low, "{} {}", high, low);
        // Both faces are cut alike: every section's faces lie as far from the middle.
        let reckoning = reckoned(&knife);
        for x in [15.0, 40.0, 80.0] {
            let section = section_at(&knife, &reckoning, x).unwrap();
            for place in section.steel.iter().flat_map(|stretch| &stretch.offsets) {
                prop_assert_eq!(place.left_mm, place.right_mm);
            }
        }
    }
}
