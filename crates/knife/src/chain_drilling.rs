//! How the blank is cut out of its bar: the chain of holes along its outline.

use units::LengthUnit;

/// Chain drilling as the maker chose it: holes side by side just outside the outline, so that
/// only the bridges between them are left to saw through or break.
#[derive(Clone, Debug, PartialEq)]
pub struct ChainDrilling {
    /// Diameter of the drill, mm.
    pub drill_mm: f64,
    /// The drill by its designation (`1/8`, `3 mm`), when one was chosen.
    pub drill: Option<String>,
    /// Steel to be left between one hole and the next, mm.
    pub bridge_mm: f64,
    /// Steel to be left between each hole and the outline, to file off, mm.
    pub leave_mm: f64,
}

impl ChainDrilling {
    /// What a maker who hasn't chosen yet may start from, in sizes of one system of units: a
    /// 1/8 in or 3 mm drill, bridges of 0.8 mm, 0.5 mm left to file (common practice, no
    /// source).
    pub fn default_for(unit: LengthUnit) -> Self {
        let (drill_mm, drill) = match unit {
            LengthUnit::Inch => (3.175, "1/8"),
            LengthUnit::Millimetre => (3.0, "3 mm"),
        };
        Self { drill_mm, drill: Some(drill.to_owned()), bridge_mm: 0.8, leave_mm: 0.5 }
    }

    /// Distance from the middle of one hole to the next, mm.
    pub fn pitch_mm(&self) -> f64 {
        self.drill_mm + self.bridge_mm
    }

    /// Distance of each hole's middle from the outline, mm.
    pub fn offset_mm(&self) -> f64 {
        self.drill_mm / 2.0 + self.leave_mm
    }
}
