//! What holds the handle on: pins, tubes and screws, and the glue.

mod glue;
mod pins;
mod prism;
#[cfg(test)]
mod tests;

pub use glue::GlueFigures;
pub use pins::{PinFigures, PinKind, RodFigures};
pub(crate) use prism::{Body, prism, round_mm2};

use crate::ScaleFigures;
use crate::context::FigureContext;

/// Pins, tubes, screws and glue of a handle.
#[derive(Clone, Debug, PartialEq)]
pub struct FitFigures {
    /// What goes through each hole under the scales, in the knife's order of holes.
    pub pins: Vec<PinFigures>,
    /// The same by kind and diameter, to buy and to cut.
    pub rods: Vec<RodFigures>,
    /// The glue.
    pub glue: GlueFigures,
}

/// Pins and glue of scales on a blank.
pub(crate) fn figures(ctx: &FigureContext<'_>, scales: &ScaleFigures) -> FitFigures {
    let pins = pins::figures(ctx, scales);
    FitFigures { rods: pins::rods(&pins), glue: glue::figures(ctx, scales, &pins), pins }
}
