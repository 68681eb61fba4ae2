//! Readings of the sheath and of the jigs.

use super::{Group, Reading, Value, length, reading};
use crate::{JigFigures, Reckoning, SheathFigures};
use knife::Knife;
use units::{LengthUnit, show_angle, show_number};

pub(super) fn groups(knife: &Knife, reckoning: &Reckoning) -> Vec<Group> {
    let group = |title: &str, readings| Group { title: title.to_owned(), readings };
    let mut groups = Vec::new();
    if let Some(Ok(figures)) = &reckoning.sheath {
        groups.push(group("Sheath", sheath(figures, knife.unit)));
    }
    if let Some(jigs) = &reckoning.jigs {
        groups.push(group("Jigs", self::jigs(jigs, knife.unit)));
    }
    groups
}

fn sheath(figures: &SheathFigures, unit: LengthUnit) -> Vec<Reading> {
    let size = |(long, broad): (f64, f64)| {
        Value::Text(format!("{} × {}", length(long, unit), length(broad, unit)))
    };
    let count = |count: usize| Value::Text(count.to_string());
    let row = &figures.row;
    let mut readings = vec![
        reading("Kind", Value::Text(figures.kind().label().to_owned()), "as stated"),
        reading(
            if figures.pieces == 1 { "Piece to cut" } else { "Each of two pieces" },
            size(figures.blank_mm),
            "box around the pattern, with what is allowed on every side of a formed one",
        ),
    ];
    if figures.fold_mm.is_some() {
        let bend = &figures.development.bend;
        readings.extend([
            reading("Radius of the bend", Value::Length(bend.radius_mm), "half of the stock"),
            reading(
                "Bend allowance",
                Value::Length(bend.allowance_mm),
                "half a turn: π (radius + neutral line), the neutral line as stated, usually in the \
                 middle of the thickness (FAA-H-8083-31, chapter 4)",
            ),
        ]);
    }
    let (welt, stitch) = (figures.welt.as_ref(), figures.thread_mm);
    if let Some(welt) = welt {
        let layers = welt.layers.map_or_else(String::new, |layers| match layers {
            1 => ", one layer".to_owned(),
            layers => format!(", {layers} layers"),
        });
        readings.push(reading(
            "Welt",
            Value::Text(format!("{} thick{layers}", length(welt.thickness_mm, unit))),
            "as stated, or as many layers of the same leather as come nearest to the stock",
        ));
    }
    readings.push(reading(
        if stitch.is_some() { "Row of stitches" } else { "Row of eyelets" },
        Value::Length(row.length_mm),
        "true length of its line in the closed sheath",
    ));
    if let Some(thread_mm) = stitch {
        readings.extend([
            reading("Stitches", count(row.steps), "as many as come nearest to the pitch wanted"),
            reading("Stitch", Value::Length(row.pitch_mm), "that line evenly divided"),
            reading(
                "Stitches to the inch",
                Value::Text(show_number(figures.per_inch(), 2)),
                "25.4 mm over the stitch",
            ),
            reading(
                "Thread",
                Value::Length(thread_mm),
                "saddle stitch: both ends along every stitch and through every hole, and 300 mm left \
                 over (common practice, no source)",
            ),
        ]);
    } else {
        readings.push(reading(
            "Eyelets",
            count(row.holes.len()),
            "at both ends and evenly between",
        ));
        readings.push(reading(
            "From eyelet to eyelet",
            Value::Length(row.pitch_mm),
            "along the line",
        ));
    }
    if let Some(own) = &figures.belt_loop {
        readings.push(reading(
            "Belt loop",
            size((own.length_mm, own.stated.width_mm)),
            "two tabs, two legs as long as the belt is wide with room, half a turn about a belt \
             4 mm thick (common practice, no source)",
        ));
        readings.push(reading("Stitches of the loop", count(own.row.steps), "round its tab"));
        readings.push(reading("Thread of the loop", Value::Length(own.thread_mm), "as above"));
    }
    let (deep, passes) = figures.mouth_depth_mm;
    readings.extend([
        reading(
            "Edge to the row",
            Value::Length(figures.guard_mm),
            "welt or flange between the knife and the stitches or eyelets",
        ),
        reading("Mouth, inside", Value::Length(deep), "across, where the handle comes out"),
        reading("Widest part to pass it", Value::Length(passes), "of what lies in the sheath"),
        reading(
            "Catch",
            Value::Length(figures.catch_mm),
            "by how much a close sheath is narrower nearer to its mouth than something in it",
        ),
        reading("Handle held", Value::Length(figures.held_mm.0), "from its front to the mouth"),
    ]);
    readings
}

fn jigs(jigs: &JigFigures, unit: LengthUnit) -> Vec<Reading> {
    let show = |mm: f64| length(mm, unit);
    let block = &jigs.centring;
    let mut readings = vec![reading(
        "Centring block",
        Value::Text(format!(
            "pegs of {}, {} apart, scriber midway; turned {} on this stock",
            show(block.peg_mm),
            show(block.apart_mm),
            show_angle(block.turn_deg, 1)
        )),
        "asin((stock + peg) / apart): both pegs touch, the scriber stands in the middle",
    )];
    if let Some(guide) = &jigs.guide {
        readings.push(reading(
            "Filing guide",
            Value::Text(format!(
                "bolts of {} {} apart over {} of blank",
                show(guide.bolt_mm),
                show(guide.bolts_mm[1] - guide.bolts_mm[0]),
                show(guide.blank_mm)
            )),
            "the blank's height behind the plunge line, a bolt and 1 mm of room on both sides",
        ));
    }
    let wedge = |name, block: &Option<crate::AngleBlock>, how| {
        let block = block.as_ref()?;
        let value = format!(
            "{}, {} high over a foot of {}",
            show_angle(block.angle_deg, 2),
            show(block.rise_mm),
            show(block.foot_mm)
        );
        Some(reading(name, Value::Text(value), how))
    };
    readings.extend(wedge("Bevel block", &jigs.bevel, "foot times the tangent of the angle"));
    readings.extend(wedge("Front block", &jigs.front, "leans back by the bevel of the front"));
    readings.extend(wedge(
        "Sharpening stand",
        &jigs.stand,
        "a slope of 150 mm times sine and cosine",
    ));
    if let Some(chamber) = &jigs.chamber {
        readings.push(reading(
            "Brick chamber",
            Value::Text(format!(
                "soft bricks in a row, each half: {}; bore {}; burner {} beside the middle, {} back",
                chamber.bricks,
                show(chamber.bore_mm),
                show(chamber.beside_mm),
                show_angle(chamber.back_deg, 0)
            )),
            "blade and an inch over bricks of 9 in; along the wall: half of bore less burner \
             (common practice, no source)",
        ));
    }
    readings
}
