//! Scallops of the shipped knives against SciPy's arc lengths: `tests/reference/strips.json`.

use knife::{ScallopSpacing, Scallops};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

#[test]
fn arc_lengths_are_those_of_scipy() {
    let text = fs::read_to_string(root().join("tests/reference/strips.json")).unwrap();
    let expected: Value = serde_json::from_str(&text).unwrap();
    let number = |value: &Value| value.as_f64().unwrap();
    let mut checked = 0;
    for case in expected["knives"].as_array().unwrap() {
        let file = case["file"].as_str().unwrap();
        let text = fs::read_to_string(root().join(format!("samples/{file}.blank.json"))).unwrap();
        let mut knife = knife::file::open(text.as_bytes()).unwrap().knife;
        knife.handle.scallops = Some(Scallops {
            spacing: ScallopSpacing::Pitch(number(&expected["pitch_mm"])),
            front_mm: number(&expected["front_mm"]),
            butt_mm: number(&expected["butt_mm"]),
            drum_mm: 25.0,
            angle_deg: 45.0,
            depth_mm: 1.0,
        });
        let tables = reckon::tables::Tables::built_in();
        let figures = reckon::reckon(&knife, &reckon::Shop::default(), tables).scallops.unwrap();
        for (key, row) in [("upper", &figures.upper), ("lower", &figures.lower)] {
            let places = case[key].as_array().unwrap();
            assert_eq!(row.places.len(), places.len(), "{file} {key}");
            for (own, other) in row.places.iter().zip(places) {
                let at = &other["at_mm"];
                assert!((own.at.x - number(&at[0])).abs() < 1e-3, "{file} {key}: {own:?} {other}");
                assert!((own.at.y - number(&at[1])).abs() < 1e-3, "{file} {key}: {own:?} {other}");
                let along = number(&other["along_mm"]);
                assert!((own.along_mm - along).abs() < 1e-3, "{file} {key}: {own:?} {other}");
                checked += 1;
            }
        }
    }
    assert!(checked > 40, "{checked}");
}
