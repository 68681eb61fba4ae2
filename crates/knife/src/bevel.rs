//! Plunge line, grind line and edge: the blade's bevels as the maker states them.

/// The bevels, the same on both faces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bevel {
    /// Where the plunge line crosses the knife, x in mm.
    pub plunge_x_mm: f64,
    /// Height of the grind line: its distance from the edge curve, mm.
    pub grind_height_mm: f64,
    /// Thickness left at the edge before heat treatment, mm.
    pub edge_thickness_mm: f64,
}
