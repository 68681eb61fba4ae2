//! Pins and glue in the stable JSON of `numbers`.

use crate::{FitFigures, PinFigures, PinKind, RodFigures};
use serde_json::{Value, json};

pub(super) fn fit(fit: &FitFigures) -> Value {
    let glue = &fit.glue;
    json!({
        "pins": fit.pins.iter().map(pin).collect::<Vec<_>>(),
        "rods": fit.rods.iter().map(rod).collect::<Vec<_>>(),
        "glue": {
            "line_mm": glue.line_mm,
            "joints": glue.joints,
            "side_mm2": glue.side_mm2,
            "area_mm2": glue.area_mm2,
            "joint_ml": glue.joint_ml,
            "relief_ml": glue.relief_ml,
            "gap_ml": glue.gap_ml,
            "mix_times": glue.mix_times,
            "mixed_ml": glue.mixed_ml,
            "mixed_g": glue.mixed_g,
        },
    })
}

fn bore_mm(kind: PinKind) -> Option<f64> {
    match kind {
        PinKind::Tube { bore_mm } => Some(bore_mm),
        _ => None,
    }
}

fn pin(pin: &PinFigures) -> Value {
    let is_screw = matches!(pin.kind, PinKind::Screw { .. });
    json!({
        "hole": pin.number,
        "kind": pin.kind.words(),
        "thong": pin.is_thong,
        "diameter_mm": pin.diameter_mm,
        "bore_mm": bore_mm(pin.kind),
        "hole_mm": pin.hole_mm,
        "recess_mm": is_screw.then(|| pin.scale_hole_mm()),
        "recess_deep_mm": is_screw.then(|| pin.recess_mm()),
        "steel_mm": pin.steel_mm,
        "scale_mm": pin.scale_mm,
        "flush_mm": pin.flush_mm,
        "length_mm": pin.length_mm,
        "between_heads_mm": pin.between_heads_mm(),
    })
}

fn rod(rod: &RodFigures) -> Value {
    json!({
        "kind": rod.kind.words(),
        "diameter_mm": rod.diameter_mm,
        "bore_mm": bore_mm(rod.kind),
        "head_mm": matches!(rod.kind, PinKind::Screw { .. }).then(|| rod.kind.other_mm()).flatten(),
        "count": rod.count,
        "total_mm": rod.total_mm,
        "longest_mm": rod.longest_mm,
    })
}
