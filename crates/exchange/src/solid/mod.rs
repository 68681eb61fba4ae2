//! The knife as closed triangle meshes, one for each part, from the one thickness field.
//!
//! Plane of the knife as ever (millimetres); z goes outward from the centre plane of the stock,
//! so that the edge is down and the tip to the left seen from above (+z) as it is drawn.

mod fixings;
mod handle;
mod lattice;
mod look;
mod mesh;
mod mock_up;
mod net;
mod parts;
mod shape;
mod steel;
mod thicken;

pub use look::{Grain, Look, Material};
pub use mesh::Mesh;
pub(crate) use mesh::{cross, dot, minus};
pub use mock_up::{MockUp, PRINTED_NOTE, mock_up};
pub use parts::{Part, USUAL_CHORD_MM, knife_parts};
pub use steel::blade_mesh;

/// More nodes than this, a hole counted as ten, are not laid over with triangles: the net follows
/// each of them on both faces of every part.
const MAX_PARTS: usize = 1_500;

/// Why a knife can't be made a solid, in one plain sentence each.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SolidFault {
    /// There is no outline, or one that crosses itself.
    #[error(
        "there is no closed outline that doesn't cross itself; fix it first (check says where)"
    )]
    NoOutline,
    /// It lies too far from the origin for a file of 32-bit floats.
    #[error(
        "the outline lies {distance_mm:.0} mm from its origin, too far for a mesh; move it nearer"
    )]
    TooFar {
        /// How far, mm.
        distance_mm: f64,
    },
    /// More nodes and holes than a net of triangles is laid over.
    #[error(
        "an outline of {nodes} nodes with {holes} holes is too intricate for a solid (at most \
         {MAX_PARTS} nodes, each hole counted as ten); simplify it"
    )]
    TooIntricate {
        /// Its nodes.
        nodes: usize,
        /// The holes.
        holes: usize,
    },
    /// More triangles than a file to hand on should have.
    #[error(
        "so large or intricate a knife takes too many triangles; allow a larger tolerance, check \
         its units, or simplify its outline"
    )]
    TooFine,
    /// A coordinate that is no number.
    #[error("a coordinate of the outline is not a number; draw that place anew")]
    NotFinite,
    /// Two faces meet or cross.
    #[error(
        "there is no thickness left at ({x_mm:.1}, {y_mm:.1}) mm: grind less there, or start from \
         thicker stock (check tells more)"
    )]
    NoThickness {
        /// Where, x in mm.
        x_mm: f64,
        /// Where, y in mm.
        y_mm: f64,
    },
    /// The triangles don't close.
    #[error(
        "the surface doesn't close into a solid; look for places where lines of the outline, holes \
         or notches lie on top of each other"
    )]
    NotClosed,
    /// A tolerance out of range.
    #[error("a tolerance of {chord_mm} mm is not possible; it must lie between 0.005 and 1 mm")]
    Tolerance {
        /// The tolerance asked for, mm.
        chord_mm: f64,
    },
    /// A mock-up of a knife without scales.
    #[error("there are no scales yet to make a mock-up of; decide them first, or export the knife")]
    NoScales,
}
