//! Checks that several edits share.

use crate::{ChainDrilling, Node, NodeId, Picture, Profile, Refusal, limits};
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
    Err(Refusal::OutOfRange { what, value, min: *range.start(), max: *range.end() })
}

/// Where a node stands in its profile; refuses one that is not there.
pub(super) fn index(profile: &Profile, id: NodeId) -> Result<usize, Refusal> {
    profile.index_of(id).ok_or(Refusal::NoSuchNode(id))
}

/// Refuses a point off the plane's limits.
pub(super) fn point(p: Point) -> Result<(), Refusal> {
    in_range("a coordinate", p.x, &limits::COORDINATE_MM)?;
    in_range("a coordinate", p.y, &limits::COORDINATE_MM)
}

/// Refuses a node that no file could hold, its handles included.
pub(super) fn node(node: &Node) -> Result<(), Refusal> {
    [Some(node.at), node.handle_in, node.handle_out].into_iter().flatten().try_for_each(point)
}

/// Refuses a height of a grind line or swedge that no blade of this profile has.
pub(super) fn height(what: &'static str, value: f64, profile: &Profile) -> Result<(), Refusal> {
    in_range(what, value, &limits::GRIND_HEIGHT_MM)?;
    let max_mm = *limits::grind_height_on(profile).end();
    if value <= max_mm {
        return Ok(());
    }
    Err(Refusal::HigherThanWide { what, value_mm: value, max_mm })
}

/// Refuses a drill's name that is too long.
pub(super) fn drill(name: Option<&String>) -> Result<(), Refusal> {
    name.map_or(Ok(()), |name| text("the drill's name", name, limits::NAME_CHARS))
}

/// Refuses a text that is too long.
pub(super) fn text(what: &'static str, text: &str, max: usize) -> Result<(), Refusal> {
    if text.chars().count() <= max { Ok(()) } else { Err(Refusal::TooLong { what, max }) }
}

/// Refuses a picture that can't lie so, or whose path no file could tell.
pub(super) fn picture(picture: &Picture) -> Result<(), Refusal> {
    text("the picture's path", &picture.path, limits::PATH_CHARS)?;
    let sound = picture.placement.is_sound() && !picture.path.is_empty();
    if sound { Ok(()) } else { Err(Refusal::PicturePlacement) }
}

/// Refuses chain drilling that no drill does.
pub(super) fn cutting(cutting: &ChainDrilling) -> Result<(), Refusal> {
    in_range("a drill for the chain", cutting.drill_mm, &limits::CHAIN_DRILL_MM)?;
    in_range("a bridge", cutting.bridge_mm, &limits::BRIDGE_MM)?;
    in_range("a leave", cutting.leave_mm, &limits::LEAVE_MM)?;
    drill(cutting.drill.as_ref())
}
