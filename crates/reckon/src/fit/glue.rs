//! The glue: how much stays in the joints and how much is to be mixed.

use super::{PinFigures, round_mm2};
use crate::ScaleFigures;
use crate::context::FigureContext;
use crate::tables::GLUE;
use knife::HoleKind;

/// The glue of both sides.
///
/// The glue line's usual thickness is the upper end of 0.05 to 0.13 mm, at which the data sheet of
/// one epoxy maker gives the best lap shear; another's gives 0.1 to 0.2 mm.
#[derive(Clone, Debug, PartialEq)]
pub struct GlueFigures {
    /// Thickness of the glue in each joint, mm.
    pub line_mm: f64,
    /// Joints on each side: with a liner two.
    pub joints: u32,
    /// Glued area of the tang on one side, all holes taken off, mm².
    pub side_mm2: f64,
    /// Glued area of all joints of both sides, mm².
    pub area_mm2: f64,
    /// What stays in the joints: area times the glue line, ml.
    pub joint_ml: f64,
    /// What fills the relief holes and keys the bond, ml.
    pub relief_ml: f64,
    /// What fills the gaps round pins, tubes and screws, ml.
    pub gap_ml: f64,
    /// How many times as much as stays in the joints is mixed (table of practice: squeezed out and
    /// left in the cup).
    pub mix_times: f64,
    /// What to mix, ml: `mix_times` what stays in the joints, and once the fill of relief holes
    /// and gaps.
    pub mixed_ml: f64,
    /// The same, g, by the table's density of set epoxy.
    pub mixed_g: Option<f64>,
}

impl GlueFigures {
    /// All that stays in the knife, ml.
    pub fn stays_ml(&self) -> f64 {
        self.joint_ml + self.relief_ml + self.gap_ml
    }
}

/// Relief holes go through the tang alone: glue fills them from one joint to the other.
pub(super) fn figures(
    ctx: &FigureContext<'_>,
    scales: &ScaleFigures,
    pins: &[PinFigures],
) -> GlueFigures {
    let handle = &ctx.knife.handle;
    let (line_mm, joints) = (handle.glue_mm(), handle.joints());
    let (mut relief_mm2, mut through_mm2, mut relief_mm3) = (0.0, 0.0, 0.0);
    let under = ctx.knife.holes.iter().filter(|hole| scales.outline.contains(hole.at));
    for hole in under {
        let open_mm2 = round_mm2(hole.diameter_mm);
        if hole.kind == HoleKind::Relief {
            relief_mm2 += open_mm2;
            let steel_mm = ctx.field.half_thickness(hole.at).thickness_mm();
            relief_mm3 += open_mm2 * (steel_mm + 2.0 * line_mm);
        } else {
            through_mm2 += open_mm2;
        }
    }
    // Many holes drawn over each other may take more than there is.
    let whole_mm2 = (scales.area_mm2 - through_mm2).max(0.0);
    let side_mm2 = (whole_mm2 - relief_mm2).max(0.0);
    let area_mm2 = 2.0 * (side_mm2 + f64::from(joints - 1) * whole_mm2);
    let (joint_ml, relief_ml) = (area_mm2 * line_mm / 1000.0, relief_mm3 / 1000.0);
    let gap_ml = pins.iter().map(PinFigures::gap_mm3).sum::<f64>() / 1000.0;
    let mix_times = ctx.tables.practice("glue-mixed").map_or(1.0, |row| row.range.0);
    let mixed_ml = mix_times * joint_ml + relief_ml + gap_ml;
    let density = ctx.tables.material(GLUE).map(|epoxy| epoxy.density_g_cm3);
    GlueFigures {
        line_mm,
        joints,
        side_mm2,
        area_mm2,
        joint_ml,
        relief_ml,
        gap_ml,
        mix_times,
        mixed_ml,
        mixed_g: density.map(|density| density * mixed_ml),
    }
}
