//! Scallops along both edges of both scales.

/// How many, or how far apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ScallopSpacing {
    /// So many in the upper row.
    Count(u32),
    /// So far apart along the handle, mm.
    Pitch(f64),
}

/// Scallops cut by a drum across the long corners: places even along the handle's axis, the lower
/// row shifted by half a pitch, alike on both scales.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scallops {
    /// How many, or how far apart.
    pub spacing: ScallopSpacing,
    /// From the scale's front to the first place of the upper row, along x, mm. The front is where
    /// the scales' front line crosses the middle of the tang, however it leans or curves; behind a
    /// front bolster, its length farther back.
    pub front_mm: f64,
    /// From the last place of either row to the butt at least, along the handle, mm.
    pub butt_mm: f64,
    /// Diameter of the drum, mm.
    pub drum_mm: f64,
    /// Between the scale's face and the drum's axis, degrees.
    pub angle_deg: f64,
    /// How deep the drum goes in, from the corner square to its axis, mm.
    pub depth_mm: f64,
}
