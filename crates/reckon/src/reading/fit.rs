//! Readings of pins, tubes, screws and glue.

use super::{Group, Reading, Value, length, reading};
use crate::{FitFigures, GlueFigures, PinFigures, PinKind, Reckoning, RodFigures};
use knife::Knife;
use units::{LengthUnit, show_number};

pub(super) fn groups(knife: &Knife, reckoning: &Reckoning) -> Vec<Group> {
    let Some(fit) = &reckoning.fit else { return Vec::new() };
    pins(fit, knife.unit).into_iter().chain([glue(&fit.glue)]).collect()
}

fn pins(fit: &FitFigures, unit: LengthUnit) -> Option<Group> {
    let each = fit.pins.iter().map(|one| pin(one, unit));
    let readings: Vec<Reading> = each.chain(fit.rods.iter().map(|one| rod(one, unit))).collect();
    (!readings.is_empty()).then(|| Group { title: "Pins".to_owned(), readings })
}

fn pin(pin: &PinFigures, unit: LengthUnit) -> Reading {
    let mm = |mm: f64| length(mm, unit);
    let mut words = format!("hole {}: {} of {}", pin.number, pin.kind.label(), mm(pin.diameter_mm));
    let name = match pin.kind {
        PinKind::Rod => "Pin",
        PinKind::Tube { bore_mm } => {
            words += &format!(", bore {}", mm(bore_mm));
            if pin.is_thong { "Lanyard tube" } else { "Tube" }
        }
        PinKind::Screw { head_mm, .. } => {
            words += &format!(", heads {}", mm(head_mm));
            "Screw"
        }
    };
    words += &format!(", {} long; drill the scales {}", mm(pin.length_mm), mm(pin.hole_mm));
    if let Some(between) = pin.between_heads_mm() {
        words += &format!(
            ", recess {} to {} deep; {} between the heads",
            mm(pin.scale_hole_mm()),
            mm(pin.recess_mm()),
            mm(between)
        );
    }
    reading(
        name,
        Value::Text(words),
        "steel there, and glue, liner, scale and what stands proud on both sides; scales are \
         drilled through the tang",
    )
}

fn rod(rod: &RodFigures, unit: LengthUnit) -> Reading {
    let mm = |mm: f64| length(mm, unit);
    let mut words = format!("{} × {} of {}", rod.count, rod.kind.label(), mm(rod.diameter_mm));
    match rod.kind {
        PinKind::Rod => {}
        PinKind::Tube { bore_mm } => words += &format!(", bore {}", mm(bore_mm)),
        PinKind::Screw { head_mm, .. } => words += &format!(", heads {}", mm(head_mm)),
    }
    words += &format!(", {} together", mm(rod.total_mm));
    let how = "by kind and diameter; saw cuts come on top";
    reading("To buy", Value::Text(words), how)
}

fn glue(glue: &GlueFigures) -> Group {
    let ml = |ml: f64| format!("{} ml", show_number(ml, 2));
    let mixed = match glue.mixed_g {
        Some(g) => format!("{}, {} g", ml(glue.mixed_ml), show_number(g, 1)),
        None => ml(glue.mixed_ml),
    };
    let readings = vec![
        reading(
            "Glue line",
            Value::Length(glue.line_mm),
            "as stated, or usual: the thickest at which epoxy joins best by two makers' data \
             sheets (0.05 to 0.13 and 0.1 to 0.2 mm)",
        ),
        reading(
            "Glued area per side",
            Value::Area(glue.side_mm2),
            "of the tang: the outline behind the front, less all holes",
        ),
        reading(
            "Glued area of all joints",
            Value::Area(glue.area_mm2),
            "both sides; with a liner two joints each, the second without relief holes",
        ),
        reading("In the joints", Value::Text(ml(glue.joint_ml)), "area times glue line"),
        reading(
            "In relief holes",
            Value::Text(ml(glue.relief_ml)),
            "through the steel and both joints on the tang: it keys the bond",
        ),
        reading(
            "Around the pins",
            Value::Text(ml(glue.gap_ml)),
            "hole's circle less the pin's, times the length in it",
        ),
        reading(
            "To mix",
            Value::Text(mixed),
            "three times what stays in the joints (common practice, no source), and what fills \
             relief holes and gaps; clamp only until the joint closes: one squeezed dry holds badly",
        ),
    ];
    Group { title: "Glue".to_owned(), readings }
}
