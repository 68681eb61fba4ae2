//! The outline, its holes and its bar in the stable JSON of `numbers`.

use super::{Bounds, Xy, bounds, xy};
use crate::{BarFigures, HoleFigures, PinFit, Reckoning};
use knife::Knife;
use schemars::JsonSchema;
use serde::Serialize;

/// Where a person reads coordinates from: rulers, cards, findings and sheets count from there.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Origin {
    /// The origin in use: `tip`, `heel`, `plunge`, `bar-corner` or `drawing`.
    name: &'static str,
    /// The origin chosen; another is in use where the blank has no such place.
    chosen: &'static str,
    /// Where it lies, in the drawing's own coordinates.
    at_mm: Xy,
    /// 1 where x grows with the drawing's own, -1 where against it.
    x_sign: f64,
}

impl Origin {
    pub(super) fn of(knife: &Knife, reckoning: &Reckoning) -> Self {
        let origin = &reckoning.origin;
        Self {
            name: origin.origin.key(),
            chosen: knife.origin.key(),
            at_mm: xy(origin.at),
            x_sign: origin.x_sign,
        }
    }
}

/// The outline.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Profile {
    /// Along the knife.
    length_mm: f64,
    /// Across the knife.
    width_mm: f64,
    /// The box around it: x0, y0, x1, y1.
    bounds_mm: Bounds,
    /// The area inside.
    area_mm2: f64,
    /// The area less the holes.
    net_area_mm2: f64,
    /// The length of the outline.
    perimeter_mm: f64,
    /// The centre of the area inside.
    centroid_mm: Xy,
    /// Second moments of area about the centroid.
    second_moments_mm4: SecondMoments,
    /// The least extent of the outline over all directions.
    least_width_mm: f64,
    /// The turn that lays this extent across the bar.
    least_width_turn_deg: f64,
    /// The smallest radius of the smooth concave stretches.
    tightest_inside_radius_mm: Option<f64>,
    /// Where that is.
    tightest_inside_at_mm: Option<Xy>,
    /// The sharp inside corners.
    inside_corners: Vec<InsideCorner>,
    /// Where the outline crosses or touches itself.
    self_contacts: Vec<Xy>,
    /// How many nodes it has.
    nodes: usize,
    /// The node marked as the tip.
    tip_mm: Option<Xy>,
    /// The node marked as the heel.
    heel_mm: Option<Xy>,
    /// The length of the edge, from tip to heel.
    edge_length_mm: Option<f64>,
}

impl Profile {
    pub(super) fn of(knife: &Knife, reckoning: &Reckoning) -> Option<Self> {
        let figures = reckoning.profile.as_ref()?;
        let mark = |id| knife.profile.node(id).map(|node| xy(node.at));
        let (moments, tightest) = (&figures.second_moments, figures.tightest_inside.as_ref());
        let corners = figures.inside_corners.iter().map(|corner| InsideCorner {
            at_mm: xy(corner.at),
            turn_deg: corner.angle_rad.to_degrees(),
        });
        Some(Self {
            length_mm: figures.length_mm,
            width_mm: figures.width_mm,
            bounds_mm: bounds(figures.bounds),
            area_mm2: figures.area_mm2,
            net_area_mm2: figures.net_area_mm2,
            perimeter_mm: figures.perimeter_mm,
            centroid_mm: xy(figures.centroid),
            second_moments_mm4: SecondMoments {
                ixx: moments.ixx_mm4,
                iyy: moments.iyy_mm4,
                ixy: moments.ixy_mm4,
            },
            least_width_mm: figures.min_width.width_mm,
            least_width_turn_deg: figures.min_width.turn_rad.to_degrees(),
            tightest_inside_radius_mm: tightest.map(|r| r.radius_mm),
            tightest_inside_at_mm: tightest.map(|r| xy(r.at)),
            inside_corners: corners.collect(),
            self_contacts: figures.contacts.iter().map(|c| xy(c.at)).collect(),
            nodes: knife.profile.nodes.len(),
            tip_mm: knife.profile.tip.and_then(mark),
            heel_mm: knife.profile.heel.and_then(mark),
            edge_length_mm: figures.edge.as_ref().map(|edge| edge.length_mm),
        })
    }
}

/// Second moments of area, mm⁴.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct SecondMoments {
    /// About the x direction.
    ixx: f64,
    /// About the y direction.
    iyy: f64,
    /// Their product.
    ixy: f64,
}

/// A corner whose tangent turns inward.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct InsideCorner {
    /// Where it is.
    at_mm: Xy,
    /// By how much the tangent turns.
    turn_deg: f64,
}

/// A hole.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Hole {
    /// Its number on every sheet, from 1.
    number: usize,
    /// Its name, which may be empty.
    name: String,
    /// What it is for.
    kind: &'static str,
    /// Its centre.
    at_mm: Xy,
    /// Its diameter.
    diameter_mm: f64,
    /// The drill named for it.
    drill: Option<String>,
    /// The steel left to the outline, negative where they overlap.
    edge_web_mm: Option<f64>,
    /// The steel left to the nearest other hole.
    nearest_hole_web_mm: Option<f64>,
    /// The number of that hole.
    nearest_hole: Option<usize>,
    /// From its centre to the chosen edge of the bar.
    from_bar_edge_mm: f64,
    /// From its centre to the chosen end of the bar.
    from_bar_end_mm: f64,
    /// From its centre square to the bar up to the outline; null off the blank.
    from_upper_mm: Option<f64>,
    /// From its centre square to the bar down to the outline; null off the blank.
    from_lower_mm: Option<f64>,
    /// The gap around its pin, on the diameter.
    pin_gap_mm: Option<f64>,
    /// The diameter of its pin.
    pin_mm: Option<f64>,
    /// Whether that gap suits glue.
    pin_gap_suits: Option<bool>,
    /// The drills on hand that suit the pin, closest first.
    pin_drills: Option<Vec<PinDrill>>,
}

impl Hole {
    pub(super) fn of(hole: &HoleFigures) -> Self {
        let fit = hole.pin_fit.as_ref();
        let drills = fit.map(|fit| {
            let drill = |drill: &crate::GapDrill| PinDrill {
                drill: drill.label.clone(),
                diameter_mm: drill.diameter_mm,
                gap_mm: drill.gap_mm,
            };
            fit.drills.iter().map(drill).collect()
        });
        Self {
            number: hole.number,
            name: hole.name.clone(),
            kind: hole.kind.label(),
            at_mm: xy(hole.at),
            diameter_mm: hole.diameter_mm,
            drill: hole.drill.clone(),
            edge_web_mm: hole.edge_web_mm,
            nearest_hole_web_mm: hole.nearest.map(|nearest| nearest.web_mm),
            nearest_hole: hole.nearest.map(|nearest| nearest.number),
            from_bar_edge_mm: hole.from_bar_edge_mm,
            from_bar_end_mm: hole.from_bar_end_mm,
            from_upper_mm: hole.from_upper_mm,
            from_lower_mm: hole.from_lower_mm,
            pin_gap_mm: hole.pin_gap_mm,
            pin_mm: fit.map(|fit| fit.pin_mm),
            pin_gap_suits: fit.map(PinFit::suits),
            pin_drills: drills,
        }
    }
}

/// A drill for a pin.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct PinDrill {
    /// Its name.
    drill: String,
    /// Its diameter.
    diameter_mm: f64,
    /// The gap that it leaves around the pin, on the diameter.
    gap_mm: f64,
}

/// The bar of steel and the blank on it.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Bar {
    /// The grade of steel.
    grade: String,
    /// Its width.
    width_mm: f64,
    /// Its thickness.
    thickness_mm: f64,
    /// Its length.
    length_mm: f64,
    /// Where the knife's own zero lies on the bar, from its lower left corner.
    at_mm: Xy,
    /// By how much the blank is turned on the bar.
    turn_deg: f64,
    /// Whether it lies on the bar.
    fits: Option<bool>,
    /// The least of the four margins.
    margin_mm: Option<f64>,
    /// The steel left on all sides.
    margins_mm: Option<Margins>,
    /// Whether it would lie on the bar at some turn.
    could_fit: Option<bool>,
    /// The turn at which the least margin is largest.
    best_turn_deg: Option<f64>,
    /// That margin.
    best_margin_mm: Option<f64>,
}

impl Bar {
    pub(super) fn of(knife: &Knife, reckoning: &Reckoning) -> Self {
        let (bar, figures) = (&knife.bar, reckoning.bar.as_ref());
        let margins = figures.map(|f| Margins {
            lower: f.margins.lower_mm,
            upper: f.margins.upper_mm,
            left: f.margins.left_mm,
            right: f.margins.right_mm,
        });
        Self {
            grade: bar.grade.clone(),
            width_mm: bar.width_mm,
            thickness_mm: bar.thickness_mm,
            length_mm: bar.length_mm,
            at_mm: xy(bar.placement.at),
            turn_deg: bar.placement.turn_deg,
            fits: figures.map(|f| f.fits),
            margin_mm: figures.map(|f| f.margins.min_mm()),
            margins_mm: margins,
            could_fit: figures.map(BarFigures::could_fit),
            best_turn_deg: figures.map(|f| f.best_turn_deg),
            best_margin_mm: figures.map(|f| f.best_margin_mm),
        }
    }
}

/// The steel left on all sides, mm.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Margins {
    /// Below.
    lower: f64,
    /// Above.
    upper: f64,
    /// At the left end.
    left: f64,
    /// At the right end.
    right: f64,
}
