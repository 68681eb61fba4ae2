//! Pins, tubes and screws: how long each is and what is drilled for it.

use super::round_mm2;
use crate::ScaleFigures;
use crate::context::FigureContext;
use crate::scale_thickness_mm;
use knife::{Fixing, Hole, HoleId, HoleKind};
use kurbo::Point;

/// What a pin is made from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PinKind {
    /// A solid rod.
    Rod,
    /// A tube with this bore.
    Tube {
        /// Inner diameter, mm.
        bore_mm: f64,
    },
    /// A shouldered screw: a shank through the tang, a larger head in each scale.
    Screw {
        /// Diameter of a head, mm.
        head_mm: f64,
        /// How deep a head goes into its scale, mm.
        head_deep_mm: f64,
    },
}

/// One pin, tube or screw.
#[derive(Clone, Debug, PartialEq)]
pub struct PinFigures {
    /// The hole it goes through.
    pub hole: HoleId,
    /// That hole's number, from 1.
    pub number: usize,
    /// Whether it lines a thong hole.
    pub is_thong: bool,
    /// What it is made from.
    pub kind: PinKind,
    /// Its middle in the knife's plane.
    pub at: Point,
    /// Outer diameter, of a screw its shank's, mm: the pin stock stated for the hole, else the
    /// hole's.
    pub diameter_mm: f64,
    /// The hole through tang, liners and scales, mm.
    pub hole_mm: f64,
    /// Thickness of the steel there, tapered and ground as it is, mm.
    pub steel_mm: f64,
    /// Thickness of one scale or bolster there, mm.
    pub scale_mm: f64,
    /// From face to face of the handle there: steel, and glue, liner and scale on both sides, mm.
    pub flush_mm: f64,
    /// Its length before it is filed flush: what stands proud added on both sides, mm.
    pub length_mm: f64,
}

/// Stock for pins of one kind and diameter.
#[derive(Clone, Debug, PartialEq)]
pub struct RodFigures {
    /// What it is.
    pub kind: PinKind,
    /// Outer diameter, mm.
    pub diameter_mm: f64,
    /// How many pieces.
    pub count: usize,
    /// All of them together, without saw cuts, mm.
    pub total_mm: f64,
    /// The longest of them, mm.
    pub longest_mm: f64,
}

impl PinKind {
    /// In words: `pin`, `tube`, `screw`.
    pub fn label(self) -> &'static str {
        match self {
            Self::Rod => "pin",
            Self::Tube { .. } => "tube",
            Self::Screw { .. } => "screw",
        }
    }

    /// The second diameter: of a tube its bore, of a screw its head's, mm.
    pub fn other_mm(self) -> Option<f64> {
        match self {
            Self::Rod => None,
            Self::Tube { bore_mm } => Some(bore_mm),
            Self::Screw { head_mm, .. } => Some(head_mm),
        }
    }
}

impl PinFigures {
    /// The widest hole it wants in a scale's face, mm: of a screw its heads' recess.
    pub fn scale_hole_mm(&self) -> f64 {
        match self.kind {
            PinKind::Screw { head_mm, .. } => head_mm.max(self.hole_mm),
            _ => self.hole_mm,
        }
    }

    /// How deep a recess goes into each scale, mm; 0 without a head. Never through the scale.
    pub fn recess_mm(&self) -> f64 {
        match self.kind {
            PinKind::Screw { head_deep_mm, .. } => head_deep_mm.min(self.scale_mm),
            _ => 0.0,
        }
    }

    /// Of a screw, from shoulder to shoulder: face to face less both recesses, mm.
    pub fn between_heads_mm(&self) -> Option<f64> {
        let is_screw = matches!(self.kind, PinKind::Screw { .. });
        is_screw.then(|| self.flush_mm - 2.0 * self.recess_mm())
    }

    /// Its volume once it is flush, mm³.
    pub fn flush_mm3(&self) -> f64 {
        let own = round_mm2(self.diameter_mm);
        match self.kind {
            PinKind::Rod => own * self.flush_mm,
            PinKind::Tube { bore_mm } => (own - round_mm2(bore_mm)).max(0.0) * self.flush_mm,
            PinKind::Screw { head_mm, .. } => {
                let heads_mm = 2.0 * self.recess_mm();
                own * (self.flush_mm - heads_mm) + round_mm2(head_mm) * heads_mm
            }
        }
    }

    /// The gap round it, along all of its length in the hole, mm³; 0 where it doesn't go in.
    pub fn gap_mm3(&self) -> f64 {
        let long_mm = self.flush_mm - 2.0 * self.recess_mm();
        (round_mm2(self.hole_mm) - round_mm2(self.diameter_mm)).max(0.0) * long_mm
    }

    /// What is drilled away of one scale for it: diameter and depth of the hole, and of the recess
    /// for a head (of no depth without one), mm.
    pub fn bores_mm(&self) -> [(f64, f64); 2] {
        let recess_mm = self.recess_mm();
        [(self.hole_mm, self.scale_mm - recess_mm), (self.scale_hole_mm(), recess_mm)]
    }
}

/// What goes through each hole under the scales. A pin hole without a fixing takes a solid pin; a
/// thong hole stays open unless a tube lines it.
pub(super) fn figures(ctx: &FigureContext<'_>, scales: &ScaleFigures) -> Vec<PinFigures> {
    let holes = ctx.knife.holes.iter().enumerate();
    holes.filter_map(|(i, hole)| pin(ctx, scales, i + 1, hole)).collect()
}

fn pin(
    ctx: &FigureContext<'_>,
    scales: &ScaleFigures,
    number: usize,
    hole: &Hole,
) -> Option<PinFigures> {
    let handle = &ctx.knife.handle;
    let kind = match (hole.kind, handle.fixing(hole.id)) {
        (HoleKind::Pin, None) => PinKind::Rod,
        (HoleKind::Pin | HoleKind::Thong, Some(Fixing::Tube { bore_mm })) => {
            PinKind::Tube { bore_mm }
        }
        (HoleKind::Pin, Some(Fixing::Screw { head_mm, head_deep_mm })) => {
            PinKind::Screw { head_mm, head_deep_mm }
        }
        _ => return None,
    };
    if !scales.outline.contains(hole.at) {
        return None;
    }
    let steel_mm = ctx.field.half_thickness(hole.at).thickness_mm();
    let scale_mm = scale_thickness_mm(ctx.knife, hole.at.x)?;
    let flush_mm = steel_mm + 2.0 * (handle.under_scale_mm() + scale_mm);
    Some(PinFigures {
        hole: hole.id,
        number,
        is_thong: hole.kind == HoleKind::Thong,
        kind,
        at: hole.at,
        diameter_mm: hole.pin_mm.unwrap_or(hole.diameter_mm),
        hole_mm: hole.diameter_mm,
        steel_mm,
        scale_mm,
        flush_mm,
        length_mm: flush_mm + 2.0 * handle.proud_mm(),
    })
}

/// The stock by kind and diameter, in the order in which each is first met.
pub(super) fn rods(pins: &[PinFigures]) -> Vec<RodFigures> {
    let mut rods: Vec<RodFigures> = Vec::new();
    for pin in pins {
        let same = |rod: &&mut RodFigures| {
            rod.kind == pin.kind && rod.diameter_mm.to_bits() == pin.diameter_mm.to_bits()
        };
        match rods.iter_mut().find(same) {
            Some(rod) => {
                rod.count += 1;
                rod.total_mm += pin.length_mm;
                rod.longest_mm = rod.longest_mm.max(pin.length_mm);
            }
            None => rods.push(RodFigures {
                kind: pin.kind,
                diameter_mm: pin.diameter_mm,
                count: 1,
                total_mm: pin.length_mm,
                longest_mm: pin.length_mm,
            }),
        }
    }
    rods
}
