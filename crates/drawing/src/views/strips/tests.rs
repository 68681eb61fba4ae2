//! Laws of the strips sheet: ticks at arc length, a true line to measure, nothing on anything.

use super::*;
use crate::views::overlaps::{find_overlaps, labels};
use knife::{Edit, Groove, Jimping, Pitch, STARTERS, ScallopSpacing, Scallops};
use kurbo::{Rect, Shape};
use marks::{Mark, Pen};
use reckon::{Shop, reckon, tables::Tables};

fn reckoned(knife: &Knife) -> Reckoning {
    reckon(knife, &Shop::default(), Tables::built_in())
}

fn decorated(mut knife: Knife) -> Knife {
    let profile = reckoned(&knife).profile.unwrap();
    let front = knife.scales.unwrap().front_x_mm;
    knife.handle.scallops = Some(Scallops {
        spacing: ScallopSpacing::Count(5),
        front_mm: 12.0,
        butt_mm: 14.0,
        drum_mm: 25.0,
        angle_deg: 40.0,
        depth_mm: 1.0,
    });
    knife.handle.jimping = Some(Jimping {
        side: OutlineSide::Spine,
        from_x_mm: front - profile.towards_butt * 35.0,
        to_x_mm: front - profile.towards_butt * 5.0,
        pitch: Pitch::Mm(2.5),
        depth_mm: 0.6,
        groove: Groove::Vee(90.0),
    });
    knife
}

fn boxes(drawing: &Drawing, pen: Pen) -> Vec<Rect> {
    let of = |item: &&marks::Item| item.pen == pen;
    let boxed = |item: &marks::Item| match &item.mark {
        Mark::Path(path) => Some(path.bounding_box()),
        _ => None,
    };
    drawing.items.iter().filter(of).filter_map(boxed).collect()
}

#[test]
fn ticks_lie_at_their_arc_length_from_the_strips_front_end() {
    for starter in STARTERS {
        let knife = decorated(starter.knife());
        let reckoning = reckoned(&knife);
        let drawing = strips_sheet(&knife, &reckoning);
        let strips = boxes(&drawing, Pen::Cut);
        assert_eq!(strips.len(), 3, "{}", knife.name);
        let scallops = reckoning.scallops.as_ref().unwrap();
        let rows = [&scallops.upper, &scallops.lower];
        let ticks = boxes(&drawing, Pen::Centre);
        let on = |strip: &Rect| -> Vec<f64> {
            let inside = |t: &&Rect| t.y0 >= strip.y0 - 1e-9 && t.y1 <= strip.y1 + 1e-9;
            ticks.iter().filter(inside).map(|t| t.x0 - strip.x0).collect()
        };
        for (strip, row) in strips.iter().zip(rows) {
            // From both long sides.
            let wanted: Vec<f64> = row.places.iter().flat_map(|p| [p.along_mm; 2]).collect();
            let found = on(strip);
            assert_eq!(found.len(), wanted.len());
            assert!(found.iter().zip(&wanted).all(|(a, b)| (a - b).abs() < 1e-9));
            assert!(strip.x1 - strip.x0 >= row.places.last().unwrap().along_mm);
        }
        let notches = on(&strips[2]);
        assert_eq!(notches.len(), 2 * reckoning.jimping.as_ref().unwrap().notches.len());
        assert!(
            notches
                .chunks(2)
                .zip(notches.chunks(2).skip(1))
                .all(|(a, b)| { (b[0] - a[0] - 2.5).abs() < 1e-9 })
        );
    }
}

// 100 mm, or 2 or 4 in of 25.4 mm (ISO 80000-3 by definition of the inch).
#[test]
fn every_strip_bears_a_line_as_long_as_it_says() {
    for starter in STARTERS {
        for unit in [units::LengthUnit::Millimetre, units::LengthUnit::Inch] {
            let mut knife = decorated(starter.knife());
            knife.unit = unit;
            let drawing = strips_sheet(&knife, &reckoned(&knife));
            let lines = boxes(&drawing, Pen::Dimension);
            for strip in boxes(&drawing, Pen::Cut) {
                let message = labels(&drawing).into_iter().find_map(|(label, at)| {
                    let mm = match label.text.as_str() {
                        "100 mm" => 100.0,
                        "50 mm" => 50.0,
                        "4 in" => 101.6,
                        "2 in" => 50.8,
                        _ => return None,
                    };
                    strip.contains(at.center()).then_some(mm)
                });
                let message: f64 = message.unwrap();
                let is = |line: &Rect| {
                    strip.contains(line.center()) && (line.width() - message).abs() < 1e-9
                };
                assert!(lines.iter().any(is), "{} {message}", knife.name);
            }
        }
    }
}

#[test]
fn nothing_is_printed_on_anything_else() {
    for starter in STARTERS {
        let plain = starter.knife();
        assert!(strips_sheet(&plain, &reckoned(&plain)).items.is_empty());
        assert!(strips_notes(&plain, &reckoned(&plain))[0].starts_with("No strips"));
        let knife = decorated(plain);
        for knife in [Edit::MirrorAlong.apply(&knife).unwrap(), knife] {
            let drawing = strips_sheet(&knife, &reckoned(&knife));
            let found = find_overlaps(&drawing);
            assert!(found.is_empty(), "{}: {found:?}", knife.name);
            let strips = boxes(&drawing, Pen::Cut);
            for (label, at) in labels(&drawing) {
                let within = strips.iter().any(|strip| strip.union(at) == *strip);
                assert!(within, "{} lies off its strip", label.text);
            }
        }
    }
}
