//! What the Holes station is about to add.

use knife::HoleKind;
use reckon::{ReliefOptions, Shop};

/// The state of the Holes station.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HoleTool {
    /// Whether the next click adds a hole.
    pub active: bool,
    /// What the next hole will be like.
    pub next: NextHole,
    /// What a row of relief holes is to be like.
    pub relief: ReliefChoice,
}

/// What the next hole will be like.
#[derive(Clone, Debug, PartialEq)]
pub struct NextHole {
    /// What it is for.
    pub kind: HoleKind,
    /// Diameter, mm.
    pub diameter_mm: f64,
    /// The drill's designation.
    pub drill: Option<String>,
    /// Pin stock, mm.
    pub pin_mm: Option<f64>,
}

impl Default for NextHole {
    /// A 1/8 in pin in a #30 hole (ASME B94.11M drill sizes; the pairing is common practice).
    fn default() -> Self {
        Self {
            kind: HoleKind::Pin,
            diameter_mm: 3.2639,
            drill: Some("#30".to_owned()),
            pin_mm: Some(3.175),
        }
    }
}

/// What the maker wants of a row of relief holes; its web follows the shop's limits until one
/// is typed.
#[derive(Clone, Debug, PartialEq)]
pub struct ReliefChoice {
    /// Their diameter, mm.
    pub diameter_mm: f64,
    /// The drill's designation.
    pub drill: Option<String>,
    /// The web to leave, mm, once typed.
    pub web_mm: Option<f64>,
}

impl Default for ReliefChoice {
    /// A 1/4 in drill, as is usual (common practice, no source).
    fn default() -> Self {
        Self { diameter_mm: 6.35, drill: Some("1/4".to_owned()), web_mm: None }
    }
}

impl ReliefChoice {
    /// What is asked for by the limits of a shop: its care limits for a web between holes.
    pub(crate) fn ask(&self, shop: &Shop) -> ReliefOptions {
        let limits = &shop.limits;
        let usual_mm = (limits.web_care_diameters.max(limits.edge_care_diameters - 0.5)
            * self.diameter_mm)
            .max(limits.web_care_mm);
        ReliefOptions {
            diameter_mm: self.diameter_mm,
            drill: self.drill.clone(),
            web_mm: self.web_mm.unwrap_or(usual_mm),
        }
    }
}
