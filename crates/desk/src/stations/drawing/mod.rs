//! An outline drawn point by point, at the Profile station: its card and its canvas.

pub(crate) mod canvas;
pub(crate) mod card;

pub(crate) use card::no_outline;
