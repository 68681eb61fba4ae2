//! Laws of the scales sheet: a mirrored pair at true size, every hole on both, nothing on anything.

use super::*;
use crate::views::overlaps::{find_overlaps, labels};
use knife::{Bolster, Corner, Fixing, FrontCurve, STARTERS, ScaleFront};
use kurbo::{BezPath, PathEl, Shape};
use marks::{Item, Mark};
use reckon::{Shop, reckon, tables::Tables};

fn reckoned(knife: &Knife) -> Reckoning {
    reckon(knife, &Shop::default(), Tables::built_in())
}

/// Every starter, plain and with all there is.
fn knives() -> Vec<Knife> {
    let starters = STARTERS.iter().map(knife::Starter::knife);
    starters.flat_map(|knife| [knife.clone(), dressed(knife)]).collect()
}

fn dressed(mut knife: Knife) -> Knife {
    let bolster = |length_mm| Some(Bolster { length_mm, material: Some("brass".to_owned()) });
    let handle = &mut knife.handle;
    handle.front =
        ScaleFront { curve: FrontCurve::Round(40.0), lean_deg: 6.0, bevel_deg: Some(45.0) };
    (handle.front_bolster, handle.rear_bolster) = (bolster(11.0), bolster(13.0));
    handle.grain_deg = Some(20.0);
    handle.shaping.corner = Some(Corner::Chamfer { width_mm: 2.0, angle_deg: 45.0 });
    if let Some(hole) = knife.holes.first() {
        handle.fixings = vec![(hole.id, Fixing::Screw { head_mm: 9.0, head_deep_mm: 2.0 })];
    }
    knife
}

/// Nodes of the paths of a pen, on one side of the mirror line.
fn nodes(drawing: &Drawing, pen: Pen, direction: f64) -> Vec<Point> {
    let path = |item: &Item| match &item.mark {
        Mark::Path(path) if item.pen == pen => Some(path.clone()),
        _ => None,
    };
    let paths: Vec<BezPath> = drawing.items.iter().filter_map(path).collect();
    let nodes = paths.iter().flat_map(|path| path.elements()).filter_map(PathEl::end_point);
    nodes.filter(|p| p.y * direction > 1e-9).collect()
}

#[test]
fn the_halves_are_mirror_images() {
    for knife in knives() {
        let drawing = scales_sheet(&knife, &reckoned(&knife));
        for pen in [Pen::Cut, Pen::Scale, Pen::Guide] {
            let (low, high) = (nodes(&drawing, pen, -1.0), nodes(&drawing, pen, 1.0));
            assert_eq!(low.len(), high.len(), "{} {pen:?}", knife.name);
            assert!(low.len() > 1, "{} {pen:?}", knife.name);
            for (a, b) in low.iter().zip(&high) {
                assert!(Point::new(a.x, -a.y).distance(*b) < 1e-9, "{} {pen:?}", knife.name);
            }
        }
        let circle = |item: &Item| match item.mark {
            Mark::Circle(circle) => Some(circle),
            _ => None,
        };
        let circles: Vec<_> = drawing.items.iter().filter_map(circle).collect();
        let (low, high) = circles.split_at(circles.len() / 2);
        for (a, b) in low.iter().zip(high) {
            assert!((a.radius - b.radius).abs() < 1e-12);
            assert!(Point::new(a.center.x, -a.center.y).distance(b.center) < 1e-9);
        }
    }
}

/// The dashed line is the tang's own outline: laid back on the blank, it lies on it.
#[test]
fn the_flush_line_lies_on_the_tang() {
    for knife in knives() {
        let reckoning = reckoned(&knife);
        let (blank, scales) =
            (reckoning.outline.as_ref().unwrap(), reckoning.scales.as_ref().unwrap());
        let drawing = scales_sheet(&knife, &reckoning);
        let shift = -GAP_MM - sawn_box(scales).y1;
        let back = (Affine::translate((0.0, shift)) * scales.left).inverse();
        for p in nodes(&drawing, Pen::Scale, -1.0) {
            assert!(blank.nearest(back * p).distance_mm < 1e-4, "{} {p:?}", knife.name);
        }
        let long = nodes(&drawing, Pen::Scale, -1.0);
        let reach = |f: fn(f64, f64) -> f64, start| long.iter().map(|p| p.x).fold(start, f);
        assert!(reach(f64::max, f64::MIN) - reach(f64::min, f64::MAX) > 60.0);
        // Nearly flush with itself: area of what is dashed and the front.
        let cut: Vec<&Item> = drawing.items.iter().filter(|item| item.pen == Pen::Cut).collect();
        assert_eq!(cut.len(), 2 * scales.pieces.len());
        for item in cut {
            let Mark::Path(path) = &item.mark else { panic!() };
            assert!(path.area().abs() > 50.0);
        }
    }
}

#[test]
fn each_half_says_what_it_is_and_names_every_hole_that_goes_through() {
    for knife in knives() {
        let drawing = scales_sheet(&knife, &reckoned(&knife));
        let labels = labels(&drawing);
        let times = |text: &str| labels.iter().filter(|(label, _)| label.text == text).count();
        for text in ["FRONT", "outside up, book-matched"] {
            assert_eq!(times(text), 2, "{} {text}", knife.name);
        }
        assert_eq!((times("LEFT SCALE"), times("RIGHT SCALE"), times("front")), (1, 1, 1));
        for (i, hole) in knife.holes.iter().enumerate() {
            let name = format!("{}:", i + 1);
            let number = (i + 1).to_string();
            let message = labels
                .iter()
                .filter(|(label, _)| label.text == number || label.text.starts_with(&name))
                .count();
            let wanted = if hole.kind == knife::HoleKind::Relief { 0 } else { 2 };
            assert_eq!(message, wanted, "{} hole {number}", knife.name);
        }
        let bolsters = if knife.handle.front_bolster.is_some() { 1 } else { 0 };
        assert_eq!(times("front bolster"), bolsters);
        assert_eq!(times("grain"), 2 * bolsters);
    }
}

#[test]
fn no_words_lie_on_words_or_lines() {
    for knife in knives() {
        let found = find_overlaps(&scales_sheet(&knife, &reckoned(&knife)));
        assert!(found.is_empty(), "{}: {found:#?}", knife.name);
    }
}

/// By hand: 20° up on the left scale is 20° down on its mirror image.
#[test]
fn the_grain_is_mirrored() {
    let knife = dressed(STARTERS[0].knife());
    let reckoning = reckoned(&knife);
    let drawing = scales_sheet(&knife, &reckoning);
    let end = sawn_box(reckoning.scales.as_ref().unwrap()).x1;
    let shaft = |item: &Item| match &item.mark {
        Mark::Path(path) if item.pen == Pen::Dimension => {
            let bounds = path.bounding_box();
            let ends: Vec<Point> = path.elements().iter().filter_map(PathEl::end_point).collect();
            let direction = *ends.last()? - ends[0];
            let direction = if direction.x < 0.0 { -direction } else { direction };
            (bounds.x0 > end && ends.len() == 2).then(|| direction.angle().to_degrees())
        }
        _ => None,
    };
    let found: Vec<f64> = drawing.items.iter().filter_map(shaft).collect();
    assert_eq!(found.len(), 2);
    assert!((found[0] - 20.0).abs() < 1e-9 && (found[1] + 20.0).abs() < 1e-9, "{found:?}");
}

#[test]
fn notes_tell_blocks_and_what_to_mind() {
    for knife in knives() {
        let notes = scales_notes(&knife, &reckoned(&knife)).join(" ");
        for words in ["Rough blocks", "Dust", "trim flush", "Drills", "Book-matched"] {
            assert!(notes.contains(words), "{}: {notes}", knife.name);
        }
    }
    let mut bare = STARTERS[0].knife();
    bare.scales = None;
    let reckoning = reckoned(&bare);
    assert!(scales_sheet(&bare, &reckoning).items.is_empty() && !has_scales(&reckoning));
    assert!(scales_notes(&bare, &reckoning)[0].contains("No scales"));
}
