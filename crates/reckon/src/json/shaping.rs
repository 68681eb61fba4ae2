//! Jimping, scallops and shaping in the stable JSON of `numbers`.

use super::point;
use crate::{FingerNotch, JimpingFigures, ScallopFigures, ScallopRow, ShapingFigures};
use serde_json::{Value, json};

pub(super) fn jimping(jimping: &JimpingFigures) -> Value {
    json!({
        "count": jimping.notches.len(),
        "pitch_mm": jimping.pitch_mm,
        "run_mm": jimping.run_mm,
        "rest_mm": jimping.rest_mm,
        "depth_mm": jimping.depth_mm,
        "notch_width_mm": jimping.notch_width_mm,
        "tooth_flat_mm": jimping.tooth_flat_mm,
        "notches": jimping.notches.iter().map(|notch| json!({
            "at_mm": point(notch.at),
            "inward": [notch.inward.x, notch.inward.y],
            "along_mm": notch.along_mm,
        })).collect::<Vec<_>>(),
    })
}

pub(super) fn scallops(scallops: &ScallopFigures) -> Value {
    let row = |row: &ScallopRow| {
        json!({
            "edge_mm": row.edge_mm,
            "places": row.places.iter().map(|place| json!({
                "at_mm": point(place.at),
                "along_mm": place.along_mm,
            })).collect::<Vec<_>>(),
        })
    };
    json!({
        "pitch_mm": scallops.pitch_mm,
        "rest_mm": scallops.rest_mm,
        "width_mm": scallops.width_mm,
        "land_mm": scallops.land_mm,
        "face_mm": scallops.face_mm,
        "side_mm": scallops.side_mm,
        "upper": row(&scallops.upper),
        "lower": row(&scallops.lower),
    })
}

pub(super) fn shaping(shaping: &ShapingFigures) -> Value {
    json!({
        "over_face_mm": shaping.over_face_mm,
        "down_side_mm": shaping.down_side_mm,
        "hand_mm": shaping.hand_mm,
        "stations": shaping.stations.iter().map(|station| json!({
            "words": station.words,
            "x_mm": station.x_mm,
            "width_mm": station.width_mm,
            "scale_mm": station.scale_mm,
            "thickness_mm": station.thickness_mm,
            "face_mm": station.face_mm,
            "girth_mm": station.girth_mm,
        })).collect::<Vec<_>>(),
    })
}

pub(super) fn finger_notch(notch: &FingerNotch) -> Value {
    json!({
        "front_mm": point(notch.front),
        "rear_mm": point(notch.rear),
        "deepest_mm": point(notch.deepest),
        "breadth_mm": notch.breadth_mm,
        "depth_mm": notch.depth_mm,
        "to_heel_mm": notch.to_heel_mm,
        "to_hole_mm": notch.to_hole.map(|(mm, _)| mm),
        "hole": notch.to_hole.map(|(_, number)| number),
    })
}
