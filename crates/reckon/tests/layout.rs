//! Webs and tang sections held against GEOS, whose values stand in `tests/reference/layout.json`
//! with the script that made them.

#![expect(clippy::unwrap_used, reason = "a test that can't read its reference has failed")]

#[path = "../../outline/tests/support/reference.rs"]
mod reference;

use knife::{Edit, HoleKind, Knife, Placement, Profile};
use outline::kurbo::Point;
use reckon::tables::Tables;
use reckon::{Shop, reckon, tang_section};
use serde_json::Value;

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// The drilled blank of a case, on the reference's bar.
fn drilled(case: &Value, file: &Value) -> Knife {
    let mut knife = Knife::empty();
    knife.profile = Profile::from_outline(&reference::outline(&case["outline"]));
    knife.bar.thickness_mm = number(&file["thickness_mm"]);
    (knife.bar.length_mm, knife.bar.width_mm) =
        (number(&file["bar_mm"][0]), number(&file["bar_mm"][1]));
    let at = Point::new(number(&case["place_mm"][0]), number(&case["place_mm"][1]));
    knife.bar.placement = Placement { at, turn_deg: 0.0 };
    for hole in case["holes"].as_array().unwrap() {
        let add = Edit::AddHole {
            name: String::new(),
            kind: HoleKind::Pin,
            at: Point::new(number(&hole["x"]), number(&hole["y"])),
            diameter_mm: number(&hole["d"]),
            drill: None,
            pin_mm: None,
        };
        knife = add.apply(&knife).unwrap();
    }
    knife
}

#[test]
fn webs_and_sections_agree_with_geos() {
    let file = reference::read("layout.json");
    let cases = file["cases"].as_array().unwrap();
    assert!(cases.len() >= 12);
    // The reference's outline is a polyline of 2000 pieces a curve, its circles have 20,000
    // corners.
    let near = |what: &str, got: f64, want: &Value, within: f64| {
        let want = number(want);
        let scale = want.abs().max(1.0);
        assert!((got - want).abs() <= within * scale, "{what}: {got} where {want} is right");
    };
    for case in cases {
        let knife = drilled(case, &file);
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        let outline = reckoning.outline.as_ref().unwrap();
        let id = &case["id"];
        for (hole, truth) in reckoning.holes.iter().zip(case["truth"].as_array().unwrap()) {
            let is = |what: &str, got, within| {
                near(&format!("{id} hole {} {what}", hole.number), got, &truth[what], within);
            };
            is("edge_web_mm", hole.edge_web_mm.unwrap(), 1e-5);
            is("nearest_hole_web_mm", hole.nearest.unwrap().web_mm, 1e-9);
            let on_bar = hole.on_bar;
            let sides =
                [on_bar.x, on_bar.y, knife.bar.length_mm - on_bar.x, knife.bar.width_mm - on_bar.y];
            let nearest = sides.into_iter().fold(f64::INFINITY, f64::min);
            is("bar_web_mm", nearest - hole.diameter_mm / 2.0, 1e-9);
            let section = tang_section(&knife, outline, hole.at.x).unwrap();
            is("full_mm", section.full_mm, 1e-5);
            is("net_mm", section.net_mm, 1e-5);
            is("second_moment_mm4", section.second_moment_mm4, 1e-5);
        }
    }
}
