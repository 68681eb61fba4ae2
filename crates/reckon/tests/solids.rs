//! Volume and centre of mass of ground blades against values from other kernels.
//!
//! `tests/reference/solids.json`: each value agrees between exact columns, layers cut by a
//! polygon clipper, and a mesh kernel to a few parts in a million.

#![expect(clippy::unwrap_used, reason = "a missing reference value must stop the test")]

use kurbo::{BezPath, Point, Vec2};
use outline::{Outline, Polyline};
use reckon::solid::{BevelSurface, FaceShape, Field, Plunge, Sections, Sides, Slices, Top};
use serde_json::Value;

fn read(name: &str) -> Value {
    let path = format!("{}/../../tests/reference/{name}", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn number(v: &Value) -> f64 {
    v.as_f64().unwrap()
}

fn outline(v: &Value) -> Outline {
    let mut path = BezPath::new();
    path.move_to((number(&v["start"][0]), number(&v["start"][1])));
    for seg in v["segments"].as_array().unwrap() {
        let n: Vec<f64> = seg.as_array().unwrap().iter().map(number).collect();
        match n[..] {
            [x, y] => path.line_to((x, y)),
            [a, b, c, d, x, y] => path.curve_to((a, b), (c, d), (x, y)),
            _ => panic!("a segment of {} numbers", n.len()),
        }
    }
    path.close_path();
    Outline::from_path(&path).unwrap()
}

#[test]
fn blades_weigh_what_other_kernels_say() {
    let outlines = read("outlines.json");
    let find = |id: &Value| {
        outlines["outlines"].as_array().unwrap().iter().find(|o| &o["id"] == id).unwrap().clone()
    };
    let solids = read("solids.json");
    let solids = solids["solids"].as_array().unwrap();
    assert!(solids.len() >= 4);
    for solid in solids {
        let source = find(&solid["id"]);
        let outline = outline(&source["outline"]);
        let range = &source["edge_segments"];
        let (from, to) = (range[0].as_u64().unwrap() as usize, range[1].as_u64().unwrap() as usize);
        let edge = Polyline::new(&outline.segs()[from..to], 0.001).unwrap();
        let plunge = Plunge {
            at: Point::new(number(&solid["plunge_x"]), 0.0),
            ahead: Vec2::new(1.0, 0.0),
            file_radius_mm: 0.0,
        };
        let height_mm = number(&solid["grind_height"]);
        let kinks = outline::open_offset(&outline.segs()[from..to], height_mm, 0.002);
        let ground = BevelSurface {
            from: edge,
            top: Top::Height(height_mm),
            shape: FaceShape::Flat,
            edge_mm: number(&solid["edge_thickness"]),
            sides: Sides::Both,
            plunge: Some(plunge),
            kinks: kinks.iter().filter_map(|path| Polyline::from_path(path, 0.01)).collect(),
        };
        let field =
            Field { stock_mm: number(&solid["thickness"]), taper: None, bevels: vec![ground] };
        let columns = Slices::of(&field, &outline, &Sections::of(&field, &outline));
        let (mut volume, mut moment) =
            (columns.volume_mm3, columns.centre.to_vec2() * columns.volume_mm3);
        for hole in source["holes"].as_array().unwrap() {
            let at = Point::new(number(&hole["cx"]), number(&hole["cy"]));
            let r = number(&hole["r"]);
            let lost = std::f64::consts::PI * r * r * field.half_thickness(at).thickness_mm();
            volume -= lost;
            moment -= at.to_vec2() * lost;
        }
        let centre = moment / volume;
        let (want, cx, cy) =
            (number(&solid["volume_mm3"]), number(&solid["cx"]), number(&solid["cy"]));
        assert!((volume / want - 1.0).abs() < 2e-5, "{}: {volume} {want}", solid["name"]);
        assert!((centre.x - cx).abs() < 0.002 && (centre.y - cy).abs() < 0.002);
    }
}
