//! Scales and bolsters of the shipped knives against GEOS: `tests/reference/scales.json`.

use knife::{Bolster, FrontCurve, ScaleFront};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

#[test]
fn areas_and_boxes_are_those_of_geos() {
    let text = fs::read_to_string(root().join("tests/reference/scales.json")).unwrap();
    let expected: Value = serde_json::from_str(&text).unwrap();
    let mut checked = 0;
    for knives in expected["knives"].as_array().unwrap() {
        let file = knives["file"].as_str().unwrap();
        let text = fs::read_to_string(root().join(format!("samples/{file}.blank.json"))).unwrap();
        let plain = knife::file::open(text.as_bytes()).unwrap().knife;
        for case in knives["cases"].as_array().unwrap() {
            let number = |key: &str| case[key].as_f64();
            let mut knife = plain.clone();
            let curve = match (case["curve"].as_str().unwrap(), number("radius_mm")) {
                ("round", Some(mm)) => FrontCurve::Round(mm),
                ("hollow", Some(mm)) => FrontCurve::Hollow(mm),
                _ => FrontCurve::Straight,
            };
            let lean_deg = number("lean_deg").unwrap();
            knife.handle = knife::Handle {
                front: ScaleFront { curve, lean_deg, bevel_deg: Some(20.0) },
                overhang_mm: number("overhang_mm"),
                front_bolster: number("front_mm")
                    .map(|length_mm| Bolster { length_mm, material: None }),
                rear_bolster: number("rear_mm")
                    .map(|length_mm| Bolster { length_mm, material: None }),
                ..knife::Handle::default()
            };
            let tables = reckon::tables::Tables::built_in();
            let scales = reckon::reckon(&knife, &reckon::Shop::default(), tables).scales.unwrap();
            let pieces = case["pieces"].as_array().unwrap();
            assert_eq!(scales.pieces.len(), pieces.len(), "{file} {case}");
            for (own, other) in scales.pieces.iter().zip(pieces) {
                let words = format!("{file} {:?} {:?}", curve, own.part);
                assert_eq!(own.part.label(), other["part"].as_str().unwrap());
                let near = |own: f64, other: &Value, within: f64| {
                    let other = other.as_f64().unwrap();
                    assert!((own - other).abs() < within, "{words}: {own} {other}");
                };
                near(own.area_mm2, &other["area_mm2"], 0.02);
                // The offset keeps within 0.002 mm, along some 300 mm.
                near(own.waste.area(), &other["sawn_mm2"], 0.4);
                for (key, rect, within) in [
                    ("bounds_mm", own.outline.bounds(), 2e-3),
                    ("sawn_bounds_mm", own.waste.bounds(), 5e-3),
                ] {
                    for (own, other) in [rect.x0, rect.y0, rect.x1, rect.y1]
                        .into_iter()
                        .zip(other[key].as_array().unwrap())
                    {
                        near(own, other, within);
                        checked += 1;
                    }
                }
            }
        }
    }
    assert!(checked > 150, "{checked}");
}
