//! The pair of handle scales.

/// The scales: they follow the tang's outline from the butt to their front line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scales {
    /// Where the front line crosses the knife, x in mm.
    pub front_x_mm: f64,
    /// Thickness of one scale, mm.
    pub thickness_mm: f64,
}
