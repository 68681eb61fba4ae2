//! Pins and glue in the stable JSON of `numbers`.

use crate::{FitFigures, GlueFigures, PinFigures, PinKind, RodFigures};
use schemars::JsonSchema;
use serde::Serialize;

/// Pins and glue.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Fit {
    /// The pins, tubes and screws.
    pins: Vec<Pin>,
    /// What to cut them from, by kind and diameter.
    rods: Vec<Rod>,
    /// The glue.
    glue: Glue,
}

impl Fit {
    pub(super) fn of(fit: &FitFigures) -> Self {
        Self {
            pins: fit.pins.iter().map(Pin::of).collect(),
            rods: fit.rods.iter().map(Rod::of).collect(),
            glue: Glue::of(&fit.glue),
        }
    }
}

/// A pin, tube or screw.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Pin {
    /// The number of its hole.
    hole: usize,
    /// What it is.
    kind: &'static str,
    /// Whether it is the tube of a lanyard hole.
    thong: bool,
    /// Its diameter.
    diameter_mm: f64,
    /// The bore of a tube.
    bore_mm: Option<f64>,
    /// The diameter of its hole in the steel.
    hole_mm: f64,
    /// Diameter of the recess for a screw's head.
    recess_mm: Option<f64>,
    /// Depth of that recess.
    recess_deep_mm: Option<f64>,
    /// Thickness of the steel there.
    steel_mm: f64,
    /// Thickness of one scale there, its liner included.
    scale_mm: f64,
    /// Its length when flush with both scales.
    flush_mm: f64,
    /// The length to cut.
    length_mm: f64,
    /// Between a screw's heads.
    between_heads_mm: Option<f64>,
}

impl Pin {
    pub(super) fn of(pin: &PinFigures) -> Self {
        let is_screw = matches!(pin.kind, PinKind::Screw { .. });
        Self {
            hole: pin.number,
            kind: pin.kind.label(),
            thong: pin.is_thong,
            diameter_mm: pin.diameter_mm,
            bore_mm: bore_mm(pin.kind),
            hole_mm: pin.hole_mm,
            recess_mm: is_screw.then(|| pin.scale_hole_mm()),
            recess_deep_mm: is_screw.then(|| pin.recess_mm()),
            steel_mm: pin.steel_mm,
            scale_mm: pin.scale_mm,
            flush_mm: pin.flush_mm,
            length_mm: pin.length_mm,
            between_heads_mm: pin.between_heads_mm(),
        }
    }
}

/// Rod, tube or screws of one kind.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Rod {
    /// What it is.
    kind: &'static str,
    /// Its diameter.
    diameter_mm: f64,
    /// The bore of a tube.
    bore_mm: Option<f64>,
    /// The diameter of a screw's head.
    head_mm: Option<f64>,
    /// How many pieces.
    count: usize,
    /// Their length in all, without saw cuts.
    total_mm: f64,
    /// The longest piece.
    longest_mm: f64,
}

impl Rod {
    pub(super) fn of(rod: &RodFigures) -> Self {
        Self {
            kind: rod.kind.label(),
            diameter_mm: rod.diameter_mm,
            bore_mm: bore_mm(rod.kind),
            head_mm: matches!(rod.kind, PinKind::Screw { .. })
                .then(|| rod.kind.other_mm())
                .flatten(),
            count: rod.count,
            total_mm: rod.total_mm,
            longest_mm: rod.longest_mm,
        }
    }
}

/// The glue.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Glue {
    /// Thickness of one joint.
    line_mm: f64,
    /// How many joints lie on one side, between tang, liner and scale.
    joints: u32,
    /// Area of one side.
    side_mm2: f64,
    /// Area of all joints.
    area_mm2: f64,
    /// In the joints.
    joint_ml: f64,
    /// In the relief holes.
    relief_ml: f64,
    /// Around the pins.
    gap_ml: f64,
    /// How many times what stays is mixed.
    mix_times: f64,
    /// What to mix: `mix_times` times what stays in the joints, and what stays in relief holes
    /// and gaps.
    mixed_ml: f64,
    /// Its mass.
    mixed_g: Option<f64>,
}

impl Glue {
    pub(super) fn of(glue: &GlueFigures) -> Self {
        Self {
            line_mm: glue.line_mm,
            joints: glue.joints,
            side_mm2: glue.side_mm2,
            area_mm2: glue.area_mm2,
            joint_ml: glue.joint_ml,
            relief_ml: glue.relief_ml,
            gap_ml: glue.gap_ml,
            mix_times: glue.mix_times,
            mixed_ml: glue.mixed_ml,
            mixed_g: glue.mixed_g,
        }
    }
}

/// The bore of a tube.
fn bore_mm(kind: PinKind) -> Option<f64> {
    match kind {
        PinKind::Tube { bore_mm } => Some(bore_mm),
        _ => None,
    }
}
