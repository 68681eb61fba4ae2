//! What the handle is made of.

/// The glue line's usual thickness, mm: the thickest that still joins at its full strength
/// (data sheets of epoxy adhesives give the best lap shear at 0.05 to 0.13 mm).
pub const USUAL_GLUE_MM: f64 = 0.13;

/// Materials and glue of the handle, by their names in the table of materials.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Handle {
    /// Of the scales, once chosen.
    pub scales: Option<String>,
    /// Of the pins, once chosen.
    pub pins: Option<String>,
    /// Thickness of the glue under each scale, mm; `None` for the usual.
    pub glue_mm: Option<f64>,
}

impl Handle {
    /// Thickness of the glue under each scale, mm.
    pub fn glue_mm(&self) -> f64 {
        self.glue_mm.unwrap_or(USUAL_GLUE_MM)
    }
}
