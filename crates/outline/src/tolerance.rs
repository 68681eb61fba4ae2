//! The small lengths and angles by which the geometry decides, each with its reason.

/// Length below which a handle or a piece has no direction of its own, in millimetres.
/// Coordinates of a few hundred millimetres are rounded at 3e-14 mm, so a shorter handle
/// would give a direction made of rounding.
const TINY_MM: f64 = 1e-9;

/// Share of the largest coordinate added to [`TINY_MM`], for outlines far from the origin.
const TINY_SHARE: f64 = 1e-12;

/// The length below which nothing near coordinate `reach_mm` has a direction of its own.
pub(crate) fn tiny_mm(reach_mm: f64) -> f64 {
    TINY_MM + TINY_SHARE * reach_mm
}

/// Stretches shorter than this belong to the joint at their ends: their curvature is rounding
/// (coordinates written to a micrometre) and no tool can feel them. Millimetres.
pub(crate) const JOINT_MM: f64 = 1e-3;

/// A joint whose tangent turns less than this is smooth (half a degree, in radians): handles
/// of a millimetre written to a hundredth of a millimetre are off by as much.
pub(crate) const SMOOTH_TURN_RAD: f64 = 0.5 * std::f64::consts::PI / 180.0;

/// Two stretches nearer than this are in contact, in millimetres: far below what can be cut,
/// far above the rounding of coordinates.
pub(crate) const TOUCH_MM: f64 = 1e-7;

/// A loop with less length than this is rounding, not a contact, in millimetres.
pub(crate) const LOOP_MM: f64 = 1e-5;

/// Two sides of a cusp may come within [`TOUCH_MM`] of each other over this length without
/// lying on one another, in millimetres.
pub(crate) const CUSP_MM: f64 = 0.05;

/// Contacts of the same two stretches nearer than this are one, in millimetres.
pub(crate) const SAME_CONTACT_MM: f64 = 1e-3;

/// No more contacts than this are listed: an outline with so many is past listing.
pub const MAX_CONTACTS: usize = 1000;

/// Accuracy asked of the length of one segment, in millimetres.
pub(crate) const LENGTH_MM: f64 = 1e-9;

/// Accuracy of the largest inscribed circle's radius, in millimetres.
pub(crate) const CIRCLE_MM: f64 = 1e-3;

/// Brackets of directions that can't better the least width by more than this are passed
/// over, in millimetres.
pub(crate) const WIDTH_MM: f64 = 1e-6;

/// Widest such bracket, in radians.
pub(crate) const WIDTH_RAD: f64 = 1e-3;
