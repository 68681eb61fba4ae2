//! Checks that several edits share.

use crate::{Cutting, Refusal, limits};
use kurbo::Point;
use std::ops::RangeInclusive;

/// Refuses a number outside its range (or not a number).
pub(super) fn in_range(
    what: &'static str,
    value: f64,
    range: &RangeInclusive<f64>,
) -> Result<(), Refusal> {
    if range.contains(&value) {
        return Ok(());
    }
    Err(Refusal::OutOfRange { what, value, least: *range.start(), most: *range.end() })
}

/// Refuses a point off the plane's limits.
pub(super) fn point(p: Point) -> Result<(), Refusal> {
    in_range("a coordinate", p.x, &limits::COORDINATE_MM)?;
    in_range("a coordinate", p.y, &limits::COORDINATE_MM)
}

/// Refuses a text that is too long.
pub(super) fn text(what: &'static str, text: &str, most: usize) -> Result<(), Refusal> {
    if text.chars().count() <= most { Ok(()) } else { Err(Refusal::TooLong { what, most }) }
}

/// Refuses chain drilling that no drill does.
pub(super) fn cutting(cutting: &Cutting) -> Result<(), Refusal> {
    in_range("a drill for the chain", cutting.drill_mm, &limits::CHAIN_DRILL_MM)?;
    in_range("a bridge", cutting.bridge_mm, &limits::BRIDGE_MM)?;
    in_range("a leave", cutting.leave_mm, &limits::LEAVE_MM)?;
    match &cutting.drill {
        Some(name) => text("the drill's name", name, limits::NAME_CHARS),
        None => Ok(()),
    }
}
