//! The jigs in the stable JSON of `numbers`.

use super::{Range, Xy, xy};
use crate::{AngleBlock, BrickChamber, CentringBlock, FilingGuide, JigFigures};
use schemars::JsonSchema;
use serde::Serialize;

/// Jigs that are made once for this knife.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Jigs {
    /// Scribes the middle of the stock's edge.
    centring: CentringJig,
    /// Guides the file at the plunge.
    guide: Option<GuideJaw>,
    /// Holds the blade so that its bevel is level.
    bevel: Option<AngledBlock>,
    /// The wide holes of the board under the tang.
    support: Vec<SupportHole>,
    /// To finish the scales' front by.
    front: Option<AngledBlock>,
    /// Two soft bricks about the blade.
    chamber: Option<SoftBricks>,
    /// Holds the stone at the sharpening angle.
    stand: Option<AngledBlock>,
}

/// A block with two pegs and a scriber midway.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct CentringJig {
    /// Diameter of the pegs.
    peg_mm: f64,
    /// From middle to middle.
    apart_mm: f64,
    /// How far it is turned on this stock.
    turn_deg: f64,
}

/// One jaw of the filing guide.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct GuideJaw {
    /// Height of the blank in it.
    blank_mm: f64,
    /// Length along the knife.
    length_mm: f64,
    /// Its height.
    height_mm: f64,
    /// Diameter of its bolts.
    bolt_mm: f64,
    /// Their middles behind its front.
    behind_mm: f64,
    /// Their middles along the plunge line, from its foot.
    bolts_mm: Range,
}

/// A block cut to an angle.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct AngledBlock {
    /// The angle.
    angle_deg: f64,
    /// Length of its foot.
    foot_mm: f64,
    /// Thickness at its thin end.
    thin_mm: f64,
    /// By how much it rises.
    rise_mm: f64,
}

/// A wide hole.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct SupportHole {
    /// Its middle, in the file's coordinates.
    at_mm: Xy,
    /// Its diameter.
    diameter_mm: f64,
}

/// Two halves of a chamber of soft bricks.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct SoftBricks {
    /// Blade that goes in.
    blade_mm: f64,
    /// Its bore.
    bore_mm: f64,
    /// Bricks in a row, of each half.
    bricks: u32,
    /// Length of one.
    brick_mm: f64,
    /// Hole for the burner.
    burner_mm: f64,
    /// How far that is turned back from square.
    back_deg: f64,
    /// Its middle line beside the bore's.
    beside_mm: f64,
    /// How much nearer to the mouth it begins outside.
    ahead_mm: f64,
}

impl Jigs {
    pub(super) fn of(jigs: &JigFigures) -> Self {
        let holes = jigs.support.iter().flat_map(|support| &support.holes);
        Self {
            centring: CentringJig::of(&jigs.centring),
            guide: jigs.guide.as_ref().map(GuideJaw::of),
            bevel: jigs.bevel.as_ref().map(AngledBlock::of),
            support: holes
                .map(|(_, at, diameter_mm)| SupportHole {
                    at_mm: xy(*at),
                    diameter_mm: *diameter_mm,
                })
                .collect(),
            front: jigs.front.as_ref().map(AngledBlock::of),
            chamber: jigs.chamber.as_ref().map(SoftBricks::of),
            stand: jigs.stand.as_ref().map(AngledBlock::of),
        }
    }
}

impl CentringJig {
    fn of(block: &CentringBlock) -> Self {
        Self { peg_mm: block.peg_mm, apart_mm: block.apart_mm, turn_deg: block.turn_deg }
    }
}

impl GuideJaw {
    fn of(guide: &FilingGuide) -> Self {
        Self {
            blank_mm: guide.blank_mm,
            length_mm: guide.long_mm,
            height_mm: guide.high_mm,
            bolt_mm: guide.bolt_mm,
            behind_mm: guide.behind_mm,
            bolts_mm: guide.bolts_mm,
        }
    }
}

impl AngledBlock {
    fn of(block: &AngleBlock) -> Self {
        Self {
            angle_deg: block.angle_deg,
            foot_mm: block.foot_mm,
            thin_mm: block.thin_mm,
            rise_mm: block.rise_mm,
        }
    }
}

impl SoftBricks {
    fn of(chamber: &BrickChamber) -> Self {
        Self {
            blade_mm: chamber.blade_mm,
            bore_mm: chamber.bore_mm,
            bricks: chamber.bricks,
            brick_mm: chamber.brick_mm,
            burner_mm: chamber.burner_mm,
            back_deg: chamber.back_deg,
            beside_mm: chamber.beside_mm,
            ahead_mm: chamber.ahead_mm,
        }
    }
}
