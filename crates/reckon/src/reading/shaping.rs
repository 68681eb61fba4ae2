//! Readings of jimping, scallops and the handle's shape.

use super::{Group, Reading, Value, length, reading};
use crate::tables::HandSize;
use crate::{
    FingerNotch, HandFigures, JimpingFigures, OriginFrame, Reckoning, ScallopFigures,
    ShapingFigures,
};
use knife::Knife;
use units::LengthUnit;

pub(super) fn groups(knife: &Knife, reckoning: &Reckoning) -> Vec<Group> {
    let group = |title: &str, readings| Group { title: title.to_owned(), readings };
    let mut groups = Vec::new();
    groups.extend(reckoning.jimping.as_ref().map(|j| group("Jimping", jimping(j))));
    groups.extend(reckoning.scallops.as_ref().map(|s| group("Scallops", scallops(s))));
    let (shape, origin) = (reckoning.shaping.as_ref(), &reckoning.origin);
    groups.extend(shape.map(|s| group("Shape of the handle", shaping(s, origin, knife.unit))));
    groups.extend(reckoning.hand.as_ref().map(|h| group("Hand sizes", hand(h, knife.unit))));
    if !reckoning.finger_notches.is_empty() {
        let notches = reckoning.finger_notches.iter();
        let notches = notches.map(|notch| finger(notch, origin, knife.unit));
        groups.push(group("Finger grooves", notches.collect()));
    }
    groups
}

/// Breadth of a grown person's index finger next to the hand, narrow to broad, mm (hand sizes as
/// in DIN 33402-2, from memory).
const FINGER_MM: (f64, f64) = (17.0, 23.0);

fn finger(notch: &FingerNotch, origin: &OriginFrame, unit: LengthUnit) -> Reading {
    let show = |mm| length(mm, unit);
    let mut words = format!(
        "at x {}: {} from lip to lip, {} deep, its front lip {} from the heel",
        show(origin.to_local_x(notch.deepest.x)),
        show(notch.breadth_mm),
        show(notch.depth_mm),
        show(notch.to_heel_mm)
    );
    if let Some((mm, number)) = notch.to_hole {
        words += &format!(", {} of steel to hole {number}", show(mm));
    }
    if notch.breadth_mm < FINGER_MM.1 {
        let which = if notch.breadth_mm < FINGER_MM.0 { "any" } else { "a broad" };
        words += &format!("; narrower than {which} finger");
    }
    reading(
        "Notch",
        Value::Text(words),
        "depth square to the line from lip to lip; fingers are 17 to 23 mm broad next to the hand \
         (DIN 33402-2, from memory)",
    )
}

fn jimping(figures: &JimpingFigures) -> Vec<Reading> {
    vec![
        reading(
            "Notches",
            Value::Text(figures.notches.len().to_string()),
            "as many as go on the run at this pitch, the first on the first mark",
        ),
        reading("Pitch", Value::Length(figures.pitch_mm), "as stated, along the curve"),
        reading("Run", Value::Length(figures.run_mm), "true length of the curve between the marks"),
        reading("Left over", Value::Length(figures.rest_mm), "from the last notch to the mark"),
        reading("Depth", Value::Length(figures.depth_mm), "as stated, square to the outline"),
        reading(
            "Notch at the surface",
            Value::Length(figures.notch_width_mm),
            "of a V twice the depth times tan of half its angle; of a round file its chord",
        ),
        reading(
            "Flat on a tooth",
            Value::Length(figures.tooth_flat_mm),
            "pitch less the notch's breadth at the surface",
        ),
    ]
}

fn scallops(figures: &ScallopFigures) -> Vec<Reading> {
    let counts = format!(
        "{} above, {} below, on each scale",
        figures.upper.places.len(),
        figures.lower.places.len()
    );
    let mut readings = vec![reading(
        "Places",
        Value::Text(counts),
        "even along the handle's axis, the lower row half a pitch farther back",
    )];
    if let Some(pitch) = figures.pitch_mm {
        readings.push(reading("Pitch", Value::Length(pitch), "along the handle's axis"));
    }
    readings.push(reading(
        "Width",
        Value::Length(figures.width_mm),
        "the drum's chord at its depth, along the corner",
    ));
    if let Some(land) = figures.land_mm {
        readings.push(reading("Land", Value::Length(land), "pitch less width"));
    }
    readings.extend([
        reading(
            "Over the face",
            Value::Length(figures.face_mm),
            "depth over the sine of the angle between face and drum",
        ),
        reading(
            "Down the side",
            Value::Length(figures.side_mm),
            "depth over the cosine of the same angle",
        ),
        reading(
            "Upper edge",
            Value::Length(figures.upper.edge_mm),
            "true length from the scale's front corner to the butt, on the spine's side",
        ),
        reading("Lower edge", Value::Length(figures.lower.edge_mm), "the same on the edge's side"),
    ]);
    readings
}

fn shaping(figures: &ShapingFigures, origin: &OriginFrame, unit: LengthUnit) -> Vec<Reading> {
    let mut readings = Vec::new();
    if figures.over_face_mm > 0.0 {
        readings.push(reading(
            "Corner over the face",
            Value::Length(figures.over_face_mm),
            "width of the chamfer, or radius of the round",
        ));
        readings.push(reading(
            "Corner down the side",
            Value::Length(figures.down_side_mm),
            "that width times tan of the chamfer's angle, or the radius",
        ));
    }
    for station in &figures.stations {
        let mut words = format!(
            "{}, at x {}: face left {}",
            station.label,
            length(origin.to_local_x(station.x_mm), unit),
            length(station.face_mm, unit)
        );
        match station.girth_mm {
            Some(girth) => words += &format!(", girth {}", length(girth, unit)),
            None => words += ", the corner doesn't go onto the scale",
        }
        let over = figures.hand_mm.and_then(|hand| station.over_hand_mm(hand));
        if let Some(over) = over {
            let than = if over >= 0.0 { "more" } else { "less" };
            words += &format!(", {} {than} than the hand likes", length(over.abs(), unit));
        }
        readings.push(reading(
            "Grip",
            Value::Text(words),
            "face: tang's width less the corner on both sides; girth: round the rectangle of tang \
             and scales, less what its four corners save",
        ));
    }
    readings
}

fn hand(figures: &HandFigures, unit: LengthUnit) -> Vec<Reading> {
    let brief = |mm: f64| brief(mm, unit);
    let girths = figures.stations.iter().map(|station| match station.girth_mm {
        Some(girth_mm) => format!("{} {}", station.label, brief(girth_mm)),
        None => format!("{} –", station.label),
    });
    let mut readings = vec![reading(
        "Girth",
        Value::Text(girths.collect::<Vec<_>>().join(", ")),
        "round the rectangle of tang and scales, less what its four corners save, at five places \
         from the front to the butt",
    )];
    for fit in &figures.fits {
        let over = figures
            .stations
            .iter()
            .filter_map(|station| Some(signed(station.girth_mm? - fit.best_girth_mm, unit)));
        let room = if fit.spare_mm >= 0.0 {
            format!("{} of handle to spare", brief(fit.spare_mm))
        } else {
            format!("handle {} too short", brief(-fit.spare_mm))
        };
        let words = format!(
            "{} across, {} long: {room}; grips hardest round {}, here {}",
            brief(fit.hand.breadth_mm),
            brief(fit.hand.length_mm),
            brief(fit.best_girth_mm),
            over.collect::<Vec<_>>().join(", ")
        );
        let name = match fit.hand.size {
            HandSize::Small => "Small hand",
            HandSize::Medium => "Medium hand",
            HandSize::Large => "Large hand",
        };
        readings.push(reading(
            name,
            Value::Text(words),
            "5th percentile of women, middle, 95th percentile of men (Greiner 1991, from memory); \
             a round handle is gripped hard most comfortably when it is 19.7 % of the hand's \
             length through (Kong and Lowe 2005, from memory); knives are mostly thinner, for \
             control (common practice, no source)",
        ));
    }
    readings
}

/// A length as near as a hand is measured.
fn brief(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => units::show_mm(mm, 0),
        LengthUnit::Inch => units::show_inch(mm, 2),
    }
}

/// A difference with its sign.
fn signed(mm: f64, unit: LengthUnit) -> String {
    let sign = if mm < 0.0 { "−" } else { "+" };
    format!("{sign}{}", brief(mm.abs(), unit))
}
