//! Volume and centre of mass of ground blades against values from other kernels.
//!
//! `tests/reference/solids.json`: each value agrees between exact columns, layers cut by a
//! polygon clipper, and a mesh kernel to a few parts in a million.

#![expect(clippy::unwrap_used, reason = "a missing reference value must stop the test")]

#[path = "../../outline/tests/support/reference.rs"]
mod reference;

use kurbo::{Point, Vec2};
use outline::Polyline;
use reckon::solid::{BevelSurface, FaceShape, Field, Plunge, Sections, Sides, Slices, Top};
use serde_json::Value;

fn number(v: &Value) -> f64 {
    v.as_f64().unwrap()
}

#[test]
fn blades_weigh_what_other_kernels_say() {
    let outlines = reference::read("outlines.json");
    let find = |id: &Value| {
        outlines["outlines"].as_array().unwrap().iter().find(|o| &o["id"] == id).unwrap().clone()
    };
    let solids = reference::read("solids.json");
    let solids = solids["solids"].as_array().unwrap();
    assert!(solids.len() >= 4);
    for solid in solids {
        let source = find(&solid["id"]);
        let outline = reference::outline(&source["outline"]);
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
