//! Jimping, scallops and shaping in the stable JSON of `numbers`.

use super::{Xy, xy};
use crate::{
    GripStation, HandFigures, HandFit, JimpingFigures, JimpingNotch, ScallopFigures, ScallopPlace,
    ScallopRow, ShapingFigures,
};
use schemars::JsonSchema;
use serde::Serialize;

/// The jimping.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Jimping {
    /// How many notches.
    count: usize,
    /// From notch to notch along the curve.
    pitch_mm: f64,
    /// The curve's length between its marks.
    run_mm: f64,
    /// Left behind the last notch.
    rest_mm: f64,
    /// Depth of a notch.
    depth_mm: f64,
    /// Width of a notch at the surface.
    notch_width_mm: f64,
    /// Left between two.
    tooth_flat_mm: f64,
    /// The notches.
    notches: Vec<Notch>,
}

impl Jimping {
    pub(super) fn of(jimping: &JimpingFigures) -> Self {
        Self {
            count: jimping.notches.len(),
            pitch_mm: jimping.pitch_mm,
            run_mm: jimping.run_mm,
            rest_mm: jimping.rest_mm,
            depth_mm: jimping.depth_mm,
            notch_width_mm: jimping.notch_width_mm,
            tooth_flat_mm: jimping.tooth_flat_mm,
            notches: jimping.notches.iter().map(Notch::of).collect(),
        }
    }
}

/// One notch.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Notch {
    /// Where it is on the outline.
    at_mm: Xy,
    /// The unit vector into the steel.
    inward: Xy,
    /// Along the curve from the first.
    along_mm: f64,
}

impl Notch {
    pub(super) fn of(notch: &JimpingNotch) -> Self {
        Self {
            at_mm: xy(notch.at),
            inward: [notch.inward.x, notch.inward.y],
            along_mm: notch.along_mm,
        }
    }
}

/// The scallops.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Scallops {
    /// Along the handle; null for a single one.
    pitch_mm: Option<f64>,
    /// Left behind the last.
    rest_mm: f64,
    /// Along the corner.
    width_mm: f64,
    /// Between two.
    land_mm: Option<f64>,
    /// How far they reach over the face.
    face_mm: f64,
    /// How far they reach down the side.
    side_mm: f64,
    /// On the spine's side.
    upper: ScallopEdge,
    /// On the edge's side.
    lower: ScallopEdge,
}

impl Scallops {
    pub(super) fn of(scallops: &ScallopFigures) -> Self {
        Self {
            pitch_mm: scallops.pitch_mm,
            rest_mm: scallops.rest_mm,
            width_mm: scallops.width_mm,
            land_mm: scallops.land_mm,
            face_mm: scallops.face_mm,
            side_mm: scallops.side_mm,
            upper: ScallopEdge::of(&scallops.upper),
            lower: ScallopEdge::of(&scallops.lower),
        }
    }
}

/// The scallops along one edge.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct ScallopEdge {
    /// The edge's true length from the scale's front corner to its hindmost point.
    edge_mm: f64,
    /// The scallops.
    places: Vec<Scallop>,
}

impl ScallopEdge {
    pub(super) fn of(row: &ScallopRow) -> Self {
        Self { edge_mm: row.edge_mm, places: row.places.iter().map(Scallop::of).collect() }
    }
}

/// One scallop.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Scallop {
    /// Its middle on the edge.
    at_mm: Xy,
    /// True length along the edge from the front corner.
    along_mm: f64,
}

impl Scallop {
    pub(super) fn of(place: &ScallopPlace) -> Self {
        Self { at_mm: xy(place.at), along_mm: place.along_mm }
    }
}

/// The handle's shape.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Shaping {
    /// How far the corner reaches over the face.
    over_face_mm: f64,
    /// How far it reaches down the side.
    down_side_mm: f64,
    /// The hand, as stated.
    hand_mm: Option<f64>,
    /// Along the handle; thickness runs between its places by a monotone cubic with level ends
    /// (Fritsch and Carlson 1980).
    stations: Vec<Station>,
}

impl Shaping {
    pub(super) fn of(shaping: &ShapingFigures) -> Self {
        Self {
            over_face_mm: shaping.over_face_mm,
            down_side_mm: shaping.down_side_mm,
            hand_mm: shaping.hand_mm,
            stations: shaping.stations.iter().map(Station::of).collect(),
        }
    }
}

/// A place along the handle.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Station {
    /// Which place.
    words: &'static str,
    /// Where it is.
    x_mm: f64,
    /// Width of the tang.
    width_mm: f64,
    /// Thickness of one scale.
    scale_mm: f64,
    /// Thickness of the handle.
    thickness_mm: f64,
    /// Left between the corners.
    face_mm: f64,
    /// Around the handle; null when a corner doesn't go onto the scale.
    girth_mm: Option<f64>,
}

impl Station {
    pub(super) fn of(station: &GripStation) -> Self {
        Self {
            words: station.label,
            x_mm: station.x_mm,
            width_mm: station.width_mm,
            scale_mm: station.scale_mm,
            thickness_mm: station.thickness_mm,
            face_mm: station.face_mm,
            girth_mm: station.girth_mm,
        }
    }
}

/// The handle against sizes of hands.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct HandSizes {
    /// Length of the scales along the knife.
    handle_mm: f64,
    /// Five places from the front to the butt.
    stations: Vec<Station>,
    /// Each size of hand, the smallest first.
    sizes: Vec<SizeOfHand>,
}

impl HandSizes {
    pub(super) fn of(hand: &HandFigures) -> Self {
        Self {
            handle_mm: hand.length_mm,
            stations: hand.stations.iter().map(Station::of).collect(),
            sizes: hand.fits.iter().map(SizeOfHand::of).collect(),
        }
    }
}

/// The handle against one size of hand.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct SizeOfHand {
    /// small, medium or large.
    name: &'static str,
    /// From the crease of the wrist to the tip of the middle finger.
    length_mm: f64,
    /// Across the palm at the knuckles, without the thumb.
    breadth_mm: f64,
    /// What the handle is longer than the hand is broad; negative when it is shorter.
    spare_mm: f64,
    /// Girth of the round handle that it grips hard most comfortably.
    best_girth_mm: f64,
}

impl SizeOfHand {
    fn of(fit: &HandFit) -> Self {
        Self {
            name: fit.hand.size.label(),
            length_mm: fit.hand.length_mm,
            breadth_mm: fit.hand.breadth_mm,
            spare_mm: fit.spare_mm,
            best_girth_mm: fit.best_girth_mm,
        }
    }
}

/// A hollow in which a finger lies.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct FingerNotch {
    /// Its front lip.
    front_mm: Xy,
    /// Its rear lip.
    rear_mm: Xy,
    /// Its deepest place.
    deepest_mm: Xy,
    /// From lip to lip.
    breadth_mm: f64,
    /// Square to that.
    depth_mm: f64,
    /// From its front lip to the heel.
    to_heel_mm: f64,
    /// The steel from its deepest place to the nearest hole.
    to_hole_mm: Option<f64>,
    /// The number of that hole.
    hole: Option<usize>,
}

impl FingerNotch {
    pub(super) fn of(notch: &crate::FingerNotch) -> Self {
        Self {
            front_mm: xy(notch.front),
            rear_mm: xy(notch.rear),
            deepest_mm: xy(notch.deepest),
            breadth_mm: notch.breadth_mm,
            depth_mm: notch.depth_mm,
            to_heel_mm: notch.to_heel_mm,
            to_hole_mm: notch.to_hole.map(|(mm, _)| mm),
            hole: notch.to_hole.map(|(_, number)| number),
        }
    }
}
