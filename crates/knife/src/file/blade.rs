//! Bevels, taper, swedge, filing and sharpening, as a file holds them.

use super::fault::Problem;
use super::fields::{Faults, Fields};
use crate::{
    Bevel, FiledAmount, Filing, FilingTrial, Grind, GrindLine, GroundSides, Knife, Profile,
    Sharpening, Swedge, Taper, limits,
};
use kurbo::Point;
use serde_json::{Map, Value, json};

const SIDES: &[&str] = &["both", "left", "right"];
const SIDE_MEANINGS: [GroundSides; 3] = [GroundSides::Both, GroundSides::Left, GroundSides::Right];
const GRINDS: &[&str] = &["flat", "hollow", "convex"];
const UP_TO: &[&str] = &["height", "spine", "line"];

/// Reads what a file says of the blade into the knife.
pub(super) fn read(file: &Fields<'_>, knife: &mut Knife, faults: &mut Faults) {
    if let Some(value) = file.get("bevel") {
        read_bevel(value, knife, faults);
    }
    knife.taper = file.get("taper").and_then(|value| {
        let fields = Fields::open(value, "taper", &["from_x_mm", "tip_mm"], faults)?;
        let from = fields.number("from_x_mm", &limits::COORDINATE_MM, faults);
        let tip = fields.number("tip_mm", &limits::TAPERED_MM, faults);
        Some(Taper { from_x_mm: from?, tip_mm: tip? })
    });
    knife.swedge = file.get("swedge").and_then(|value| {
        let known = ["from_x_mm", "height_mm", "thickness_mm"];
        let fields = Fields::open(value, "swedge", &known, faults)?;
        let from = fields.number("from_x_mm", &limits::COORDINATE_MM, faults);
        let height = height(&fields, "height_mm", &knife.profile, faults);
        let thickness = fields.number("thickness_mm", &limits::EDGE_THICKNESS_MM, faults);
        Some(Swedge { from_x_mm: from?, height_mm: height?, thickness_mm: thickness? })
    });
    knife.filing = file.get("filing").and_then(|value| read_filing(value, faults));
    knife.sharpening = file.get("sharpening").and_then(|value| {
        let fields = Fields::open(value, "sharpening", &["angle_deg", "edge_mm"], faults)?;
        let angle = fields.number("angle_deg", &limits::SHARPENING_DEG, faults);
        let edge_mm = fields.optional_number("edge_mm", &limits::EDGE_THICKNESS_MM, faults);
        Some(Sharpening { angle_deg: angle?, edge_mm })
    });
}

/// A height above the edge or below the spine. One above the blank is told, and stands at the
/// most that the blank takes: the rest of what was decided is not lost with it.
fn height(fields: &Fields<'_>, key: &str, profile: &Profile, faults: &mut Faults) -> Option<f64> {
    let value_mm = fields.number(key, &limits::GRIND_HEIGHT_MM, faults)?;
    let max_mm = *limits::grind_height_on(profile).end();
    if value_mm > max_mm {
        faults.note(fields.at(key), Problem::HigherThanWide { value_mm, max_mm });
    }
    Some(value_mm.min(max_mm))
}

fn read_bevel(value: &Value, knife: &mut Knife, faults: &mut Faults) {
    let known = [
        "plunge_x_mm",
        "grind_height_mm",
        "edge_thickness_mm",
        "grind",
        "wheel_mm",
        "radius_mm",
        "sides",
        "plunge_lean_deg",
        "plunge_file_mm",
        "up_to",
        "line_mm",
    ];
    let Some(fields) = Fields::open(value, "bevel", &known, faults) else { return };
    let plunge = fields.number("plunge_x_mm", &limits::COORDINATE_MM, faults);
    let height = height(&fields, "grind_height_mm", &knife.profile, faults);
    let edge = fields.number("edge_thickness_mm", &limits::EDGE_THICKNESS_MM, faults);
    let lean = fields.optional_number("plunge_lean_deg", &limits::LEAN_DEG, faults);
    let file = fields.optional_number("plunge_file_mm", &limits::PLUNGE_FILE_MM, faults);
    let sides = fields.optional_keyword("sides", SIDES, &SIDE_MEANINGS, faults);
    let grind = read_grind(&fields, faults);
    let line = read_line(&fields, faults);
    let (Some(plunge_x_mm), Some(grind_height_mm), Some(edge_thickness_mm)) =
        (plunge, height, edge)
    else {
        return;
    };
    knife.bevel = Some(Bevel {
        plunge_x_mm,
        grind_height_mm,
        edge_thickness_mm,
        grind,
        sides: sides.unwrap_or_default(),
        plunge_lean_deg: lean.unwrap_or_default(),
        plunge_file_mm: file.unwrap_or_default(),
    });
    knife.grind_line = line;
}

fn read_grind(fields: &Fields<'_>, faults: &mut Faults) -> Grind {
    let grind = match fields.optional_keyword("grind", GRINDS, &[0, 1, 2], faults) {
        Some(1) => fields.number("wheel_mm", &limits::WHEEL_MM, faults).map(Grind::Hollow),
        Some(2) => fields.number("radius_mm", &limits::CONVEX_MM, faults).map(Grind::Convex),
        _ => None,
    };
    let grind = grind.unwrap_or_default();
    for (key, held) in [
        ("wheel_mm", matches!(grind, Grind::Hollow(_))),
        ("radius_mm", matches!(grind, Grind::Convex(_))),
    ] {
        // A radius left standing beside a flat grind would be lost silently.
        if fields.get(key).is_some() && !held {
            faults.note(fields.at(key), Problem::UnknownField);
        }
    }
    grind
}

fn read_line(fields: &Fields<'_>, faults: &mut Faults) -> GrindLine {
    match fields.optional_keyword("up_to", UP_TO, &[0, 1, 2], faults) {
        Some(1) => GrindLine::Spine,
        Some(2) => {
            let points = fields.points("line_mm", &limits::LINE_POINTS, faults);
            if points.len() < *limits::LINE_POINTS.start() {
                return GrindLine::Height;
            }
            GrindLine::Through(points)
        }
        _ => GrindLine::Height,
    }
}

fn read_filing(value: &Value, faults: &mut Faults) -> Option<Filing> {
    let known = ["facets", "minutes", "height_mm", "grams"];
    let fields = Fields::open(value, "filing", &known, faults)?;
    let facets = fields.count("facets", &limits::FACETS, faults);
    let minutes = fields.optional_number("minutes", &limits::MINUTES, faults);
    let height = fields.optional_number("height_mm", &limits::GRIND_HEIGHT_MM, faults);
    let grams = fields.optional_number("grams", &limits::FILED_G, faults);
    let done = height.map(FiledAmount::Height).or(grams.map(FiledAmount::Grams));
    if minutes.is_some() && done.is_none() {
        let expected = "what was done in that time: a height reached, or grams in its place";
        faults.note(fields.at("height_mm"), Problem::Missing { expected });
    }
    let timing = minutes.zip(done).map(|(minutes, done)| FilingTrial { minutes, done });
    Some(Filing { facets: facets?, timing })
}

/// Adds what there is of the blade to a file.
pub(super) fn write(knife: &Knife, file: &mut Map<String, Value>) {
    file.insert(
        "bevel".into(),
        knife.bevel.map_or(Value::Null, |bevel| write_bevel(&bevel, &knife.grind_line)),
    );
    if let Some(taper) = knife.taper {
        file.insert(
            "taper".into(),
            json!({ "from_x_mm": taper.from_x_mm, "tip_mm": taper.tip_mm }),
        );
    }
    if let Some(swedge) = knife.swedge {
        let value = json!({
            "from_x_mm": swedge.from_x_mm,
            "height_mm": swedge.height_mm,
            "thickness_mm": swedge.thickness_mm,
        });
        file.insert("swedge".into(), value);
    }
    if let Some(filing) = knife.filing {
        let mut map = Map::new();
        map.insert("facets".into(), filing.facets.into());
        if let Some(timing) = filing.timing {
            map.insert("minutes".into(), timing.minutes.into());
            match timing.done {
                FiledAmount::Height(mm) => map.insert("height_mm".into(), mm.into()),
                FiledAmount::Grams(g) => map.insert("grams".into(), g.into()),
            };
        }
        file.insert("filing".into(), Value::Object(map));
    }
    if let Some(sharpening) = knife.sharpening {
        let mut map = Map::new();
        map.insert("angle_deg".into(), sharpening.angle_deg.into());
        if let Some(mm) = sharpening.edge_mm {
            map.insert("edge_mm".into(), mm.into());
        }
        file.insert("sharpening".into(), Value::Object(map));
    }
}

/// A bevel; what stands as it does by itself is left out.
fn write_bevel(bevel: &Bevel, line: &GrindLine) -> Value {
    let mut map = Map::new();
    map.insert("plunge_x_mm".into(), bevel.plunge_x_mm.into());
    map.insert("grind_height_mm".into(), bevel.grind_height_mm.into());
    map.insert("edge_thickness_mm".into(), bevel.edge_thickness_mm.into());
    match bevel.grind {
        Grind::Flat => {}
        Grind::Hollow(wheel_mm) => {
            map.insert("grind".into(), "hollow".into());
            map.insert("wheel_mm".into(), wheel_mm.into());
        }
        Grind::Convex(radius_mm) => {
            map.insert("grind".into(), "convex".into());
            map.insert("radius_mm".into(), radius_mm.into());
        }
    }
    if bevel.sides != GroundSides::Both {
        map.insert("sides".into(), super::values::word(SIDES, &SIDE_MEANINGS, bevel.sides).into());
    }
    for (key, value) in
        [("plunge_lean_deg", bevel.plunge_lean_deg), ("plunge_file_mm", bevel.plunge_file_mm)]
    {
        if value != 0.0 {
            map.insert(key.into(), value.into());
        }
    }
    match line {
        GrindLine::Height => {}
        GrindLine::Spine => {
            map.insert("up_to".into(), "spine".into());
        }
        GrindLine::Through(points) => {
            map.insert("up_to".into(), "line".into());
            let points: Vec<[f64; 2]> = points.iter().map(|p: &Point| [p.x, p.y]).collect();
            map.insert("line_mm".into(), json!(points));
        }
    }
    Value::Object(map)
}
