//! Blade and tang in the stable JSON of `numbers`.

use super::{Xy, xy};
use crate::{
    Facet, FilingFigures, FilingTime, InsideReach, MassFigures, Reach, Reckoning,
    SharpeningFigures, TangFigures, TangSection,
};
use knife::Knife;
use schemars::JsonSchema;
use serde::Serialize;

/// The bevel: as stated, and at the plunge line.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Bevel {
    /// Where the plunge meets the edge, as stated.
    plunge_x_mm: f64,
    /// From the edge to the grind line, as stated.
    grind_height_mm: f64,
    /// Thickness of the edge before hardening, as stated.
    edge_thickness_mm: f64,
    /// Angle per side at the plunge line.
    angle_deg: f64,
    /// From the edge to the grind line at the plunge line.
    height_mm: f64,
    /// By how much one face falls from the grind line to the edge.
    fall_mm: f64,
}

impl Bevel {
    pub(super) fn of(knife: &Knife, reckoning: &Reckoning) -> Option<Self> {
        let (stated, figures) = (knife.bevel?, reckoning.bevel.as_ref()?);
        Some(Self {
            plunge_x_mm: stated.plunge_x_mm,
            grind_height_mm: stated.grind_height_mm,
            edge_thickness_mm: stated.edge_thickness_mm,
            angle_deg: figures.angle_deg,
            height_mm: figures.height_mm,
            fall_mm: figures.fall_mm,
        })
    }
}

/// Filing the bevel by hand.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Filing {
    /// The two heights over one face that bound the edge.
    edge_lines_mm: [f64; 2],
    /// The drill on hand as thick as the stock.
    centre_drill: Option<String>,
    /// The first at 45°, the others of equal stock a section; none when the bevel is steeper
    /// than 45°, hollow or convex.
    facets: Vec<FacetRow>,
    /// From your own timed filing alone, as no rate is published.
    time: Option<Time>,
}

impl Filing {
    pub(super) fn of(filing: &FilingFigures) -> Self {
        Self {
            edge_lines_mm: filing.edge_lines_mm,
            centre_drill: filing.centre_drill.clone(),
            facets: filing.facets.iter().map(FacetRow::of).collect(),
            time: filing.time.as_ref().map(Time::of),
        }
    }
}

/// One facet.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Facet")]
pub(super) struct FacetRow {
    /// Height of its guide line above the edge.
    height_mm: f64,
    /// Its angle per side.
    angle_deg: f64,
    /// Taken off a section on one face.
    section_mm2: f64,
    /// Its share of the bevel's section.
    share: f64,
    /// Taken off the whole blade, before any swedge is cut.
    volume_mm3: f64,
}

impl FacetRow {
    pub(super) fn of(facet: &Facet) -> Self {
        Self {
            height_mm: facet.height_mm,
            angle_deg: facet.angle_deg,
            section_mm2: facet.section_mm2,
            share: facet.share,
            volume_mm3: facet.volume_mm3,
        }
    }
}

/// How long the filing takes.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Time {
    /// Your rate.
    rate_mm3_per_min: f64,
    /// For all faces.
    whole_min: f64,
    /// What is left of it.
    left_min: f64,
}

impl Time {
    pub(super) fn of(time: &FilingTime) -> Self {
        Self { rate_mm3_per_min: time.rate_mm3, whole_min: time.whole_min, left_min: time.left_min }
    }
}

/// The tang's weakest sections.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Tang {
    /// Where it begins.
    from_x_mm: f64,
    /// Where it ends.
    to_x_mm: f64,
    /// Where the least width of steel is left.
    least_width: Section,
    /// Where it is least stiff as drilled.
    least_stiff: Section,
    /// Where it is least stiff undrilled.
    least_undrilled: Section,
    /// Where it is narrowest undrilled.
    narrowest_whole: Section,
    /// The least width left over the least width undrilled.
    width_share: f64,
    /// The least second moment as drilled over the least undrilled, each wherever it lies;
    /// never above 1.
    stiffness_share: f64,
}

impl Tang {
    pub(super) fn of(tang: &TangFigures) -> Self {
        Self {
            from_x_mm: tang.from_x_mm,
            to_x_mm: tang.to_x_mm,
            least_width: Section::of(&tang.min_width),
            least_stiff: Section::of(&tang.min_stiffness),
            least_undrilled: Section::of(&tang.min_undrilled),
            narrowest_whole: Section::of(&tang.narrowest_whole),
            width_share: tang.width_share(),
            stiffness_share: tang.stiffness_share(),
        }
    }
}

/// A section across the tang.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Section {
    /// Where it is.
    x_mm: f64,
    /// Its width undrilled.
    full_mm: f64,
    /// Its width less the holes.
    net_mm: f64,
    /// Second moment of area of the steel left, for bending towards edge and spine.
    second_moment_mm4: f64,
}

impl Section {
    pub(super) fn of(section: &TangSection) -> Self {
        Self {
            x_mm: section.x_mm,
            full_mm: section.full_mm,
            net_mm: section.net_mm,
            second_moment_mm4: section.second_moment_mm4,
        }
    }
}

/// Mass and balance of the steel alone, holes taken off.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Mass {
    /// By grade; null when no table has it.
    density_g_cm3: Option<f64>,
    /// Volume as cut.
    flat_mm3: f64,
    /// Volume with its bevels.
    ground_mm3: f64,
    /// Mass as cut.
    flat_g: Option<f64>,
    /// Mass with its bevels.
    ground_g: Option<f64>,
    /// What the bevels take off.
    removed_g: Option<f64>,
    /// The centre of mass.
    centre_mm: Xy,
    /// Its distance behind the front of the scales, towards the butt.
    behind_scale_front_mm: Option<f64>,
    /// Its distance behind the front pin, towards the butt.
    behind_front_pin_mm: Option<f64>,
}

impl Mass {
    pub(super) fn of(mass: &MassFigures) -> Self {
        Self {
            density_g_cm3: mass.density_g_cm3,
            flat_mm3: mass.flat_mm3,
            ground_mm3: mass.ground_mm3,
            flat_g: mass.flat_g(),
            ground_g: mass.ground_g(),
            removed_g: mass.removed_g(),
            centre_mm: xy(mass.centre),
            behind_scale_front_mm: mass.behind_scale_front_mm,
            behind_front_pin_mm: mass.behind_front_pin_mm,
        }
    }
}

/// Mass and balance of the finished knife.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Whole {
    /// All of it.
    mass_g: f64,
    /// The steel.
    steel_g: f64,
    /// Both scales, before shaping.
    scales_g: f64,
    /// Of them the right one.
    right_scale_g: f64,
    /// The liners.
    liners_g: f64,
    /// The bolsters.
    bolsters_g: f64,
    /// Pins, tubes and screws.
    pins_g: f64,
    /// The glue.
    glue_g: f64,
    /// The centre of mass.
    centre_mm: Xy,
    /// Its distance behind the front of the scales, towards the butt.
    behind_scale_front_mm: f64,
    /// Its distance behind the front pin, towards the butt.
    behind_front_pin_mm: Option<f64>,
}

impl Whole {
    pub(super) fn of(reckoning: &Reckoning) -> Option<Self> {
        let whole = reckoning.whole.as_ref()?.as_ref().ok()?;
        Some(Self {
            mass_g: whole.mass_g(),
            steel_g: whole.steel_g,
            scales_g: whole.scales_g,
            right_scale_g: whole.right_scale_g,
            liners_g: whole.liners_g,
            bolsters_g: whole.bolsters_g,
            pins_g: whole.pins_g,
            glue_g: whole.glue_g,
            centre_mm: xy(whole.centre),
            behind_scale_front_mm: whole.behind_scale_front_mm,
            behind_front_pin_mm: whole.behind_front_pin_mm,
        })
    }
}

/// The sharpened edge.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Sharpening {
    /// Angle per side, as stated.
    angle_deg: f64,
    /// Thickness of the edge before it.
    edge_mm: f64,
    /// Height of the sharpened facet along the bevel; null when there is none.
    facet_height_mm: Option<f64>,
    /// Width of that facet along itself; null when there is none.
    facet_width_mm: Option<f64>,
    /// Thickness where facet and bevel meet; null when there is no facet.
    shoulder_mm: Option<f64>,
}

impl Sharpening {
    pub(super) fn of(sharpening: &SharpeningFigures) -> Self {
        let facet = sharpening.facet;
        Self {
            angle_deg: sharpening.angle_deg,
            edge_mm: sharpening.edge_mm,
            facet_height_mm: facet.map(|facet| facet.height_mm),
            facet_width_mm: facet.map(|facet| facet.width_mm),
            shoulder_mm: facet.map(|facet| facet.shoulder_mm),
        }
    }
}

/// What reaches into the tightest inside curve.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Inside {
    /// Its radius.
    radius_mm: f64,
    /// The largest tool in the shop that reaches.
    reaches: Option<Tool>,
    /// The smallest tool in the shop.
    smallest: Option<Tool>,
    /// A tool of the table that would reach.
    to_get: Option<Tool>,
}

impl Inside {
    pub(super) fn of(inside: &InsideReach) -> Self {
        Self {
            radius_mm: inside.radius_mm,
            reaches: inside.tool.as_ref().map(Tool::of),
            smallest: inside.smallest.as_ref().map(Tool::of),
            to_get: inside.to_get.as_ref().map(Tool::of),
        }
    }
}

/// A tool and the radius that it leaves.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Tool {
    /// Its name.
    tool: String,
    /// The radius that it leaves.
    radius_mm: f64,
}

impl Tool {
    pub(super) fn of(reach: &Reach) -> Self {
        Self { tool: reach.name.clone(), radius_mm: reach.radius_mm }
    }
}
