//! Readings of what the blade becomes: the final edge, the whole knife.

use super::{Group, Value, reading};
use crate::{Missing, OriginFrame, Reckoning, SharpeningFigures, WholeFigures, usual_for};
use knife::Knife;

/// The groups there are.
pub(super) fn groups(knife: &Knife, reckoning: &Reckoning) -> Vec<Group> {
    let sharpening = reckoning.sharpening.as_ref().map(sharpening);
    let whole = reckoning.whole.as_ref().map(|whole| match whole {
        Ok(whole) => group(whole, &reckoning.origin),
        Err(missing) => unknown(missing, knife),
    });
    sharpening.into_iter().chain(whole).collect()
}

/// What a bevel of this angle is usual for, as a text.
pub(super) fn usual(angle_deg: f64) -> Value {
    let usual = usual_for(angle_deg)
        .map_or("outside the usual bands".to_owned(), |name| format!("that of a {name}"));
    Value::Text(usual)
}

fn sharpening(edge: &SharpeningFigures) -> Group {
    let mut readings = vec![
        reading("Angle a side", Value::Angle(edge.angle_deg), "as stated"),
        reading(
            "Edge before sharpening",
            Value::Length(edge.edge_mm),
            "as stated, or as left before hardening",
        ),
        reading(
            "Facet height",
            Value::Length(edge.facet_height_mm),
            "e / (2 tan b) with edge e, angle b; e / tan b when ground on one side",
        ),
        reading(
            "Facet width",
            Value::Length(edge.facet_width_mm),
            "e / (2 sin b); e / sin b when ground on one side",
        ),
    ];
    readings.extend(edge.shoulder_mm.map(|mm| {
        reading(
            "Thickness at the shoulder",
            Value::Length(mm),
            "where facet and bevel meet, sharpened until the flat is just gone: \
             e tan b / (tan b − tan a) with bevel angle a",
        )
    }));
    Group { title: "Sharpening".to_owned(), readings }
}

fn group(whole: &WholeFigures, origin: &OriginFrame) -> Group {
    let grams = |g: f64| Value::Text(units::show_mass(units::Mass::grams(g)));
    let all = "steel, scales, liners, bolsters, pins and glue together";
    let mut readings = vec![
        reading("All of it", grams(whole.mass_g()), all),
        reading("Scales", grams(whole.scales_g), "both, before shaping, less their holes"),
    ];
    for (name, g, how) in [
        ("Liners", whole.liners_g, "both, under scales and bolsters, less their holes"),
        ("Bolsters", whole.bolsters_g, "both sides, before shaping, less their holes"),
    ] {
        readings.extend((g > 0.0).then(|| reading(name, grams(g), how)));
    }
    readings.extend([
        reading("Pins", grams(whole.pins_g), "tubes and screws too, from face to face"),
        reading(
            "Glue",
            grams(whole.glue_g),
            "in all joints at the glue line's thickness, around the pins, and filling relief holes",
        ),
        reading("Centre of mass", Value::Place(origin.read(whole.centre)), "of the whole knife"),
        reading(
            "Behind the scale front",
            Value::Length(whole.behind_scale_front_mm),
            "the balance point, towards the butt; a minus means ahead",
        ),
    ]);
    readings.extend(whole.behind_front_pin_mm.map(|mm| {
        let how = "the balance point, towards the butt; a minus means ahead";
        reading("Behind the front pin", Value::Length(mm), how)
    }));
    Group { title: "Whole knife".to_owned(), readings }
}

fn unknown(missing: &Missing, knife: &Knife) -> Group {
    let told = match missing {
        Missing::Steel => format!("no density for {} in the table", knife.bar.grade),
        Missing::NotChosen(part) => format!("choose the material of the {part} first"),
        Missing::Unknown(part, name) => {
            format!("no density for {name}, the material of the {part}, in the table")
        }
    };
    let how = "steel, scales, liners, bolsters, pins and glue together";
    Group {
        title: "Whole knife".to_owned(),
        readings: vec![reading("All of it", Value::Text(told), how)],
    }
}
