//! Measures held against values worked out by independent general-purpose libraries.
//!
//! `tests/reference/README.md` says which library gave which value.

#![expect(clippy::unwrap_used, reason = "a test that can't read its reference has failed")]

#[path = "support/reference.rs"]
mod support;

use outline::circle_gap;
use outline::kurbo::Circle;
use serde_json::Value;
use support::{outline, read};

fn holes(v: &Value) -> Vec<Circle> {
    let all = v["holes"].as_array().map(Vec::as_slice).unwrap_or_default();
    let n = |h: &Value, k: &str| h[k].as_f64().unwrap();
    all.iter().map(|h| Circle::new((n(h, "cx"), n(h, "cy")), n(h, "r"))).collect()
}

fn near(what: &str, id: &str, got: f64, want: f64, within: f64) {
    assert!((got - want).abs() <= within, "{id}: {what} {got} where {want} is right");
}

/// Checks every value that a case holds; returns how many there were.
fn check(case: &Value) -> usize {
    let id = case["id"].as_str().unwrap();
    let o = outline(&case["outline"]);
    let (truth, holes) = (&case["truth"], holes(case));
    let mut checked = 0;
    let mut is = |what: &str, got: f64, want: &Value, within: &dyn Fn(f64) -> f64| {
        if let Some(want) = want.as_f64() {
            near(what, id, got, want, within(want));
            checked += 1;
        }
    };
    let share = |s: f64| move |want: f64| s * want.abs();
    let within = |e: f64| move |_: f64| e;
    is("area", o.area(), &truth["area_mm2"], &share(1e-9));
    is("perimeter", o.perimeter(), &truth["perimeter_mm"], &share(1e-6));
    let size = o.bounds().width();
    is("centroid x", o.centroid().x, &truth["centroid_mm"][0], &within(1e-9 * size));
    is("centroid y", o.centroid().y, &truth["centroid_mm"][1], &within(1e-9 * size));
    let (b, box_mm) = (o.bounds(), &truth["bbox_mm"]);
    for (got, side) in [(b.x0, "xmin"), (b.x1, "xmax"), (b.y0, "ymin"), (b.y1, "ymax")] {
        is(side, got, &box_mm[side], &within(1e-6));
    }
    let (m, moments) = (o.second_moments(), &truth["second_moments_about_centroid_mm4"]);
    is("Ixx", m.ixx_mm4, &moments["Ixx_c"], &share(1e-9));
    is("Iyy", m.iyy_mm4, &moments["Iyy_c"], &share(1e-9));
    is("Ixy", m.ixy_mm4, &moments["Ixy_c"], &within(1e-9 * m.iyy_mm4));
    let bored: f64 = holes.iter().map(|c| std::f64::consts::PI * c.radius * c.radius).sum();
    is("net area", o.area() - bored, &truth["area_net_of_holes_mm2"], &share(1e-9));
    let min = o.min_width();
    is("least width", min.width_mm, &truth["least_width_mm"], &within(1e-4));
    let normal = (90.0 - min.turn_rad.to_degrees()).rem_euclid(180.0);
    is("direction of least width", normal, &truth["least_width_normal_deg"], &within(0.01));
    for (i, hole) in holes.iter().enumerate() {
        is("web", o.web(*hole), &truth["hole_to_outline_mm"][i], &within(1e-4));
    }
    for pair in truth["hole_webs_mm"].as_array().into_iter().flatten() {
        let at = |k: usize| holes[pair[k].as_u64().unwrap() as usize];
        is("web between holes", circle_gap(at(0), at(1)), &pair[2], &within(1e-9));
    }
    let tight = o.tightest_inside().map_or(f64::INFINITY, |t| t.radius_mm);
    is("inside radius", tight, &truth["tightest_inside_radius_mm"], &share(1e-3));
    is("largest circle", o.largest_circle().radius, &truth["largest_circle_mm"], &within(1.1e-3));
    checked
}

#[test]
fn given_outlines_measure_as_independent_libraries_say() {
    let mut checked = 0;
    for case in read("outlines.json")["outlines"].as_array().unwrap() {
        checked += check(case);
    }
    assert!(checked > 200, "only {checked} values were found to check");
}

#[test]
fn own_outlines_measure_as_independent_libraries_say() {
    let mut checked = 0;
    for case in read("outlines_own.json")["outlines"].as_array().unwrap() {
        checked += check(case);
        assert_eq!(outline(&case["outline"]).contacts(), vec![], "{}", case["id"]);
    }
    assert!(checked > 250, "only {checked} values were found to check");
}

#[test]
fn given_outlines_touch_themselves_only_where_they_do() {
    for case in read("outlines.json")["outlines"].as_array().unwrap() {
        let id = case["id"].as_str().unwrap();
        let o = outline(&case["outline"]);
        let wanted = if case["valid"].as_bool().unwrap() { 0 } else { 1 };
        for o in [o.clone(), o.reversed()] {
            let found = o.contacts();
            assert_eq!(found.len(), wanted, "{id}: {found:#?}");
        }
    }
}
