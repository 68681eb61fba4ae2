//! The handle: what it is made of and how it is shaped.

mod fixing;
mod front;
mod jimping;
mod scallops;
mod shaping;

pub use fixing::Fixing;
pub use front::{FrontCurve, ScaleFront, USUAL_BEVEL_DEG};
pub use jimping::{Groove, Jimping, OutlineSide, Pitch};
pub use scallops::{ScallopSpacing, Scallops};
pub use shaping::{Corner, Shaping, ThicknessAt};

use crate::HoleId;

/// The glue line's usual thickness, mm: the thickest that still joins at its full strength
/// (data sheets of epoxy adhesives give the best lap shear at 0.05 to 0.13 mm).
pub const USUAL_GLUE_MM: f64 = 0.13;
/// A pin stands so far proud of each scale before it is filed flush, mm (common practice, no
/// source).
pub const USUAL_PROUD_MM: f64 = 1.5;
/// A scale stands so far over the tang's outline until it is trimmed flush, mm (common practice,
/// no source).
pub const USUAL_OVERHANG_MM: f64 = 1.5;
/// A rough block is so much larger than the scale on every side, mm (common practice, no source).
pub const USUAL_ALLOWANCE_MM: f64 = 3.0;

/// The handle as its maker decided it. Materials go by their names in the table of materials;
/// `None` stands for "not chosen", or for the usual where there is one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Handle {
    /// Material of the scales, or of the left one where the right one is of another.
    pub scales: Option<String>,
    /// Material of the right scale, where it is another.
    pub right_scale: Option<String>,
    /// Of the pins, once chosen.
    pub pins: Option<String>,
    /// Thickness of the glue in each joint, mm; `None` for the usual.
    pub glue_mm: Option<f64>,
    /// The scales' front.
    pub front: ScaleFront,
    /// A sheet between each scale and the tang.
    pub liners: Option<Liners>,
    /// A bolster in front of the scales; it then begins at the front line, the scales behind it.
    pub front_bolster: Option<Bolster>,
    /// A bolster at the butt.
    pub rear_bolster: Option<Bolster>,
    /// What the scales stand over the tang until they are trimmed, mm; `None` for the usual.
    pub overhang_mm: Option<f64>,
    /// What a rough block is larger than the scale on every side, mm; `None` for the usual.
    pub allowance_mm: Option<f64>,
    /// Direction of the grain on the left scale's outer face, degrees from the handle's length
    /// counter-clockwise with the tip to the left and the edge down; `None` when it has none to
    /// mind.
    pub grain_deg: Option<f64>,
    /// What each pin stands proud of each scale, mm; `None` for the usual.
    pub proud_mm: Option<f64>,
    /// Tubes and screws, by their holes; a pin hole without one takes a solid pin.
    pub fixings: Vec<(HoleId, Fixing)>,
    /// The jimping, if any.
    pub jimping: Option<Jimping>,
    /// How the scales are shaped.
    pub shaping: Shaping,
    /// The scallops, if any.
    pub scallops: Option<Scallops>,
}

/// A sheet of even thickness under each scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Liners {
    /// Of one, mm.
    pub thickness_mm: f64,
    /// Its material, once chosen.
    pub material: Option<String>,
}

/// A pair of bolsters, as thick as the scales.
#[derive(Clone, Debug, PartialEq)]
pub struct Bolster {
    /// Along the handle, mm.
    pub length_mm: f64,
    /// Its material, once chosen.
    pub material: Option<String>,
}

impl Handle {
    /// Thickness of the glue in each joint, mm.
    pub fn glue_mm(&self) -> f64 {
        self.glue_mm.unwrap_or(USUAL_GLUE_MM)
    }

    /// Glued joints on each side: with a liner two.
    pub fn joints(&self) -> u32 {
        if self.liners.is_some() { 2 } else { 1 }
    }

    /// Thickness of one liner, mm; 0 without.
    pub fn liner_mm(&self) -> f64 {
        self.liners.as_ref().map_or(0.0, |liners| liners.thickness_mm)
    }

    /// What lies between the tang and each scale: glue and liner, mm.
    pub fn under_scale_mm(&self) -> f64 {
        f64::from(self.joints()) * self.glue_mm() + self.liner_mm()
    }

    /// What the scales stand over the tang until they are trimmed, mm.
    pub fn overhang_mm(&self) -> f64 {
        self.overhang_mm.unwrap_or(USUAL_OVERHANG_MM)
    }

    /// What a rough block is larger than the scale on every side, mm.
    pub fn allowance_mm(&self) -> f64 {
        self.allowance_mm.unwrap_or(USUAL_ALLOWANCE_MM)
    }

    /// What each pin stands proud of each scale, mm.
    pub fn proud_mm(&self) -> f64 {
        self.proud_mm.unwrap_or(USUAL_PROUD_MM)
    }

    /// The tube or screw in a hole.
    pub fn fixing(&self, hole: HoleId) -> Option<Fixing> {
        self.fixings.iter().find(|(id, _)| *id == hole).map(|(_, fixing)| *fixing)
    }

    /// Every material named, with the part it is for.
    pub fn materials(&self) -> impl Iterator<Item = (&'static str, &str)> {
        [
            ("scales", self.scales.as_deref()),
            ("right scale", self.right_scale.as_deref()),
            ("pins", self.pins.as_deref()),
            ("liners", self.liners.as_ref().and_then(|liners| liners.material.as_deref())),
            ("front bolster", self.front_bolster.as_ref().and_then(|b| b.material.as_deref())),
            ("rear bolster", self.rear_bolster.as_ref().and_then(|b| b.material.as_deref())),
        ]
        .into_iter()
        .filter_map(|(part, name)| Some((part, name?)))
    }
}
