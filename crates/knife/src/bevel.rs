//! How the blade is ground and filed, as the maker states it.

use kurbo::Point;

/// The bevels that rise from the edge.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bevel {
    /// Where the plunge line leaves the outline on the edge's side, x in mm.
    pub plunge_x_mm: f64,
    /// Height of the grind line: its distance from the edge curve, mm. It holds as long as the
    /// grind line follows the edge; see [`GrindLine`].
    pub grind_height_mm: f64,
    /// Thickness left at the edge before heat treatment, mm.
    pub edge_thickness_mm: f64,
    /// The shape of the ground face.
    pub grind: Grind,
    /// On which faces it is ground.
    pub sides: GroundSides,
    /// How far the plunge line leans from square to the knife's length, degrees; positive when
    /// its end at the spine lies nearer to the butt.
    pub plunge_lean_deg: f64,
    /// Diameter of the round file that cuts the plunge, mm; 0 for a sharp step.
    pub plunge_file_mm: f64,
}

/// The shape of a ground face.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Grind {
    /// Straight from edge to grind line.
    #[default]
    Flat,
    /// Hollow, by a wheel of this diameter, mm.
    Hollow(f64),
    /// Bulging out, along an arc of this radius, mm.
    Convex(f64),
}

/// On which faces the bevels are ground.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum GroundSides {
    /// Alike on both.
    #[default]
    Both,
    /// The whole of it on the left face: the one seen when the tip points left, the edge down.
    Left,
    /// The whole of it on the right face.
    Right,
}

/// Up to where the bevels go.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum GrindLine {
    /// To the parallel of the edge at the grind height.
    #[default]
    Height,
    /// Up to the spine.
    Spine,
    /// To a smooth curve through these points of the knife's plane, mm, in the order from the
    /// tip to the plunge.
    Through(Vec<Point>),
}

/// Distal taper: the stock falls evenly to the tip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taper {
    /// Where it begins, x in mm.
    pub from_x_mm: f64,
    /// Thickness of the stock at the tip, mm.
    pub tip_mm: f64,
}

/// A swedge, or false edge: the spine bevelled from the tip back, flat and alike on both faces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swedge {
    /// Where it ends towards the butt, x in mm.
    pub from_x_mm: f64,
    /// How far down from the spine it reaches, mm.
    pub height_mm: f64,
    /// Thickness left on the spine, mm.
    pub thickness_mm: f64,
}

/// How the bevels are filed by hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Filing {
    /// Facets after the first one at 45°.
    pub facets: u32,
    /// What the maker's own hand did in a measured time.
    pub timing: Option<FilingTrial>,
}

/// Filing on one face, timed by the maker from the unfiled edge on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FilingTrial {
    /// How long, minutes.
    pub minutes: f64,
    /// What was done in that time.
    pub done: FiledAmount,
}

/// What a timed piece of filing did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FiledAmount {
    /// The filed face reaches so far up from the edge, mm.
    Height(f64),
    /// So much steel went, by the balance, g.
    Grams(f64),
}

/// The final edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sharpening {
    /// Angle a side, degrees.
    pub angle_deg: f64,
    /// Thickness at the edge when the grinding after heat treatment is done, mm; `None` when it
    /// stays as it was left before.
    pub edge_mm: Option<f64>,
}
