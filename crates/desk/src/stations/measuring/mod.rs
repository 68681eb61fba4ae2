//! Measuring: on the canvas and on the card.

pub(crate) mod canvas;
pub(crate) mod card;
