//! Readings of what the blade becomes: the final edge, the whole knife.

use super::{Group, Value, reading};
use crate::{Missing, OriginFrame, Reckoning, SharpeningFigures, WholeFigures, use_for_angle};
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
    let usual = use_for_angle(angle_deg)
        .map_or("outside the usual bands".to_owned(), |name| format!("that of a {name}"));
    Value::Text(usual)
}

fn sharpening(edge: &SharpeningFigures) -> Group {
    let mut readings = vec![
        reading("Angle per side", Value::Angle(edge.angle_deg), "as stated"),
        reading(
            "Edge before sharpening",
            Value::Length(edge.edge_mm),
            "as stated, or as left before hardening",
        ),
    ];
    match edge.facet {
        Some(facet) => readings.extend([
            reading(
                "Facet height",
                Value::Length(facet.height_mm),
                "from the edge up to where the sharpening plane meets the bevel; of a flat one \
                 E / (tan b − tan a) with bevel angle a, angle b and E = e/2, or e when ground on \
                 one side",
            ),
            reading("Facet width", Value::Length(facet.width_mm), "that height / cos b"),
            reading(
                "Thickness at the shoulder",
                Value::Length(facet.shoulder_mm),
                "where facet and bevel meet: 2 · height · tan b, or height · tan b when ground on \
                 one side",
            ),
        ]),
        None => readings.push(reading(
            "Facet height",
            Value::Text("no facet".to_owned()),
            "the sharpening plane doesn't meet the bevel below its grind line",
        )),
    }
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
        reading(
            "Centre of mass",
            Value::Place(origin.to_local(whole.centre)),
            "of the whole knife",
        ),
        reading(
            "Behind the scale front",
            Value::Balance(whole.behind_scale_front_mm),
            "the balance point, to half a millimetre, towards the butt unless it says ahead",
        ),
    ]);
    readings.extend(whole.behind_front_pin_mm.map(|mm| {
        let how = "the balance point, to half a millimetre, towards the butt unless it says ahead";
        reading("Behind the front pin", Value::Balance(mm), how)
    }));
    Group { title: "Whole knife".to_owned(), readings }
}

fn unknown(missing: &Missing, knife: &Knife) -> Group {
    let message = match missing {
        Missing::Steel => format!("no density for {} in the table", knife.bar.grade),
        Missing::NotChosen(part) => format!("choose the material of the {part} first"),
        Missing::Unknown(part, name) => {
            format!("no density for {name}, the material of the {part}, in the table")
        }
    };
    let how = "steel, scales, liners, bolsters, pins and glue together";
    Group {
        title: "Whole knife".to_owned(),
        readings: vec![reading("All of it", Value::Text(message), how)],
    }
}
