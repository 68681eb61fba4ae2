//! Removes crossings: the boundary of the region that rings wind around.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::{Overlay, ShapeType};
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;
use kurbo::Point;

use super::thread::grid_point;

type Ring = Vec<IntPoint<i32>>;

/// The boundary of everything the rings wind around more often counter-clockwise than
/// clockwise; outer rings counter-clockwise, voids clockwise.
pub(super) fn positive(rings: &[Ring]) -> Vec<Ring> {
    boundary(rings, FillRule::Positive)
}

/// The boundary of everything a ring winds around at all.
pub(super) fn non_zero(ring: &[Point]) -> Vec<Ring> {
    boundary(&[ring.iter().map(|p| grid_point(*p)).collect()], FillRule::NonZero)
}

fn boundary(rings: &[Ring], rule: FillRule) -> Vec<Ring> {
    let mut overlay = Overlay::<i32>::new(rings.iter().map(Vec::len).sum());
    for ring in rings {
        overlay.add_contour(ring, ShapeType::Subject);
    }
    overlay.overlay(OverlayRule::Subject, rule).into_iter().flatten().collect()
}
