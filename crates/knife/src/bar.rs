//! The bar of steel and where the blank lies on it.
//!
//! Plane of the bar: origin at its lower left corner, x along its length, y across its width.

use kurbo::{Affine, Point};

/// A flat bar and the blank's place on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Grade by its standard name, such as `SAE 1084`.
    pub grade: String,
    /// Width across the bar, mm.
    pub width_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Length, mm.
    pub length_mm: f64,
    /// Where the blank lies.
    pub placement: Placement,
    /// From which edge and end distances are scribed.
    pub reference: Reference,
}

impl Bar {
    /// The corner where the reference edge and end meet, in the bar's plane.
    pub fn scribed_from(&self) -> Point {
        let x = match self.reference.end {
            ReferenceEnd::Left => 0.0,
            ReferenceEnd::Right => self.length_mm,
        };
        let y = match self.reference.edge {
            ReferenceEdge::Lower => 0.0,
            ReferenceEdge::Upper => self.width_mm,
        };
        Point::new(x, y)
    }
}

/// The blank's place on the bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Where the knife's origin lies on the bar, mm.
    pub at: Point,
    /// Turn about the knife's origin, degrees, counter-clockwise.
    pub turn_deg: f64,
}

impl Placement {
    /// Takes a point of the knife's plane to the bar's plane.
    pub fn bar_from_knife(&self) -> Affine {
        Affine::translate(self.at.to_vec2()) * Affine::rotate(self.turn_deg.to_radians())
    }
}

/// The bar's edge and end from which the maker scribes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reference {
    /// The long edge.
    pub edge: ReferenceEdge,
    /// The end.
    pub end: ReferenceEnd,
}

/// One of the bar's two long edges.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReferenceEdge {
    /// y = 0.
    Lower,
    /// y = width.
    Upper,
}

/// One of the bar's two ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReferenceEnd {
    /// x = 0.
    Left,
    /// x = length.
    Right,
}
