//! The scales' front: its curve, its lean, its bevel.

/// The front is bevelled so much, degrees from square (common practice, no source).
pub const USUAL_BEVEL_DEG: f64 = 45.0;

/// The line on which the scales begin, and how it is bevelled. It passes through the middle of
/// the tang at the scales' stated front.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ScaleFront {
    /// The shape of the line.
    pub curve: FrontCurve,
    /// How far it leans from square to the knife's length, degrees; positive when its end at the
    /// spine lies nearer to the butt.
    pub lean_deg: f64,
    /// How far the front face leans back from square to the tang, degrees; `None` for the usual.
    pub bevel_deg: Option<f64>,
}

/// The shape of the front line.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum FrontCurve {
    /// Straight across.
    #[default]
    Straight,
    /// An arc of this radius, mm, its middle foremost.
    Round(f64),
    /// An arc of this radius, mm, its middle hindmost.
    Hollow(f64),
}

impl ScaleFront {
    /// How far the front face leans back from square, degrees.
    pub fn bevel_deg(&self) -> f64 {
        self.bevel_deg.unwrap_or(USUAL_BEVEL_DEG)
    }
}
