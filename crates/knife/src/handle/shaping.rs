//! How the scales are shaped once they are on.

/// Corners, thickness along the handle, and the hand it is for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shaping {
    /// What is done to the long corners of the scales' faces.
    pub corner: Option<Corner>,
    /// Thickness of one scale at places along the handle, smooth between them and even beyond the
    /// first and the last; empty for the thickness stated of the scales. In order of x.
    pub thickness: Vec<ThicknessAt>,
    /// The girth that the maker's own hand likes, taken round a handle that fits, mm.
    pub hand_mm: Option<f64>,
}

/// One scale's thickness at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThicknessAt {
    /// Where, x in mm.
    pub x_mm: f64,
    /// How thick, mm.
    pub thickness_mm: f64,
}

/// What is done to a long corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Corner {
    /// A flat off the corner.
    Chamfer {
        /// From the edge to the chamfer's line on the scale's face, mm.
        width_mm: f64,
        /// Between face and chamfer, degrees.
        angle_deg: f64,
    },
    /// A quarter round of this radius, mm.
    Round(f64),
}

impl Corner {
    /// How far it reaches over the scale's face and down its side, mm: of a chamfer its width and
    /// that times the tangent of its angle, of a round its radius twice.
    pub fn reach_mm(&self) -> (f64, f64) {
        match *self {
            Self::Chamfer { width_mm, angle_deg } => {
                (width_mm, width_mm * angle_deg.to_radians().tan())
            }
            Self::Round(radius_mm) => (radius_mm, radius_mm),
        }
    }
}
