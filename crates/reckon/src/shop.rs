//! The maker's shop: limits to work by, and later the tools and stock on hand.

/// What the maker owns and works by.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shop {
    /// The limits that findings measure against.
    pub limits: Limits,
}

/// The limits that findings measure against.
///
/// The defaults for holes are this program's own choice between published rules for joints:
/// AISC 360-16 Table J3.4 (edge distance 1.25 to 1.5 hole diameters, never under 1), AISC J3.3
/// (clear web of at least one diameter) and aircraft sheet practice (2 diameters).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Centre to edge, in hole diameters, below which to stop.
    pub edge_stop_diameters: f64,
    /// Centre to edge, in hole diameters, below which to take care.
    pub edge_care_diameters: f64,
    /// Clear web between holes, in diameters of the larger hole, below which to take care.
    pub web_care_diameters: f64,
    /// Clear web between holes, mm, below which to take care.
    pub web_care_mm: f64,
    /// How far a hole's diameter may differ from its named drill's, mm.
    pub drill_slack_mm: f64,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            edge_stop_diameters: 1.0,
            edge_care_diameters: 1.5,
            web_care_diameters: 1.0,
            web_care_mm: 3.0,
            drill_slack_mm: 0.005,
        }
    }
}
